"""Arithmetic on stored values: scaling, rounding, and days of the calendar.

Shared by the checker's ranges and by the readings, so that both mean the same. In and out: decimals in the stored
grain of `units.grain`, and dates.
"""

from __future__ import annotations

from calendar import monthrange
from datetime import date, timedelta
from decimal import ROUND_HALF_EVEN, Context, Decimal
from fractions import Fraction

from advisor.language.types import EXACT, MonthDay

__all__ = ["DAY", "day_gap", "near", "next_day", "powered", "rounded", "scaled", "shifted"]

DAY = 12
"""A calendar day in the stored grain, a twelfth of a day."""

near = Context(prec=24, rounding=ROUND_HALF_EVEN).plus
"""A value to 24 digits, ten less than are computed with. The mean of an estimate is a sixth, which has no end: three
thirds of a cent come to a little less than a cent, and only so is that seen as the cent it is before it is rounded."""


def scaled(value: Decimal, factor: Fraction) -> Decimal:
    """value * factor, multiplied before it is divided so that a whole factor stays exact."""
    if factor.numerator != 1:
        value = EXACT.multiply(value, Decimal(factor.numerator))
    if factor.denominator != 1:
        value = EXACT.divide(value, Decimal(factor.denominator))
    return value


def rounded(value: Decimal, how: str, step: Decimal) -> Decimal:
    """Round to a multiple of `step`, of which 24 digits count: half away from zero, up or down."""
    steps = near(EXACT.divide(value, step))
    mode = {"half": "ROUND_HALF_UP", "up": "ROUND_CEILING", "down": "ROUND_FLOOR"}[how]
    return EXACT.multiply(steps.to_integral_value(rounding=mode, context=EXACT), step)


def powered(value: Decimal, exponent: int) -> Decimal:
    """value to a whole power, 1 or more: multiplied one after another, so that every reading rounds alike."""
    found = value
    for _ in range(exponent - 1):
        found = EXACT.multiply(found, value)
    return found


def day_gap(left: date, right: date) -> Decimal:
    """Days from `right` to `left`, in the stored grain."""
    return Decimal((left - right).days * DAY)


def shifted(day: date, amount: Decimal, sign: int, months: bool) -> date:
    """A date moved by a stored calendar time; by whole months of the calendar, or by whole days.

    A day that a month does not have becomes the month's last; nothing leaves the years 1 to 9999.
    """
    if months:
        month = day.year * 12 + day.month - 1 + sign * int(amount / 365)
        year, number = month // 12, month % 12 + 1
        if not 1 <= year <= 9999:
            return date.max if year > 9999 else date.min
        return date(year, number, min(day.day, monthrange(year, number)[1]))
    try:
        return day + sign * timedelta(days=int(amount / DAY))
    except OverflowError:
        return date.max if sign * amount > 0 else date.min


def next_day(wanted: MonthDay, day: date) -> date:
    """The next such day of the year, on a day or after it; in a year without a Feb 29, Feb 28 stands for it."""
    for year in (day.year, min(day.year + 1, 9999)):
        found = date(year, wanted.month, min(wanted.day, monthrange(year, wanted.month)[1]))
        if found >= day:
            return found
    return day
