"""Yearly rates, plain and slow: the oracle for what rules compute by `yearly_rate` and `compounded`.

Discounted at e to the power of s, dated payments are a sum of exponentials. Between two points where the slope of
such a sum changes its sign there is at most one zero, and the slope is, after a factor, a sum with one term less: so
all zeros are found, one term after another, and counted. 50 digits, and no code in common with the advisor.
"""

from __future__ import annotations

import decimal
from collections.abc import Sequence
from datetime import date
from decimal import Decimal
from itertools import pairwise

WIDE = decimal.Context(prec=50)
LOWEST, HIGHEST = Decimal("-0.9999"), Decimal(100)
STEP = Decimal("0.0001")

Term = tuple[Decimal, Decimal]
"""A factor, and the years to which it belongs."""


def value(terms: Sequence[Term], s: Decimal) -> Decimal:
    """The sum of the factors, each discounted at e^s a year."""
    total = Decimal(0)
    for factor, years in terms:
        total = WIDE.add(total, WIDE.multiply(factor, WIDE.exp(WIDE.multiply(-s, years))))
    return total


def zeros(terms: Sequence[Term], low: Decimal, high: Decimal) -> list[Decimal]:
    """Every s between the two at which the terms come to nothing, each once."""
    if len(terms) < 2:
        return []
    first = terms[0][1]
    moved = [(factor, WIDE.subtract(years, first)) for factor, years in terms]
    slope = [(WIDE.multiply(-factor, years), years) for factor, years in moved[1:]]
    edges = [low, *zeros(slope, low, high), high]
    found: list[Decimal] = []
    for a, b in pairwise(edges):
        if (value(moved, a) > 0) == (value(moved, b) > 0):
            continue
        rising = value(moved, b) > 0
        while WIDE.subtract(b, a) > Decimal("1e-25"):
            middle = WIDE.divide(WIDE.add(a, b), Decimal(2))
            a, b = (a, middle) if (value(moved, middle) > 0) == rising else (middle, b)
        found.append(a)
    return found


def rounded(rate: Decimal) -> Decimal:
    """A rate to the hundredth of a percent, within what is told."""
    return min(max(rate, LOWEST), HIGHEST).quantize(STEP, rounding=decimal.ROUND_HALF_EVEN, context=WIDE)


def yearly_rate(payments: Sequence[tuple[Decimal, date]]) -> Decimal | None:
    """The one rate at which payments come to nothing; None where there is none, or more than one."""
    days: dict[int, Decimal] = {}
    for amount, day in payments:
        days[day.toordinal()] = WIDE.add(days.get(day.toordinal(), Decimal(0)), amount)
    start = min(days, default=0)
    terms = [(days[d], WIDE.divide(Decimal(d - start), Decimal(365))) for d in sorted(days) if days[d] != 0]
    low, high = WIDE.ln(1 + LOWEST), WIDE.ln(1 + HIGHEST)
    found = zeros(terms, low, high)
    return rounded(WIDE.subtract(WIDE.exp(found[0]), Decimal(1))) if len(found) == 1 else None


def compounded(share: Decimal, days: Decimal) -> Decimal | None:
    """A share earned in some days, again and again for 365; None where there are no days."""
    if days <= 0:
        return None
    if share <= -1:
        return LOWEST
    power = WIDE.multiply(WIDE.ln(WIDE.add(share, Decimal(1))), WIDE.divide(Decimal(365), days))
    if power > 10:
        return HIGHEST
    return rounded(WIDE.subtract(WIDE.exp(power), Decimal(1)))
