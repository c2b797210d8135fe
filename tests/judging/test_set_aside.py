"""Answers to questions that do not apply: kept, said, and without any weight."""

from __future__ import annotations

from decimal import Decimal
from random import Random
from typing import Any

from attrs import evolve

from advisor.judging.judgment import Judgment
from advisor.language.answers import Answers
from advisor.language.program import Unanswered
from tests.answers import random_car
from tests.programs import judge_of, random_judges

TOPS = """ruleset "Tops"
    currency USD
setting highest_offer = $5,000
ask asking: money from $0 to $6,000
    "What is asked?"
ask body: one of hatch, convertible
    "What kind of body?"
    unsure assume hatch
ask soft_top: one of sound, torn
    "How is the top?"
    only when body is convertible, else sound
    unsure assume sound
ask frame: yes/no
    "Is its frame bent?"
    only when body is convertible and soft_top is torn, else no
    unsure assume no
refuse torn when soft_top is torn
refuse bent when frame
verdict
    buy otherwise
"""


def judged(**answers: Any) -> Judgment:
    return judge_of(TOPS).judge(Answers("", None, {"asking": Decimal(900)} | answers))


def names(judgment: Judgment) -> list[str]:
    return [q.name for q in judgment.set_aside]


def test_an_answer_that_does_not_apply_is_set_aside() -> None:
    found = judged(body="hatch", soft_top="torn", frame=True)
    assert (names(found), found.verdict) == (["soft_top", "frame"], "buy")
    assert found.answers.values["soft_top"] == "torn"  # kept


def test_an_answer_that_applies_or_may_apply_is_not() -> None:
    assert names(judged(body="convertible", soft_top="torn", frame=True)) == []
    assert names(judged(body="convertible", soft_top="sound", frame=True)) == ["frame"]
    assert names(judged(soft_top="torn")) == []  # nobody knows the body
    assert names(judged(body="hatch")) == []  # not answered


def test_a_look_that_was_not_possible_is_set_aside_like_any_answer() -> None:
    assert names(judged(body="hatch", soft_top=Unanswered("refused"))) == ["soft_top"]


def test_what_is_set_aside_changes_nothing() -> None:
    seen = 0
    for seed, judge in random_judges(150):
        random = Random(seed)
        car = random_car(random, judge.program, 0.9)
        found = judge.judge(car, thorough=False)
        aside = {q.name for q in found.set_aside}
        if not aside:
            continue
        seen += 1
        without = judge.judge(
            evolve(car, values={n: v for n, v in car.values.items() if n not in aside}), thorough=False
        )
        assert (without.verdict, without.settled, without.possible) == (found.verdict, found.settled, found.possible)
        assert without.ceiling == found.ceiling
    assert seen > 10
