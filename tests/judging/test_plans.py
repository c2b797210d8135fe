"""Fix or leave: the best plan against brute force in decimals, and with twenty repairs against one reckoned by hand."""

from __future__ import annotations

from decimal import Decimal
from random import Random

import pytest

from advisor.judging.deal import Deal
from advisor.judging.judge import Judge
from advisor.language.cars import read_car
from advisor.language.source import Source
from advisor.readings.arithmetic import exact_arithmetic
from tests.programs import deal_on_plan, judge_of

CENT = Decimal("0.01")

HEAD = """
setting highest_offer = $25,000
    source house figure

ask asking: money from $0 to $50,000
    "What does the seller ask?"

ask resale: money from $0 to $50,000
    "What will it bring?"
"""
TAIL = """
let days = rounded_up(sum(labor) / (6 h/week) + longest(wait) + added(days) + 30 days, 1 day)
let profit = to_cent(resale * kept(resale) * kept(buyers) - lost(resale) - sum(parts) - offer - $4/day * days)

require paid: profit / (10 h + sum(labor)) >= $12/h
require proportion: sum(parts) <= 30% of resale
require soon: days <= 150 days

verdict
    buy  when ceiling >= asking
    pass otherwise
"""


def rules(count: int, random: Random) -> str:
    """A ruleset with so many repairs; some hang together, in chains and in rings."""
    text = HEAD + "".join(f'\nask q{i}: yes/no\n    "Fault {i}?"\n' for i in range(count))
    for i in range(count):
        others = random.sample(range(i), min(i, random.choice([0, 0, 1, 1, 2])))
        together = f"    together with {', '.join(f'f{j}' for j in others)}\n" if others else ""
        text += (
            f"\nfault f{i} when q{i}\n    parts ${random.randint(0, 300)}\n    labor {random.randint(0, 20)} h\n"
            f"    wait {random.randint(0, 12)} days\n"
            f"    if left resale falls {random.randint(0, 9)}%, resale falls ${random.randint(0, 200)}, "
            f"days to sell rise {random.randint(0, 9)}, buyers fall {random.randint(0, 5)}%\n"
            f"{together}    source house figure\n"
        )
    return text + TAIL


def judged(judge: Judge, count: int, asking: int, resale: int) -> Deal:
    car = f"asking = ${asking}\nresale = ${resale}\n" + "".join(f"q{i} = yes\n" for i in range(count))
    answers, problems = read_car(Source("car", car), judge.program)
    assert not problems
    return deal_on_plan(judge, answers)


@pytest.mark.parametrize("seed", range(4))
def test_plans_come_in_their_order_to_the_last(seed: int) -> None:
    """The best are sorted by themselves, and so are the others behind them."""
    random = Random(f"ranked {seed}")
    deal = judged(judge_of(rules(8, random)), 8, random.randint(500, 6000), random.randint(2000, 9000))
    with exact_arithmetic():
        (block,) = deal.bargain.blocks(deal.bargain.tried, 0)
        found = list(block.ranked(deal.asking))
    assert len(found) == len(block) == 256
    assert sorted(i for _, i in found) == list(range(256))
    assert [key for key, _ in found] == sorted(key for key, _ in found)


@pytest.mark.parametrize("seed", range(16))
def test_the_best_of_all_plans_is_found(seed: int) -> None:
    random = Random(f"plans {seed}")
    count = random.randint(4, 9)
    deal = judged(judge_of(rules(count, random)), count, random.randint(500, 6000), random.randint(2000, 9000))
    bargain, every = deal.bargain, range(1 << count)
    everything = tuple(range(bargain.count))
    with exact_arithmetic():
        assert bargain.proved
        best = max(
            every,
            key=lambda p: (
                bargain.meets(deal.asking, p, everything),
                bargain.profit(deal.asking, p),
                -bargain.repairs.totals(p)[2][1],
                tuple(p >> i & 1 for i in range(count)),
            ),
        )
        assert deal.plan == best
        ceiling = deal.ceiling
        above = CENT + ceiling.offer if ceiling.offer is not None else Decimal(0)
        assert not any(bargain.meets(above, p, everything) for p in every)
        assert ceiling.offer is None or bargain.meets(ceiling.offer, ceiling.plan, everything)


def test_twenty_repairs_that_stand_alone() -> None:
    """Each brings what it brings: those that bring more than they cost are the best plan, and no other is."""
    random = Random(20)
    costs, gains = ([random.randint(1, 400) for _ in range(20)] for _ in range(2))
    text = HEAD + "".join(f'\nask q{i}: yes/no\n    "Fault {i}?"\n' for i in range(20))
    for i, (cost, gain) in enumerate(zip(costs, gains, strict=True)):
        text += (
            f"\nfault f{i} when q{i}\n    parts ${cost}\n    if left resale falls ${gain}\n    source house figure\n"
        )
    text += "\nlet profit = resale - lost(resale) - sum(parts) - offer\n\nrequire enough: profit >= $1,000\n"
    text += "\nverdict\n    buy  when ceiling >= asking\n    pass otherwise\n"
    deal = judged(judge_of(text), 20, 3000, 20_000)
    best = sum(1 << i for i in range(20) if gains[i] >= costs[i])
    assert deal.bargain.proved
    assert deal.plan == best
    assert deal.ceiling.plan == best
    assert deal.ceiling.offer == 19_000 - sum(min(c, g) for c, g in zip(costs, gains, strict=True))


def test_more_than_twenty_are_said_not_to_be_proved() -> None:
    random = Random(23)
    deal = judged(judge_of(rules(22, random)), 22, 3000, 9000)
    assert not deal.bargain.proved
    with exact_arithmetic():
        here = deal.bargain.profit(deal.asking, deal.plan)
        everything = tuple(range(deal.bargain.count))
        met = deal.bargain.meets(deal.asking, deal.plan, everything)
        for i in range(22):
            other = deal.plan ^ 1 << i
            if deal.bargain.meets(deal.asking, other, everything) >= met:
                assert deal.bargain.profit(deal.asking, other) <= here
