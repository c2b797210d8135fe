"""The sampled reading at planning values against the exact one, on random rules and cars: every quantity, date and
condition of every program."""

from __future__ import annotations

import math
from collections.abc import Iterator
from datetime import date
from decimal import Decimal
from random import Random
from typing import Any

import numpy as np
import pytest

from advisor.judging.deal import Deal
from advisor.judging.judge import Judge
from advisor.language import core
from advisor.language.answers import Answers
from advisor.language.types import Choice
from tests.answers import random_answer, random_car, thresholds
from tests.programs import deal_on_plan, random_judges

PARTS = 4
PROGRAMS = 30


def deals(part: int) -> Iterator[tuple[int, Judge, Deal]]:
    for seed, judge in random_judges(PROGRAMS, size=4, start=900_000 + part * 10_000):
        program, random = judge.program, Random(f"sampled {seed}")
        cuts = thresholds(program)
        values = {n: random_answer(random, q, cuts.get(n, [])) for n, q in program.questions.items()}
        answers = Answers("", random_car(random, program, 0).day, values)
        yield seed, judge, deal_on_plan(judge, answers)


def draws(judge: Judge, name: str) -> bool:
    """Whether a quantity stands on what is drawn, which planning values are not."""
    pending, seen = [judge.program.lets[name].value], set()
    while pending:
        for part in core.walk(pending.pop()):
            if isinstance(part, core.Chance | core.Percentile):
                return True
            if isinstance(part, core.Ref) and part.kind == "let" and part.name not in seen:
                seen.add(part.name)
                pending.append(judge.program.lets[part.name].value)
    return False


def same(found: Any, wanted: Any, node: core.Core) -> bool:
    """A value of the sampled reading and one of the exact reading."""
    match wanted:
        case None:
            return not np.isfinite(found)
        case bool():
            return bool(found) == wanted
        case Decimal():
            return math.isclose(float(found), float(wanted), rel_tol=1e-9, abs_tol=1e-6)
        case date():
            return int(found) == wanted.toordinal()
        case str():
            assert isinstance(node.type, Choice)
            return node.type.options[int(found)] == wanted
    return found == wanted


@pytest.mark.parametrize("part", range(PARTS))
def test_planning_values_are_those_of_the_exact_reading(part: int) -> None:
    compared = 0
    for seed, judge, deal in deals(part):
        outcome = deal.outcomes().priced(deal.plan, deal.asking, deal.ceiling.offer)
        for name, wanted in deal.values.items():
            if name not in judge.program.lets or draws(judge, name):
                continue
            node = judge.program.lets[name].value
            found = judge.drawing.sampled.value(node, outcome, f"let {name}")
            assert same(found, wanted, node), (seed, name, found, wanted)
            compared += 1
    assert compared > 150
