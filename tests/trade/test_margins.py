"""Margin, break-even and mileage, worked out by a ruleset as people would write them, and judged."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest

from advisor.judging.judgment import Judgment
from advisor.language.answers import Answers, read_answer
from tests.programs import judge_of

RULES = """ruleset "Margins"
    currency USD
setting highest_offer = $20,000
setting fees = $300
setting fee_share = 5%
setting cost = $9,500
ask asking: money from $0 to $20,000
    "What is asked?"
ask brings: money from $1 to $20,000
    "What does it bring?"
ask trip: mi from 0 mi to 2,000 mi
    "How far is it?"

let margin = (brings - offer) / brings
let markup = brings / $8,000 - 100%

let break_even = to_cent((cost + fees) / (100% - fee_share))
let left_there = $10,315.79 - fee_share * $10,315.79 - cost - fees
let left_below = $10,315.78 - fee_share * $10,315.78 - cost - fees

let mile_rate =
    $0.585/mi when today < 2022-07-01
    $0.625/mi when today < 2023-01-01
    $0.725/mi when today >= 2026-01-01
    $0/mi     otherwise
let fetching = to_cent(mile_rate * trip)

require enough: margin >= 20%
    because "A fifth of what it brings is the least."
verdict
    buy  when ceiling >= asking
    pass otherwise
"""


JUDGE = judge_of(RULES)


def judged(day: date = date(2026, 3, 1), brings: str = "$10,000") -> Judgment:
    told = {"asking": "$8,000", "brings": brings, "trip": "120 mi"}
    return JUDGE.judge(Answers("", day, {n: read_answer(t, JUDGE.program.questions[n]) for n, t in told.items()}))


def value(judgment: Judgment, name: str) -> Decimal:
    assert judgment.deal is not None
    found = judgment.deal.values[name]
    assert isinstance(found, Decimal)
    return found


def test_a_margin_is_a_share_of_the_sale_and_a_markup_one_of_the_cost() -> None:
    # Bought for 8000 and sold for 10000.
    found = judged()
    assert (value(found, "margin"), value(found, "markup")) == (Decimal("0.2"), Decimal("0.25"))
    assert found.verdict == "buy"  # a fifth is just enough
    assert judged(brings="$9,999.99").verdict == "pass"


def test_where_neither_profit_nor_loss_is_left() -> None:
    # (9500 + 300) / (1 - 5 %) = 10,315.789...
    found = judged()
    assert value(found, "break_even") == Decimal("10315.79")
    assert value(found, "left_there") >= 0 > value(found, "left_below")


@pytest.mark.parametrize(
    ("day", "costs"),
    [
        (date(2022, 6, 30), "70.20"),
        (date(2022, 7, 1), "75.00"),
        (date(2022, 12, 31), "75.00"),
        (date(2026, 3, 1), "87.00"),
    ],
)
def test_a_trip_at_the_business_rate_of_its_day(day: date, costs: str) -> None:
    # The business mileage rates of the Internal Revenue Service: 58.5 cents up to June 30, 2022, then 62.5; in 2026
    # 72.5 (Notice 2026-10).
    assert value(judged(day), "fetching") == Decimal(costs)
