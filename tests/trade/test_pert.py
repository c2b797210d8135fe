"""PERT, and the range of 80 % that it is widened to hold, against scipy's beta distribution."""

from __future__ import annotations

import time
from decimal import Decimal

import pytest
import scipy.stats
from hypothesis import example, given
from hypothesis import strategies as st

from advisor.trade.pert import cdf, quantile, widened

CENT = Decimal("0.01")
shares = st.floats(0, 1)
cents = st.integers(0, 10_000_000).map(lambda n: Decimal(n) / 100)
"""Amounts up to $100,000."""


def theirs(low: float, likely: float, high: float) -> scipy.stats.rv_continuous:
    """The beta distribution that a PERT is, of which scipy knows everything."""
    a, b = 1 + 4 * (likely - low) / (high - low), 1 + 4 * (high - likely) / (high - low)
    return scipy.stats.beta(a, b, loc=low, scale=high - low)


def test_the_worked_example() -> None:
    # (2, 4, 12): PERT has mean 5, and four of five outcomes below 6.5026. A triangle on the same three figures, which
    # is another model, has mean 6, and four of five below 8.
    pert, triangle = theirs(2, 4, 12), scipy.stats.triang(0.2, loc=2, scale=10)
    assert pert.mean() == pytest.approx(5)
    assert quantile(0.8, 2, 4, 12) == pytest.approx(6.5026, abs=5e-5)
    assert (triangle.mean(), triangle.ppf(0.8)) == (pytest.approx(6), pytest.approx(8))
    # Its mean is the area above its distribution function.
    assert 2 + sum(1 - cdf(2 + (n + 0.5) / 1000, 2, 4, 12) for n in range(10_000)) / 1000 == pytest.approx(5, abs=1e-6)


@given(shares, shares)
def test_the_distribution_function_is_that_of_scipy(x: float, mode: float) -> None:
    assert cdf(x, 0, mode, 1) == pytest.approx(float(theirs(0, mode, 1).cdf(x)), abs=1e-12)


@given(st.floats(1e-9, 1 - 1e-9), shares)
def test_quantiles_are_those_of_scipy(share: float, mode: float) -> None:
    assert quantile(share, 0, mode, 1) == pytest.approx(float(theirs(0, mode, 1).ppf(share)), abs=1e-10)


@given(st.floats(0.001, 0.999), st.floats(0, 50), st.floats(0, 50), st.floats(0.01, 50))
def test_a_quantile_has_its_share_below_it(share: float, low: float, left: float, right: float) -> None:
    likely, high = low + left, low + left + right
    assert cdf(quantile(share, low, likely, high), low, likely, high) == pytest.approx(share, abs=1e-8)


def test_ends() -> None:
    assert (cdf(1, 2, 4, 12), cdf(2, 2, 4, 12), cdf(12, 2, 4, 12), cdf(13, 2, 4, 12)) == (0, 0, 1, 1)
    assert (quantile(0, 2, 4, 12), quantile(1, 2, 4, 12)) == (2, 12)
    assert quantile(0.3, 7, 7, 7) == 7
    assert (cdf(6.99, 7, 7, 7), cdf(7, 7, 7, 7)) == (0, 1)


def percentiles(estimate: tuple[Decimal, Decimal, Decimal]) -> tuple[float, float]:
    tenth, ninetieth = theirs(*map(float, estimate)).ppf([0.1, 0.9])
    return float(tenth), float(ninetieth)


def test_a_range_around_its_middle() -> None:
    # With the mode in the middle the exponents are 3 and 3, and its percentiles 0.2466 and 0.7534 of the way.
    estimate = widened(Decimal(7000), Decimal(7800), Decimal(8600))
    assert estimate == (Decimal("6221.24"), Decimal(7800), Decimal("9378.76"))
    assert scipy.stats.beta(3, 3).ppf(0.9) == pytest.approx(0.5 + 800 / (9378.76 - 6221.24), abs=1e-6)
    assert percentiles(estimate) == (pytest.approx(7000, abs=0.01), pytest.approx(8600, abs=0.01))


@given(cents, cents, cents)
@example(Decimal(500), Decimal(500), Decimal(900))
@example(Decimal(800), Decimal(900), Decimal(900))
@example(Decimal("0.01"), Decimal("0.01"), Decimal(100_000))
@example(Decimal(7000), Decimal(7000), Decimal("7000.01"))
def test_the_range_is_met_to_the_cent(a: Decimal, b: Decimal, c: Decimal) -> None:
    low, likely, high = sorted((a, b, c))
    bottom, mode, top = widened(low, likely, high)
    assert mode == likely
    assert 0 <= bottom <= low <= high <= top
    assert all(v == v.quantize(CENT) for v in (bottom, mode, top))
    if low == high:
        assert bottom == top == low
        return
    tenth, ninetieth = percentiles((bottom, mode, top))
    assert ninetieth == pytest.approx(float(high), abs=0.01)
    if bottom > 0:
        assert tenth == pytest.approx(float(low), abs=0.01)
    else:  # an end at zero, which is as low as an amount can be, or just the end that is wanted
        assert tenth >= float(low) - 0.01


@pytest.mark.parametrize(
    ("low", "likely", "high"),
    [(Decimal(100), Decimal(300), Decimal(2000)), (Decimal(0), Decimal(0), Decimal(50)), (0, Decimal(50), Decimal(50))],
)
def test_no_amount_is_below_zero(low: Decimal, likely: Decimal, high: Decimal) -> None:
    bottom, mode, top = widened(Decimal(low), likely, high)
    assert (bottom, mode) == (0, likely)
    tenth, ninetieth = percentiles((bottom, mode, top))
    assert ninetieth == pytest.approx(float(high), abs=0.01)
    assert tenth > low


def test_a_mode_outside_of_the_range_moves_to_its_end() -> None:
    low, high = Decimal(500), Decimal(900)
    assert widened(low, Decimal(400), high) == widened(low, low, high)
    assert widened(low, Decimal(1000), high) == widened(low, high, high)
    assert widened(low, Decimal(400), low) == (low, low, low)


def test_a_range_has_its_ends_in_order() -> None:
    with pytest.raises(ValueError, match="a range from 9 to 8"):
        widened(Decimal(9), Decimal(8), Decimal(8))


def test_widening_is_quick() -> None:
    ranges = [(low, likely, 9000) for low in (100, 3000, 7000) for likely in (low, 7500, 9000)]
    best = min(timed(ranges) for _ in range(5))
    assert best < 0.002 * len(ranges)


def timed(ranges: list[tuple[int, int, int]]) -> float:
    start = time.process_time()
    for low, likely, high in ranges:
        widened(Decimal(low), Decimal(likely), Decimal(high))
    return time.process_time() - start
