"""The functions of the trade that rules may call, by name.

In: plain values in the units that `language/functions.py` names, one after another. Out: a plain value, or None where
there is none. What comes out lies within the domain that is told there, and is rounded to its grain.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from datetime import date
from decimal import Decimal
from itertools import pairwise
from typing import Any

__all__ = ["CALLED"]

_LOWEST, _HIGHEST = Decimal("-0.9999"), Decimal(100)
"""Yearly rates that are told, from -99.99 % to 10,000 %."""
_STEP = Decimal("0.0001")

Terms = list[tuple[float, float]]
"""Amounts and their years."""


def _value(terms: Terms, s: float) -> float:
    """The amounts, discounted at e^s a year."""
    return math.fsum(amount * math.exp(-s * years) for amount, years in terms)


def _zeros(terms: Terms, low: float, high: float) -> list[float]:
    """Every s between two at which the amounts come to nothing.

    After a factor, the slope of a sum of exponentials is one with a term less, and between two of its zeros the sum
    has one at most (Rolle): so none is missed.
    """
    if len(terms) < 2:
        return []
    moved = [(amount, years - terms[0][1]) for amount, years in terms]
    edges = [low, *_zeros([(-amount * years, years) for amount, years in moved[1:]], low, high), high]
    signs = [_value(moved, e) > 0 for e in edges]
    found = []
    for i, (a, b) in enumerate(pairwise(edges)):
        if signs[i] != signs[i + 1]:
            found.append(_between(moved, a, b, rising=signs[i + 1]))
    return found


def _between(terms: Terms, a: float, b: float, *, rising: bool) -> float:
    while True:
        middle = (a + b) / 2
        if not a < middle < b:
            return middle
        if (_value(terms, middle) > 0) == rising:
            b = middle
        else:
            a = middle


def _told(rate: float) -> Decimal:
    return min(max(Decimal(rate), _LOWEST), _HIGHEST).quantize(_STEP)


def _yearly_rate(*values: Any) -> Decimal | None:
    """The one yearly rate, compounded, at which dated amounts come to nothing; None for none or several."""
    payments: Sequence[tuple[Decimal, date]] = list(zip(values[::2], values[1::2], strict=True))
    days: dict[date, Decimal] = {}
    for amount, day in payments:
        days[day] = days.get(day, Decimal(0)) + amount
    first = min(days)
    terms = [(float(days[d]), (d - first).days / 365) for d in sorted(days) if days[d]]
    found = _zeros(terms, math.log1p(float(_LOWEST)), math.log1p(float(_HIGHEST)))
    return _told(math.expm1(found[0])) if len(found) == 1 else None


def _compounded(share: Decimal, days: Decimal) -> Decimal | None:
    """A share earned in so many days, again and again for 365; None without days."""
    if days <= 0:
        return None
    if share <= -1:
        return _LOWEST
    power = math.log1p(float(share)) * 365 / float(days)
    return _told(math.expm1(min(power, 10.0)))


CALLED: dict[str, Callable[..., Any]] = {"compounded": _compounded, "yearly_rate": _yearly_rate}
