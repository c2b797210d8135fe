"""Yearly rates: published examples, and two libraries that compute the same."""

from __future__ import annotations

import math
from collections.abc import Sequence
from datetime import date, timedelta
from decimal import Decimal
from itertools import pairwise

import numpy_financial
import pytest
import pyxirr
from hypothesis import given
from hypothesis import strategies as st

from advisor.trade.returns import HIGHEST, LOWEST, Rates, rate_of_payments, yearly_compounded, yearly_simple, zeros

START = date(2026, 4, 11)
STEP = Decimal("0.0001")


def yearly(*amounts: int) -> Rates:
    return rate_of_payments([(START + timedelta(365 * n), Decimal(a)) for n, a in enumerate(amounts)])


def percent(rate: Decimal | None) -> Decimal:
    assert rate is not None
    return (100 * rate).quantize(Decimal("0.01"))


# ---- a share of what was laid out ----------------------------------------------------------------------------------


def test_a_quarter_in_ninety_days() -> None:
    # 8000 becomes 10000: 365/90 * 25 %, and (10/8)^(365/90) - 1.
    assert percent(yearly_simple(Decimal("0.25"), Decimal(90))) == Decimal("101.39")
    assert percent(yearly_compounded(Decimal("0.25"), Decimal(90))) == Decimal("147.19")
    bought_and_sold = [(START, Decimal(-8000)), (START + timedelta(90), Decimal(10_000))]
    assert percent(rate_of_payments(bought_and_sold).only) == Decimal("147.19")


def test_shares_at_the_edges() -> None:
    assert yearly_simple(Decimal("0.25"), Decimal(0)) is None
    assert yearly_compounded(Decimal("0.25"), Decimal(0)) is None
    assert yearly_simple(Decimal("-1.5"), Decimal(365)) == Decimal("-1.5")
    assert yearly_compounded(Decimal(-1), Decimal(20)) == yearly_compounded(Decimal(-3), Decimal(20)) == LOWEST
    assert yearly_compounded(Decimal(2), Decimal(1)) == HIGHEST
    assert yearly_simple(Decimal("0.07"), Decimal(365)) == yearly_compounded(Decimal("0.07"), Decimal(365))


@given(st.integers(-9000, 30_000), st.integers(1, 4000))
def test_compounding_is_a_power(share: int, days: int) -> None:
    earned = Decimal(share) / 10_000
    power = math.log(1 + share / 10_000) * 365 / days
    wanted = min(max(math.exp(min(power, 20)) - 1, -0.9999), 100)
    assert float(yearly_compounded(earned, Decimal(days)) or 0) == pytest.approx(wanted, abs=6e-5)


# ---- Regulation Z, 12 CFR 1026, appendix J (c): annual percentage rates of loans ------------------------------------


def unit_period_rate(amounts: Sequence[float], fraction: float = 0.0) -> Decimal:
    """The rate of appendix J (b), in percent: twelve times the monthly rate at which what is advanced and what is paid
    back, a month apart each, come to the same. The first month is longer by a fraction, at simple interest."""
    monthly = 0.0
    for _ in range(40):
        grown = [(amounts[0] * (1 + fraction * monthly), 0.0), *((a, float(t)) for t, a in enumerate(amounts[1:], 1))]
        (found,) = zeros(grown, 0.0, 1.0)
        monthly = math.expm1(found)
    return Decimal(1200 * monthly).quantize(Decimal("0.01"))


def test_example_c1i() -> None:
    # 5000 on January 10, 1978; 24 monthly payments of 230 from February 10, 1978.
    assert unit_period_rate([-5000, *[230] * 24]) == Decimal("9.69")


def test_example_c1ii() -> None:
    # 6000 on February 10, 1978; 36 monthly payments of 200 from April 1, 1978: 19 days more than a month.
    assert unit_period_rate([-6000, *[200] * 36], 19 / 30) == Decimal("11.82")


def test_example_c2i() -> None:
    # 5000; 250 after a month, then 23 payments of 230.
    assert unit_period_rate([-5000, 250, *[230] * 23]) == Decimal("10.08")


def test_example_c5i() -> None:
    # 1000 on January 3, 1978; 1080 on September 15, 1978: 365/255 of 8 %.
    days = (date(1978, 9, 15) - date(1978, 1, 3)).days
    assert days == 255
    assert percent(yearly_simple(Decimal("0.08"), Decimal(days))) == Decimal("11.45")


# ---- payments on several days --------------------------------------------------------------------------------------


def test_payments_with_two_rates_tell_nothing() -> None:
    assert yearly(-100, 230, -132) == Rates((Decimal("0.1"), Decimal("0.2")))
    assert yearly(-100, 230, -132).only is None


def test_payments_without_a_rate() -> None:
    assert yearly(100, 230, 132) == yearly(-5) == rate_of_payments([]) == Rates(())
    assert rate_of_payments([(START, Decimal(-100)), (START, Decimal(120))]).only is None
    assert yearly(-1, 1000) == Rates(())  # 99,900 % is beyond what is told


def test_payments_with_one_rate() -> None:
    assert yearly(-100, 110).only == Decimal("0.1")
    assert yearly(-100, 60).only == Decimal("-0.4")
    assert yearly(-100, 0, 121).only == Decimal("0.1")
    assert yearly(100, -110).only == Decimal("0.1")  # lent rather than laid out
    assert yearly(-100, 220, -121).only == Decimal("0.1")  # where the sum touches zero from below
    parted = [(START, Decimal(-60)), (START + timedelta(365), Decimal(110)), (START, Decimal(-40))]
    assert rate_of_payments(parted).only == Decimal("0.1")  # a day has one payment; their order means nothing


def test_a_leap_year_is_a_day_longer() -> None:
    across = [(date(2024, 1, 1), Decimal(-100)), (date(2025, 1, 1), Decimal(110))]
    rate = rate_of_payments(across).only
    assert rate is not None
    assert float(rate) == pytest.approx(1.1 ** (365 / 366) - 1, abs=1e-9)


amounts = st.integers(1, 2_000_000).map(lambda n: Decimal(n) / 100)
later = st.lists(st.tuples(st.integers(20, 900), amounts), min_size=1, max_size=8)


@given(st.lists(st.tuples(st.integers(0, 19), amounts), min_size=1, max_size=4), later)
def test_dated_payments_agree_with_pyxirr(out: list[tuple[int, Decimal]], back: list[tuple[int, Decimal]]) -> None:
    # Laid out first, received later: one rate. Far from what a car earns, their search ends without any.
    payments = [(START + timedelta(d), -a) for d, a in out] + [(START + timedelta(d), a) for d, a in back]
    theirs = pyxirr.xirr([d for d, _ in payments], [float(a) for _, a in payments])
    ours = rate_of_payments(payments).only
    if theirs is None or not -0.99 < theirs < 90:
        assert ours is None or not -0.9 < ours < 10
        return
    assert ours is not None
    assert float(ours) == pytest.approx(theirs, abs=1e-7, rel=1e-7)


@given(st.lists(st.integers(1, 100_000), min_size=1, max_size=8), st.integers(100, 200_000))
def test_yearly_payments_agree_with_numpy_financial(back: list[int], out: int) -> None:
    theirs = numpy_financial.irr([-out, *back])
    ours = yearly(-out, *back).only
    if math.isnan(theirs) or not -0.999 < theirs < 99:
        assert ours is None or not -0.99 < ours < 90
        return
    assert ours is not None
    assert float(ours) == pytest.approx(theirs, abs=1e-7, rel=1e-7)


@given(st.lists(st.integers(-1000, 1000), min_size=2, max_size=6))
def test_every_rate_is_found_and_none_else(payments: list[int]) -> None:
    def worth(rate: float) -> float:
        return math.fsum(a * (1 + rate) ** -n for n, a in enumerate(payments))

    def steep(rate: float) -> float:
        return math.fsum(abs(a) * n * (1 + rate) ** -(n + 1) for n, a in enumerate(payments))

    found = [float(r) for r in yearly(*payments).all]
    assert all(abs(worth(r)) <= 1e-9 * steep(r) for r in found)
    # Growing from sample to sample by 1 %, what the payments are worth keeps its sign between two rates.
    samples = [0.0001 * 1.01**n - 1 for n in range(1390)]
    for low, high in pairwise([-0.9999, *found, 100.0]):
        assert len({worth(r) > 0 for r in samples if low + 1e-6 < r < high - 1e-6}) <= 1
