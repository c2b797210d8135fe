"""Paint readings: a worked example, and scipy's median absolute deviation."""

from __future__ import annotations

import random
from decimal import Decimal

import numpy as np
import pytest
import scipy.stats

from advisor.trade.fact import Unanswerable
from advisor.trade.paint import paint_fact, paint_standing_out, spread


def um(*readings: float) -> list[Decimal]:
    return [Decimal(str(r)) for r in readings]


WORKED = um(110, 115, 112, 118, 121, 109, 340)
"""Median 115, MAD 5: 0.6745 x 225 / 5 = 30.35 for the last, 0.81 for 121."""


def test_worked_example() -> None:
    found = spread(WORKED)
    assert (found.median, found.deviation) == (115, 5)
    assert found.scores[6] == pytest.approx(Decimal("30.35"), abs=Decimal("0.005"))
    assert found.scores[4] == pytest.approx(Decimal("0.81"), abs=Decimal("0.005"))
    assert paint_standing_out(WORKED) == 1
    fact = paint_fact(WORKED)
    assert fact.sentence.startswith("1 of 7 readings stands out from this car's own median of 115 um (4.5 mil): 340 um")
    assert fact.values["high_places"] == (7,)
    assert fact.values["low"] == ()


@pytest.mark.parametrize("seed", range(20))
def test_scores_are_those_of_scipy(seed: int) -> None:
    chance = random.Random(seed)
    readings = [round(chance.gauss(130, 25), 1) for _ in range(chance.randrange(5, 20))]
    readings[0] *= chance.choice([1, 3])
    mad = scipy.stats.median_abs_deviation(readings)
    found = spread(um(*readings))
    assert float(found.deviation) == pytest.approx(mad)
    theirs = 0.6745 * (np.array(readings) - np.median(readings)) / max(mad, 5 * 0.6745)
    assert [float(z) for z in found.scores] == pytest.approx(list(theirs))
    assert paint_standing_out(um(*readings)) == int((np.abs(theirs) > 3.5).sum())


def test_readings_that_are_all_alike_divide_by_nothing() -> None:
    """MAD is 0: differences are measured against 5 um, so that 17.5 um is the first that does not stand out."""
    assert paint_standing_out(um(100, 100, 100, 100, 100)) == 0
    assert paint_standing_out(um(100, 100, 100, 100, 117.5)) == 0
    assert paint_standing_out(um(100, 100, 100, 100, 117.6)) == 1
    assert paint_fact(um(100, 100, 100, 100, 117.6)).values["least_spread_used"] is True


def test_thin_stands_out_too() -> None:
    fact = paint_fact(um(120, 118, 122, 119, 121, 60, 300))
    assert (fact.values["high"], fact.values["low"]) == ((300,), (60,))
    assert "thick; 60 um" in fact.sentence
    assert "2 of 7 readings stand out" in fact.sentence


def test_a_car_painted_all_over_has_nothing_to_stand_out() -> None:
    """No absolute number: thick all round is told as what it is, in the limits."""
    fact = paint_fact(um(350, 355, 360, 340, 352))
    assert fact.values["standing_out"] == 0
    assert "most of it was painted again" in fact.limits[0]


def test_too_few_or_no_paint() -> None:
    assert paint_standing_out(um(110, 112, 109, 340)) is None
    for readings in (um(110, 112, 109, 340), um(), um(110, 112, 109, 111, -1), um(110, 112, 109, 111, 6000)):
        with pytest.raises(Unanswerable):
            paint_fact(readings)


def test_order_and_scale_do_not_matter() -> None:
    assert paint_standing_out(sorted(WORKED)) == paint_standing_out(WORKED)
    assert paint_standing_out([10 * r for r in WORKED]) == paint_standing_out(WORKED)
