"""Whatever comes: a completion's verdict was possible, and a settled verdict stays."""

from __future__ import annotations

from collections.abc import Iterator
from random import Random

import pytest

from advisor.judging.judge import Judge
from advisor.judging.judgment import Judgment
from advisor.language.answers import Answers
from advisor.language.program import Unanswered
from advisor.readings.arithmetic import exact_arithmetic
from tests.answers import random_answer, random_car, thresholds
from tests.programs import random_judges
from tests.readings.test_possible_reading import completed

PARTS = 4
PROGRAMS = 30
CARS = 3
COMPLETIONS = 8


def cars(part: int, what: str) -> Iterator[tuple[int, Judge, Random, Answers]]:
    for seed, judge in random_judges(PROGRAMS, start=500_000 + part * 10_000):
        program = judge.program
        for i in range(CARS):
            random = Random(f"{what} {seed} {i}")
            yield seed, judge, random, random_car(random, program, random.choice((0.4, 0.7, 0.9, 0.95)))


@pytest.mark.parametrize("part", range(PARTS))
def test_the_verdict_of_every_completion_was_possible(part: int) -> None:
    for seed, judge, random, seen in cars(part, "complete"):
        said = judge.judge(seen, thorough=random.random() < 0.5)
        assert said.settled == (len(said.possible) == 1)
        if said.settled:
            assert said.possible == (said.verdict,)
        for _ in range(COMPLETIONS):
            done, planned = completed(random, judge.program, seen)
            # Whatever is still open gets its answer: only a question with an answer or a plan has a verdict.
            done = done.with_answers({n: planned[n] for n in done.open})
            with exact_arithmetic():
                verdict = judge.deal(done, {}).verdict
            assert verdict in said.possible, (seed, said.possible)


@pytest.mark.parametrize("part", range(PARTS))
def test_the_verdict_on_the_plan_was_possible(part: int) -> None:
    """Also where questions stay open: planned with, and counted as unseen."""
    for seed, judge, random, seen in cars(part, "planned"):
        said = judge.judge(seen, thorough=False)
        for _ in range(COMPLETIONS):
            done, _ = completed(random, judge.program, seen)
            with exact_arithmetic():
                later = judge.planned_deal(done)
                assert later is None or later.verdict in said.possible, (seed, said.possible)


@pytest.mark.parametrize("part", range(PARTS))
def test_answers_one_by_one_never_flip_what_is_settled(part: int) -> None:
    for seed, judge, random, seen in cars(part, "one by one"):
        cuts = thresholds(judge.program)
        before: Judgment | None = None
        answers = seen
        open_ = [n for n in judge.program.questions if answers.known(n) is None]
        random.shuffle(open_)
        for name in ["", *open_]:
            if name:
                question = judge.program.questions[name]
                value = random_answer(random, question, cuts.get(name, []), estimates=False)
                cell = value if random.random() < 0.8 else Unanswered(random.choice(("unsure", "refused")))
                answers = Answers(answers.title, answers.day, answers.values | {name: cell})
            now = judge.judge(answers, thorough=False)
            if before is not None:
                if before.settled:
                    assert (now.settled, now.verdict) == (True, before.verdict), (seed, name)
                assert set(now.possible) <= set(before.possible), (seed, name)
            before = now
