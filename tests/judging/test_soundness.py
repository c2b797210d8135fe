"""Soundness over whatever rules hypothesis draws: each is a ruleset, a half-answered car and its completions."""

from __future__ import annotations

from random import Random

from hypothesis import assume, given, settings
from hypothesis import strategies as st

from advisor.judging.judge import Judge
from advisor.readings.arithmetic import exact_arithmetic
from advisor.readings.compiled import Readings
from tests.answers import random_car
from tests.programs import random_program
from tests.readings.test_possible_reading import completed


@settings(max_examples=60)
@given(rules=st.integers(2_000_000, 9_000_000), car=st.integers(0, 1000), answered=st.sampled_from((0.5, 0.8, 0.95)))
def test_a_completion_never_leaves_what_was_possible(rules: int, car: int, answered: float) -> None:
    program = random_program(rules)
    assume(program is not None)
    assert program is not None
    judge, random = Judge(Readings(program)), Random(car)
    seen = random_car(random, program, answered)
    said = judge.judge(seen, thorough=False)
    for _ in range(3):
        done, planned = completed(random, program, seen)
        later = judge.judge(done.answers, thorough=False)
        assert set(later.possible) <= set(said.possible)
        whole = done.with_answers({n: planned[n] for n in done.open})
        with exact_arithmetic():
            assert judge.deal(whole, {}).verdict in later.possible
