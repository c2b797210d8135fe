"""Invented cars, drawn from what the rules say of how answers usually come out.

In: a program and a source of chance, which is handed in. Out: the answers of one complete car, in file order, each
such as somebody might write it down. The same program and the same chance give the same car.

- A question with shares takes its answers in these shares; one with a spread is drawn from the PERT distribution of
  its low, likely and high, each reading of a list by itself.
- Without a hint, the answers of a yes/no question or a choice come equally often. A number takes its `unsure assume`,
  as all readings of a list do; without one it lies anywhere in its range, and so does a date. A code is so many
  letters and digits, of which nothing is true but that.
- A list has as many readings as it may, each number equally often.
- A text is left out, as no rule looks at it, and so is a question whose `only when` does not hold for this car.
"""

from __future__ import annotations

from datetime import date, timedelta
from decimal import Decimal
from fractions import Fraction
from functools import lru_cache
from string import ascii_uppercase, digits
from typing import Protocol

from attrs import frozen

from advisor.judging.sheet import Sheet
from advisor.language.answers import Answers
from advisor.language.program import Program, Question
from advisor.language.types import (
    FIRST_DAY,
    LAST_DAY,
    Choice,
    Code,
    DateType,
    Estimate,
    ListOf,
    Quantity,
    Text,
    Value,
    YesNo,
    decimal,
)
from advisor.language.wording import in_unit
from advisor.readings.arithmetic import exact_arithmetic
from advisor.readings.compiled import Readings
from advisor.trade.pert import quantile

__all__ = ["Chance", "drawn_answers"]

_PLACES = 1_000_000
"""How finely a share of the way from low to high is drawn, before it is brought to a step that people write."""
_FEWEST_STEPS = 20
"""So many values at least an answer can take between its ends: written as roundly as that allows."""
_INCH_STEP = Fraction(1, 32)
"""What a gauge for tires shows."""
_FINEST = Fraction(1, 10_000)
"""No written value has more decimals than this."""
_CENT = Fraction(1, 100)
"""Nor has money, or what goes up to ten and beyond, more than this."""


class Chance(Protocol):
    """Where chance comes from, such as a `random.Random`."""

    def random(self) -> float:
        """A number from 0 up to, and without, 1."""


def drawn_answers(
    program: Program, random: Chance, readings: Readings | None = None, day: date | None = None
) -> dict[str, Value]:
    """The answers of one invented car, by question in file order, without those that do not apply to it.

    `readings` are the program's, if they are at hand: many cars are drawn the faster for it. `day` is the car's day,
    where gates look at it. Each question takes its own share of the chance whether it applies or not, so that another
    answer to one question does not change the rest of the car.
    """
    found = {n: _drawn(q, random) for n, q in program.questions.items() if not isinstance(q.type, Text)}
    if not program.gates:
        return found
    sheet = Sheet(program, Answers(day=day, values=dict(found)))
    with exact_arithmetic():
        gates = (readings or Readings(program)).brief(*sheet.possible())[-1]
    applies = dict(zip(program.questions, (can_hold for can_hold, _ in gates), strict=True))
    return {n: v for n, v in found.items() if applies[n]}


def _drawn(question: Question, random: Chance) -> Value:
    """An answer, whether the question applies or not."""
    match question.type:
        case YesNo():
            return _shared(question.usually or ((True, Decimal(1)), (False, Decimal(1))), random)
        case Choice(options):
            return _shared(question.usually or tuple((o, Decimal(1)) for o in options), random)
        case DateType():
            low, high = question.low, question.high
            first = low if isinstance(low, date) else FIRST_DAY
            last = high if isinstance(high, date) else LAST_DAY
            return first + timedelta(days=_whole(0, (last - first).days, random))
        case ListOf(item=item, fewest=fewest, most=most):
            assumed = question.unsure if isinstance(question.unsure, tuple) else (None,)
            count = _whole(fewest, most, random)
            return tuple(_number(question, item, assumed[0], random) for _ in range(count))
        case Quantity() as type_:
            return _number(question, type_, question.unsure, random)
        case Code(shortest, longest):
            signs = ascii_uppercase + digits
            return "".join(signs[_whole(0, len(signs) - 1, random)] for _ in range(_whole(shortest, longest, random)))
    return ""


def _whole(fewest: int, most: int, random: Chance) -> int:
    """A whole number, each between the two equally often."""
    return fewest + int(random.random() * (most - fewest + 1))


def _shared(shares: tuple[tuple[Value, Decimal], ...], random: Chance) -> Value:
    """One of several answers, each as often as its share among all of them."""
    left = Decimal(random.random()) * sum(share for _, share in shares)
    for answer, share in shares:
        left -= share
        if left < 0:
            return answer
    return shares[-1][0]


def _number(question: Question, type_: Quantity, assumed: Value | None, random: Chance) -> Decimal:
    """A number: by its spread, else what is planned with, else anything in its range."""
    share = random.random()
    spread = question.spread
    if spread is not None and spread.low < spread.high:
        mode = float((spread.likely - spread.low) / (spread.high - spread.low))
        return _written(spread, quantile(share, 0.0, mode, 1.0), type_)
    if spread is not None:
        return spread.low
    if isinstance(assumed, Estimate):
        return assumed.likely
    if isinstance(assumed, Decimal):
        return assumed
    assert isinstance(question.low, Decimal)
    assert isinstance(question.high, Decimal)
    return _written(Estimate(question.low, question.low, question.high), share, type_)


@frozen
class _Scale:
    """The values that a person would write between two ends: steps in the unit, and what they are as they are kept,
    for both stand in a straight line, temperatures among them."""

    first: Fraction
    """The low end, in steps."""
    span: Fraction
    """From the low end to the high one, in steps."""
    start: Fraction
    """What no steps at all would be, as it is kept."""
    each: Fraction
    """What one step is, as it is kept."""


@lru_cache(maxsize=1024)
def _scale(ends: Estimate, type_: Quantity) -> _Scale:
    """The scale between two different ends: the same for every car."""
    low, likely, high = (in_unit(v, type_) for v in (ends.low, ends.likely, ends.high))
    step = _step(low, likely, high, type_)
    each = (Fraction(ends.high) - Fraction(ends.low)) / (high - low) * step
    return _Scale(low / step, (high - low) / step, Fraction(ends.low) - low / step * each, each)


def _written(ends: Estimate, share: float, type_: Quantity) -> Decimal:
    """The value at a share of the way from low to high, as roundly as a person would write it."""
    if ends.low == ends.high:
        return ends.low
    scale = _scale(ends, type_)
    steps = round(scale.first + scale.span * Fraction(round(share * _PLACES), _PLACES))
    if steps <= scale.first:
        return ends.low
    if steps >= scale.first + scale.span:
        return ends.high
    return decimal(scale.start + steps * scale.each)


def _step(low: Fraction, likely: Fraction, high: Fraction, type_: Quantity) -> Fraction:
    """The coarsest step in which all three can be written and that leaves enough values between them."""
    if type_.unit == "in" and all((v / _INCH_STEP).denominator == 1 for v in (low, likely, high)):
        return _INCH_STEP
    finest = Fraction(1) if type_.whole else _FINEST
    if not (type_.whole or type_.percent) and (type_.unit.startswith("$") or max(abs(low), abs(high)) >= 10):
        finest = _CENT
    step = Fraction(1_000_000)
    while step > finest and (
        any((v / step).denominator != 1 for v in (low, likely, high)) or (high - low) / step < _FEWEST_STEPS
    ):
        step /= 10
    return max(step, finest)
