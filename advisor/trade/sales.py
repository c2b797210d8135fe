"""How many cars somebody may sell before a law calls it dealing.

In: numbers of cars sold and offered, or their dates. Out: which federal counts the next car falls under, in a word
for rules and as a `Fact` for people. Each state has a rule of its own for its license, which is asked and never
inferred.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta
from decimal import Decimal
from typing import Literal

from advisor.trade.fact import Cited, Fact, Unanswerable

__all__ = ["ENOUGH", "Dealing", "counts_as_dealer", "in_window", "sales_fact"]

Dealing = Literal["neither", "ftc", "both"]
Number = int | Decimal

ENOUGH = 5
"""Cars in the twelve months before, from which on both federal counts call the next one dealing."""

_FTC = Cited("16 CFR 455.1(d)(3): five or more sold or offered in the previous twelve months", "quoted")
_GUIDE = Cited("16 CFR 455.2(a), the Buyers Guide", "published")
_ODOMETER_LAW = Cited("49 USC 32702(2): at least five sold in the prior twelve months", "published")
_STATE = Cited("some states ask whether a car was bought to be sold again, and not how many were", "from memory")

_ASK = "The state's own rule decides who needs a license: ask the state's licensing office before the first sale."
_NEVER = "Neither federal count says anything about the state's."
_BUYERS = "The odometer law counts sales to buyers in good faith who do not resell."
_EDGE = "A sale on the same day of the year before is still counted."


def counts_as_dealer(sold: Number, sold_or_offered: Number) -> Dealing:
    """Under which federal count the next car falls, from what the twelve months before it saw.

    A car that was sold had been offered: the second number is taken to be at least the first.
    """
    if sold >= ENOUGH:
        return "both"
    return "ftc" if sold_or_offered >= ENOUGH else "neither"


def in_window(dates: Sequence[date], day: date) -> int:
    """How many of the dates lie in the twelve months before the day, or on it."""
    return sum(_a_year_before(day) <= d <= day for d in dates)


def _a_year_before(day: date) -> date:
    leap = day.month == 2 and day.day == 29
    return day.replace(year=day.year - 1, day=28) if leap else day.replace(year=day.year - 1)


def sales_fact(sold: Sequence[date], offered: Sequence[date], day: date, bought_to_resell: bool | None = None) -> Fact:
    """Under which federal counts a car that is offered on the day falls.

    `sold` are the days of sales, and `offered` the days on which cars that are not sold yet were last offered.
    `bought_to_resell` is of the car at hand, and None where it has not been asked. Raises `Unanswerable` for a date
    after the day.
    """
    for d in (*sold, *offered):
        if d > day:
            raise Unanswerable(f"{d} lies after {day}: count what was sold or offered until then")
    sales, both = in_window(sold, day), in_window((*sold, *offered), day)
    dealing = counts_as_dealer(sales, both)
    until = _until((*sold, *offered), day)
    sentences = [_counted(sales, both, day), *_under(dealing, until), _intent(bought_to_resell), _ASK]
    return Fact(
        " ".join(sentences),
        {
            "sold": sales,
            "sold_or_offered": both,
            "since": _a_year_before(day),
            "dealing": dealing.replace("_", " "),
            "ftc_until": until,
            "bought_to_resell": bought_to_resell,
        },
        (_FTC, *((_GUIDE,) if dealing != "neither" else ()), _ODOMETER_LAW, _STATE),
        (_NEVER, _BUYERS, _EDGE),
    )


def _counted(sales: int, both: int, day: date) -> str:
    return f"From {_a_year_before(day)} to {day}: {sales} sold, {both} sold or offered."


def _under(dealing: Dealing, until: date | None) -> list[str]:
    """What the counts come to, each in a sentence."""
    if dealing == "neither":
        return [f"The next car is under neither federal count: both begin when {ENOUGH} came before it."]
    found = [
        "The next car offered is a dealer's under the FTC's rule: a Buyers Guide has to stand in its window "
        f"until fewer than {ENOUGH} are counted, from {until} on if nothing more is sold or offered."
    ]
    if dealing == "both":
        found.append("The federal odometer law calls its seller a dealer too.")
    return found


def _until(dates: Sequence[date], day: date) -> date | None:
    """The first day on which fewer than five of the dates are counted; None if fewer are on this one."""
    counted = sorted((d for d in dates if _a_year_before(day) <= d <= day), reverse=True)
    if len(counted) < ENOUGH:
        return None
    fifth = counted[ENOUGH - 1]
    while _a_year_before(day) <= fifth:
        day += timedelta(1)
    return day


def _intent(bought_to_resell: bool | None) -> str:
    if bought_to_resell is None:
        return "Was it bought to be sold again? Some states ask that, and not how many were."
    if bought_to_resell:
        return "It was bought to be sold again: say so when you ask, for some states go by that and not by a number."
    return "It was not bought to be sold again: keep what shows it, such as insurance, registration and repairs."
