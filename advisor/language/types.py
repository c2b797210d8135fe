"""The types of Telltale, and the values that belong to them.

Values are plain Python: bool for yes/no, str for a choice or a code, `Decimal` in the stored grain of
`units.grain` for numbers, money and quantities, `datetime.date`, `MonthDay`, a tuple for a list of readings, and
`Estimate` where somebody wrote `low .. likely .. high`.
"""

from __future__ import annotations

from datetime import date
from decimal import ROUND_HALF_EVEN, Context, Decimal, DivisionByZero, InvalidOperation, Overflow
from fractions import Fraction
from typing import Literal

from attrs import field, frozen

from advisor.language.units import DIMENSIONS, Dims, describe_dims

__all__ = [
    "BROKEN",
    "DATE",
    "EXACT",
    "FIRST_DAY",
    "LAST_DAY",
    "MONEY",
    "MONTH_DAY",
    "NUMBER",
    "PERCENT",
    "YES_NO",
    "Broken",
    "Choice",
    "Code",
    "DateType",
    "End",
    "Estimate",
    "ListOf",
    "MonthDay",
    "MonthDayType",
    "Quantity",
    "Text",
    "Type",
    "Value",
    "YesNo",
    "decimal",
    "end_of",
    "quantity",
]

EXACT = Context(prec=34, rounding=ROUND_HALF_EVEN, traps=[InvalidOperation, DivisionByZero, Overflow])
"""The arithmetic of every exact result: 34 digits, half to even (IEEE 754 decimal128's precision)."""


def decimal(value: Fraction | int) -> Decimal:
    """A fraction as a decimal of at most 34 digits; exact whenever it has that few."""
    fraction = Fraction(value)
    return EXACT.divide(Decimal(fraction.numerator), Decimal(fraction.denominator))


@frozen
class YesNo:
    """Yes or no."""

    def __str__(self) -> str:
        return "yes or no"


@frozen
class Choice:
    """One of the words in `options`, in the order in which they were written."""

    options: tuple[str, ...]

    def __str__(self) -> str:
        return f"a choice ({', '.join(self.options)})"


@frozen
class Quantity:
    """A number with dimensions; `units` says in which unit of each dimension people want to see it."""

    dims: Dims
    units: tuple[str, ...] = field(eq=False)
    percent: bool = field(default=False, eq=False)
    whole: bool = field(default=False, eq=False)

    @property
    def plain(self) -> bool:
        """True for a number without dimensions."""
        return not any(self.dims)

    @property
    def unit(self) -> str:
        """The unit it is shown in, such as `mi/year`; empty for a plain number."""
        above = [u for u, e in zip(self.units, self.dims, strict=True) for _ in range(e)]
        below = [u for u, e in zip(self.units, self.dims, strict=True) for _ in range(-e)]
        return "/".join(["*".join(above) or "1", *below]) if above or below else ""

    def __str__(self) -> str:
        if self.plain:
            return "a percentage" if self.percent else "a number"
        if self == MONEY:
            return "money"
        return f"{describe_dims(self.dims)} ({self.unit})"


@frozen
class DateType:
    """A day of the calendar."""

    def __str__(self) -> str:
        return "a date"


@frozen
class MonthDayType:
    """A day of any year."""

    def __str__(self) -> str:
        return "a day of the year"


@frozen
class Code:
    """Letters and digits, `shortest` to `longest` of them: a VIN, a tire's date code."""

    shortest: int
    longest: int

    def __str__(self) -> str:
        return "a code"


@frozen
class Text:
    """Words for people; no rule looks at them."""

    def __str__(self) -> str:
        return "text"


@frozen
class ListOf:
    """Between `fewest` and `most` readings of one kind."""

    item: Quantity
    fewest: int
    most: int

    def __str__(self) -> str:
        return f"a list of readings, each {self.item}"


@frozen
class Broken:
    """The type of something that already has a problem; it fits everywhere, so that one mistake stays one."""

    def __str__(self) -> str:
        return "something with a problem"


Type = YesNo | Choice | Quantity | DateType | MonthDayType | Code | Text | ListOf | Broken


@frozen
class MonthDay:
    """A day of any year, such as Apr 1."""

    month: int
    day: int


@frozen
class Estimate:
    """Low end, most likely value and high end of a PERT distribution, in the stored grain."""

    low: Decimal
    likely: Decimal
    high: Decimal

    @property
    def planned(self) -> Decimal:
        """Its mean, (low + 4 likely + high) / 6: the value to plan with.

        Source: Malcolm, Roseboom, Clark and Fazar, Operations Research 7(5), 1959 (from memory).
        """
        total = EXACT.add(EXACT.add(self.low, EXACT.multiply(Decimal(4), self.likely)), self.high)
        return EXACT.divide(total, Decimal(6))


Value = bool | str | Decimal | date | MonthDay | Estimate | tuple[Decimal, ...]

End = Literal["plan", "low", "high"]
"""Which value of an estimate is meant: its planning value, or one of its ends."""


def end_of(value: Value, end: End) -> Value:
    """The value of an estimate at an end; any other value is the same at both."""
    if isinstance(value, Estimate):
        return {"plan": value.planned, "low": value.low, "high": value.high}[end]
    return value


YES_NO = YesNo()
DATE = DateType()
MONTH_DAY = MonthDayType()
FIRST_DAY, LAST_DAY = date(1900, 1, 1), date(2199, 12, 31)
"""The calendar that rules are proved over, and that dates are read in."""
BROKEN = Broken()
_NO_UNITS = ("",) * len(DIMENSIONS)
_ZERO: Dims = (0,) * len(DIMENSIONS)
NUMBER = Quantity(_ZERO, _NO_UNITS)
PERCENT = Quantity(_ZERO, _NO_UNITS, percent=True)


def quantity(**units: str) -> Quantity:
    """A quantity type by unit names: `quantity(labor="h")`, `quantity(money="$", labor="/h")`."""
    dims, names = [0] * len(DIMENSIONS), [""] * len(DIMENSIONS)
    for dimension, unit in units.items():
        i = DIMENSIONS.index(dimension)
        dims[i] = -1 if unit.startswith("/") else 1
        names[i] = unit.lstrip("/")
    return Quantity(tuple(dims), tuple(names))


MONEY = quantity(money="$")
