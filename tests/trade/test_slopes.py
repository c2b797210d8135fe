"""The slopes by age and miles: those of Theil and Sen, drawn to what is usual where the cars tell little."""

from __future__ import annotations

import math
import random

import numpy as np
import pytest
import scipy.stats

from advisor.trade.slopes import Point, fit

SURE = 1e-9
"""A spread so small that the cars decide alone."""


def steepness(xs: list[float], ys: list[float]) -> float:
    return fit([(y, x, None) for x, y in zip(xs, ys, strict=True)], 0, 0, SURE).age.value


def test_slope_holds_where_least_squares_turns() -> None:
    # Sen 1968: the pairs' slopes are six times 2, then 7, 8.67, 12 and 22; least squares says 6.
    xs, ys = [1.0, 2.0, 3.0, 4.0, 5.0], [2.0, 4.0, 6.0, 8.0, 30.0]
    assert steepness(xs, ys) == pytest.approx(2)
    assert scipy.stats.theilslopes(ys, xs).slope == 2
    assert np.polyfit(xs, ys, 1)[0] == pytest.approx(6)


@pytest.mark.parametrize("seed", range(20))
def test_slope_is_that_of_scipy(seed: int) -> None:
    chance = random.Random(seed)
    xs = [float(chance.randrange(8)) for _ in range(chance.randrange(3, 25))]
    ys = [-0.1 * x + chance.gauss(0, 0.2) for x in xs]
    assert steepness(xs, ys) == pytest.approx(scipy.stats.theilslopes(ys, xs).slope)


def cloud(count: int, seed: int = 1) -> list[Point]:
    """Cars that lose 10 % a year and 4 % for 10,000 miles, of which older ones have more."""
    chance = random.Random(seed)
    points: list[Point] = []
    for _ in range(count):
        age = chance.randrange(12)
        miles = age + chance.gauss(0, 3)
        points.append((9 + age * math.log(0.9) + miles * math.log(0.96) + chance.gauss(0, 0.1), float(age), miles))
    return points


def test_two_slopes_are_told_apart() -> None:
    found = fit(cloud(60), math.log(0.94), math.log(0.97), 0.15)
    assert math.exp(found.age.value) == pytest.approx(0.90, abs=0.01)
    assert math.exp(found.miles.value) == pytest.approx(0.96, abs=0.01)
    assert found.age.own > 0.9


@pytest.mark.parametrize(
    "points", [[], [(9.0, 3.0, 12.0)], [(9.0, 3.0, 12.0), (9.5, 3.0, 12.0)], [(9.0, None, None)] * 4]
)
def test_usual_where_nothing_can_be_told(points: list[Point]) -> None:
    found = fit(points, -0.06, -0.03, 0.15)
    assert (found.age.value, found.miles.value) == (-0.06, -0.03)
    assert (found.age.own, found.miles.own) == (0, 0)


def test_few_are_drawn_to_the_usual() -> None:
    few, many = (fit(cloud(n), -0.06, -0.03, 0.15).age for n in (4, 40))
    assert few.own < many.own
    assert abs(few.value - math.log(0.9)) > abs(many.value - math.log(0.9))


def test_pair_without_miles_still_tells_the_age() -> None:
    points: list[Point] = [(9 - 0.2 * age, float(age), None) for age in range(8)]
    assert fit(points, 0, 0, SURE).age.value == pytest.approx(-0.2)
