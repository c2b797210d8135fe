"""Yearly rates: what a share earned in some days, or a row of dated payments, comes to in a year.

In: shares, days and dated amounts of money, as decimals. Out: rates as decimals, shares of one, each rounded half even
to the grain that its function names. A year has 365 days throughout, leap years too, as spreadsheets have it in XIRR.

Discounted at e to the power of s a year, dated payments are a sum of exponentials. If their signs change k times in
the order of their dates, the sum has k zeros at most (Descartes' rule, which holds for exponentials as for powers).
Seen from a date at which they change, its slope changes them once less; and between two zeros of its slope the sum
has one zero at most (Rolle). So every rate is found, and none is missed.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from datetime import date
from decimal import Decimal
from itertools import pairwise

from attrs import frozen

__all__ = ["HIGHEST", "LOWEST", "Rates", "rate_of_payments", "yearly_compounded", "yearly_simple", "zeros"]

_YEAR = 365
LOWEST, HIGHEST = Decimal("-0.9999"), Decimal(100)
"""Between these rates are told, -99.99 % and 10,000 %: beyond them nobody learns anything from a yearly rate."""
_ENOUGH = 5.0
"""A power of e beyond what is told."""
_STEP, _FINE_STEP = Decimal("0.0001"), Decimal("1e-9")
_NOTHING = 1e-14
"""What counts as zero, as a share of all that is summed: two rates that fall together only touch it."""

Terms = Sequence[tuple[float, float]]
"""Amounts and the years after which they are paid, in order."""


@frozen
class Rates:
    """Every yearly rate, compounded, at which payments come to nothing, the lowest first.

    Shares of one, to 1e-9; two rates nearer to each other than about 1e-6 may be told as one.
    """

    all: tuple[Decimal, ...]

    @property
    def only(self) -> Decimal | None:
        """The rate, if there is one and no other."""
        return self.all[0] if len(self.all) == 1 else None


def yearly_simple(share: Decimal, days: Decimal) -> Decimal | None:
    """A share earned in some days, as a simple rate: so much for each day, 365 times; to 0.01 %. None without days.

    So does Regulation Z where one advance is paid back at once within a year (12 CFR 1026, appendix J (b)(5)(vii)).
    """
    return (share * _YEAR / days).quantize(_STEP) if days > 0 else None


def yearly_compounded(share: Decimal, days: Decimal) -> Decimal | None:
    """A share earned in some days, again and again for 365, within what is told; to 0.01 %. None without days."""
    if days <= 0:
        return None
    if share <= -1:
        return LOWEST
    power = math.log1p(float(share)) * _YEAR / float(days)
    return _told(math.expm1(min(power, _ENOUGH)), _STEP)


def rate_of_payments(payments: Sequence[tuple[date, Decimal]]) -> Rates:
    """The rates between -99.99 % and 10,000 % at which dated payments, discounted to one day, come to nothing.

    What is paid out is below zero, what comes in above; in any order. Payments of one day count as their sum. Where
    signs change more than once there may be several rates, and none of them says what the payments earn.
    """
    days: dict[date, Decimal] = {}
    for day, amount in payments:
        days[day] = days.get(day, Decimal(0)) + amount
    kept = sorted(d for d in days if days[d])
    terms = [(float(days[d]), (d - kept[0]).days / _YEAR) for d in kept]
    found = zeros(terms, math.log1p(float(LOWEST)), math.log1p(float(HIGHEST)))
    return Rates(tuple(_told(math.expm1(s), _FINE_STEP) for s in found))


def zeros(terms: Terms, low: float, high: float) -> list[float]:
    """Every s between two at which the amounts, discounted at e^s a year, come to nothing; each once, in order."""
    changes = [i for i, ((a, _), (b, _)) in enumerate(pairwise(terms)) if (a > 0) != (b > 0)]
    if not changes:
        return []
    turning: list[float] = []
    if len(changes) > 1:
        middle = changes[len(changes) // 2]
        seen_from = (terms[middle][1] + terms[middle + 1][1]) / 2
        turning = zeros([(-amount * (years - seen_from), years) for amount, years in terms], low, high)
    found: list[float] = []
    for a, b in pairwise([low, *turning, high]):
        before, after = _sign(terms, a), _sign(terms, b)
        if before * after < 0:
            found.append(_between(terms, a, b, rising=after > 0))
        if after == 0 and b != high:
            found.append(b)
    return found


def _sign(terms: Terms, s: float) -> int:
    """Of what the amounts come to: -1 or 1, and 0 where that is nothing."""
    value = _value(terms, s)
    return 0 if abs(value) <= _NOTHING else 1 if value > 0 else -1


def _value(terms: Terms, s: float) -> float:
    """What the amounts come to, discounted at e^s a year, as a share of their sum without signs."""
    # Seen from the date at which the most is left of a dollar: that changes no sign, and keeps all powers small.
    powers = [-s * years for _, years in terms]
    largest = max(powers)
    parts = [amount * math.exp(power - largest) for (amount, _), power in zip(terms, powers, strict=True)]
    return math.fsum(parts) / math.fsum(map(abs, parts))


def _between(terms: Terms, a: float, b: float, *, rising: bool) -> float:
    """The zero between two points where the signs differ."""
    while True:
        middle = (a + b) / 2
        if not a < middle < b:
            return middle
        if (_value(terms, middle) > 0) == rising:
            b = middle
        else:
            a = middle


def _told(rate: float, step: Decimal) -> Decimal:
    return min(max(Decimal(rate), LOWEST), HIGHEST).quantize(step)
