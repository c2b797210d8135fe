"""Operations over arrays that the sampled readings share.

In: numbers, or arrays of them: outcomes, or repair plans. Out: the same. A scalar stays a scalar. Every operation keeps
the order of its operands, and takes for the same what differs by the noise of floating point alone.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from decimal import Decimal
from typing import Any

import numpy as np

from advisor.language.stored import DAY, shifted

__all__ = [
    "compared",
    "extreme",
    "is_array",
    "joined",
    "lead",
    "opposite",
    "powered",
    "quantile",
    "rounding",
    "select",
    "shift",
]

Made = Callable[[Any], Any]
"""A function of an outcome."""

_CLOSE = 9
"""Digits of a step within which a value counts as lying on an edge."""


def _whole(value: Any) -> Any:
    """Free of the noise of floating point, so that an edge is an edge."""
    return np.round(value, _CLOSE)


def _half_away(value: Any) -> Any:
    return np.copysign(np.floor(np.abs(value) + 0.5), value)


_ROUNDINGS: dict[str, Callable[[Any], Any]] = {"half": _half_away, "up": np.ceil, "down": np.floor}


_SAME = 1e-9
"""What two sums may differ by, as a share of them, and be the same in decimals: 0.1 + 0.2 is 0.3."""


def lead(a: Any, b: Any) -> Any:
    """By how much a is above b; nothing where they are the same but for the noise of floating point."""
    gap = np.subtract(a, b)
    noise = _SAME * (1.0 + np.minimum(np.abs(a), 1e15) + np.minimum(np.abs(b), 1e15))
    return np.where(np.abs(gap) <= noise, 0.0, gap)


_COMPARISONS: dict[str, Callable[[Any], Any]] = {
    ">=": lambda lead: lead >= 0,
    "<=": lambda lead: lead <= 0,
    ">": lambda lead: lead > 0,
    "<": lambda lead: lead < 0,
    "is": lambda lead: lead == 0,
}


def compared(op: str, a: Any, b: Any) -> Any:
    found = _COMPARISONS[op](lead(a, b))
    return found if is_array(a) or is_array(b) else bool(found)


def is_array(value: Any) -> bool:
    return isinstance(value, np.ndarray)


def opposite(value: Any) -> Any:
    return np.logical_not(value) if is_array(value) else not value


def powered(value: Any, exponent: int) -> Any:
    """Multiplied one after another: products of what is not negative keep their order, powers of numpy may not."""
    found = value
    for _ in range(exponent - 1):
        found = found * value
    return found


def rounding(how: str, step: float) -> Callable[[Any], Any]:
    """Rounding to a step: half away from zero, up or down."""
    work = _ROUNDINGS[how]
    return lambda value: work(_whole(value / step)) * step


def shift(start: Any, by: Any, sign: int, months: bool) -> Any:
    """Dates, as ordinals, moved by calendar times; by whole months of the calendar, or by whole days."""
    if not months:
        found = np.clip(start + sign * np.trunc(_whole(by / DAY)), 1, date.max.toordinal())
        return found if is_array(start) or is_array(by) else int(found)
    each = np.frompyfunc(
        lambda s, b: shifted(date.fromordinal(int(s)), Decimal(repr(float(b))), sign, True).toordinal(), 2, 1
    )
    return np.asarray(each(start, by), dtype=np.int64) if is_array(start) or is_array(by) else each(start, by)


def joined(made: list[Made], *, every: bool) -> Made:
    """All of them, or any; one that is the same for all outcomes can end it."""

    def all_or_any(outcome: Any) -> Any:
        found: Any = every
        for one in made:
            value = one(outcome)
            if is_array(value):
                found = value if found is every else (found & value if every else found | value)
            elif bool(value) is not every:
                return not every
        return found

    return all_or_any


def select(pairs: list[tuple[Made, Made]], otherwise: Made) -> Made:
    """The first branch whose condition holds; nothing is computed that no outcome comes to."""

    def chosen(outcome: Any) -> Any:
        open_: list[tuple[Any, Any]] = []
        last: Any = None
        for condition, value in pairs:
            holds = condition(outcome)
            if is_array(holds):
                if holds.all():
                    last = value(outcome)
                    break
                if holds.any():
                    open_.append((holds, value(outcome)))
            elif holds:
                last = value(outcome)
                break
        else:
            last = otherwise(outcome)
        for holds, value in reversed(open_):
            last = np.where(holds, value, last)
        return last

    return chosen


def extreme(which: str, made: list[Made]) -> Made:
    pick, pick_one = (np.minimum, min) if which == "smaller" else (np.maximum, max)

    def picked(outcome: Any) -> Any:
        values = [m(outcome) for m in made]
        found = values[0]
        for value in values[1:]:
            found = pick(found, value) if is_array(found) or is_array(value) else pick_one(found, value)
        return found

    return picked


def quantile(values: Any, share: Any) -> float:
    """The smallest outcome that at least a share of all outcomes do not exceed (the inverted distribution function)."""
    if not is_array(values):
        return float(values)
    ordered = np.sort(values)
    at = int(np.ceil(_whole(share * len(ordered)))) - 1
    return float(ordered[min(max(at, 0), len(ordered) - 1)])
