"""From prices brought to this car to a range: which of them count how much, and how far they stray.

In: rows with their levels, and the slopes that led to these. Out: a `Middle`, in logs of the price; each row's share.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from attrs import frozen

from advisor.trade.robust import deviation, huber_location, huber_share, student_t_90
from advisor.trade.rows import Row
from advisor.trade.slopes import Slopes

__all__ = ["Middle", "at_most", "weigh"]

_LEAST_SPREAD = 0.05
"""Two like cars differ by this share at least, however well a few prices agree: a house figure."""
_PRIOR_WEIGHT = 2.0
"""The usual spread counts as much as the spread that two comparables show: a house figure."""
_LEAST_LOG_WEIGHT = -60.0
"""Beyond this a weight would be lost to rounding beside the nearest one's."""


@frozen
class Middle:
    """The estimate and its 80 % range in logs, and how they came about.

    `spread` is one standard deviation of the prices, as a share; `effective` how many comparables of equal weight the
    weights amount to (L. Kish, Survey Sampling, 1965), `freedom` the degrees of freedom of Student's t. `only_at_most`
    says that nothing but upper bounds was there.
    """

    low: float
    likely: float
    high: float
    spread: float
    effective: float
    freedom: float
    only_at_most: bool = False


def weigh(plain: Sequence[Row], bounds: Sequence[Row], slopes: Slopes, spread: float) -> Middle:
    """The middle of the plain rows, pulled down by bounds below it; `spread` is how far like cars usually stray.

    The range is that of a single further sale, from the spread around the middle, its own uncertainty and that of the
    slopes, by Student's t. The spread is a weighed mean of the usual one and of that of the plain rows, as a normal
    model with a scaled inverse chi-squared prior has it (A. Gelman et al., Bayesian Data Analysis, from memory).
    """
    for row in (*plain, *bounds):
        # A normal kernel: at one width a comparable counts 61 %, at two 14 %; all beside the nearest, at 100 %.
        log = (plain[0].far ** 2 - row.far**2) / 2
        row.weight = math.exp(min(0.0, max(_LEAST_LOG_WEIGHT, log)))
    values, weights = [r.level for r in plain], [r.weight for r in plain]
    scale = deviation(values, weights, _LEAST_SPREAD)
    middle = likely = huber_location(values, weights, scale)
    below = [(r.level, r.weight) for r in bounds if r.level < middle]
    if below:
        likely = huber_location(values, weights, scale, below)
    for row in (*plain, *(b for b in bounds if b.level < likely)):
        row.share = row.weight * huber_share(row.level - likely, scale)
    return _range(plain, likely, middle, slopes, spread)


def _range(plain: Sequence[Row], likely: float, middle: float, slopes: Slopes, usual: float) -> Middle:
    whole = math.fsum(r.weight for r in plain)
    effective = whole**2 / math.fsum(r.weight**2 for r in plain)
    strayed = math.fsum(r.weight * (r.level - middle) ** 2 for r in plain) / whole
    freedom = _PRIOR_WEIGHT + effective - 1
    spread = max(math.sqrt((_PRIOR_WEIGHT * usual**2 + effective * strayed) / freedom), _LEAST_SPREAD)
    half = student_t_90(freedom) * spread * math.sqrt(1 + 1 / effective + _moved(plain, whole, slopes))
    return Middle(likely - half, likely, likely + half, spread, effective, freedom)


def _moved(rows: Sequence[Row], whole: float, slopes: Slopes) -> float:
    """What the uncertainty of the slopes adds to the variance, by how far the rows had to be moved on the whole."""
    older = math.fsum(r.weight * (r.older or 0.0) for r in rows) / whole
    more = math.fsum(r.weight * (r.more or 0.0) for r in rows) / whole
    return older**2 / slopes.age.information + more**2 / slopes.miles.information


def at_most(bounds: Sequence[Row], slopes: Slopes, spread: float) -> Middle:
    """What bounds tell where there is nothing else: the car brings no more than the lowest of them."""
    lowest = min(bounds, key=lambda r: r.level)
    lowest.weight = lowest.share = 1.0
    half = student_t_90(_PRIOR_WEIGHT) * spread * math.sqrt(1 + _moved([lowest], 1.0, slopes))
    top = lowest.level
    return Middle(top - half, top, top, spread, 1.0, _PRIOR_WEIGHT, only_at_most=True)
