"""A battery's charge: the manual's table, numpy between its rows, and the published correction for temperature."""

from __future__ import annotations

from decimal import Decimal

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from advisor.trade.battery import battery_charge, battery_fact
from advisor.trade.fact import Unanswerable

VOLTS = st.decimals(Decimal(9), Decimal(13), places=2)
DEGREES = st.decimals(Decimal(0), Decimal(120), places=0)


@pytest.mark.parametrize(
    ("volts", "percent"),
    [("12.6", 100), ("12.4", 75), ("12.2", 50), ("12.0", 25), ("11.7", 0), ("12.9", 100), ("13.0", 100), ("10.5", 0)],
)
def test_rows_of_the_table(volts: str, percent: int) -> None:
    # Army TM 5-3805-262-20, page 5-142.
    assert battery_charge(Decimal(volts)) == Decimal(percent) / 100


@pytest.mark.parametrize("hundredths", range(1150, 1301))
def test_between_the_rows_as_numpy_has_it(hundredths: int) -> None:
    volts = Decimal(hundredths) / 100
    theirs = np.interp(float(volts), [11.7, 12.0, 12.2, 12.4, 12.6], [0, 0.25, 0.5, 0.75, 1])
    found = battery_charge(volts)
    assert found is not None
    assert float(found) == pytest.approx(theirs, abs=1e-4)


def test_nothing_is_told_while_it_charges() -> None:
    assert battery_charge(Decimal("13.01")) is None
    assert battery_charge(Decimal("13.01"), Decimal(0)) is None, "cold does not make a charging battery a rested one"
    fact = battery_fact(Decimal("14.1"))
    assert fact.values["charge_percent"] is None
    assert fact.values["state"] == "not rested"
    assert "charging or has not rested" in fact.sentence
    assert "this is too much" in battery_fact(Decimal("15.6")).sentence  # a tractor's manual: 15.5 V at most
    assert "too much" not in battery_fact(Decimal("15.5")).sentence


@pytest.mark.parametrize(("weight", "degrees", "at_80"), [("1.250", 20, "1.226"), ("1.235", 100, "1.243")])
def test_correction_is_that_of_the_hydrometer(weight: str, degrees: int, at_80: str) -> None:
    """A generator's manual corrects 1.250 at 20 °F to 1.226, and 1.235 at 100 °F to 1.243; V = 6 (SG + 0.845)."""
    volts, wanted = (6 * (Decimal(w) + Decimal("0.845")) for w in (weight, at_80))
    assert battery_fact(volts, Decimal(degrees)).values["volts_at_80_degF"] == wanted


def test_cold_is_told_with_its_sources() -> None:
    fact = battery_fact(Decimal("12.4"), Decimal(40))
    # 12.4 - 4 x 0.024 = 12.304, and that is 50 % + 25 % x 0.104 / 0.2 = 63 %.
    assert fact.values["charge_percent"] == 63
    assert "about 63% charged" in fact.sentence
    shown = [str(s) for s in fact.sources]
    assert any("from memory" in s and "0.845" in s for s in shown)
    assert "Army TM 5-3805-262-20, page 5-142" in shown
    assert not any("from memory" in str(s) for s in battery_fact(Decimal("12.4")).sources)


def test_rest_and_gas_are_always_told() -> None:
    for volts in ("11.2", "12.3", "12.8", "14.4"):
        limits = " ".join(battery_fact(Decimal(volts)).limits)
        assert "wait 3 minutes" in limits
        assert "gas that explodes" in limits


@pytest.mark.parametrize(("volts", "state"), [("11.7", "empty"), ("11.71", "part charged"), ("12.6", "full")])
def test_ends_have_a_word(volts: str, state: str) -> None:
    assert battery_fact(Decimal(volts)).values["state"] == state


@pytest.mark.parametrize(("volts", "degrees"), [("-1", "80"), ("24", "80"), ("12", "-80"), ("12", "400")])
def test_what_no_such_battery_shows(volts: str, degrees: str) -> None:
    with pytest.raises(Unanswerable):
        battery_fact(Decimal(volts), Decimal(degrees))


@given(VOLTS, VOLTS, DEGREES)
def test_more_volts_never_mean_less_charge(one: Decimal, other: Decimal, degrees: Decimal) -> None:
    less, more = (battery_charge(v, degrees) for v in sorted((one, other)))
    assert less is not None
    assert more is not None
    assert 0 <= less <= more <= 1


@given(VOLTS, DEGREES, DEGREES)
def test_the_same_volts_mean_less_charge_in_the_cold(volts: Decimal, one: Decimal, other: Decimal) -> None:
    colder, warmer = (battery_charge(volts, d) for d in sorted((one, other)))
    assert colder is not None
    assert warmer is not None
    assert colder <= warmer
