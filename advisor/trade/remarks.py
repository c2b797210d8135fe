"""What is said beside the estimate and below it.

In: the rows of an estimate, its slopes and its middle. Out: a remark for a row of the grid, and notes as sentences.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from decimal import Decimal

from advisor.trade.market import Comparable, Market
from advisor.trade.rows import NEAR_MILES, NEAR_YEARS, Row
from advisor.trade.slopes import Slope, Slopes
from advisor.trade.weighing import Middle

__all__ = ["notes_on", "remark_on"]

_ENOUGH = 3
"""Comparables that an appraiser's grid wants at least: common practice."""
_FEW = 5
"""Fewer comparables than this are called little: a house figure."""
_MOST_NAMED = 8
"""Rows that are named one by one in a note; the grid tells of all."""
_WORDS = ("", "One", "Two", "Three", "Four")


def remark_on(row: Row, comparables: Sequence[Comparable], likely: float) -> str:
    """Why a row counts differently from the others, and what could not be adjusted; empty if nothing is to be said."""
    said = []
    if row.twin is not None:
        return f"same car as {_name(row.twin, comparables)}"
    if row.outlier:
        return f"{_times(row, likely)} what the others lead to expect"
    if row.bound:
        above = ", which is above the estimate" if not row.share else ""
        said.append(f"has stood long: brings no more than this{above}")
    if row.left_out:
        said.append("not given: " + ", ".join(row.left_out))
    return "; ".join(said)


def _name(index: int, comparables: Sequence[Comparable]) -> str:
    row = comparables[index].row
    return f"row {row}" if row else f"comparable {index + 1}"


def _times(row: Row, likely: float) -> str:
    return f"{math.exp(max(-30.0, min(30.0, row.level - likely))):.2f} times"


def notes_on(
    rows: Sequence[Row], slopes: Slopes, middle: Middle | None, year: int | None, miles: Decimal | None, market: Market
) -> tuple[str, ...]:
    """What a reader has to know to trust the range as far as it goes, and no farther."""
    in_order = sorted(rows, key=lambda r: (r.comparable.row, r.index))
    notes = []
    if middle is None:
        notes.append("No comparable says what the car brings: give a figure of your own, as low .. likely .. high.")
    else:
        notes += _how_many(rows, middle)
        notes += _range(middle, market)
        notes += _slope("For each model year older", "age", slopes.age, year is not None)
        notes += _slope("For each 10,000 miles more", "mileage", slopes.miles, miles is not None)
    notes += _set_aside(in_order, middle)
    notes += _left_out(in_order)
    return tuple(notes)


def _how_many(rows: Sequence[Row], middle: Middle) -> Iterable[str]:
    count = sum(r.share > 0 for r in rows)
    if middle.only_at_most:
        yield "Every asking price here has stood long: the car brings no more than the lowest, and may bring less."
        return
    if count < _FEW:
        verb = "comparable is" if count == 1 else "comparables are"
        more = "; two or three more would narrow the range" if count < _ENOUGH else ""
        yield f"{_WORDS[count]} {verb} little to go by: most of the range is what is usual, not what these show{more}."
    near = sum(r.share > 0 and r.near for r in rows)
    if near < min(count, _ENOUGH):
        those = "None of them is" if near == 0 else "One of them is" if near == 1 else "Two of them are"
        yield (
            f"{those} within {NEAR_YEARS:.0f} model years and "
            f"{NEAR_MILES:.0f}0,000 miles of this car: the others stand far off, and the adjustments are large."
        )


def _range(middle: Middle, market: Market) -> Iterable[str]:
    if middle.only_at_most:
        return
    usual = f"{float(market.spread):.0%}"
    yield (
        f"Low to high is an 80 % range for one sale: prices stray by {middle.spread:.0%} (usual is {usual}), and the "
        f"weights amount to {middle.effective:.1f} comparables."
    )


def _slope(unit: str, what: str, slope: Slope, known: bool) -> Iterable[str]:
    if not known:
        yield f"This car's {'year' if what == 'age' else 'mileage'} is not given: nothing is adjusted for {what}."
        return
    share = -math.expm1(slope.value)
    verb = "less" if share >= 0 else "more"
    yield f"{unit}: {abs(share):.1%} {verb} ({slope.own:.0%} of this is the comparables' own, the rest is usual)."


def _set_aside(rows: Sequence[Row], middle: Middle | None) -> Iterable[str]:
    likely = middle.likely if middle else 0.0
    for row in rows:
        if row.outlier:
            name = row.name.capitalize()
            yield (
                f"{name} is set aside: its price is {_times(row, likely)} what the others lead to expect. "
                "Check its figures."
            )
    by_index = {r.index: r for r in rows}
    for row in rows:
        if row.twin is not None:
            yield f"{row.name.capitalize()} is the same car as {by_index[row.twin].name} and is not counted again."


def _left_out(rows: Sequence[Row]) -> Iterable[str]:
    counted = [r for r in rows if r.share > 0]
    for what, taken in (("year", ""), ("miles", ""), ("condition", ", and taken as good"), ("date", "")):
        missing = [r.name for r in counted if what in r.left_out]
        if missing:
            if len(missing) == len(counted):
                said = f"No comparable gives {_THE[what]}"
            else:
                said = f"{_listed(missing).capitalize()} {'does' if len(missing) == 1 else 'do'} not give {_THE[what]}"
            yield f"{said}: not adjusted for it{taken}."


_THE = {"year": "the year", "miles": "the miles", "condition": "the condition", "date": "a date"}


def _listed(names: list[str]) -> str:
    if len(names) == 1:
        return names[0]
    if len(names) > _MOST_NAMED:
        return f"{', '.join(names[:_MOST_NAMED])} and {len(names) - _MOST_NAMED} more"
    return ", ".join(names[:-1]) + " and " + names[-1]
