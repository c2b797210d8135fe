"""Which rules are the reason, against the definition spelled out: for some set of other rules, taking that set away
leaves the verdict and taking this one too changes it."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from itertools import chain, combinations
from random import Random

import pytest

from advisor.judging.judge import Judge
from advisor.language.answers import Answers
from advisor.readings.compiled import Readings
from tests.answers import random_answer, random_car, thresholds
from tests.programs import judge_of, random_programs
from tests.reference import Car

PROGRAMS = 60


def by_definition(car: Car) -> set[str]:
    """Every reason, by trying every set of other rules."""
    rules = [r.name for r in car.program.rules.values() if r.kind != "caution"]
    verdicts = {s: car.verdict(frozenset(s)) for s in chain(*(combinations(rules, n) for n in range(len(rules) + 1)))}
    found = set()
    for gone, verdict in verdicts.items():
        for rule in set(rules) - set(gone):
            more = tuple(r for r in rules if r in gone or r == rule)
            if verdict == verdicts[()] != verdicts[more]:
                found.add(rule)
    return found


@pytest.mark.parametrize("part", range(3))
def test_reasons_are_those_of_the_definition(part: int) -> None:
    some = 0
    for seed, program in random_programs(PROGRAMS, size=2, start=1_000_000 + part * 10_000):
        random = Random(f"reasons {seed}")
        cuts = thresholds(program)
        answers = Answers(
            "",
            random_car(random, program, 0).day,
            {n: random_answer(random, q, cuts.get(n, [])) for n, q in program.questions.items()},
        )
        assert answers.day is not None
        said = Judge(Readings(program)).judge(answers, thorough=False)
        found = by_definition(Car(program, answers.values, answers.day, told=answers.told, denied=answers.denied))
        assert {r.name for r in said.reasons} == found, seed
        some += bool(found)
    assert some >= 10


SEVERAL = """ruleset "Several"
    currency USD
setting highest_offer = $5,000
ask asking: money from $0 to $6,000
    "What is asked?"
ask salvage: yes/no
    "Is it salvage?"
ask lien: yes/no
    "Is there a lien?"
refuse branded when salvage
    because "So."
refuse owed when lien
    because "So."
require first: offer <= $1,000
require second: offer <= $2,000
require third: offer <= $4,000
verdict
    buy         when ceiling >= asking
    renegotiate when ceiling >= $1,500
    pass        otherwise
"""


def reasons(asking: int, salvage: bool, lien: bool) -> tuple[str, list[str]]:
    said = judge_of(SEVERAL).judge(Answers("", None, {"asking": Decimal(asking), "salvage": salvage, "lien": lien}))
    return said.verdict, [r.name for r in said.reasons]


def test_two_rules_that_each_uphold_the_verdict_are_both_reasons() -> None:
    # Above $1,500 the second rule alone would let it be negotiated, so only the first says pass.
    assert reasons(3000, False, False) == ("pass", ["first"])
    assert reasons(3000, True, False) == ("pass", ["branded", "first"])
    assert reasons(3000, True, True) == ("pass", ["branded", "owed", "first"])
    assert reasons(900, True, False) == ("pass", ["branded"])


def test_what_nothing_stands_in_the_way_of_has_no_reason() -> None:
    assert reasons(900, False, False) == ("buy", [])


TOGETHER = """ruleset "Together"
    currency USD
setting highest_offer = $5,000
ask asking: money from $0 to $6,000
    "What is asked?"
ask worn: yes/no
    "Is it worn?"
fault tired when worn
    parts $60
let profit = $3,000 - sum(parts) - offer
require little: sum(parts) <= $50
require enough: sum(parts) >= $60
require cheap: offer <= $2,000
verdict
    buy  when ceiling >= asking
    pass otherwise
"""


def test_two_rules_that_only_together_uphold_the_verdict_are_both_reasons() -> None:
    """Left, the repair spends too little; mended, too much. Either rule alone would let the car be bought."""
    judge = judge_of(TOGETHER)
    answers = Answers("", None, {"asking": Decimal(900), "worn": True})
    said = judge.judge(answers)
    assert (said.verdict, [r.name for r in said.reasons]) == ("pass", ["little", "enough"])
    assert by_definition(Car(judge.program, answers.values, date(2026, 4, 11))) == {"little", "enough"}
