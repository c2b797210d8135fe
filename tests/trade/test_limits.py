"""Limits of wear: 49 CFR 570 subpart A, each limit met to the point and missed by a hair."""

from __future__ import annotations

from decimal import Context, Decimal
from fractions import Fraction

import numpy as np
import pytest

from advisor.trade.fact import Unanswerable
from advisor.trade.limits import (
    lining_fact,
    lining_limit,
    pedal_fact,
    rim_fact,
    steering_fact,
    steering_play_limit,
    toe_fact,
    toe_fits,
    tread_fact,
    tread_limit,
)

INCH = Decimal("25.4")


def mm(inches: str) -> Decimal:
    part = Fraction(inches) * Fraction(254, 10)
    return Decimal(part.numerator) / Decimal(part.denominator)


# ---- steering ------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("across", "play"), [("10", "2"), ("15", "2"), ("16", "2"), ("18", "2.25"), ("20", "2.5"), ("22", "2.75")]
)
def test_rows_of_table_1(across: str, play: str) -> None:
    assert steering_play_limit(Decimal(across)) == Decimal(play)  # 49 CFR 570.7(a)


@pytest.mark.parametrize("tenths", range(140, 221, 3))
def test_between_the_rows_a_straight_line(tenths: int) -> None:
    theirs = np.interp(tenths / 10, [16, 18, 20, 22], [2, 2.25, 2.5, 2.75])
    found = steering_play_limit(Decimal(tenths) / 10)
    assert found is not None
    assert float(found) == pytest.approx(theirs, abs=1e-12)


def test_no_limit_beyond_the_table() -> None:
    assert steering_play_limit(Decimal("22.1")) is None
    assert steering_play_limit(Decimal(0)) is None


def test_a_wheel_between_the_rows_says_so() -> None:
    fact = steering_fact(17 * INCH, Decimal("2.1") * INCH)
    assert fact.values["limit_in"] == Decimal("2.125")
    assert fact.values["fits"] is True
    assert any(str(s).startswith("house figure: between the table's rows") for s in fact.sources)
    small = steering_fact(15 * INCH, Decimal("2.1") * INCH)
    assert small.values["fits"] is False
    assert "too much" in small.sentence
    assert len(small.sources) == 1


def test_play_in_millimeters_is_exact() -> None:
    assert steering_fact(16 * INCH, Decimal("50.8")).values["fits"] is True
    assert steering_fact(16 * INCH, Decimal("50.81")).values["fits"] is False


def test_linkage_is_a_quarter_and_not_the_heavy_vehicles_three_eighths() -> None:
    assert steering_fact(16 * INCH, None, mm("1/4")).values["linkage_fits"] is True
    assert steering_fact(16 * INCH, None, mm("3/8")).values["linkage_fits"] is False


# ---- tires, rims ---------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("depth", "us", "uk"),
    [
        (mm("3/32"), True, True),
        (mm("2/32"), True, False),  # 1.5875 mm: short of 1.6 by 0.0125
        (Decimal("1.6"), True, True),
        (Decimal("1.5999"), True, False),
        (Decimal("1.5874"), False, False),
        (mm("4/32"), True, True),  # the limit of heavy vehicles' front tires, and no car's
        (Decimal(0), False, False),
    ],
)
def test_tread_by_both_laws(depth: Decimal, us: bool, uk: bool) -> None:
    fact = tread_fact(depth)
    assert (fact.values["us"], fact.values["uk"]) == (us, uk)


def test_what_is_shown_never_meets_a_limit_that_it_misses() -> None:
    assert tread_fact(Decimal("1.5874")).sentence.startswith("1.99/32 in (1.5874 mm) is worn out")
    assert tread_fact(mm("2/32")).sentence.startswith("2/32 in (1.5875 mm) is just legal in the United States and not")
    assert tread_fact(mm("3/32")).sentence.startswith("3/32 in (2.38 mm) is legal")


def test_millimeters_come_back_exactly() -> None:
    limit = tread_limit("uk")
    assert limit is not None
    assert Context(prec=34).multiply(limit, Decimal(254_000)) == 16_000, "tenths of a micrometer"
    assert tread_limit("us") == Decimal(2) / 32
    assert tread_limit("fr") is None


def test_rim() -> None:
    assert rim_fact(mm("1/8"), mm("1/8")).values["fits"] is True  # 49 CFR 570.10(b): 3.175 mm
    assert rim_fact(Decimal("3.176")).values["fits"] is False
    assert rim_fact(Decimal(1), Decimal("3.2")).values["fits"] is False


# ---- brakes --------------------------------------------------------------------------------------------------------


def test_linings() -> None:
    assert (lining_limit("riveted"), lining_limit("bonded")) == (Decimal(1) / 32, Decimal(1) / 16)
    assert lining_limit("glued") is None
    assert lining_fact("riveted", mm("1/32")).values["fits"] is True
    assert lining_fact("riveted", mm("31/1000")).values["fits"] is False  # 0.031 in is short of 1/32, 0.03125
    assert lining_fact("bonded", mm("1/16")).values["fits"] is True
    assert lining_fact("bonded", mm("1/32")).values["fits"] is False
    assert lining_fact("bonded").values["fits"] is None
    assert any("asbestos" in limit for limit in lining_fact("bonded").limits)
    assert str(lining_fact("bonded").sources[0]).startswith("from memory")


@pytest.mark.parametrize(("pressed", "fits", "shown"), [("1.2", True, "80%"), ("1.1", False, "81.67%")])
def test_pedal(pressed: str, fits: bool, shown: str) -> None:
    # 49 CFR 570.5(c): (A - B) / A, here with A of 6 in.
    fact = pedal_fact(Decimal(6), Decimal(pressed))
    assert fact.values["fits"] is fits
    assert f"uses {shown} of its travel" in fact.sentence


# ---- toe -----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("reading", "makers", "fits"),
    [
        (mm("3/32"), mm("1/16"), True),  # one and a half times to the point
        (mm("3/32") + Decimal("0.001"), mm("1/16"), False),
        (-mm("3/32"), -mm("1/16"), True),
        (-mm("1/64"), mm("1/16"), False),
        (Decimal(0), mm("1/16"), True),
        (Decimal(1), Decimal(0), None),
    ],
)
def test_toe(reading: Decimal, makers: Decimal, fits: bool | None) -> None:
    assert toe_fits(reading, makers) is fits


def test_toe_is_told() -> None:
    assert "is within the 3/32 in" in toe_fact(mm("3/32"), mm("1/16")).sentence
    assert "toe-out is the other way from" in toe_fact(-mm("1/64"), mm("1/16")).sentence
    assert "is more than" in toe_fact(mm("1/8"), mm("1/16")).sentence
    assert any("feet per mile" in limit for limit in toe_fact(mm("1/8"), mm("1/16")).limits)


def test_what_cannot_be_answered() -> None:
    one = Decimal(1)
    for ask in (
        lambda: steering_fact(30 * INCH),
        lambda: steering_fact(2 * INCH),
        lambda: steering_fact(16 * INCH, -one),
        lambda: tread_fact(-one),
        lambda: tread_fact(41 * one),
        lambda: rim_fact(-one),
        lambda: lining_fact("glued"),
        lambda: lining_fact("bonded", -one),
        lambda: pedal_fact(Decimal(0), Decimal(0)),
        lambda: pedal_fact(Decimal(2), Decimal(3)),
        lambda: toe_fact(one, Decimal(0)),
    ):
        with pytest.raises(Unanswerable):
            ask()


def test_local_law_comes_first_everywhere() -> None:
    one = Decimal(1)
    for fact in (steering_fact(16 * INCH), tread_fact(one), rim_fact(one), lining_fact("bonded"), toe_fact(one, one)):
        assert any("your state's inspection rules" in limit for limit in fact.limits)
