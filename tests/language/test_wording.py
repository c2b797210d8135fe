"""How values are written, where a number has more than one way to be."""

from __future__ import annotations

from decimal import Decimal

import pytest

from advisor.judging.derivation import worded
from advisor.language.types import Quantity, quantity
from advisor.language.values import read_literal
from advisor.language.wording import format_value

INCHES = quantity(length="in")


@pytest.mark.parametrize(
    ("written", "shown"),
    [
        # Treads are told in 32nds, 2/32 in too, which is how gauges and the law have them (49 CFR 570.9).
        ("2/32 in", "2/32 in"), ("1/16 in", "2/32 in"), ("0.5 in", "16/32 in"), ("11/32 in", "11/32 in"),
        ("3/64 in", "3/64 in"), ("1 in", "1 in"), ("0 in", "0 in"), ("1 1/16 in", "1 1/16 in"), ("5.5 in", "5 1/2 in"),
        ("0.3 in", "0.3 in"), ("-1/8 in", "-4/32 in"),
    ],
)  # fmt: skip
def test_lengths_below_an_inch(written: str, shown: str) -> None:
    value = read_literal(written).value
    assert format_value(value, INCHES) == shown
    assert read_literal(shown).value == value


@pytest.mark.parametrize("text", ["8%/year", "0.2%/day", "150%/week", "-3%/year"])
def test_a_share_for_each_day_or_year(text: str) -> None:
    read = read_literal(text)
    assert format_value(read.value, read.type) == text
    # What is left where a rate lost its sign on the way, as in a quotient.
    assert format_value(read.value, Quantity(read.type.dims, read.type.units)) == text


@pytest.mark.parametrize(
    ("written", "unit", "shown"),
    [
        ("28.2975 days", "week", "4 weeks"), ("28.2975 days", "day", "28.3 days"), ("7 days", "week", "1 week"),
        ("11.75 days", "day", "11.8 days"), ("2.25 months", "month", "2.3 months"),
        ("0.25 years", "year", "0.25 years"),
        ("0 days", "day", "0 days"), ("30 days", "day", "30 days"), ("1.04 days", "day", "1 day"),
        ("0.25 days", "day", "0.25 days"),
    ],
)  # fmt: skip
def test_days_and_weeks_to_one_place(written: str, unit: str, shown: str) -> None:
    assert worded(read_literal(written).value, quantity(calendar=unit), "$") == shown


def test_one_place_is_for_people_only() -> None:
    assert format_value(Decimal(141), quantity(calendar="day")) == "11.75 days"
