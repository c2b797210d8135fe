"""An odometer: whether the federal statement of its miles is required, and whether it may have started over.

In: a model year, the day of the transfer, and what the odometer shows. Out: yes or no for rules, and a `Fact` for
people. A car that is exempt has unknown miles, not true ones.
"""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from itertools import takewhile

from attrs import evolve

from advisor.trade.fact import Cited, Fact, Unanswerable
from advisor.trade.modelyear import a_model_year, either

__all__ = ["candidates", "exempt_from", "odometer_exempt", "odometer_fact", "odometer_rolled"]

Number = int | Decimal

_LAST_OF_TEN, _TEN, _TWENTY = 2010, 10, 20
"""The last model year that is exempt after ten years; the next one waits for twenty."""
HEAVY = 16_000
"""The rated weight in pounds above which no statement is required."""
_FIVE = 5
_ROUND = 100_000
"""Miles after which an odometer with five digits before the tenths starts over."""
LOW_A_YEAR = 4_000
"""Miles a year below which a reading is low for the car's age. A house figure."""
HIGH_A_YEAR = 25_000
"""Miles a year above which nobody has to believe that a car went round. A house figure."""
FARTHEST = 400_000
"""Miles beyond which no reading is thought of. A house figure."""

_BY_AGE = Cited("49 CFR 580.17(a)(3) and (a)(4)", "published")
_BY_WEIGHT = Cited("49 CFR 580.17(a)(1)", "published")
_LIMITS_BOX = Cited("49 CFR 580.5, the boxes of the statement", "from memory")
_HOUSE = Cited(
    f"low is under {LOW_A_YEAR:,} miles a year; candidates go to {HIGH_A_YEAR:,} a year and {FARTHEST:,} in all",
    "house figure",
)

_UNKNOWN = "No statement required does not mean that the reading is true: the miles are unknown until papers show them."
_STATED = "A statement is the seller's word: compare it with service records and inspection slips."
_TURNED = "An odometer can have been replaced or turned back, which no figure shows: compare it with wear and papers."
_OTHERS = "Trailers, sales by a maker to a federal agency and new cars before their first owner have exemptions too."


def exempt_from(model_year: int) -> int:
    """The calendar year from whose January 1 on no federal odometer statement is required: 49 CFR 580.17(a)(3), (4)."""
    return model_year + (_TEN if model_year <= _LAST_OF_TEN else _TWENTY)


def odometer_exempt(model_year: Number, day: date, gvwr: Number | None = None) -> bool:
    """Whether no federal odometer statement is required for a transfer on this day; the rated weight is in pounds."""
    return day.year >= exempt_from(int(model_year)) or (gvwr is not None and gvwr > HEAVY)


def candidates(reading: Number, model_year: Number, day: date) -> tuple[Number, ...]:
    """The miles a five-digit odometer may mean, lowest first: the reading, and 100,000 more as often as is believed."""
    most = min(FARTHEST, HIGH_A_YEAR * (day.year - model_year))
    rounds = takewhile(lambda miles: miles <= most, (reading + _ROUND * n for n in range(1, FARTHEST // _ROUND + 1)))
    return reading, *rounds


def odometer_rolled(digits: Number, reading: Number, model_year: Number, day: date) -> bool | None:
    """Whether it may have started over: five digits before the tenths, and a reading that is low for the age.

    The age is the difference of the calendar years. None where the reading has more digits than the odometer.
    """
    if reading < 0 or (digits == _FIVE and reading >= _ROUND):
        return None
    low = reading < LOW_A_YEAR * (day.year - model_year)
    return digits == _FIVE and low and len(candidates(reading, model_year, day)) > 1


def odometer_fact(
    model_year: int,
    day: date,
    reading: Number | None = None,
    digits: int | None = None,
    gvwr: Number | None = None,
) -> Fact:
    """Whether the statement is required on this day, and what the reading may mean.

    Raises `Unanswerable` where the model year cannot be one, or the reading does not go with the digits.
    """
    fact = _about_statement(a_model_year(model_year), day, gvwr)
    if reading is None:
        return fact
    _check(reading, digits)
    if digits is None:
        more = "Count the digits before the tenths: with five, the reading may lack one or several times 100,000."
        return evolve(fact, sentence=f"{fact.sentence} {more}")
    return _with_reading(fact, model_year, day, reading, digits)


def _about_statement(model_year: int, day: date, gvwr: Number | None) -> Fact:
    exempt, since = odometer_exempt(model_year, day, gvwr), exempt_from(model_year)
    named, by_weight = f"model year {model_year}", day.year < since and exempt
    if by_weight:
        sentence = f"No federal odometer statement is required: the rated weight of {gvwr:,} lb is over {HEAVY:,} lb."
    elif exempt:
        sentence = f"No federal odometer statement is required: {named} has been exempt since January 1, {since}."
    else:
        sentence = f"The seller has to state the miles in writing: {named} is not exempt until January 1, {since}."
    return Fact(
        sentence,
        {"statement_required": not exempt, "exempt_from": date(since, 1, 1)},
        (_BY_WEIGHT,) if by_weight else (_BY_AGE,),
        (_UNKNOWN,) if exempt else (_STATED, _OTHERS),
    )


def _check(reading: Number, digits: int | None) -> None:
    if reading < 0:
        raise Unanswerable("a reading is not below zero: write the miles as the odometer shows them")
    if digits is None:
        return
    if digits not in (_FIVE, _FIVE + 1):
        raise Unanswerable(f"{digits} digits: count those before the tenths, which are 5 or 6")
    if reading >= 10**digits:
        raise Unanswerable(f"an odometer with {digits} digits cannot show {reading:,}: leave the tenths out")


def _with_reading(fact: Fact, model_year: int, day: date, reading: Number, digits: int) -> Fact:
    rolled, age = odometer_rolled(digits, reading, model_year, day), day.year - model_year
    if digits != _FIVE:
        more = f"With {digits} digits it does not start over at 100,000: it has gone {reading:,} miles."
        return evolve(
            fact,
            sentence=f"{fact.sentence} {more}",
            values={**fact.values, "may_have_started_over": rolled, "candidates": (reading,)},
            limits=(*fact.limits, _TURNED),
        )
    possible = candidates(reading, model_year, day)
    more = f"Five digits start over at 100,000: it has gone {either(f'{miles:,}' for miles in possible)} miles."
    if len(possible) == 1:
        more = f"Five digits start over at 100,000, which in {max(age, 0)} years is not to be believed."
    elif rolled:
        more += f" {reading:,} is low for {age} years, so take it that it started over until papers show otherwise."
    sources = (*fact.sources, _HOUSE)
    if rolled and fact.values["statement_required"]:
        more += " Then the seller marks that the miles exceed the odometer's mechanical limits."
        sources += (_LIMITS_BOX,)
    values = {**fact.values, "may_have_started_over": rolled, "candidates": possible}
    limits = (*fact.limits, _TURNED)
    return evolve(fact, sentence=f"{fact.sentence} {more}", values=values, sources=sources, limits=limits)
