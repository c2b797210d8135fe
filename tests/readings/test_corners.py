"""Corners of the readings: each of these once crashed or promised too much."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import Any

import pytest

from advisor.language.answers import Answers
from advisor.language.types import Estimate
from tests.programs import checked, judge_of

HEAD = """ruleset "Small"
    currency USD
setting highest_offer = $2,000
ask asking: money from $0 to $6,000
    "What is asked?"
ask flag: yes/no
    "Is it so?"
ask count: number from 0 to 2
    "How much of it?"
require cheap: offer <= $1,000
"""
LADDER = "verdict\n    buy when ceiling >= asking\n    pass otherwise\n"


def said(text: str, **answers: Any) -> tuple[str, tuple[str, ...]]:
    car = {"asking": Decimal(900), "flag": False, "count": Decimal(1)} | answers
    given = {n: v for n, v in car.items() if v is not None}
    found = judge_of(HEAD + text).judge(Answers("", date(2026, 4, 11), given))
    return found.verdict, found.possible


def test_a_setting_that_is_yes_or_no() -> None:
    text = 'setting strict = yes\nrefuse flagged when strict and flag\n    because "So."\n' + LADDER
    assert said(text, flag=None) == ("unsettled", ("buy", "pass"))
    assert said(text.replace("= yes", "= no"), flag=None) == ("buy", ("buy",))


@pytest.mark.parametrize("type_", ["code of 3 to 5", "text"])
def test_a_code_or_text_behind_a_gate_that_is_open(type_: str) -> None:
    text = f'ask name: {type_}\n    "Which?"\n    only when flag, else "XXX"\n'
    text += 'refuse flagged when flag\n    because "So."\n' + LADDER
    assert said(text, flag=None) == ("unsettled", ("buy", "pass"))


def test_a_quotient_without_a_value_may_go_by_another_name() -> None:
    text = "let each = asking / count\nlet shown = each\n" + 'show shown "shown"\n' + LADDER
    assert said(text, count=Decimal(0)) == ("buy", ("buy",))


def test_ends_that_only_a_fault_and_a_gate_look_at() -> None:
    text = """ask worth: money from $0 to $5,000
    "What is it worth?"
ask rare: yes/no
    "Is it rare?"
    only when high(worth) > $4,000, else no
fault cheap_one when low(worth) < $100
    must be fixed
    parts $950
let profit = worth - sum(parts) - offer
require some: profit >= $0
"""
    wide = Estimate(Decimal(50), Decimal(1000), Decimal(2000))  # planned: 6,050 / 6 = $1,008.33
    assert said(text + LADDER, worth=wide, asking=Decimal("58.34")) == ("pass", ("pass",))
    assert said(text + LADDER, worth=wide, asking=Decimal("58.33")) == ("buy", ("buy",))


def test_an_estimate_in_place_of_an_answer_that_does_not_apply() -> None:
    text = """ask extra: money from $0 to $900
    "What else?"
    only when flag, else $0 .. $100 .. $800
let worst = low(extra)
refuse thin when worst < $50
    because "So."
"""
    assert said(text + LADDER) == ("pass", ("pass",))  # planned at $200, at worst nothing


def test_the_last_day_of_all() -> None:
    text = """ask later: day from 0 days to 10,000,000 days
    "How much later?"
season warm
    open Apr 1 .. Sep 30
refuse warm_then when today + later is in warm
    because "So."
"""
    assert said(text + LADDER, later=Decimal(12) * 9_000_000) == ("buy", ("buy",))


def test_a_price_asked_above_the_highest_offer() -> None:
    """The room below the highest offer is never negative for an offer that is tried, but it is for this price."""
    text = "let room = (highest_offer + $10 - offer) * count\n"
    text += "verdict\n    buy when room < -$500\n    pass otherwise\n"
    assert said(text, asking=Decimal(2610), count=None)[1] == ("buy", "pass")
    assert said(text, asking=Decimal(2610), count=Decimal(2)) == ("buy", ("buy",))


def test_a_divisor_is_proved_for_prices_that_are_only_asked_too() -> None:
    """A car may be asked for above the highest offer, and a report is about that price."""
    text = "let room = highest_offer + $10 - offer\nlet part = $5 / room + 1\n" + 'show part "part"\n' + LADDER
    program, problems = checked(HEAD + text)
    assert program is None
    assert [p.code for p in problems if p.stops] == ["R08"]


SOME_ROOM = """let room =
    ceiling - $100 when flag
    $50            otherwise
let more = (larger of (room, $10)) + $5
require nothing: offer <= -$1
verdict
    buy         when more >= $55
    renegotiate when not (ceiling >= $0)
    pass        otherwise
"""


def test_a_branch_that_does_not_need_the_ceiling_has_a_value_without_one() -> None:
    assert said(SOME_ROOM) == ("buy", ("buy",))
    assert said(SOME_ROOM, flag=True) == ("renegotiate", ("renegotiate",))
    assert set(said(SOME_ROOM, flag=None)[1]) >= {"buy", "renegotiate"}


def test_a_day_that_stands_on_a_missing_ceiling_is_in_no_season() -> None:
    text = """season year_round
    open Jan 1 .. Dec 31
require nothing: offer <= -$1
verdict
    buy  when today + ceiling / $10/day is in year_round
    pass otherwise
"""
    assert said(text) == ("pass", ("pass",))
    assert said(text.replace("require nothing: offer <= -$1", "")) == ("buy", ("buy",))
