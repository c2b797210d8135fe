"""Values as people write them, and the planning value of an estimate."""

from __future__ import annotations

from datetime import date, timedelta
from decimal import Decimal
from fractions import Fraction
from random import Random

import pytest

from advisor.language import catalogue
from advisor.language.types import (
    DATE,
    MONEY,
    NUMBER,
    PERCENT,
    YES_NO,
    Choice,
    Code,
    Estimate,
    ListOf,
    MonthDay,
    MonthDayType,
    Quantity,
    Type,
    Value,
    decimal,
    quantity,
)
from advisor.language.units import UNITS, parse_unit
from advisor.language.values import Unreadable, read_literal, read_month_day, read_value, unit_type
from advisor.language.wording import format_value


@pytest.mark.parametrize(
    ("low", "likely", "high", "planned"),
    [
        # (low + 4 likely + high) / 6: D. G. Malcolm, J. H. Roseboom, C. E. Clark and W. Fazar, "Application of a
        # technique for research and development program evaluation", Operations Research 7(5), 1959, from memory;
        # the first row is the worked example of the textbooks.
        ("2", "4", "12", Fraction(5)),
        ("500", "900", "2500", Fraction(1100)),
        ("0", "0", "0", Fraction(0)),
        ("7", "7", "7", Fraction(7)),
        ("0", "0", "1", Fraction(1, 6)),
        ("150", "300", "900", Fraction(375)),
        ("0.01", "0.02", "0.06", Fraction(25, 1000)),
        ("1", "1", "2", Fraction(7, 6)),
    ],
)
def test_the_planning_value_is_the_mean_of_pert(low: str, likely: str, high: str, planned: Fraction) -> None:
    found = Estimate(Decimal(low), Decimal(likely), Decimal(high)).planned
    assert found == decimal(planned)


def test_the_planning_value_lies_between_the_ends() -> None:
    random = Random("pert")
    for _ in range(2_000):
        low, likely, high = sorted(Decimal(random.randint(0, 10**7)) / 100 for _ in range(3))
        planned = Estimate(low, likely, high).planned
        assert low <= planned <= high
        assert abs(Fraction(planned) - Fraction(low + 4 * likely + high) / 6) < Fraction(1, 10**25)


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("1,250", "1250"),
        ("$1,250", "1250"),
        ("$0.03", "0.03"),
        ("30%", "0.3"),
        ("0.5%", "0.005"),
        ("5 1/2", "5.5"),
        ("3/4", "0.75"),
        ("-$45", "-45"),
        ("$3,000.00", "3000"),
        ("999,999,999.99", "999999999.99"),
        ("100%", "1"),
        ("1/8", "0.125"),
    ],
)
def test_numbers_are_read_exactly(text: str, value: str) -> None:
    assert read_literal(text).value == Decimal(value)


def test_money_never_passes_through_binary() -> None:
    """Every number of cents reads back as itself, and a tenth of a dollar three times is thirty cents."""
    for cents in (*range(0, 100_000, 7), 10**14 + 1):
        assert read_literal(f"${cents // 100:,}.{cents % 100:02}").value == Decimal(cents) / 100
    assert read_literal("$0.10").value * 3 == read_literal("$0.30").value


@pytest.mark.parametrize(
    "text",
    [
        "1,2,3",
        "12,34",
        "1,2345",
        "$",
        "%",
        "1/0",
        "--3",
        "1..2",
        "$5 $6",
        "1e5",
        "0x10",
        "NaN",
        "inf",
        "1234567890123456",
        "",
    ],
)
def test_what_is_no_number_is_not_read(text: str) -> None:
    with pytest.raises(Unreadable):
        read_literal(text)


ROUND_TRIPS: list[tuple[Type, str]] = [
    (YES_NO, "yes"),
    (YES_NO, "no"),
    (Choice(("clean", "missing")), "missing"),
    (DATE, "2024-02-29"),
    (MonthDayType(), "Feb 29"),
    (MONEY, "$1,250"),
    (MONEY, "$0.07"),
    (MONEY, "$150 .. $300 .. $900"),
    (PERCENT, "12.5%"),
    (NUMBER, "2.5"),
    (quantity(length="in"), "5 1/2 in"),
    (quantity(length="in"), "3/32 in"),
    (quantity(calendar="day"), "1 day"),
    (quantity(calendar="day"), "30 days"),
    (quantity(calendar="year"), "6 years"),
    (quantity(labor="h"), "0.5 h"),
    (quantity(money="$", labor="/h"), "$45/h"),
    (quantity(temperature="degC"), "21 degC"),
    (quantity(temperature="degF"), "70 degF"),
    (ListOf(quantity(pressure="psi"), 1, 4), "150 psi, 145 psi, 90 psi"),
]


@pytest.mark.parametrize(("type_", "text"), ROUND_TRIPS, ids=[t for _, t in ROUND_TRIPS])
def test_what_was_read_is_written_back(type_: Type, text: str) -> None:
    value = read_value(text, type_, "it")
    assert format_value(value, type_) == text
    assert read_value(format_value(value, type_), type_, "it") == value


@pytest.mark.parametrize("name", [u for u in UNITS if u != "$"])
def test_a_whole_number_of_any_unit_reads_back(name: str) -> None:
    parts = parse_unit(name)
    assert parts is not None
    type_ = unit_type(parts)
    for number in (0, 1, 2, 7, 96, 999):
        value = read_value(f"{number} {name}", type_, "it")
        assert read_value(format_value(value, type_), type_, "it") == value


def test_random_money_and_dates_read_back() -> None:
    random = Random("back")
    for _ in range(2_000):
        money = Decimal(random.randint(-(10**9), 10**9)) / 100
        assert read_value(format_value(money, MONEY), MONEY, "it") == money
        day = date(1900, 1, 1) + timedelta(days=random.randint(0, 109_000))
        assert read_value(format_value(day, DATE), DATE, "it") == day


@pytest.mark.parametrize(
    ("type_", "text"),
    [
        (YES_NO, "maybe"),
        (Choice(("a", "b")), "c"),
        (DATE, "2023-02-29"),
        (DATE, "11.4.2026"),
        (MONEY, "12"),
        (MONEY, "12 h"),
        (PERCENT, "12"),
        (NUMBER, "12%"),
        (quantity(length="mi"), "12"),
        (quantity(labor="h"), "2 days"),
        (MONEY, "$3 .. $2 .. $4"),
        (MONEY, "$1 .. $2"),
        (ListOf(quantity(pressure="psi"), 2, 4), "150 psi"),
        (Code(3, 5), "AB"),
        (Code(3, 5), "A-BC"),
    ],
)
def test_what_does_not_fit_is_not_read(type_: Type, text: str) -> None:
    with pytest.raises(Unreadable):
        read_value(text, type_, "it")


@pytest.mark.parametrize("text", ["Feb 30", "Apr 31", "Foo 1", "Jan 0", "Jan"])
def test_days_that_no_year_has(text: str) -> None:
    with pytest.raises(Unreadable):
        read_month_day(text)


def test_a_leap_day_is_a_day_of_the_year() -> None:
    assert read_month_day("Feb 29") == MonthDay(2, 29)


def test_codes_are_letters_and_digits() -> None:
    value: Value = read_value(" 1hg cm82633a ", Code(5, 17), "it")
    assert value == "1HGCM82633A"


def test_a_whole_number_is_whole() -> None:
    type_ = Quantity(NUMBER.dims, NUMBER.units, whole=True)
    assert read_value("4", type_, "it") == 4
    with pytest.raises(Unreadable):
        read_value("4.5", type_, "it")


@pytest.mark.parametrize(
    ("text", "many", "few"),
    [
        ("150.000 mi", "150,000 mi", "150 mi"),
        ("1.000 miles", "1,000 miles", "1 miles"),
        ("9.000 km/year", "9,000 km/year", "9 km/year"),
        ("$9.000", "$9,000", "$9"),
        ("-£12.000", "-£12,000", "-£12"),
        ("$1.000/h", "$1,000/h", "$1/h"),
    ],
)
def test_a_point_that_may_group_thousands(text: str, many: str, few: str) -> None:
    with pytest.raises(Unreadable) as caught:
        read_literal(text)
    assert caught.value.kind is catalogue.TWO_WAYS
    assert caught.value.words == {"text": text, "many": many, "few": few}


@pytest.mark.parametrize(
    "text", ["150.00 mi", "150.0000 mi", "1500.000 mi", "0.000 mi", "$1,000.000", "1.000 in", "1.000"]
)
def test_a_point_that_can_mean_one_thing_only(text: str) -> None:
    read_literal(text)


@pytest.mark.parametrize(
    ("text", "guess"),
    [("8,25%", "8.25%"), ("$12,5/h", "$12.5/h"), ("-1,2345 mi", "-1.2345 mi"), ("12,34,567", "1234567")],
)
def test_the_cure_of_a_comma_can_be_typed(text: str, guess: str) -> None:
    with pytest.raises(Unreadable) as caught:
        read_literal(text)
    assert caught.value.words["guess"] == guess
    read_literal(guess)


@pytest.mark.parametrize(("text", "guess"), [("$-5", "-$5"), ("£ - 1,250.50", "-£1,250.50"), ("$-45/h", "-$45/h")])
def test_a_minus_stands_before_the_currency_sign(text: str, guess: str) -> None:
    with pytest.raises(Unreadable) as caught:
        read_literal(text)
    assert (caught.value.kind, caught.value.words["guess"]) == (catalogue.SIGN_BEHIND, guess)
    read_literal(guess)
