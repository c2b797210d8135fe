"""The price against brute force: every plan, at the ceiling and a cent above it."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal
from random import Random

import pytest

from advisor.judging.bargain import EXHAUSTIVE
from advisor.judging.deal import Deal
from advisor.judging.judge import Judge
from advisor.language.answers import Answers
from advisor.language.program import Program
from advisor.readings.arithmetic import exact_arithmetic
from tests.answers import random_answer, random_car, thresholds
from tests.programs import deal_on_plan, judge_of, random_judges
from tests.reference import Car

PARTS = 4
PROGRAMS = 60
SLOW = 12
"""Programs for which the plain evaluator searches the ceiling too."""

CENT = Decimal("0.01")


def whole_car(random: Random, program: Program) -> Answers:
    """A car on which everything is answered."""
    cuts = thresholds(program)
    day = random_car(random, program, 0).day
    return Answers("", day, {n: random_answer(random, q, cuts.get(n, [])) for n, q in program.questions.items()})


def deals(part: int, programs: int, start: int) -> Iterator[tuple[int, Judge, Answers, Deal]]:
    for seed, judge in random_judges(programs, size=4, start=start + part * 10_000):
        answers = whole_car(Random(f"ceiling {seed}"), judge.program)
        deal = deal_on_plan(judge, answers)
        assert len(deal.bargain.repairs.optional) <= EXHAUSTIVE
        with exact_arithmetic():
            yield seed, judge, answers, deal


def every_plan(deal: Deal) -> range:
    return range(1 << len(deal.bargain.repairs.optional))


@pytest.mark.parametrize("part", range(PARTS))
def test_some_plan_bears_the_ceiling_and_none_a_cent_more(part: int) -> None:
    for seed, _, _, deal in deals(part, PROGRAMS, 900_000):
        bargain, ceiling = deal.bargain, deal.ceiling
        everything = tuple(range(bargain.count))
        above = Decimal(0) if ceiling.offer is None else ceiling.offer + CENT
        if ceiling.offer is not None:
            assert bargain.meets(ceiling.offer, ceiling.plan, everything), seed
            assert Decimal(0) <= ceiling.offer <= bargain.highest
        if above <= bargain.highest:
            for plan in every_plan(deal):
                assert not bargain.meets(above, plan, everything), seed


@pytest.mark.parametrize("part", range(PARTS))
def test_each_rule_has_its_own_ceiling_and_the_lowest_binds(part: int) -> None:
    for seed, judge, answers, deal in deals(part, PROGRAMS, 900_000):
        said = judge.judge(answers, thorough=False)
        bargain, plan = deal.bargain, deal.ceiling.plan
        rules = judge.program.of_kind("require")
        assert list(said.own_ceilings) == [r.name for r in rules]
        for i, own in enumerate(said.own_ceilings.values()):
            above = Decimal(0) if own is None else own + CENT
            assert own is None or bargain.meets(own, plan, (i,)), seed
            assert above > bargain.highest or not bargain.meets(above, plan, (i,)), seed
        lowest = min(said.own_ceilings.values(), key=lambda c: Decimal(-1) if c is None else c)
        assert lowest == deal.ceiling.offer, seed
        if lowest == bargain.highest:
            assert said.binding is None
        else:
            assert said.binding is not None
            assert said.own_ceilings[said.binding] == lowest


def rank(deal: Deal, offer: Decimal, plan: int) -> tuple[bool, Decimal, Decimal]:
    """What makes one plan better than another at an offer: the rules, then profit, then hours."""
    profit = deal.bargain.at(offer, plan)[0]
    assert profit is not None
    meets = deal.bargain.meets(offer, plan, tuple(range(deal.bargain.count)))
    return meets, profit, -deal.bargain.repairs.totals(plan)[2][1]


@pytest.mark.parametrize("part", range(PARTS))
def test_the_plan_at_an_offer_is_the_most_profitable_that_meets_every_rule(part: int) -> None:
    for seed, _, _, deal in deals(part, PROGRAMS, 900_000):
        bits = range(len(deal.bargain.repairs.optional))
        for offer in (Decimal(0), deal.asking, deal.ceiling.offer or deal.bargain.highest):
            ranks = {plan: rank(deal, offer, plan) for plan in every_plan(deal)}
            found = deal.bargain.plan_at(offer)
            assert ranks[found] == max(ranks.values()), seed
            # Of equal plans, the one that fixes what comes first in the file.
            equal = [[plan >> i & 1 for i in bits] for plan in ranks if ranks[plan] == ranks[found]]
            assert [found >> i & 1 for i in bits] == max(equal), seed


def test_the_plain_evaluator_finds_the_same_ceiling_plan_and_verdict() -> None:
    for seed, judge, answers, deal in deals(0, SLOW, 950_000):
        assert answers.day is not None
        car = Car(judge.program, answers.values, answers.day, told=answers.told, denied=answers.denied)
        assert car.ceiling() == deal.ceiling.offer, seed
        fixed = car.best_plan(deal.asking)
        assert {h.fault.name for h in deal.bargain.repairs.fixed(deal.plan)} == fixed, seed
        assert car.verdict() == deal.verdict, seed


def test_plans_of_ten_optional_repairs_are_all_tried() -> None:
    """Ten repairs that pay only together: a search one by one from either end would find neither."""
    lines = [
        'ruleset "Ten"',
        "    currency USD",
        "setting highest_offer = $5,000",
        "ask asking: money from $0 to $6,000",
    ]
    lines += ['    "What is asked?"', "ask bad: yes/no", '    "Is it bad?"']
    costs = (7, 11, 13, 17, 19, 23, 29, 31, 37, 41)
    for i, cost in enumerate(costs):
        lines += [f"fault f{i} when bad", f"    parts ${cost}", f"    if left resale falls ${cost * (i % 2) * 2}"]
    lines += ["let profit = $1,000 - lost(resale) - sum(parts) - offer", "require some: profit >= $0"]
    # The one plan that spends exactly this and leaves the rest is borne by this rule.
    lines += ["require exact: sum(parts) >= $122", "require most: sum(parts) <= $122", "verdict"]
    lines += ["    buy when ceiling >= asking", "    pass otherwise"]
    judge = judge_of("\n".join(lines) + "\n")
    found = judge.judge(Answers("", None, {"asking": Decimal(500), "bad": True}))
    assert found.deal is not None
    assert found.deal.bargain.proved
    best = max(
        1000 - sum(2 * c for i, c in enumerate(costs) if not plan >> i & 1 and i % 2) - 122
        for plan in range(1 << 10)
        if sum(c for i, c in enumerate(costs) if plan >> i & 1) == 122
    )
    assert found.ceiling == best


def test_equal_plans_take_fewer_hours_and_then_the_file_order() -> None:
    text = """ruleset "Ties"
    currency USD
setting highest_offer = $5,000
ask asking: money from $0 to $6,000
    "What is asked?"
ask bad: yes/no
    "Is it bad?"
fault slow when bad
    labor 3 h
    if left resale falls $100
fault first when bad
    labor 2 h
    if left resale falls $100
fault second when bad
    labor 2 h
    if left resale falls $100
let profit = $1,000 - lost(resale) - offer
require short: sum(labor) <= 3 h
verdict
    buy when ceiling >= asking
    pass otherwise
"""
    found = judge_of(text).judge(Answers("", None, {"asking": Decimal(500), "bad": True}))
    assert found.deal is not None
    fixed = [h.fault.name for h in found.deal.bargain.repairs.fixed(found.deal.plan)]
    assert fixed == ["first"]
