"""The federal counts of cars sold: five, the twelve months, and what they do not say."""

from __future__ import annotations

from datetime import date, timedelta
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from advisor.trade.fact import Unanswerable
from advisor.trade.sales import counts_as_dealer, in_window, sales_fact

FIVE = [date(2026, 1, 10), date(2026, 3, 2), date(2026, 6, 20), date(2026, 9, 5), date(2026, 12, 20)]
DAYS = st.dates(date(2020, 1, 1), date(2030, 12, 31))


# 16 CFR 455.1(d)(3) counts five sold or offered; 49 USC 32702(2) counts five sold.
@pytest.mark.parametrize(
    ("sold", "sold_or_offered", "dealing"),
    [
        (0, 0, "neither"),
        (4, 4, "neither"),
        (4, 5, "ftc"),
        (0, 5, "ftc"),
        (5, 5, "both"),
        (5, 0, "both"),  # what was sold had been offered
        (12, 20, "both"),
    ],
)
def test_counts(sold: int, sold_or_offered: int, dealing: str) -> None:
    assert counts_as_dealer(sold, sold_or_offered) == dealing
    assert counts_as_dealer(Decimal(sold), Decimal(sold_or_offered)) == dealing


def test_the_sixth_within_twelve_months() -> None:
    fact = sales_fact(FIVE, [], date(2026, 12, 21))
    assert fact.values["dealing"] == "both"
    assert fact.values["sold"] == 5
    assert "Buyers Guide" in fact.sentence


def test_the_sixth_after_the_first_left_the_window() -> None:
    fact = sales_fact(FIVE, [], date(2027, 1, 11))
    assert (fact.values["sold"], fact.values["dealing"]) == (4, "neither")
    assert "Buyers Guide" not in fact.sentence
    # The day itself, a year on, is still within.
    assert sales_fact(FIVE, [], date(2027, 1, 10)).values["dealing"] == "both"


def test_offers_count_for_one_law_only() -> None:
    fact = sales_fact(FIVE[:3], FIVE[3:], date(2026, 12, 21))
    assert (fact.values["sold"], fact.values["sold_or_offered"], fact.values["dealing"]) == (3, 5, "ftc")
    assert "odometer law calls" not in fact.sentence


def test_when_the_count_falls_again() -> None:
    assert sales_fact(FIVE, [], date(2026, 12, 21)).values["ftc_until"] == date(2027, 1, 11)
    assert sales_fact(FIVE[1:], [], date(2026, 12, 21)).values["ftc_until"] is None


@given(
    st.lists(st.dates(date(2024, 1, 1), date(2025, 3, 31)), max_size=12), st.dates(date(2024, 7, 1), date(2025, 7, 1))
)
def test_until_is_the_first_day_with_fewer_than_five(dates: list[date], day: date) -> None:
    past = [d for d in dates if d <= day]
    until = sales_fact(past, [], day).values["ftc_until"]
    if until is None:
        assert in_window(past, day) < 5
    else:
        assert isinstance(until, date)
        assert until > day
        assert in_window(past, until) < 5 <= in_window(past, until - timedelta(1))


@given(DAYS, DAYS)
def test_a_window_is_a_year_with_both_ends(sale: date, day: date) -> None:
    anniversary = (sale.year + 1, sale.month, sale.day)
    inside = sale <= day and (day.year, day.month, day.day) <= anniversary
    # A sale on February 28 is still counted on February 29 of the year after, which has no such day before it.
    leap = (day.month, day.day) == (2, 29) and sale == date(day.year - 1, 2, 28)
    assert in_window([sale], day) == (inside or leap)


def test_leap_days() -> None:
    assert in_window([date(2027, 2, 28)], date(2028, 2, 29)) == 1
    assert in_window([date(2027, 2, 27)], date(2028, 2, 29)) == 0
    assert in_window([date(2027, 2, 28)], date(2028, 3, 1)) == 0
    assert in_window([date(2028, 2, 29)], date(2029, 2, 28)) == 1
    assert in_window([date(2028, 2, 29)], date(2029, 3, 1)) == 0


@pytest.mark.parametrize("bought_to_resell", [None, True, False])
@pytest.mark.parametrize("sold", [[], FIVE])
def test_the_state_is_always_asked(sold: list[date], bought_to_resell: bool | None) -> None:
    fact = sales_fact(sold, [], date(2026, 12, 21), bought_to_resell)
    assert "The state's own rule decides" in fact.sentence
    assert "ask the state's licensing office" in fact.sentence
    assert ("Was it bought to be sold again?" in fact.sentence) is (bought_to_resell is None)
    assert "Neither federal count says anything about the state's." in fact.limits
    assert any(str(source).startswith("from memory: some states") for source in fact.sources)


def test_how_far_the_laws_were_read() -> None:
    standing = {s.text.split(":")[0]: s.standing for s in sales_fact(FIVE, [], date(2026, 12, 21)).sources}
    assert standing["16 CFR 455.1(d)(3)"] == "quoted"
    assert standing["49 USC 32702(2)"] == "published"
    assert standing["16 CFR 455.2(a), the Buyers Guide"] == "published"


def test_a_date_to_come_is_no_sale() -> None:
    with pytest.raises(Unanswerable, match="2026-12-22 lies after 2026-12-21"):
        sales_fact([], [date(2026, 12, 22)], date(2026, 12, 21))
