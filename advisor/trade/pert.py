"""PERT, the distribution behind `low .. likely .. high`, and how wide it must be to hold a range of 80 %.

In: the ends and the mode as floats, or a range of money as decimals. Out: shares and quantiles as floats, which whoever
uses them rounds; estimates of money as decimals of whole cents.

A PERT is a beta distribution stretched from low to high, whose two exponents always come to 6: its mean is
(low + 4 likely + high) / 6 (D. G. Malcolm, J. H. Roseboom, C. E. Clark, W. Fazar, Operations Research 7(5), 1959; from
memory).
"""

from __future__ import annotations

import math
from collections.abc import Callable
from decimal import ROUND_HALF_EVEN, Decimal

__all__ = ["cdf", "quantile", "widened"]

_TENTH, _NINE_TENTHS = 0.1, 0.9
_CENT = Decimal("0.01")
_FINE = 1e-11
"""How narrowly a place between the ends is found: of any car's price, far less than a cent."""
_NEAR = 1e-7
"""After a step of Newton's this small, what is left is about its square."""
_TINY = 1e-300
"""Stands for a zero in a continued fraction, so that nothing is divided by zero (J. Lentz, 1976)."""


def cdf(x: float, low: float, likely: float, high: float) -> float:
    """The share of outcomes up to x; to 1e-12. The ends may be the same: then everything lies there."""
    if x >= high:
        return 1.0
    if x < low:
        return 0.0
    a, b = _exponents((likely - low) / (high - low))
    return _beta_cdf((x - low) / (high - low), a, b)


def quantile(share: float, low: float, likely: float, high: float) -> float:
    """The value that a share of the outcomes, from 0 to 1, lies below; to 1e-10 of the distance of the ends."""
    if high == low:
        return low
    a, b = _exponents((likely - low) / (high - low))
    return low + (high - low) * _beta_quantile(share, a, b)


def widened(low: Decimal, likely: Decimal, high: Decimal) -> tuple[Decimal, Decimal, Decimal]:
    """The PERT whose tenth and ninetieth percentiles are `low` and `high`, and whose mode is `likely`.

    In: money, `low` up to `high`, none below zero. Out: its low end, mode and high end in whole cents, so that the
    percentiles are met to the cent. What cannot be met:

    - No amount is below zero. Where the low end would be, it is zero; mode and ninetieth percentile still hold, and the
      tenth percentile is then above `low`.
    - A mode outside of the range is moved to the nearer end of it, where there is always such a PERT.
    - A range of one value has no width: all three are that value.

    Raises ValueError if `low` is above `high`.
    """
    if low > high:
        raise ValueError(f"a range from {low} to {high}")
    likely = min(max(likely, low), high)
    if low == high:
        mode = _cents(likely)
        return mode, mode, mode
    wanted = float((likely - low) / (high - low))
    # Where the mode lies between low and high depends on nothing but where it lies between the ends.
    share = _crossing(lambda r: _mode_in_range(r) - wanted, 0.0, 1.0)
    tenth, ninetieth = _range_of(share)
    width = float(high - low) / (ninetieth - tenth)
    bottom, top = float(likely) - share * width, float(likely) + (1 - share) * width
    if bottom < 0:
        bottom, top = 0.0, _top_from_zero(float(likely), float(high))
    mode = _cents(likely)
    return min(_cents(bottom), mode), mode, max(_cents(top), mode)


def _top_from_zero(likely: float, high: float) -> float:
    """The high end of the PERT from zero with this mode whose ninetieth percentile is `high`."""
    # A mode of zero needs the highest end of all.
    most = high / _range_of(0.0)[1]
    return _crossing(lambda top: quantile(_NINE_TENTHS, 0.0, likely, top) / high - 1, high, most)


def _mode_in_range(share: float) -> float:
    """Where the mode lies in the range of 80 %, if it lies at this share between the ends; it rises with the share,
    from -0.06 to 1.06."""
    tenth, ninetieth = _range_of(share)
    return (share - tenth) / (ninetieth - tenth)


def _range_of(share: float) -> tuple[float, float]:
    a, b = _exponents(share)
    return _beta_quantile(_TENTH, a, b), _beta_quantile(_NINE_TENTHS, a, b)


def _exponents(share: float) -> tuple[float, float]:
    """Of the beta distribution on 0..1 that is a PERT with its mode there."""
    return 1 + 4 * share, 5 - 4 * share


def _cents(amount: Decimal | float) -> Decimal:
    return Decimal(amount).quantize(_CENT, rounding=ROUND_HALF_EVEN)


def _crossing(f: Callable[[float], float], low: float, high: float) -> float:
    """Where a function that is below zero at `low` and above it at `high` is zero; false position after Illinois."""
    below, above, side = f(low), f(high), 0
    for _ in range(60):
        x = (low * above - high * below) / (above - below)
        y = f(x)
        if abs(y) < _FINE or abs(high - low) < _FINE * abs(high):
            break
        if y < 0:
            low, below, above = x, y, above / 2 if side < 0 else above
            side = -1
        else:
            high, above, below = x, y, below / 2 if side > 0 else below
            side = 1
    return x


def _beta_quantile(share: float, a: float, b: float) -> float:
    """Newton's steps from the mean, and the middle of the bracket where a step leaves it."""
    if share <= 0 or share >= 1:
        return 0.0 if share <= 0 else 1.0
    scale = math.lgamma(a + b) - math.lgamma(a) - math.lgamma(b)
    low, high, x = 0.0, 1.0, a / (a + b)
    for _ in range(200):
        over = _beta_cdf(x, a, b) - share
        if over > 0:
            high = x
        else:
            low = x
        density = math.exp(scale + (a - 1) * math.log(x) + (b - 1) * math.log1p(-x))
        step = over / density if density > 0 else math.inf
        if abs(step) < _NEAR:
            return min(max(x - step, low), high)
        x = x - step if low < x - step < high else (low + high) / 2
    return x


def _beta_cdf(x: float, a: float, b: float) -> float:
    """The regularized incomplete beta function, by its continued fraction from the side where that is quick."""
    if x <= 0 or x >= 1:
        return 0.0 if x <= 0 else 1.0
    scale = math.lgamma(a + b) - math.lgamma(a) - math.lgamma(b)
    front = math.exp(scale + a * math.log(x) + b * math.log1p(-x))
    if x < (a + 1) / (a + b + 2):
        return front * _fraction(x, a, b) / a
    return 1 - front * _fraction(1 - x, b, a) / b


def _fraction(x: float, a: float, b: float) -> float:
    """Formula 26.5.8 of Abramowitz and Stegun, Handbook of Mathematical Functions (1964; from memory), by Lentz's
    method."""
    c, d = 1.0, 1 / (1 - (a + b) * x / (a + 1) or _TINY)
    value = d
    for m in range(1, 500):
        even = m * (b - m) * x / ((a + 2 * m - 1) * (a + 2 * m))
        odd = -(a + m) * (a + b + m) * x / ((a + 2 * m) * (a + 2 * m + 1))
        for term in (even, odd):
            d = 1 / (1 + term * d or _TINY)
            c = 1 + term / c or _TINY
            value *= c * d
        if abs(c * d - 1) < 1e-15:
            break
    return value
