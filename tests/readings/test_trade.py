"""Functions of the trade in every reading: what they give, and what where they give nothing."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from random import Random

import numpy as np
import pytest

from advisor.judging.judgment import Judgment
from advisor.language.answers import Answers
from advisor.readings.called import trade, trade_range
from advisor.readings.sampled import Outcome, Sampled
from tests import rates
from tests.programs import checked, judge_of, program_of

BOUGHT = date(2026, 4, 11)
RULES = """ruleset "Rates"
    currency USD
setting highest_offer = $9,000
ask asking: money from $0 to $9,000
    "What is asked?"
ask back: money from $0 to $9,000
    "What does it bring?"
ask later: day from 0 days to 400 days
    "How many days later?"
let rate = yearly_rate(-$1,000, today, back, today + later)
let again = rate
let fast = compounded(back / $1,000 - 1, later)
show again "A year"
verdict
    buy         when again >= 20%
    renegotiate when not (again < 20%)
    pass        otherwise
"""


def judged(**answers: Decimal) -> Judgment:
    return judge_of(RULES).judge(Answers("", BOUGHT, {"asking": Decimal(100), **answers}))


def days(count: int) -> Decimal:
    return Decimal(12 * count)


@pytest.mark.parametrize(
    ("back", "later", "rate", "fast", "verdict"),
    [
        (1200, 365, "0.2", "0.2", "buy"),
        (1200, 366, "0.1994", "0.1994", "pass"),
        (1250, 90, "1.4719", "1.4719", "buy"),  # 1.25 to the power of 365/90
        (900, 365, "-0.1", "-0.1", "pass"),
        (1000, 0, None, None, "renegotiate"),  # nothing to compare: `>=` is no, and so is `<`
        (1200, 0, None, None, "renegotiate"),
        (9000, 1, None, "100", "renegotiate"),  # more than 10,000 % is no rate, and the most that compounding tells
    ],
)
def test_rates(back: int, later: int, rate: str | None, fast: str | None, verdict: str) -> None:
    found = judged(back=Decimal(back), later=days(later))
    assert found.deal is not None
    values = found.deal.values
    assert values["rate"] == values["again"] == (Decimal(rate) if rate else None)
    assert values["fast"] == (Decimal(fast) if fast else None)
    assert (found.verdict, found.settled) == (verdict, True)


def test_a_rate_of_something_open_may_be_anything_or_missing() -> None:
    judge = judge_of(RULES)
    found = judge.judge(Answers("", BOUGHT, {"asking": Decimal(100), "later": days(365)}))
    assert set(found.possible) == {"buy", "renegotiate", "pass"}


def test_a_rate_never_falls_as_the_share_rises() -> None:
    shares = [Decimal(n) / 1000 for n in range(-1100, 3000, 7)]
    for count in map(days, (1, 45, 400)):
        found = [trade("compounded", share, count) for share in shares]
        assert found == sorted(found)  # type: ignore[type-var]  # none is missing
        assert found[0] == Decimal("-0.9999")


def test_a_range_of_a_rate_holds_every_rate_in_it() -> None:
    random = Random(7)
    for _ in range(300):
        low, high = sorted(Decimal(random.randint(-1200, 2000)) / 1000 for _ in range(2))
        first, last = sorted(Decimal(random.randint(1, 800)) for _ in range(2))
        bottom, top = trade_range("compounded", ("ends", low, high), ("ends", 12 * first, 12 * last))
        assert bottom is not None
        assert top is not None
        for _ in range(5):
            share = low + (high - low) * Decimal(random.random())
            found = trade("compounded", share, days(random.randint(int(first), int(last))))
            assert isinstance(found, Decimal)
            assert bottom <= found <= top


def test_rates_of_arrays_are_those_of_each_outcome() -> None:
    program = program_of(RULES)
    sampled = Sampled(program)
    back = np.array([1200.0, 1250.0, 0.0, 9000.0])
    later = np.array([365.0, 90.0, 10.0, 1.0]) * 12
    cells = {("back", "plan"): back, ("later", "plan"): later, ("asking", "plan"): 100.0}
    outcome = Outcome(cells, BOUGHT, {}, lambda name, estimate: float(estimate.planned))
    found = sampled.value(program.lets["rate"].value, outcome)
    assert [None if np.isnan(f) else round(Decimal(f), 4) for f in found] == [
        rates.yearly_rate([(Decimal(-1000), BOUGHT), (Decimal(b), date.fromordinal(BOUGHT.toordinal() + int(d / 12)))])
        for b, d in zip(back, later, strict=True)
    ]
    condition = program.ladder[0].condition
    assert condition is not None
    assert list(sampled.value(condition, outcome)) == [True, True, False, False]


@pytest.mark.parametrize(
    "call",
    [
        "yearly_rate()", "yearly_rate($5, today)", "yearly_rate($5, today, $6)", "yearly_rate(today, $5, today, $6)",
        "yearly_rate($5, today, 6, today)", "compounded(25%)", "compounded(25%, 3 h)", "compounded(25%, 3 days, 1)",
        "compounded($5, 3 days)",
    ],
)  # fmt: skip
def test_what_rates_cannot_take(call: str) -> None:
    _, problems = checked(f"let rate = {call}\n" + 'show rate "rate"\n')
    assert [p.code for p in problems if p.stops] == ["T07"]


@pytest.mark.parametrize(
    ("line", "codes"),
    [
        ("let sum = rate + 1%", ["R09"]),
        ("let two = 2 * again", ["R09"]),
        ("let least = smaller of (rate, 5%)", ["R09"]),
        ("let some =\n    rate when back > $5\n    5% otherwise", ["R09"]),
        ("let fine = compounded(5%, later + 1 day) + 1%", []),
        ("let odd = compounded(5%, later) + 1%", ["R09"]),
        ("let is_it = (rate is 5%)", []),
        ("let nested = compounded(rate, 5 days)", ["R09"]),
    ],
)
def test_what_may_be_missing_stands_alone(line: str, codes: list[str]) -> None:
    _, problems = checked(RULES + line)
    assert [p.code for p in problems if p.stops] == codes


@pytest.mark.parametrize(
    ("rule", "codes"),
    [
        ("compounded((back - offer) / $1,000, 90 days) >= 20%", []),
        ("compounded((offer - back) / $1,000, 90 days) >= 20%", ["R06"]),
        ("compounded(5%, larger of ((offer / $1/day), 1 day)) <= 20%", ["R07"]),
        ("yearly_rate(-offer, today, back, today + 90 days) >= 20%", ["R07"]),
        ("rate >= 20%", []),
    ],
)
def test_which_way_a_rate_moves_with_the_offer(rule: str, codes: list[str]) -> None:
    _, problems = checked(RULES + f"require enough: {rule}\n")
    assert [p.code for p in problems if p.stops] == codes
