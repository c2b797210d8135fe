"""When coolant freezes: the two points that sources agree on, and what lies between them."""

from __future__ import annotations

from decimal import Decimal
from itertools import pairwise

import numpy as np
import pytest

from advisor.trade.coolant import coolant_fact, coolant_freezes
from advisor.trade.fact import Unanswerable


@pytest.mark.parametrize(("share", "degrees"), [("0", 32), ("0.5", -34), ("0.56", -50)])
def test_published_points(share: str, degrees: int) -> None:
    """Makers' manuals: 50 % at -37 °C, -34 to -35 °F; 56 % at -46 °C, -50 °F."""
    assert coolant_freezes(Decimal(share)) == degrees
    assert len(coolant_fact(Decimal(share)).sources) == 1


def test_celsius_of_the_manuals() -> None:
    assert coolant_fact(Decimal("0.5")).values["freezes_degC"] == -37
    assert coolant_fact(Decimal("0.56")).values["freezes_degC"] == -46


@pytest.mark.parametrize("percent", range(61))
def test_between_them_numpys_parabola(percent: int) -> None:
    curve = np.polyfit([0, 0.5, 0.56], [32, -34, -50], 2)
    found = coolant_freezes(Decimal(percent) / 100)
    assert found is not None
    assert float(found) == pytest.approx(np.polyval(curve, percent / 100), abs=0.5001)


@pytest.mark.parametrize(("percent", "degrees"), [(20, 18), (30, 7), (40, -12), (60, -62)])
def test_near_handbook_figures(percent: int, degrees: int) -> None:
    """By volume, from memory; within 3 °F. A straight line from water to 50 % would promise 14 °F too much at 30 %."""
    found = coolant_freezes(Decimal(percent) / 100)
    assert found is not None
    assert abs(found - degrees) <= 3


def test_more_glycol_freezes_later_up_to_sixty() -> None:
    found = [coolant_freezes(Decimal(p) / 100) for p in range(61)]
    assert all(a is not None and b is not None and b <= a for a, b in pairwise(found))


def test_nothing_is_told_where_sources_differ() -> None:
    assert coolant_freezes(Decimal("0.601")) is None
    assert coolant_freezes(Decimal("-0.01")) is None
    with pytest.raises(Unanswerable, match="sources differ"):
        coolant_fact(Decimal("0.68"))
    with pytest.raises(Unanswerable, match="as a percentage"):
        coolant_fact(Decimal(50))


def test_hot_cap_is_always_told() -> None:
    assert any("Never open a hot radiator cap" in limit for limit in coolant_fact(Decimal("0.3")).limits)
