"""Closed ranges: what a value may be, as far as it is known.

In: types and values. Out: ranges, and whether a comparison of two can hold and can fail.
"""

from __future__ import annotations

from datetime import date
from decimal import Decimal

from attrs import frozen

from advisor.language.types import (
    FIRST_DAY,
    LAST_DAY,
    Choice,
    Code,
    DateType,
    Estimate,
    ListOf,
    Quantity,
    Type,
    Value,
    YesNo,
)

__all__ = ["ANY_DAY", "EITHER", "Days", "Interval", "Options", "Range", "Readings", "Truth"]
__all__ += ["compare_ranges", "domain_range", "value_range"]


@frozen
class Interval:
    """Closed range of decimals."""

    low: Decimal
    high: Decimal

    @property
    def positive(self) -> bool:
        """Above zero throughout."""
        return self.low > 0

    @property
    def not_negative(self) -> bool:
        """Zero or more throughout."""
        return self.low >= 0

    @property
    def not_positive(self) -> bool:
        """Zero or less throughout."""
        return self.high <= 0


@frozen
class Days:
    """Closed range of dates."""

    low: date
    high: date


@frozen
class Truth:
    """Whether a condition can hold and whether it can fail."""

    can_hold: bool
    can_fail: bool


@frozen
class Options:
    """The choices still open."""

    open: frozenset[str]


@frozen
class Readings:
    """A list: the range of each reading and how many there can be."""

    each: Interval
    fewest: int
    most: int


Range = Interval | Days | Truth | Options | Readings | None
"""None stands for values without an order or options: codes and text."""

EITHER = Truth(True, True)
ANY_DAY = Days(FIRST_DAY, LAST_DAY)


def domain_range(type_: Type, low: Value | None, high: Value | None) -> Range:
    """The range of a question before it is answered."""
    match type_:
        case YesNo():
            return EITHER
        case Choice(options):
            return Options(frozenset(options))
        case Quantity() if isinstance(low, Decimal) and isinstance(high, Decimal):
            return Interval(low, high)
        case ListOf() if isinstance(low, Decimal) and isinstance(high, Decimal):
            return Readings(Interval(low, high), type_.fewest, type_.most)
        case DateType():
            return Days(low if isinstance(low, date) else FIRST_DAY, high if isinstance(high, date) else LAST_DAY)
        case Code():
            return None
    return None


def value_range(value: Value) -> Range:
    """The range of a known value: nothing but itself; of an estimate, from end to end."""
    match value:
        case bool():
            return Truth(value, not value)
        case Estimate():
            return Interval(value.low, value.high)
        case Decimal():
            return Interval(value, value)
        case date():
            return Days(value, value)
        case str():
            return Options(frozenset((value,)))
    return None


def compare_ranges(op: str, left: Interval | Days, right: Interval | Days) -> Truth:
    """Whether a comparison of two ranges can hold and can fail."""
    al, ah, bl, bh = left.low, left.high, right.low, right.high
    match op:
        case ">=":
            return Truth(ah >= bl, al < bh)  # type: ignore[operator]  # both are of one kind
        case "<=":
            return Truth(al <= bh, ah > bl)  # type: ignore[operator]  # likewise
        case ">":
            return Truth(ah > bl, al <= bh)  # type: ignore[operator]  # likewise
        case "<":
            return Truth(al < bh, ah >= bl)  # type: ignore[operator]  # likewise
    return Truth(al <= bh and bl <= ah, not (al == ah == bl == bh))  # type: ignore[operator]  # likewise
