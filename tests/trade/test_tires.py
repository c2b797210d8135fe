"""Date codes of tires: weeks, decades, whole identification numbers, and the least age."""

from __future__ import annotations

from datetime import date, timedelta
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from advisor.trade.fact import Unanswerable
from advisor.trade.tires import date_code, tire_age, tire_fact

TODAY = date(2026, 11, 25)


# 49 CFR 574.5(b)(3): week and year; three digits before, four since (64 FR 36807).
@pytest.mark.parametrize(
    ("code", "week", "years"),
    [
        ("3623", 36, (2023,)),
        ("0101", 1, (2001,)),
        ("5320", 53, (2020,)),
        ("319", 31, (1979, 1989, 1999)),
        ("010", 1, (1980, 1990, 2000)),
        ("260", 26, (1980, 1990, 2000)),
        ("270", 27, (1980, 1990)),  # from July 2, 2000 on four digits are compulsory
        ("531", 53, (1971, 1981, 1991)),
    ],
)
def test_week_and_years(code: str, week: int, years: tuple[int, ...]) -> None:
    read = date_code(code)
    assert (read.week, read.years) == (week, years)
    assert tire_fact(code, TODAY).values["years"] == years


@given(st.integers(1, 53), st.integers(0, 99))
def test_four_digits_come_back(week: int, year: int) -> None:
    read = date_code(f"{week:02}{year:02}")
    assert (read.week, read.years) == (week, (2000 + year,))


@given(st.integers(0, 99), st.integers(0, 999))
def test_only_weeks_of_a_year_are_read(week: int, year: int) -> None:
    for code in (f"{week:02}{year % 100:02}", f"{week:02}{year % 10}"):
        if 1 <= week <= 53:
            assert date_code(code).week == week
        else:
            with pytest.raises(Unanswerable, match="weeks are 01 to 53"):
                date_code(code)
            assert tire_age(code, TODAY) is None


@pytest.mark.parametrize(
    ("typed", "digits"),
    [
        ("DOT U2LL LMLR 5107", "5107"),
        ("dot u2ll lmlr 510", "510"),
        ("DOT 1U2 LLLMLR 3623", "3623"),
        ("DOT1U2LLLMLR3623", "3623"),  # thirteen symbols: four digits
        ("U2LLLMLR3623", "3623"),  # twelve, too
        ("U2LLLMLR-510", "510"),
        ("U2LLLMLR510", "510"),  # a letter before three digits
        ("36/23", "3623"),
        ("31 9", "319"),
        (" 3623 ", "3623"),
    ],
)
def test_whole_numbers(typed: str, digits: str) -> None:
    assert date_code(typed).digits == digits


@pytest.mark.parametrize(
    ("typed", "cure"),
    [
        ("", "the last three or four digits"),
        ("DOT", "the last three or four digits"),
        ("DOT U2LL LMLR", "on the other side of the tire"),
        ("36231", "has 5 digits"),
        ("36", "has 2 digits"),
        ("XY1319", "put a space before the date code"),  # week 31 of 1999, or week 13 of 2019
        ("5499", "weeks are 01 to 53"),
        ("0023", "weeks are 01 to 53"),
        ("4827", "still to come"),
        ("3699", "still to come"),
    ],
)
def test_what_cannot_be_read(typed: str, cure: str) -> None:
    with pytest.raises(Unanswerable, match=cure):
        tire_fact(typed, TODAY)
    assert tire_age(typed, TODAY) is None


@given(st.text(max_size=20), st.dates(date(1975, 1, 1), date(2050, 1, 1)))
def test_anything_typed_has_an_age_or_none(typed: str, day: date) -> None:
    age = tire_age(typed, day)
    assert age is None or age >= 0


# ---- the least age -------------------------------------------------------------------------------------------------


def test_ages() -> None:
    # The first Sunday of 2023 is January 1: week 36 ends on September 9, 808 days before; 808 / 365 = 2.21...
    assert tire_age("3623", date(2025, 11, 25)) == Decimal("2.21")
    # The first Sunday of 1999 is January 3: week 31 ends on August 7.
    assert tire_age("319", date(1999, 8, 7) + timedelta(365 * 26)) == Decimal("26.00")
    assert tire_age("319", date(1999, 8, 7) + timedelta(365 * 26 - 1)) == Decimal("25.99")


def test_a_tire_of_1999_is_26_in_2026_in_whichever_decade() -> None:
    age = tire_age("319", date(2026, 1, 1))
    assert age is not None
    assert age >= 26


def test_the_week_of_the_day_itself_is_no_age() -> None:
    # November 22 to 28, 2026, is week 47: the first Sunday is January 4, and 46 weeks later it is November 22.
    assert tire_age("4726", date(2026, 11, 22)) == tire_age("4726", date(2026, 11, 28)) == 0
    assert tire_age("4726", date(2026, 11, 21)) is None
    assert tire_age("4826", TODAY) is None


@given(st.integers(1, 53), st.integers(0, 99), st.integers(0, 40_000))
def test_the_least_age_is_never_more_than_the_age(week: int, year: int, later: int) -> None:
    """By ISO weeks, which begin up to six days earlier or later: a tire of that week is as old or older."""
    day = date(2000 + year, 1, 1) + timedelta(later)
    age = tire_age(f"{week:02}{year:02}", day)
    if age is not None:
        earliest = date(2000 + year, 1, 1) + timedelta(7 * (week - 1))
        assert age * 365 <= max((day - earliest).days, 0)
        assert age * 365 > (day - earliest).days - 16  # six days of January, six of the week, 3.65 of the hundredth
        assert age == round(age, 2)


@given(st.integers(1, 53), st.integers(0, 9), st.dates(date(1972, 1, 1), date(2060, 1, 1)))
def test_three_digits_give_the_age_of_the_latest_decade(week: int, year: int, day: date) -> None:
    age, years = tire_age(f"{week:02}{year}", day), date_code(f"{week:02}{year}").years
    if day >= date(2002, 1, 1):
        assert age is not None
        assert abs(age - Decimal((day - date(years[-1], 1, 1)).days - 7 * week) / 365) < Decimal("0.05")
        assert age > Decimal((day - date(2000, 7, 10)).days) / 365


# ---- what is said --------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("age", "advice"), [("6.00", "none"), ("6.01", "ask"), ("9.99", "ask"), ("10.00", "replace")])
def test_advice_by_age(age: str, advice: str) -> None:
    # British Rubber Manufacturers Association, June 2001: unused ones over 6 years not fitted, all replaced at 10.
    days = int((Decimal(age) * 365).to_integral_value(rounding="ROUND_CEILING"))
    fact = tire_fact("0117", date(2017, 1, 7) + timedelta(days))
    assert fact.values["least_age_years"] == Decimal(age)
    assert fact.values["advice"] == advice
    assert any("no federal age limit" in limit for limit in fact.limits)
    assert any(str(source).endswith("as quoted elsewhere") for source in fact.sources)


def test_three_digits_are_replaced() -> None:
    fact = tire_fact("319", TODAY)
    assert fact.sentence.startswith(
        "Week 31 of 1979, 1989 or 1999: on 2026-11-25 the tire is at least 27.32 years old."
    )
    assert fact.values["advice"] == "replace"
    assert "older than the middle of 2000" in fact.sentence
    assert any("triangle" in limit and "from memory" in limit for limit in fact.limits)
    assert any(str(source).startswith("from memory: three digits") for source in fact.sources)


def test_how_weeks_run_is_from_memory() -> None:
    assert "from memory: weeks run from Sunday, the first whole one is week 01" in map(
        str, tire_fact("3623", TODAY).sources
    )
