"""The functions that rules may call, by name: what they take and what they give.

The trade's own functions (`TRADE`) are declared here with their types and with what can come out of them; what is
computed already, `advisor/trade/called.py` computes.
"""

from __future__ import annotations

from decimal import Decimal

from attrs import frozen

from advisor.language.types import DATE, MONEY, NUMBER, PERCENT, YES_NO, Choice, Code, DateType, Type, quantity

__all__ = ["FUNCTIONS", "OLD_SPELLINGS", "PLAN_FIGURES", "SPECIAL", "TRADE", "Signature"]


@frozen
class Signature:
    """A function of the trade: argument types by name, in order, and the type of the result.

    Where `rounds` is more than 1, the arguments come so many times at least, each time all of them. `domain` holds the
    lowest and the highest result; a function without one is not computed yet. `lacking` says when there is no result;
    `positive` is the place of an argument that rules that out by being above zero. Where `orderly`, every argument
    moves the result one way, whatever the others are.
    """

    takes: tuple[tuple[str, Type], ...]
    gives: Type
    text: str
    rounds: int = 1
    domain: tuple[Decimal, Decimal] | None = None
    lacking: str = ""
    positive: int | None = None
    orderly: bool = False


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

_DAYS = quantity(calendar="day")
_YEARS = quantity(calendar="year")
_RATES = Decimal("-0.9999"), Decimal(100)
"""Yearly rates that are told: from -99.99 % to 10,000 %."""
_CODE = Code(1, 40)

TRADE = {
    "yearly_rate": Signature(
        (("an amount", MONEY), ("its date", DATE)),
        PERCENT,
        "the yearly rate, compounded, at which dated payments come to nothing",
        rounds=2,
        domain=_RATES,
        lacking="no rate fits the payments, or more than one does",
    ),
    "compounded": Signature(
        (("a share", PERCENT), ("days", _DAYS)),
        PERCENT,
        "a share earned in some days, earned again and again for a year",
        domain=_RATES,
        lacking="`{0}` is zero",
        positive=1,
        orderly=True,
    ),
    "vin_check": Signature(
        (("the VIN", _CODE), ("the model year", NUMBER)),
        Choice(("fits", "does_not_fit", "not_checkable")),
        "whether a VIN's check digit fits",
    ),
    "tire_age": Signature((("the tire's date code", _CODE), ("the day", DateType())), _YEARS, "how old a tire is"),
    "odometer_exempt": Signature(
        (("the model year", NUMBER), ("the day of the transfer", DateType())),
        YES_NO,
        "whether the federal odometer statement is not required",
    ),
    "battery_charge": Signature(
        (("the rested voltage", quantity(voltage="V")), ("the temperature", quantity(temperature="degF"))),
        PERCENT,
        "how full a battery is",
    ),
}
