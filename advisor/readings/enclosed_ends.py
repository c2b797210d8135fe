"""Closed ranges of numbers over outcomes: a lowest and a highest value in each.

In: two ends, each a number or an array; one object twice where they are the same. Out: the same, or of a comparison
whether it can hold and whether it can fail.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np

from advisor.readings.arrays import lead

__all__ = ["Two", "both", "bounded", "compared", "corners", "same"]

Two = tuple[Any, Any]


def both(value: Any) -> Two:
    """One value as both ends."""
    return value, value


def same(low: tuple[Any, ...], high: tuple[Any, ...], work: Callable[..., Any]) -> Two:
    """A function at both ends, once where they are the same."""
    if all(a is b for a, b in zip(low, high, strict=True)):
        return both(work(*low))
    return work(*low), work(*high)


def bounded(low: Any, high: Any) -> Two:
    """Ends without a value, as of infinity less infinity, may be anything."""
    if low is high and np.all(np.isfinite(low)):
        return low, high
    return np.where(np.isnan(low), -np.inf, low), np.where(np.isnan(high), np.inf, high)


def corners(work: Callable[[Any, Any], Any], left: Two, right: Two, factor: float) -> Two:
    """A product or quotient times a factor, at its corners."""
    if left[0] is left[1] and right[0] is right[1]:
        return both(work(left[0], right[0]) * factor)
    corners = np.broadcast_arrays(*(work(x, y) * factor for x in left for y in right))
    return np.minimum.reduce(corners), np.maximum.reduce(corners)  # without a value where any corner has none


def compared(op: str, left: Two, right: Two) -> Two:
    """Whether a comparison can hold and can fail; both, where ends are without bounds."""
    most, least = lead(left[1], right[0]), lead(left[0], right[1])
    match op:
        case ">=":
            return ~(most < 0), ~(least >= 0)
        case ">":
            return ~(most <= 0), ~(least > 0)
        case "<=":
            return ~(least > 0), ~(most <= 0)
        case "<":
            return ~(least >= 0), ~(most < 0)
    return ~((most < 0) | (least > 0)), ~((most == 0) & (least == 0))
