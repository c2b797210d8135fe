"""How many minutes a walk takes to a verdict: asked in full, in file order with an early stop, in the quick order.

On invented cars, by the house rules; and on small random rules against the best order there is, which is found by
trying every one. A verdict on the plan is there once nothing without a plan is open. That no open answer by itself
would turn it is so no later than the verdict is certain whatever comes. `WALK_CARS=300 pytest
tests/bench/test_walk_order.py -s` measures as many cars; without it a few.
"""

from __future__ import annotations

import os
from datetime import date
from decimal import Decimal
from functools import cache
from random import Random
from statistics import mean, median
from typing import Any

from attrs import evolve

from advisor.cli.rules import load_rules
from advisor.judging.asking import QuickOrder
from advisor.judging.imagined import drawn_answers
from advisor.judging.judge import Judge
from advisor.judging.situation import Situation
from advisor.judging.standing import Follower
from advisor.language.answers import Answers
from advisor.language.types import Value
from advisor.walk.session import FileOrder, Order
from tests.programs import judge_of

DAY = date(2026, 5, 2)
CARS = int(os.environ.get("WALK_CARS", "1"))
SMALL = int(os.environ.get("WALK_SMALL", "8"))


def minutes_to(judge: Judge, order: Order, car: dict[str, Value]) -> tuple[Decimal, Decimal]:
    """Minutes to a verdict on the plan, and to one that is certain whatever comes."""
    program, follower = judge.program, Follower(judge)
    answers, last, spent, planned = Answers(day=DAY), None, Decimal(0), None
    while True:
        situation = Situation(judge.readings, answers)
        open_ = tuple(n for n in program.questions if n not in answers.values and situation.gates[n])
        name = order.next(open_, situation, last)
        if planned is None and not judge.unplanned(situation.sheet):
            planned = spent
        if name is None or follower.stand(situation).certain:
            return (planned if planned is not None else spent), spent
        question = program.questions[name]
        spent += question.minutes
        answers = evolve(answers, values={**answers.values, name: car[name]})
        last = name


def test_minutes_by_the_house_rules(capsys: Any) -> None:
    judge = Judge(load_rules(None)[0])
    program = judge.program
    full, fixed, quick, bought = [], [], [], []
    for seed in range(CARS):
        asked = program.ungated(program.gates)
        car = {**drawn_answers(asked, Random(seed)), "stage": "looking"}
        gates = judge.gates(judge.sheet(Answers(day=DAY, values=car), None))
        full.append(sum(q.minutes for n, q in program.questions.items() if gates[n]))
        fixed.append(minutes_to(judge, FileOrder(tuple(program.questions)), car))
        quick.append(minutes_to(judge, QuickOrder(judge.readings), car))
        answers = Answers(day=DAY, values=car)
        bought.append(judge.judge(answers, thorough=False).verdict != program.verdicts[-1])
    with capsys.disabled():
        print(f"\n{CARS} invented cars; the full walk takes {median(full):.1f} minutes at the median")
        for name, found in (("file order, early stop", fixed), ("quick order", quick)):
            shares = [(p / f, c / f) for (p, c), f in zip(found, full, strict=True)]
            print(f"{name}: {_medians(shares)}")
            good = [share for share, is_good in zip(shares, bought, strict=True) if is_good]
            print(f"    of the {len(good)} that do not end in {program.verdicts[-1]}: {_medians(good)}" if good else "")
    assert median(p / f for (p, _), f in zip(quick, full, strict=True)) <= Decimal("0.4")


def _medians(shares: list[tuple[Decimal, Decimal]]) -> str:
    plan, certain = (median(part) for part in zip(*shares, strict=True))
    return f"to a verdict on the plan {plan:.0%} of that, to a certain one {certain:.0%}"


# ---- against the best order ------------------------------------------------------------------------------------------


def small_rules(random: Random) -> str:
    """Six to eight yes/no questions, deal-breakers over one or two of them, and troubles that are counted."""
    count = random.randint(6, 8)
    lines = []
    for i in range(count):
        yes = random.choice((5, 10, 20, 30, 50))
        lines += [
            f'ask q{i}: yes/no\n    "Is it {i}?"\n    takes {random.choice(("0.2", "0.5", "1", "2", "4"))} min',
            f"    usually yes {yes}%, no {100 - yes}%\n    fine no\n    unsure assume no",
        ]
    names = [f"q{i}" for i in range(count)]
    random.shuffle(names)
    for i in range(random.randint(2, 4)):
        first, second = random.sample(names, 2)
        when = first if random.random() < 0.6 else f"{first} and {second}"
        lines.append(f'refuse r{i} when {when}\n    because "It is {i}."')
    counted = random.sample(names, 3)
    lines.append(f"let troubles = count({', '.join(counted)})")
    lines.append("verdict\n    buy when troubles < 2\n    renegotiate when troubles < 3\n    pass otherwise")
    return "\n".join(lines) + "\n"


def expected(judge: Judge, order: Order | None) -> Decimal:
    """Expected minutes to a certain verdict: by an order, or by the best one."""
    program = judge.program
    names = tuple(program.questions)
    shares = {n: dict(program.questions[n].usually) for n in names}

    @cache
    def certain(known: frozenset[tuple[str, Value]]) -> bool:
        from advisor.judging.outlook import Outlook

        outlook: Outlook = judge.outlook(judge.sheet(Answers(day=DAY, values=dict(known)), None), None)
        outlook.most_completions = 1000
        return len(outlook.verdicts()) == 1

    @cache
    def minutes(known: frozenset[tuple[str, Value]], last: str | None) -> Decimal:
        if certain(known):
            return Decimal(0)
        answered = dict(known)
        open_ = tuple(n for n in names if n not in answered)
        if order is not None:
            chosen = order.next(open_, Situation(judge.readings, Answers(day=DAY, values=answered)), last)
            assert chosen is not None
            return after(known, chosen)
        return min(after(known, n) for n in open_)

    def after(known: frozenset[tuple[str, Value]], name: str) -> Decimal:
        rest = sum(s * minutes(known | {(name, v)}, name if order else None) for v, s in shares[name].items())
        return program.questions[name].minutes + rest

    return minutes(frozenset(), None)


def test_quick_against_the_best_order(capsys: Any) -> None:
    ratios, fixed = [], []
    for seed in range(SMALL):
        judge = judge_of(small_rules(Random(seed)))
        best = expected(judge, None)
        if best:
            ratios.append(expected(judge, QuickOrder(judge.readings)) / best)
            fixed.append(expected(judge, FileOrder(tuple(judge.program.questions))) / best)
    with capsys.disabled():
        print(
            f"\n{len(ratios)} small rulesets, against the best order: quick {mean(ratios):.2f}, file {mean(fixed):.2f}"
        )
    assert mean(ratios) <= Decimal("1.15")
