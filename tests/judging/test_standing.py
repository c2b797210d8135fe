"""The verdict while walking is never certain too early, and says what the judgment says."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from functools import lru_cache
from random import Random

import pytest
from attrs import evolve

from advisor.cli.rules import load_rules
from advisor.judging.asking import QuickOrder
from advisor.judging.imagined import drawn_answers
from advisor.judging.judge import Judge
from advisor.judging.standing import Follower
from advisor.language.answers import Answers
from advisor.language.program import Program, Unanswered
from advisor.readings.arithmetic import exact_arithmetic
from advisor.readings.compiled import Readings
from tests.programs import random_programs

DAY = date(2026, 5, 2)
PROGRAMS, CARS, COMPLETIONS = 100, 10, 100
"""A hundred thousand completions, over random rules and cars of which some answers are known."""


@lru_cache
def house() -> Judge:
    return Judge(load_rules(None)[0])


def verdict(judge: Judge, answers: Answers) -> str:
    """The verdict on a complete car, by the exact reading alone."""
    with exact_arithmetic():
        return judge.deal(judge.sheet(answers, None), {}).verdict


def ungated(program: Program) -> Program:
    """The program with every question asked of every car."""
    return evolve(program, questions={n: evolve(q, gate=None) for n, q in program.questions.items()})


@pytest.mark.parametrize("part", range(4))
def test_never_certain_too_early(part: int) -> None:
    tried = certain = 0
    for seed, program in random_programs(PROGRAMS // 4, start=10_000 * part):
        judge, random, asked = Judge(Readings(program)), Random(seed), ungated(program)
        rest = [drawn_answers(asked, random) for _ in range(COMPLETIONS)]
        for _ in range(CARS):
            follower = Follower(judge)
            car = drawn_answers(program, random, day=DAY)
            names = list(car)
            random.shuffle(names)
            answers = Answers(day=DAY)
            for name in names:
                standing = follower.stand(answers)
                if standing.certain:
                    break
                answers = evolve(answers, values={**answers.values, name: car[name]})
            else:
                standing = follower.stand(answers)
                assert standing.certain, (seed, "with every answer there is one verdict")
            certain += standing.certain
            for drawn in rest:  # a gate may open that was shut, and is answered too
                tried += 1
                found = verdict(judge, evolve(answers, values={**drawn, **answers.values}))
                assert found in standing.possible, (seed, answers.values, standing.possible, found)
    assert tried == PROGRAMS // 4 * CARS * COMPLETIONS
    assert certain > PROGRAMS // 8 * CARS / 4, "cars become certain, or nothing was shown"


def test_house_cars_stay_what_they_were_called() -> None:
    judge = house()
    for seed in range(4):
        random, follower = Random(seed), Follower(judge)
        car = drawn_answers(judge.program, random, judge.readings, DAY)
        names = ["asking", "resale", *(n for n in car if n not in ("asking", "resale"))]
        answers, certain = Answers(day=DAY), None
        for i, name in enumerate(names):
            answers = evolve(answers, values={**answers.values, name: car[name]})
            if i % 16 == 0 or i == len(names) - 1:
                standing = follower.stand(answers)
                assert certain is None or standing.possible == certain
                certain = standing.possible if standing.certain else None
        assert standing.on_plan == judge.judge(answers, thorough=False).verdict
        assert certain is None or certain == (standing.on_plan,)


def test_certain_once_nothing_that_matters_is_open() -> None:
    """However seldom it was searched before: nothing more is asked, so that this is the last time it can be said."""
    judge = house()
    car = drawn_answers(ungated(judge.program), Random(1)) | {
        n: q.fine if q.fine is not None else max(q.usually, key=lambda s: s[1])[0]
        for n, q in judge.program.questions.items()
        if q.fine is not None or q.usually
    }
    car |= {"stage": "looking", "asking": Decimal(2000), "resale": Decimal(9000)}
    order, follower, walk = QuickOrder(judge.readings), Follower(judge), [Answers(day=DAY)]
    last: str | None = None
    while True:
        gates = judge.gates(judge.sheet(walk[-1], None))
        open_ = tuple(n for n in judge.program.questions if n not in walk[-1].values and gates[n])
        last = order.next(open_, walk[-1], last)
        if last is None:
            break
        walk.append(evolve(walk[-1], values={**walk[-1].values, last: car[last]}))
    standings = [follower.stand(answers) for answers in walk[-9:]]
    assert not standings[0].certain
    assert standings[-1].matter == ()
    assert standings[-1].possible == (judge.judge(walk[-1], thorough=False).verdict,)


def test_who_cannot_tell_is_not_sent_round_again() -> None:
    """What hangs on an answer that nobody could give is asked in its station."""
    judge, order = house(), QuickOrder(house().readings)
    questions = judge.program.questions
    car = drawn_answers(ungated(judge.program), Random(1)) | {
        n: q.fine for n, q in questions.items() if q.fine is not None
    }
    car |= {"stage": "looking", "gearbox": Unanswered("unsure"), "body": Unanswered("unsure")}
    answers, last, walked = Answers(day=DAY), None, []
    while "automatic_fluid" not in walked:
        gates = judge.gates(judge.sheet(answers, None))
        open_ = tuple(n for n in questions if n not in answers.values and gates[n])
        last = order.next(open_, answers, last)
        assert last is not None
        walked.append(last)
        answers = evolve(answers, values={**answers.values, last: car[last]})
    assert max(questions[n].station or 0 for n in walked[4:]) == questions["automatic_fluid"].station


def test_what_no_longer_matters_is_left_out() -> None:
    judge = house()
    follower = Follower(judge)
    car = drawn_answers(judge.program, Random(5), judge.readings, DAY)
    before = len(judge.program.questions)
    answers = Answers(day=DAY)
    for name, value in [*car.items()][:120]:
        answers = evolve(answers, values={**answers.values, name: value})
    standing = follower.stand(answers)
    assert len(standing.matter) < before - 120
    assert not set(standing.matter) & answers.values.keys()
    broken = evolve(answers, values={**answers.values, "title_state": "salvage"})
    standing = follower.stand(broken)
    assert standing.certain
    assert standing.matter == ()
    assert standing.holding == ("dead_title",)
    assert standing.for_bargaining == ()
