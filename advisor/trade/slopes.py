"""How much of a price a model year and 10,000 miles take, as these comparables tell it.

In: log prices with age and miles, and what is usual. Out: `Slopes`. Two Theil-Sen slopes, each taken of what the other
leaves (P. K. Sen, Estimates of the regression coefficient based on Kendall's tau, 1968), and drawn towards the usual
figures as far as the comparables are few or alike.
"""

from __future__ import annotations

from collections.abc import Sequence

from attrs import frozen

from advisor.trade.robust import median

__all__ = ["Point", "Slope", "Slopes", "fit"]

Point = tuple[float, float | None, float | None]
"""A log price, an age in model years and a mileage in 10,000 miles; None where it is not given."""

_TRUST = 0.5
"""A usual figure is right to within half of itself, one standard deviation: a house figure."""
_LEAST_TRUST = 0.01
"""A usual figure of zero would never be corrected; one of a percent is the smallest that anybody writes."""
_PASSES, _SETTLED = 12, 1e-4
"""Two slopes that lean on each other are taken in turn until neither moves by a hundredth of a percent."""
_MOST = 80
"""Pairs grow with the square of the number; this many points make 3,160, and a slope well known."""


@frozen
class Slope:
    """A change of the log price per unit; `information` is the sum of squares it stands on, what is usual included;
    `own` is the part of it that the comparables themselves bring, from 0 to 1."""

    value: float
    information: float
    own: float


@frozen
class Slopes:
    """Both slopes: per model year of age, and per 10,000 miles."""

    age: Slope
    miles: Slope


def fit(points: Sequence[Point], usual_age: float, usual_miles: float, spread: float) -> Slopes:
    """The slopes of these points, drawn to the usual ones; `spread` is how far log prices stray around them.

    A normal estimate and a normal prior, weighed by their precision: a sum of squares S of x makes a slope's variance
    spread^2 / S, and `_TRUST` says that of the usual figure. The first `_MOST` points count.
    """
    points = points[:_MOST]
    pairs = [_difference(p, q) for i, p in enumerate(points) for q in points[:i]]
    ratios = [_ratios(pairs, 1, 2), _ratios(pairs, 2, 1)]
    usual = (usual_age, usual_miles)
    squares = [_sum_of_squares([p[axis] for p in points]) for axis in (1, 2)]
    priors = [(spread / max(_TRUST * abs(u), _LEAST_TRUST)) ** 2 for u in usual]
    slopes = list(usual)
    for _ in range(_PASSES):
        before = tuple(slopes)
        for axis, other in ((0, 1), (1, 0)):
            if ratios[axis]:
                found = median([steep - slopes[other] * cross for steep, cross in ratios[axis]])
                s, k = squares[axis], priors[axis]
                slopes[axis] = (s * found + k * usual[axis]) / (s + k)
        if max(abs(a - b) for a, b in zip(slopes, before, strict=True)) < _SETTLED:
            break
    age, miles = (Slope(v, s + k, s / (s + k)) for v, s, k in zip(slopes, squares, priors, strict=True))
    return Slopes(age, miles)


Pair = tuple[float, float, float]


def _difference(one: Point, other: Point) -> Pair:
    """From one point to another; what is not given makes no difference."""
    return (
        one[0] - other[0],
        one[1] - other[1] if one[1] is not None and other[1] is not None else 0.0,
        one[2] - other[2] if one[2] is not None and other[2] is not None else 0.0,
    )


def _ratios(pairs: Sequence[Pair], axis: int, other: int) -> list[tuple[float, float]]:
    """For pairs that differ along an axis, what the log price and the other axis do for each unit of it."""
    return [(p[0] / p[axis], p[other] / p[axis]) for p in pairs if p[axis]]


def _sum_of_squares(values: Sequence[float | None]) -> float:
    given = [v for v in values if v is not None]
    middle = sum(given) / len(given) if given else 0.0
    return sum((v - middle) ** 2 for v in given)
