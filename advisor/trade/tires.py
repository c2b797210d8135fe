"""A tire's date code: the week it was made in, and the least age it can have.

In: the code as it stands on the tire, alone or at the end of a whole identification number, and a day. Out: years for
rules, and a `Fact` for people. Three digits leave the decade open: then every decade is told.
"""

from __future__ import annotations

import re
from datetime import date, timedelta
from decimal import ROUND_DOWN, Decimal

from attrs import frozen

from advisor.trade.fact import Cited, Fact, Unanswerable
from advisor.trade.modelyear import either

__all__ = ["DateCode", "date_code", "tire_age", "tire_fact"]

AGE_GRAIN = Decimal("0.01")
"""Years are told in hundredths, rounded down: a tire is never called older than it is."""
_YEAR = 365
_WEEKS = 53
_FIRST_YEAR, _LAST_OF_THREE = 1971, 2000
"""Years in which tires carried three digits."""
_LAST_WEEK_OF_THREE = 26
"""Of 2000: four digits are compulsory from July 2, 2000, the Sunday that begins week 27."""
_WHOLE = 12, 13
"""Symbols of an identification number that can end in four digits only."""
UNUSED, AT_MOST = 6, 10
"""Years over which an unused tire is not to be fitted, and at which every tire is to be replaced."""

_FOUR = Cited("49 CFR 574.5(b)(3): week and year", "published")
_FROM_THREE = Cited("64 FR 36807 (1999): three digits before, four since", "published")
_WEEK_DAYS = Cited("weeks run from Sunday, the first whole one is week 01", "from memory")
_THREE_YEARS = Cited("three digits from 1971 until July 1, 2000", "from memory")
_ADVICE = Cited("British Rubber Manufacturers Association, advice of June 2001", "quoted")

_NO_LAW = "There is no federal age limit for tires: this is the advice of tire makers."
_NOT_WEAR = "Age says nothing about tread, cracks and repairs."
_OTHERS = "Read all four tires and the spare: their ages tell whether they were bought together."
_TRIANGLE = "On some tires a small triangle after three digits marks the 1990s (from memory)."
_CURE = "type the last three or four digits of the number after `DOT`"


@frozen
class DateCode:
    """The digits of a date code, its week, and the years it can mean, earliest first."""

    digits: str
    week: int
    years: tuple[int, ...]


def date_code(text: str) -> DateCode:
    """The date code in this text; raises `Unanswerable` for none, for one that is unclear and for a week past 53."""
    digits = _digits(text)
    week, year = int(digits[:2]), int(digits[2:])
    if not 1 <= week <= _WEEKS:
        raise Unanswerable(f"`{digits}` begins with week {digits[:2]}, and weeks are 01 to {_WEEKS}: read it again")
    if len(digits) == 4:
        return DateCode(digits, week, (2000 + year,))
    years = [y for y in range(_FIRST_YEAR, _LAST_OF_THREE + 1) if y % 10 == year]
    if week > _LAST_WEEK_OF_THREE and years[-1] == _LAST_OF_THREE:
        years.pop()
    return DateCode(digits, week, tuple(years))


def _digits(text: str) -> str:
    groups: list[str] = re.findall("[A-Z0-9]+", text.upper().strip().removeprefix("DOT"))
    if not groups:
        raise Unanswerable(_CURE)
    if "".join(groups).isdigit() and [len(g) for g in groups] in ([2, 2], [2, 1]):
        return "".join(groups)
    last, symbols = groups[-1], sum(map(len, groups))
    tail = last[len(last.rstrip("0123456789")) :]
    alone = tail == last
    if len(tail) == 3 or (len(tail) == 4 and alone):
        return tail
    if not tail:
        raise Unanswerable(f"`{last}` holds no date code: {_CURE}; it may stand on the other side of the tire only")
    if alone or len(tail) < 3:
        raise Unanswerable(f"`{tail}` has {len(tail)} digits, and a date code has three or four: {_CURE}")
    if symbols not in _WHOLE:
        raise Unanswerable(f"`{last}` can end in three digits of date or in four: put a space before the date code")
    return tail[-4:]


def _begins(week: int, year: int) -> date:
    """The Sunday that begins the week; week 01 is the first that lies wholly in the year."""
    new_year = date(year, 1, 1)
    first_sunday = new_year + timedelta((6 - new_year.weekday()) % 7)
    return first_sunday + timedelta(7 * (week - 1))


def _possible(code: DateCode, day: date) -> tuple[int, ...]:
    """The years that are not to come on this day."""
    return tuple(year for year in code.years if _begins(code.week, year) <= day)


def _least_age(code: DateCode, day: date) -> Decimal | None:
    years = _possible(code, day)
    if not years:
        return None
    last_day = _begins(code.week, years[-1]) + timedelta(6)
    days = max((day - last_day).days, 0)
    return (Decimal(days) / _YEAR).quantize(AGE_GRAIN, ROUND_DOWN)


def tire_age(code: str, day: date) -> Decimal | None:
    """The least age in years of 365 days that a tire with this code can have, rounded down to hundredths.

    It is counted from the last day of the latest week that the code can mean. None where the code cannot be read, or
    is of a week that has not come.
    """
    try:
        return _least_age(date_code(code), day)
    except Unanswerable:
        return None


def tire_fact(code: str, day: date) -> Fact:
    """When a tire was made, its least age and what its makers advise; raises `Unanswerable` with a cure."""
    read = date_code(code)
    age, years = _least_age(read, day), _possible(read, day)
    if age is None:
        week = f"week {read.week} of {read.years[0]}"
        raise Unanswerable(f"`{read.digits}` is {week}, which is still to come on {day}: read the code again")
    short = len(read.digits) == 3
    said, advice = _advice(age, short)
    made = f"Week {read.week} of {either(years)}: on {day} the tire is at least {age} years old."
    return Fact(
        f"{made} {said}",
        {
            "date_code": read.digits,
            "week": read.week,
            "years": years,
            "least_age_years": age,
            "advice": advice,
        },
        (_FOUR, _FROM_THREE, *((_THREE_YEARS,) if short else ()), _WEEK_DAYS, _ADVICE),
        (_NO_LAW, *((_TRIANGLE,) if short else ()), _NOT_WEAR, _OTHERS),
    )


def _advice(age: Decimal, short: bool) -> tuple[str, str]:
    """What is advised at this age, in a sentence and in a word."""
    if short:
        return "Three digits alone prove it is older than the middle of 2000. Replace it whatever the tread.", "replace"
    if age >= AT_MOST:
        return f"Replace it whatever the tread: {AT_MOST} years are the most that tire makers advise.", "replace"
    if age > UNUSED:
        return (
            f"Over {UNUSED} years tire makers would not fit it even unused, and at {AT_MOST} it is to be replaced.",
            "ask",
        )
    return f"By its age alone nothing is against it: tire makers advise from {UNUSED} years on.", "none"
