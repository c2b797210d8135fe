"""Arithmetic and calendar of the reference, plain and slow, in its own 34 digits.

Shares no code with `advisor/readings`; `tests/reference.py` evaluates rules with it.
"""

from __future__ import annotations

import decimal
from calendar import monthrange
from datetime import date, timedelta
from decimal import Decimal
from fractions import Fraction
from typing import Any

from advisor.language.program import SeasonDef
from advisor.language.types import Estimate, MonthDay

DIGITS = decimal.Context(prec=34, rounding=decimal.ROUND_HALF_EVEN)
WITHOUT_NOISE = decimal.Context(prec=24, rounding=decimal.ROUND_HALF_EVEN)
GRAINS_A_DAY = 12


def end_of(value: Any, end: str) -> Any:
    """An estimate at one end, or its mean (low + 4 likely + high) / 6; anything else as it is."""
    if not isinstance(value, Estimate):
        return value
    if end != "plan":
        return value.low if end == "low" else value.high
    total = DIGITS.add(DIGITS.add(value.low, DIGITS.multiply(value.likely, Decimal(4))), value.high)
    return DIGITS.divide(total, Decimal(6))


def scaled(value: Decimal, factor: Fraction) -> Decimal:
    """A value times a factor: its numerator first, its denominator after, each rounded to 34 digits."""
    up = DIGITS.multiply(value, Decimal(factor.numerator))
    return DIGITS.divide(up, Decimal(factor.denominator))


def to_step(value: Decimal, how: str, step: Decimal) -> Decimal:
    """Rounded to a multiple of a step, counted in whole fractions; what is beyond 24 digits is taken for noise."""
    steps = Fraction(WITHOUT_NOISE.plus(DIGITS.divide(value, step)))
    floor = steps.numerator // steps.denominator
    rest = steps - floor
    if how == "up":
        count = floor + (rest > 0)
    elif how == "down":
        count = floor
    else:
        # Half away from zero: half of a negative number goes down.
        count = floor + (rest > Fraction(1, 2) or (rest == Fraction(1, 2) and value > 0))
    return DIGITS.multiply(Decimal(count), step)


def open_on(season: SeasonDef, day: date) -> bool:
    """Whether a season is open on a day; a window that ends before it begins runs over New Year."""
    at = day.month * 100 + day.day
    for first, last in season.windows:
        begins, ends = first.month * 100 + first.day, last.month * 100 + last.day
        if begins <= ends and begins <= at <= ends:
            return True
        if begins > ends and not ends < at < begins:
            return True
    return False


def days_until(season: SeasonDef, day: date, wanted: bool) -> int:
    """Days until a season is open (or closed), no more than 366."""
    for count in range(366):
        if open_on(season, day + timedelta(days=count)) is wanted:
            return count
    return 366


def next_on(wanted: MonthDay, day: date) -> date:
    """The first day from a day on that is such a day of the year; Feb 28 where a year has no Feb 29."""
    while True:
        last = (wanted.month, wanted.day) == (2, 29) and monthrange(day.year, 2)[1] == 28
        if (day.month, day.day) == (wanted.month, 28 if last else wanted.day):
            return day
        day += timedelta(days=1)


def moved(day: date, amount: Decimal, sign: int, months: bool) -> date:
    """A day moved by whole months of the calendar, or by whole days."""
    if not months:
        return day + timedelta(days=sign * int(amount // GRAINS_A_DAY))
    year, month = day.year, day.month
    for _ in range(int(amount // 365)):  # a month of 365/12 days in twelfths of a day
        month += sign
        if month in (0, 13):
            year, month = year + sign, 12 if month == 0 else 1
    return date(year, month, min(day.day, monthrange(year, month)[1]))


def reduced(how: str, readings: tuple[Decimal, ...]) -> Decimal:
    """The lowest, highest, middle or number of several readings."""
    ordered = sorted(readings)
    if how == "count":
        return Decimal(len(ordered))
    if how != "median":
        return ordered[0] if how == "lowest" else ordered[-1]
    half = len(ordered) // 2
    if len(ordered) % 2:
        return ordered[half]
    return DIGITS.divide(DIGITS.add(ordered[half - 1], ordered[half]), Decimal(2))
