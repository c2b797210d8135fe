"""The statistics of the estimate, against worked examples and against scipy and numpy."""

from __future__ import annotations

import math
import random

import numpy as np
import pytest
import scipy.stats

from advisor.trade.robust import (
    deviation,
    huber_location,
    median,
    modified_z,
    student_t_90,
    weighted_median,
)


def test_modified_z_names_the_one_that_stands_out() -> None:
    # Iglewicz and Hoaglin 1993, 0.6745 (x - median) / MAD: median 9800, MAD 400.
    asks = [9100.0, 9400.0, 9600.0, 9800.0, 10100.0, 10200.0, 14500.0]
    scores = modified_z(asks)
    assert [round(z, 2) for z in scores] == [-1.18, -0.67, -0.34, 0, 0.51, 0.67, 7.93]
    assert scores[-1] == pytest.approx(4700 / scipy.stats.median_abs_deviation(asks, scale="normal"), rel=1e-4)


def test_modified_z_does_not_divide_by_a_spread_of_zero() -> None:
    assert modified_z([5.0, 5.0, 5.0, 9.0]) == [0, 0, 0, 0]
    assert modified_z([5.0, 5.0, 5.0, 9.0], floor=2.0) == [0, 0, 0, 2]
    assert modified_z([9.0], floor=2.0, among=[5.0, 5.0, 5.0]) == [2]
    assert modified_z([9.0], among=[]) == [0]


def test_weighted_median_is_the_lower_one() -> None:
    # The cumulative weights are .15, .25, .55 and 1: the first to reach a half is at 3.
    assert weighted_median([1, 2, 3, 4], [0.15, 0.1, 0.3, 0.45]) == 3
    assert weighted_median([4, 2, 3, 1], [0.45, 0.1, 0.3, 0.15]) == 3
    assert weighted_median([1, 2], [1, 1]) == 1


@pytest.mark.parametrize("seed", range(20))
def test_weighted_median_is_that_of_numpy(seed: int) -> None:
    chance = random.Random(seed)
    values = [chance.gauss(0, 1) for _ in range(chance.randrange(1, 30))]
    weights = [chance.random() for _ in values]
    theirs = np.quantile(values, 0.5, weights=weights, method="inverted_cdf")
    assert weighted_median(values, weights) == theirs
    assert median(values) == np.median(values)


def test_deviation() -> None:
    # Median 2, median absolute deviation 1; 1 / 0.6745 = 1.4826.
    assert deviation([1, 1, 2, 2, 4, 6, 9], [1] * 7, 0) == pytest.approx(1.4826, abs=1e-4)
    assert deviation([3, 3, 3], [1, 1, 1], 0.05) == 0.05


@pytest.mark.parametrize("freedom", [2, 2.5, 3, 4, 5.7, 8, 12, 30, 200])
def test_quantile_of_student_t(freedom: float) -> None:
    assert student_t_90(freedom) == pytest.approx(scipy.stats.t.ppf(0.9, freedom), rel=2e-3)


def test_location_is_the_mean_of_what_lies_close() -> None:
    assert huber_location([1.0, 2.0, 4.0], [1, 1, 2], scale=100) == pytest.approx(11 / 4)


def test_location_is_hubers() -> None:
    values, scale = [0.0, 0.1, 0.2, 0.3, 9.0], 0.2
    bend = 1.345 * scale
    # Four lie within the bend of the middle, the fifth pulls with the bend alone.
    assert huber_location(values, [1] * 5, scale) == pytest.approx((0.6 + bend) / 4, abs=0.003)


def test_location_of_two_far_apart_is_between_them() -> None:
    assert huber_location([0.0, 8.0], [1, 1], 0.05) == pytest.approx(4)


def test_ceilings_pull_down_only() -> None:
    values, weights = [1.0, 2.0, 3.0], [1.0, 1.0, 1.0]
    free = huber_location(values, weights, 1)
    assert huber_location(values, weights, 1, [(5.0, 1.0)]) == pytest.approx(free)
    held = huber_location(values, weights, 1, [(1.5, 1.0)])
    assert 1.5 < held < free
    assert huber_location(values, weights, 1, [(1.5, 1.0), (1.0, 1.0)]) < held
    assert math.isfinite(huber_location(values, weights, 1, [(-50.0, 1.0)]))
