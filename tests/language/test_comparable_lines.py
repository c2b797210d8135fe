"""Comparables as lines of a recorded car: read, written, and read back."""

from __future__ import annotations

from datetime import date, timedelta
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from advisor.language.comparable_lines import UnreadablePart, comparable_line, read_comparable
from advisor.trade.comparables import Comparable
from advisor.trade.market import CONDITIONS

TODAY = date(2026, 4, 11)


def test_parts_are_known_by_their_shape() -> None:
    text = '$5,400 asked, private, 2026-03-20, 131,000 mi, 1991, good, 12 days, gone, title rebuilt, "one owner, red"'
    assert read_comparable(text, TODAY, "USD", 7) == Comparable(
        Decimal(5400), "asked", date(2026, 3, 20), Decimal(131_000), 1991, "good", "private", 12, True, "rebuilt",
        "one owner, red", 7,
    )  # fmt: skip


def test_a_price_alone_will_do() -> None:
    assert read_comparable("$900", None, "USD", 1) == Comparable(Decimal(900), row=1)


def test_order_does_not_matter() -> None:
    one = read_comparable("$5,400, sold, 1991, 210,000 km", TODAY, "USD", 1)
    two = read_comparable("$5,400, 210,000 km, 1991, sold", TODAY, "USD", 1)
    assert one == two
    assert one.miles == Decimal(130_488)


@pytest.mark.parametrize(
    ("text", "place"),
    [
        ("$5,400, sold,", 8),
        ("$5,400, sold, 12", 14),
        ("$5,400, sold, 2031-01-01", 14),
        ("$0, sold", 0),
        ("sold, $5,400", 0),
        ("$5,400, dealer, private", 16),
    ],
)
def test_what_is_wrong_is_pointed_at(text: str, place: int) -> None:
    with pytest.raises(UnreadablePart) as caught:
        read_comparable(text, TODAY, "USD", 1)
    assert caught.value.start == place
    assert "--" not in caught.value.cure


LIKES = st.builds(
    Comparable,
    price=st.integers(2000, 5_000_000).map(lambda c: Decimal(c) / 100),
    kind=st.sampled_from(["asked", "sold"]),
    day=st.none() | st.integers(0, 4000).map(lambda d: TODAY - timedelta(days=d)),
    miles=st.none() | st.integers(0, 400_000).map(Decimal),
    year=st.none() | st.integers(1900, 2026),
    condition=st.sampled_from(["", *CONDITIONS]),
    seller=st.sampled_from(["", "private", "dealer", "auction"]),
    days=st.none() | st.integers(0, 900),
    gone=st.none() | st.booleans(),
    title=st.sampled_from(["", "clean", "rebuilt in 2019"]),
    note=st.text(st.characters(codec="utf-8", exclude_categories=("C", "Z"), exclude_characters='"'), max_size=12),
    row=st.just(1),
)


@given(LIKES)
def test_what_is_written_is_read_back(found: Comparable) -> None:
    line = comparable_line(found, "$")
    assert read_comparable(line.removeprefix("comparable "), TODAY, "USD", 1) == found


def test_a_letter_for_a_zero_is_told_as_one() -> None:
    with pytest.raises(UnreadablePart) as caught:
        read_comparable("$8,OO0, sold", TODAY, "USD", 1)
    assert caught.value.cure == "write `8,000`, with zeros for the letter O"
