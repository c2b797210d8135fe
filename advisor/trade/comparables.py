"""What a car brings, from others like it that were asked for or sold.

In: comparables as people write them down, this car's year and miles, and the figures of the market. Out: a
`Valuation`: low, likely and high as an 80 % range, and the grid of adjustments behind it.

Prices are compared on the log scale, where an adjustment is a share. Each is brought to a private sale, to good
condition and a clean title by the market's figures (`grid.py`), and to this car's age and miles by slopes that the
comparables themselves correct (`slopes.py`). Near ones weigh more (`weighing.py`). What fits none of the others is
set aside, and said (`remarks.py`).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from datetime import date
from decimal import Decimal

from advisor.trade.grid import cents, in_money
from advisor.trade.market import Comparable, Line, Market, Valuation
from advisor.trade.remarks import notes_on, remark_on
from advisor.trade.robust import modified_z
from advisor.trade.rows import Row, rows_of
from advisor.trade.slopes import Slopes, fit
from advisor.trade.weighing import Middle, at_most, weigh

__all__ = ["Comparable", "Line", "Market", "Valuation", "estimate"]

_OUTLIER = 3.5
"""The modified z-score beyond which a price is set aside: B. Iglewicz and D. C. Hoaglin, 1993."""
_ROUNDS = 3
"""Slopes are taken anew without the outliers; rarely does the second time find another."""


def estimate(
    comparables: Sequence[Comparable], year: int | None, miles: Decimal | None, on: date | None, market: Market
) -> Valuation:
    """What a car of this year and mileage brings on a day, in good condition and with a clean title.

    Years and miles may be missing, of a comparable or of this car: what cannot be adjusted is left out and said.
    The order of the comparables makes no difference. Amounts are rounded to the cent.
    """
    rows = rows_of(comparables, year, miles, on, market)
    counted = [r for r in rows if r.twin is None]
    plain, bounds = [r for r in counted if not r.bound], [r for r in counted if r.bound]
    slopes = _settle(plain, market)
    _level(rows, slopes)
    kept = [r for r in plain if not r.outlier]
    middle: Middle | None = None
    if kept:
        _mark(bounds, plain, float(market.spread))
        middle = weigh(kept, [r for r in bounds if not r.outlier], slopes, float(market.spread))
    elif bounds:
        middle = at_most(bounds, slopes, float(market.spread))
    lines = _lines(comparables, rows, slopes, middle)
    notes = notes_on(rows, slopes, middle, year, miles, market)
    if middle is None:
        return Valuation(None, None, None, lines, notes)
    return Valuation(cents(middle.low), cents(middle.likely), cents(middle.high), lines, notes)


def _settle(plain: list[Row], market: Market) -> Slopes:
    """The slopes of all that are no outliers; marks the outliers."""
    usual = math.log1p(-float(market.a_year)), math.log1p(-float(market.per_10k))
    kept = plain
    for _ in range(_ROUNDS):
        slopes = fit([(r.log, r.older, r.more) for r in kept], *usual, float(market.spread))
        _level(plain, slopes)
        _mark(plain, plain, float(market.spread))
        before, kept = kept, [r for r in plain if not r.outlier]
        if before == kept:
            break
    return slopes


def _level(rows: list[Row], slopes: Slopes) -> None:
    """Bring rows to this car's age and miles."""
    for row in rows:
        row.level = row.log - slopes.age.value * (row.older or 0.0) - slopes.miles.value * (row.more or 0.0)


def _mark(rows: list[Row], plain: list[Row], usual: float) -> None:
    """Mark the rows that fit none of the plain ones.

    What lies within the usual spread of like cars is no outlier, however well the others agree: an old car's price is
    not wrong because the slope of newer ones has been stretched to it.
    """
    scores = modified_z([r.level for r in rows], usual, [r.level for r in plain])
    for row, score in zip(rows, scores, strict=True):
        row.outlier = abs(score) > _OUTLIER


def _lines(
    comparables: Sequence[Comparable], rows: list[Row], slopes: Slopes, middle: Middle | None
) -> tuple[Line, ...]:
    """The grid, in the order in which the comparables came."""
    whole = math.fsum(r.share for r in rows) or 1.0
    likely = middle.likely if middle else 0.0
    lines = {
        i: Line(c, (), c.price, Decimal(0), False, False, "no price", "no price") for i, c in enumerate(comparables)
    }
    for row in rows:
        moved = (
            ("age", -slopes.age.value * (row.older or 0.0)),
            ("miles", -slopes.miles.value * (row.more or 0.0)),
        )
        adjustments, adjusted = in_money(row.comparable.price, row.sale + moved + row.car)
        weight = round(Decimal(row.share / whole), 3)
        remark = remark_on(row, comparables, likely)
        lines[row.index] = Line(
            row.comparable, adjustments, adjusted, weight, row.share > 0, row.bound, remark, row.set_aside
        )
    return tuple(lines[i] for i in range(len(comparables)))
