"""Means of estimates are sixths: what is made of them is rounded as the fraction that it is."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from math import floor

from hypothesis import example, given
from hypothesis import strategies as st

from advisor.language.answers import Answers
from advisor.language.types import Estimate
from tests.programs import judge_of

RULES = """ruleset "Sixths"
    currency USD
ask a: money from $0 to $1,000,000
    "One?"
ask b: money from $0 to $1,000,000
    "Two?"
ask c: money from $0 to $1,000,000
    "Three?"
setting share = 8.25%
    source house figure
let whole = to_cent(a + b + c)
let part = to_cent(share * (a + b) - c / 3)
let product = to_cent(110% * 1.17 * (a + b + c) / 2)
let down = rounded_down(a + b + c, $1)
let up = rounded_up(a + b + c, $50)
verdict
    pass otherwise
"""
JUDGE = judge_of(RULES)

cents = st.integers(0, 100_000_000)
estimates = st.tuples(cents, cents, cents).map(lambda three: tuple(sorted(three)))
Cents = tuple[int, int, int]


def mean(e: Cents) -> Fraction:
    """In dollars."""
    return Fraction(e[0] + 4 * e[1] + e[2], 600)


def to_cent(value: Fraction) -> Fraction:
    """Half a cent goes away from zero."""
    size = Fraction(floor(abs(value) * 100 + Fraction(1, 2)), 100)
    return size if value >= 0 else -size


def judged(*three: Cents) -> dict[str, Fraction]:
    answers = {n: Estimate(*(Decimal(v) / 100 for v in e)) for n, e in zip("abc", three, strict=True)}
    judgment = JUDGE.judge(Answers("", None, dict(answers)), thorough=False)
    assert judgment.deal is not None
    return {n: Fraction(v) for n, v in judgment.deal.values.items() if isinstance(v, Decimal)}


@given(estimates, estimates, estimates)
@example((0, 0, 1), (0, 0, 1), (0, 0, 1))  # 1/6 of a cent three times: half a cent
@example((0, 25, 100), (0, 25, 100), (0, 25, 100))  # 100/3 cents three times: a dollar
@example((0, 0, 10_000), (0, 0, 10_000), (0, 0, 10_000))  # 50/3 dollars three times: fifty of them
@example((0, 1, 2), (0, 0, 3), (99_999_900, 100_000_000, 100_000_000))
def test_sums_of_means_are_rounded_as_fractions(a: Cents, b: Cents, c: Cents) -> None:
    values = judged(a, b, c)
    total = mean(a) + mean(b) + mean(c)
    assert values["whole"] == to_cent(total)
    assert values["part"] == to_cent(Fraction(825, 10_000) * (mean(a) + mean(b)) - mean(c) / 3)
    assert values["product"] == to_cent(Fraction(11, 10) * Fraction(117, 100) * total / 2)
    assert values["down"] == floor(total)
    assert values["up"] == -50 * floor(-total / 50)


@given(st.integers(0, 10_000_000), st.sampled_from([1, 2, 4, 5]), st.sampled_from([1, 2, 4, 5]))
def test_sums_that_are_just_half_a_cent(at: int, sixths_a: int, sixths_b: int) -> None:
    """Two means, and a third that brings the sum to half a cent: what ends in sixths is rounded up like any half."""
    rest = (9 - sixths_a - sixths_b) % 6  # in sixths of a cent; together they come to three, or nine

    def ending(sixths: int) -> Cents:
        return at, at, at + sixths

    values = judged(ending(sixths_a), ending(sixths_b), ending(rest))
    total = (18 * at + sixths_a + sixths_b + rest) // 3
    assert total % 2 == 1
    assert values["whole"] == Fraction(total + 1, 200)
