"""Statistics that a few wrong figures cannot bend.

In: numbers, with weights where they differ in worth. Out: medians, scores and quantiles. Floats throughout;
whoever calls rounds. None of them divides by a spread of zero.
"""

from __future__ import annotations

from collections.abc import Sequence

__all__ = [
    "deviation",
    "huber_location",
    "huber_share",
    "median",
    "modified_z",
    "student_t_90",
    "weighted_median",
]

_MAD_OF_NORMAL = 0.6745
"""The median absolute deviation of a normal distribution in standard deviations: its third quartile."""
_HUBER_BEND = 1.345
"""Where Huber's estimate turns from mean to median, in standard deviations: 95 % efficient on normal data, the usual
choice (P. J. Huber, Robust Statistics, 1981; from memory)."""
_LEAST_SQUARES_SHARE = 1e-3
"""Between two far groups of equal weight Huber's estimate is free to lie anywhere; this much of the mean decides."""
_FINE = 1e-12
"""How narrow a bracket around the middle has to be: of a log price, far less than a cent of any car."""


def median(values: Sequence[float]) -> float:
    """The middle value, or the mean of the middle two; of at least one value."""
    ordered = sorted(values)
    half = len(ordered) // 2
    return ordered[half] if len(ordered) % 2 else (ordered[half - 1] + ordered[half]) / 2


def weighted_median(values: Sequence[float], weights: Sequence[float]) -> float:
    """The smallest value whose weight, with that of all below it, is at least half of the whole."""
    half, below = sum(weights) / 2, 0.0
    ordered = sorted(zip(values, weights, strict=True))
    for value, weight in ordered:
        below += weight
        if below >= half:
            return value
    return ordered[-1][0]


def deviation(values: Sequence[float], weights: Sequence[float], floor: float) -> float:
    """A standard deviation from the weighted median absolute deviation, and at least `floor`."""
    middle = weighted_median(values, weights)
    return max(weighted_median([abs(v - middle) for v in values], weights) / _MAD_OF_NORMAL, floor)


def modified_z(values: Sequence[float], floor: float = 0.0, among: Sequence[float] | None = None) -> list[float]:
    """How far each value lies from the median, in robust standard deviations; all 0 if these are 0.

    `floor` is the least standard deviation that is believed; median and deviation are those of `among`, if it is given.
    B. Iglewicz and D. C. Hoaglin, How to Detect and Handle Outliers, 1993, who call a value beyond 3.5 an outlier.
    """
    among = values if among is None else among
    if not among:
        return [0.0 for _ in values]
    middle = median(among)
    scale = max(median([abs(v - middle) for v in among]) / _MAD_OF_NORMAL, floor)
    return [(v - middle) / scale if scale else 0.0 for v in values]


def huber_location(
    values: Sequence[float], weights: Sequence[float], scale: float, ceilings: Sequence[tuple[float, float]] = ()
) -> float:
    """The weighted middle of the values: a mean of those near it, to which the far ones only add a pull.

    `ceilings` are values with weights that the middle should not exceed: each pulls it down where it lies below the
    middle, and does nothing where it lies above. Minimizes a sum of convex losses, so there is one answer, and
    another ceiling never raises it.
    """
    bend = _HUBER_BEND * scale
    weighted = list(zip(values, weights, strict=True))
    low, high = min([*values, *(v for v, _ in ceilings)]), max(values)
    while high - low > _FINE:
        middle = (low + high) / 2
        pull = sum([w * _bent(v - middle, bend) for v, w in weighted])
        pull += sum([w * _bent(v - middle, bend) for v, w in ceilings if v < middle])
        if pull > 0:
            low = middle
        else:
            high = middle
    return (low + high) / 2


def huber_share(distance: float, scale: float) -> float:
    """How much of its weight a value at this distance from the middle keeps: 1 near it, less the farther it is."""
    bend = _HUBER_BEND * scale
    return _bent(distance, bend) / distance if distance else 1 + _LEAST_SQUARES_SHARE


def _bent(distance: float, bend: float) -> float:
    kept = bend if distance > bend else -bend if distance < -bend else distance
    return kept + _LEAST_SQUARES_SHARE * distance


_Z_90 = 1.2815515655446004
"""The 90th percentile of the normal distribution."""


def student_t_90(freedom: float) -> float:
    """The 90th percentile of Student's t, within 0.2 % from two degrees of freedom up, which need not be whole.

    The expansion 26.7.5 of M. Abramowitz and I. A. Stegun, Handbook of Mathematical Functions, 1964.
    """
    z = _Z_90
    terms = (
        (z**3 + z) / 4,
        (5 * z**5 + 16 * z**3 + 3 * z) / 96,
        (3 * z**7 + 19 * z**5 + 17 * z**3 - 15 * z) / 384,
        (79 * z**9 + 776 * z**7 + 1482 * z**5 - 1920 * z**3 - 945 * z) / 92160,
    )
    return z + sum(term / freedom ** (i + 1) for i, term in enumerate(terms))
