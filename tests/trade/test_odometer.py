"""The federal odometer statement: the rule's own examples and its edges; and odometers that start over."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from advisor.trade.fact import Unanswerable
from advisor.trade.odometer import candidates, exempt_from, odometer_exempt, odometer_fact, odometer_rolled

TODAY = date(2026, 11, 25)
YEARS = st.integers(1900, 2060)


@pytest.mark.parametrize(
    ("model_year", "day", "exempt"),
    [
        (2010, date(2020, 1, 1), True),  # 580.17(a)(3)(ii): in 2020, model year 2010 and older
        (2010, date(2020, 12, 31), True),
        (2011, date(2031, 6, 15), True),  # 580.17(a)(4)(ii): in 2031, model year 2011
        (2010, date(2019, 12, 31), False),
        (2011, date(2030, 12, 31), False),
        (2011, date(2031, 1, 1), True),
        (2012, date(2026, 11, 25), False),
        (1999, date(2026, 11, 25), True),
    ],
)
def test_by_model_year(model_year: int, day: date, exempt: bool) -> None:
    # 49 CFR 580.17(a)(3) and (4): ten years from January 1 of the model year to 2010, twenty from 2011 on.
    assert odometer_exempt(model_year, day) is exempt
    assert odometer_exempt(Decimal(model_year), day) is exempt
    fact = odometer_fact(model_year, day)
    assert fact.values["statement_required"] is not exempt
    assert [str(source) for source in fact.sources] == ["49 CFR 580.17(a)(3) and (a)(4)"]


def test_by_weight() -> None:
    # 49 CFR 580.17(a)(1): a rated weight of more than 16,000 lb.
    assert odometer_exempt(2008, date(2010, 1, 1), 16_001)
    assert not odometer_exempt(2008, date(2010, 1, 1), 16_000)
    fact = odometer_fact(2008, date(2010, 1, 1), gvwr=16_001)
    assert "16,001 lb is over 16,000 lb" in fact.sentence
    assert [str(source) for source in fact.sources] == ["49 CFR 580.17(a)(1)"]
    assert odometer_fact(2008, date(2010, 1, 1), gvwr=16_000).values["statement_required"] is True


@given(YEARS, st.dates(date(1900, 1, 1), date(2080, 12, 31)))
def test_only_the_calendar_year_counts(model_year: int, day: date) -> None:
    exempt = odometer_exempt(model_year, day)
    assert exempt == odometer_exempt(model_year, day.replace(month=1, day=1))
    assert exempt == odometer_exempt(model_year, day.replace(month=12, day=31))
    assert exempt == (day >= date(exempt_from(model_year), 1, 1))


def test_no_model_year_becomes_exempt_from_2021_to_2030() -> None:
    newest = {year: max(y for y in range(1990, 2040) if odometer_exempt(y, date(year, 7, 1))) for year in (2020, 2030)}
    assert newest == {2020: 2010, 2030: 2010}
    assert not odometer_exempt(2011, date(2030, 12, 31))


def test_exempt_is_not_true() -> None:
    assert any("does not mean that the reading is true" in limit for limit in odometer_fact(1999, TODAY).limits)
    assert not any("does not mean" in limit for limit in odometer_fact(2012, TODAY).limits)


# ---- starting over -------------------------------------------------------------------------------------------------


def test_a_five_digit_reading_has_several_meanings() -> None:
    assert candidates(34_500, 1975, TODAY) == (34_500, 134_500, 234_500, 334_500)
    assert odometer_rolled(5, 34_500, 1975, TODAY) is True
    fact = odometer_fact(1975, TODAY, 34_500, 5)
    assert fact.values["candidates"] == (34_500, 134_500, 234_500, 334_500)
    assert "34,500, 134,500, 234,500 or 334,500 miles" in fact.sentence
    assert any(str(source).startswith("house figure: low is under 4,000 miles a year") for source in fact.sources)


@given(st.integers(0, 99_999), st.integers(1950, 2026))
def test_candidates_differ_by_whole_rounds(reading: int, model_year: int) -> None:
    found = candidates(reading, model_year, TODAY)
    assert found == tuple(reading + 100_000 * n for n in range(len(found)))
    assert found[0] == reading
    # The house figures: 400,000 miles in all, 25,000 a year.
    assert all(miles <= min(400_000, 25_000 * (2026 - model_year)) for miles in found[1:])
    beyond = reading + 100_000 * len(found)
    assert beyond > min(400_000, 25_000 * (2026 - model_year))


@pytest.mark.parametrize(
    ("digits", "reading", "model_year", "rolled"),
    [
        (5, 39_999, 2016, True),  # under 4,000 miles a year for ten years
        (5, 40_000, 2016, False),
        (6, 39_999, 2016, False),
        (5, 3_000, 2025, False),  # low, but 103,000 miles in a year are not believed
        (5, 500, 2026, False),
        (5, 99_999, 1975, True),
        (5, 100_000, 1975, None),
        (6, 100_000, 1975, False),
        (5, -1, 1975, None),
    ],
)
def test_may_have_started_over(digits: int, reading: int, model_year: int, rolled: bool | None) -> None:
    assert odometer_rolled(digits, reading, model_year, TODAY) is rolled
    assert odometer_rolled(Decimal(digits), Decimal(reading), Decimal(model_year), TODAY) is rolled


def test_any_number_of_digits_is_answered_at_once() -> None:
    assert odometer_rolled(Decimal(10) ** 12, Decimal(5), Decimal(1989), TODAY) is False


def test_where_a_statement_is_required_its_box_is_from_memory() -> None:
    fact = odometer_fact(2015, TODAY, 12_000, 5)
    assert "exceed the odometer's mechanical limits" in fact.sentence
    assert "from memory: 49 CFR 580.5, the boxes of the statement" in map(str, fact.sources)
    assert not any("580.5" in str(source) for source in odometer_fact(1989, TODAY, 12_000, 5).sources)


def test_six_digits_do_not_start_over() -> None:
    fact = odometer_fact(1989, TODAY, 180_000, 6)
    assert fact.values["may_have_started_over"] is False
    assert "With 6 digits it does not start over at 100,000: it has gone 180,000 miles." in fact.sentence
    assert any("turned back" in limit for limit in fact.limits)


def test_a_young_car_has_not_gone_round() -> None:
    assert "in 2 years is not to be believed" in odometer_fact(2024, TODAY, 30_000, 5).sentence


def test_without_digits_it_says_what_to_count() -> None:
    assert odometer_fact(1989, TODAY, 61_200).sentence.endswith("the reading may lack one or several times 100,000.")


@pytest.mark.parametrize(
    ("asked", "cure"),
    [
        ((89, TODAY), "all four digits"),
        ((1989, TODAY, 123_456, 5), "cannot show 123,456: leave the tenths out"),
        ((1989, TODAY, 100_000, 5), "cannot show 100,000"),
        ((1989, TODAY, -5), "not below zero"),
        ((1989, TODAY, 5, 7), "count those before the tenths"),
    ],
)
def test_what_cannot_be_read(asked: tuple[int, date], cure: str) -> None:
    with pytest.raises(Unanswerable, match=cure):
        odometer_fact(*asked)
