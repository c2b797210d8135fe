"""Prices that are easily got wrong: sums that only decimals tell apart, chances that only some plan meets, bounds
without end, estimates that leave their question, and many plans that leave the same."""

from __future__ import annotations

import time
from decimal import Decimal

import pytest

from advisor.judging.judgment import Judgment
from advisor.language.cars import read_car
from advisor.language.source import Source
from advisor.readings.arithmetic import exact_arithmetic
from tests.programs import judge_of

CENT = Decimal("0.01")
HEAD = """
setting highest_offer = $5,000
    source house figure

ask asking: money from $0 to $50,000
    "What does the seller ask?"

ask resale: money from $0 to $50,000
    "What will it bring?"
"""
LADDER = "\nverdict\n    buy  when ceiling >= asking\n    pass otherwise\n"


def faults(costs: list[str], left: str = "resale falls $1") -> str:
    """As many repairs as there are costs, all of them seen."""
    return "".join(
        f'\nask q{i}: yes/no\n    "Fault {i}?"\n    unsure assume yes\n'
        f"\nfault f{i} when q{i}\n    parts {cost}\n    if left {left}\n    source house figure\n"
        for i, cost in enumerate(costs)
    )


def judged(rules: str, car: str = "asking = $500\nresale = $3,000\n") -> Judgment:
    judge = judge_of(HEAD + rules + LADDER)
    answers, problems = read_car(Source("car", car), judge.program)
    assert not problems, [p.message for p in problems]
    return judge.judge(answers)


def assert_highest(found: Judgment) -> None:
    """At the ceiling some plan meets every rule, and a cent above it none does."""
    assert found.deal is not None
    bargain, offer = found.deal.bargain, found.deal.ceiling.offer
    everything, every = tuple(range(bargain.count)), range(1 << len(bargain.repairs.optional))
    with exact_arithmetic():
        assert offer is None or bargain.meets(offer, found.deal.ceiling.plan, everything)
        above = Decimal(0) if offer is None else offer + CENT
        if above > bargain.highest:
            return
        assert not any(bargain.meets(above, plan, everything) for plan in every)


def test_a_chance_that_only_a_plan_further_down_meets() -> None:
    """The plans that leave most leave most faults too, and each of those fails the rule that looks at a chance."""
    rules = (
        faults(["$100"] * 5)
        + """
let profit = resale - offer - sum(parts) - lost(resale)
require paid: profit >= $100
require sure: chance(lost(resale) >= $3) <= 10%
"""
    )
    found = judged(rules)
    assert found.ceiling == 2598
    assert_highest(found)


SUMS = faults(["$0.10", "$0.20", "$1", "$2", "$4"]) + "\nlet profit = resale - offer - sum(parts) - lost(resale)\n"


@pytest.mark.parametrize(
    ("rule", "ceiling"),
    [
        (
            "let allowance =\n    $1,000 when sum(parts) <= $0.30 and sum(parts) > $0.25\n    $0 otherwise\n"
            "require paid: offer <= $100 + allowance\n",
            1100,
        ),
        ("require paid: offer <= $100 or sum(parts) is $0.30\n", 5000),
        ("require paid: offer <= $100 or (not sum(parts) > $0.30 and sum(parts) >= $0.30)\n", 5000),
    ],
)
def test_a_tenth_and_two_tenths_are_three_tenths(rule: str, ceiling: int) -> None:
    found = judged(SUMS + rule)
    assert found.ceiling == ceiling
    assert_highest(found)


def test_a_jump_in_the_profit_is_seen() -> None:
    rules = (
        faults(["$0.10", "$0.20", "$1", "$2", "$4"])
        + """
let bonus =
    $2,000 when sum(parts) is $0.30
    $0     otherwise
let profit = resale - offer - sum(parts) - lost(resale) + bonus
require paid: profit >= $100
"""
    )
    found = judged(rules)
    assert found.deal is not None
    assert found.deal.plan == 3
    assert_highest(found)


OPEN = """
ask extra: money from $0 to $400
    "How much more?"
    unsure assume $0
ask hold: day from 0 days to 90 days
    "How long?"
"""


@pytest.mark.parametrize(
    "rule",
    [
        "let m = compounded(extra / $3,000, hold + 1 day) * (extra / $10)\nrequire rate: chance(m >= 3%) <= 50%\n",
        "let m = power(compounded(extra / $100, hold + 1 day) + 100%, 2)\nrequire rate: chance(m >= 150%) >= 50%\n",
        "let d = today + rounded_up(percentile(50%, hold + extra / ($1/day)), 1 day)\n"
        "require soon: chance(d >= 2026-07-01) <= 50%\n",
    ],
)
def test_bounds_without_end_settle_nothing(rule: str) -> None:
    rules = OPEN + "let profit = resale - offer\n" + rule
    car = "on 2026-04-11\nasking = $500\nresale = $3,000\nhold = 20 days\n"
    said = judged(rules, car)
    for extra in ("$0", "$10", "$150", "$400"):
        assert judged(rules, car + f"extra = {extra}\n").verdict in said.possible


def test_a_chance_over_an_open_fault_can_be_bounded() -> None:
    rules = faults(["$100"]) + "\nlet profit = resale - offer\nrequire bare: chance(sum(parts) is $0) <= 50%\n"
    said = judged(rules)
    for answer in ("yes", "no"):
        assert judged(rules, f"asking = $500\nresale = $3,000\nq0 = {answer}\n").verdict in said.possible


def test_a_day_far_away_is_the_last_there_is() -> None:
    rules = """
ask far: day from 0 days to 1,999,999 days
    "How far?"
let d = today + far * 1.5
let e = today - far
let profit = resale - offer
require soon: chance(d >= 2026-07-01 and e <= 2026-07-01) >= 50%
"""
    assert judged(rules, "on 2026-04-11\nasking = $500\nresale = $3,000\nfar = 1,990,000 days\n").verdict == "buy"


def test_each_answer_is_said_to_do_what_it_does() -> None:
    """What an assumption could do to the price, where a rule looks at a chance."""
    rules = (
        OPEN
        + faults(["$10", "$10"])
        + """
let profit = resale - offer - sum(parts) - lost(resale) - extra
require paid: profit >= $100
require sure: chance(lost(resale) >= $2) <= 10%
"""
    )
    car = "asking = $500\nresale = $3,000\nhold = 20 days\nq0 = yes\nq1 = yes\n"
    (assumed,) = (a for a in judged(rules, car).assuming if a.question.name == "extra")
    for trial in assumed.trials:
        really = judged(rules, car + f"extra = ${trial.value}\n")
        assert (trial.verdict, trial.ceiling) == (really.verdict, really.ceiling)


def test_an_estimate_from_comparables_stays_inside_its_question() -> None:
    rules = (
        HEAD.replace("resale: money from $0 to $50,000", "resale: money from $0 to $2,000")
        + """
let profit = resale - offer
require spare: $10,000 / ($2,001 - resale) <= $20,000 / $1
require paid: profit >= $100

comparables for resale
    private   93%
    dealer    87%
    auction   120%
    stands    45 days
    a year    6%
    each 10,000 miles 3%
    rough     70%
    fair      88%
    excellent 110%
    branded   70%
    spread    15%
    source    house figure
"""
    )
    rules = rules.replace("require spare: $10,000 / ($2,001 - resale) <= $20,000 / $1\n", "")
    judge = judge_of(rules + LADDER)
    text = "asking = $500\ncomparable $5,400, sold\ncomparable $5,300, sold\n"
    answers, problems = read_car(Source("car", text), judge.program)
    assert not problems
    found = judge.judge(answers)
    assert found.verdict == "buy"
    assert found.ceiling == 1900


def test_many_plans_that_leave_the_same_are_not_tried_one_by_one() -> None:
    """Of a hundred thousand plans that leave the same, the first by hours and by the file is taken, in good time."""
    start = time.process_time()
    found = judged(faults(["$100"] * 16) + "\nlet profit = $100 - $0 * (offer / $1)\nrequire some: offer <= $900\n")
    assert time.process_time() - start < 5
    assert found.ceiling == 900
    assert found.deal is not None
    assert found.deal.plan == (1 << 16) - 1
