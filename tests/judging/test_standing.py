"""The verdict while walking is never certain too early, and says what the judgment says."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from random import Random
from typing import Any

import pytest
from attrs import evolve

from advisor.judging.asking import QuickOrder
from advisor.judging.imagined import drawn_answers
from advisor.judging.judge import Judge
from advisor.judging.situation import Situation
from advisor.judging.standing import Follower
from advisor.language.answers import Answers
from advisor.language.program import Unanswered
from advisor.readings.arithmetic import exact_arithmetic
from tests.programs import house, judge_of, random_judges

DAY = date(2026, 5, 2)
PROGRAMS, CARS, COMPLETIONS = 100, 10, 100
"""A hundred thousand completions, over random rules and cars of which some answers are known."""


def verdict(judge: Judge, answers: Answers) -> str:
    """The verdict on a complete car, by the exact reading alone."""
    with exact_arithmetic():
        return judge.deal(judge.sheet(answers, None), {}).verdict


def with_some_open(judge: Judge, whole: Answers, known: Answers, random: Random) -> str | None:
    """The verdict where nobody can tell, or may look at, some of what was open; None where that leaves none."""
    ways = (Unanswered("unsure"), Unanswered("refused"), None)
    told = {n: random.choice((v, v, *ways)) if n not in known.values else v for n, v in whole.values.items()}
    with exact_arithmetic():
        sheet = judge.sheet(evolve(whole, values={n: v for n, v in told.items() if v is not None}), None)
        deal = judge.planned_deal(sheet)
    return deal.verdict if deal else None


@pytest.mark.parametrize("part", range(4))
def test_never_certain_too_early(part: int) -> None:
    tried = early = 0
    for seed, judge in random_judges(PROGRAMS // 4, start=10_000 * part):
        program, random = judge.program, Random(seed)
        asked = program.ungated(program.gates)
        rest = [drawn_answers(asked, random) for _ in range(COMPLETIONS)]
        known: dict[Any, str] = {}  # cars that agree in every answer are judged once
        for _ in range(CARS):
            follower = Follower(judge)
            car = drawn_answers(program, random, day=DAY)
            names = list(car)
            random.shuffle(names)
            answers = Answers(day=DAY)
            for name in names:
                standing = follower.stand(Situation(judge.readings, answers))
                if standing.certain:
                    break
                answers = evolve(answers, values={**answers.values, name: car[name]})
            else:
                standing = follower.stand(Situation(judge.readings, answers))
                assert standing.certain, (seed, "with every answer there is one verdict")
            early += len(answers.values) < len(names)
            for i, drawn in enumerate(rest):  # a gate may open that was shut, and is answered too
                tried += 1
                whole = evolve(answers, values={**drawn, **answers.values})
                key = tuple(map(whole.values.get, program.questions))
                found = known[key] if key in known else known.setdefault(key, verdict(judge, whole))
                assert found in standing.possible, (seed, answers.values, standing.possible, found)
                if i % 20 == 0:
                    found = with_some_open(judge, whole, answers, random)
                    assert found is None or found in standing.possible, (seed, answers.values, standing.possible, found)
    assert tried == PROGRAMS // 4 * CARS * COMPLETIONS
    assert early > PROGRAMS // 4 * CARS / 4, "cars become certain before the last answer, or nothing was shown"


COUNTED = """\
ask body: one of hatch, convertible
    "What body?"
    unsure assume hatch
ask top: yes/no
    "Is the top whole?"
    unsure assume yes
    only when body is convertible, else yes
ask seams: yes/no
    "Are the seams whole?"
    unsure assume yes
    only when body is convertible, else yes
refuse hidden when refused_looks >= 2
    because "Two looks were refused."
verdict
    go when refused_looks <= 9 "Go."
    leave otherwise "Leave it."
"""
NO_PLAN = """\
ask torn: yes/no
    "Is it torn?"
ask wet: yes/no
    "Is it wet?"
ask shut: yes/no
    "Is it shut?"
    unsure assume yes
    major
refuse both when wet and torn
    because "Both."
refuse neither when not shut and torn
    because "Neither."
verdict
    go when unverified_majors <= 0 "Go."
    leave otherwise "Leave it."
"""
THROUGH_A_SUM = """\
setting highest_offer = $9,000
    source house figure
ask early: yes/no
    "Is it early?"
ask asking: money from $0 to $9,000
    "What is asked?"
let price = offer
let margin = ceiling - offer
require small: price <= $3,000
    because "No more than that."
verdict
    buy when margin >= $0
    pass otherwise
"""


@pytest.mark.parametrize(
    ("text", "known", "more"),
    [
        (COUNTED, {"top": Unanswered("refused"), "seams": Unanswered("refused")}, {"body": "convertible"}),
        (NO_PLAN, {"torn": False}, {"wet": True, "shut": Unanswered("unsure")}),
        (THROUGH_A_SUM, {"early": True}, {"asking": Decimal(5000)}),
    ],
)
def test_what_hangs_on_little_is_not_certain(text: str, known: dict[str, Any], more: dict[str, Any]) -> None:
    """A gate of what is counted; an answer missing that nothing is planned for; a price that a sum looks at."""
    judge = judge_of(text)
    follower, answers = Follower(judge), Answers(day=DAY, values=known)
    standing = follower.stand(Situation(judge.readings, answers))
    assert not standing.certain
    assert not judge.judge(answers).settled
    found = judge.judge(evolve(answers, values={**known, **more})).verdict
    assert found in standing.possible
    assert found != "go"
    assert found in follower.stand(Situation(judge.readings, evolve(answers, values={**known, **more}))).possible


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
                standing = follower.stand(Situation(judge.readings, answers))
                assert certain is None or standing.possible == certain
                certain = standing.possible if standing.certain else None
        assert standing.on_plan == judge.judge(answers, thorough=False).verdict
        assert certain is None or certain == (standing.on_plan,)


def test_certain_once_nothing_that_matters_is_open() -> None:
    """However seldom it was searched before: nothing more is asked, so that this is the last time it can be said."""
    judge = house()
    car = drawn_answers(judge.program.ungated(judge.program.gates), Random(1)) | {
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
        last = order.next(open_, Situation(judge.readings, walk[-1]), last)
        if last is None:
            break
        walk.append(evolve(walk[-1], values={**walk[-1].values, last: car[last]}))
    standings = [follower.stand(Situation(judge.readings, answers)) for answers in walk[-9:]]
    assert not standings[0].certain
    assert standings[-1].matter == ()
    assert standings[-1].possible == (judge.judge(walk[-1], thorough=False).verdict,)


def test_who_cannot_tell_is_not_sent_round_again() -> None:
    """What hangs on an answer that nobody could give is asked in its station."""
    judge, order = house(), QuickOrder(house().readings)
    questions = judge.program.questions
    car = drawn_answers(judge.program.ungated(judge.program.gates), Random(1)) | {
        n: q.fine for n, q in questions.items() if q.fine is not None
    }
    car |= {"stage": "looking", "gearbox": Unanswered("unsure"), "body": Unanswered("unsure")}
    answers, last, walked = Answers(day=DAY), None, []
    while "automatic_fluid" not in walked:
        gates = judge.gates(judge.sheet(answers, None))
        open_ = tuple(n for n in questions if n not in answers.values and gates[n])
        last = order.next(open_, Situation(judge.readings, answers), last)
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
    standing = follower.stand(Situation(judge.readings, answers))
    assert len(standing.matter) < before - 120
    assert not set(standing.matter) & answers.values.keys()
    broken = evolve(answers, values={**answers.values, "title_state": "salvage"})
    standing = follower.stand(Situation(judge.readings, broken))
    assert standing.certain
    assert standing.matter == ()
    assert standing.holding == ("dead_title",)
    assert standing.for_bargaining == ()
