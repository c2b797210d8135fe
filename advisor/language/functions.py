"""The functions of the language itself, by name, and the names that always mean something.

Those of the trade stand in `signatures.py`.
"""

from __future__ import annotations

from advisor.language.types import DATE, MONEY, NUMBER, Type

__all__ = ["FUNCTIONS", "OLD_SPELLINGS", "PLAN_FIGURES", "SPECIAL"]


SPECIAL: dict[str, Type] = {
    "offer": MONEY,
    "ceiling": MONEY,
    "today": DATE,
    "unverified_majors": NUMBER,
    "cannot_tell": NUMBER,
    "refused_looks": NUMBER,
}
"""Names that always mean something."""

PLAN_FIGURES = {
    ("sum", "parts"): ("parts", "money"),
    ("sum", "shop"): ("shop", "money"),
    ("sum", "labor"): ("labor", "labor"),
    ("sum", "labour"): ("labor", "labor"),
    ("longest", "wait"): ("wait", "calendar"),
    ("kept", "resale"): ("kept_resale", "percent"),
    ("lost", "resale"): ("lost_resale", "money"),
    ("added", "days"): ("added_days", "calendar"),
    ("kept", "buyers"): ("kept_buyers", "percent"),
    ("argued", "quotes"): ("argued", "money"),
}
"""`sum(parts)` and its kin: the figure of the repair plan, and what it is measured in."""

FUNCTIONS = {
    "lowest": "the lowest reading of a list",
    "highest": "the highest reading of a list",
    "median": "the middle reading of a list",
    "count": "how many readings a list has, or how many of several conditions hold",
    "to_cent": "an amount rounded half up to the cent",
    "rounded_up": "a number rounded up to a step",
    "rounded_down": "a number rounded down to a step",
    "power": "a plain number to a whole power",
    "year": "the year of a date",
    "month": "the month of a date, 1 to 12",
    "next_day": "the next such day of the year, on a date or after it",
    "days_to_open": "days from a date until a season opens, none while it is open",
    "days_to_close": "days from a date until a season closes, none while it is closed",
    "low": "a quantity with every estimate at the end that lowers it",
    "high": "a quantity with every estimate at the end that raises it",
    "chance": "the share of outcomes in which a condition holds",
    "percentile": "the value that a share of the outcomes lies below",
    "sum": "of `parts`, `shop` or `labor` over the repairs in the plan",
    "longest": "of `wait` over the repairs in the plan",
    "kept": "the share of `resale` or of `buyers` kept in spite of the faults left",
    "lost": "the money that the faults left take off the `resale`",
    "added": "the `days` to sell that the faults left add",
    "argued": "the `quotes` of the three dearest faults to argue with",
}

OLD_SPELLINGS = {"min": "smaller of", "max": "larger of", "smallest": "lowest", "largest": "highest"}
"""Names from elsewhere that people try first, and what is meant here."""
