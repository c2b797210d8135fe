"""Ends of numbers that are looked up, counted on the calendar, drawn, or told by the trade.

In: a core expression, and the `Bounding` that writes the possible reading. Out: Python for its two ends.
"""

from __future__ import annotations

from decimal import Decimal
from typing import TYPE_CHECKING

from advisor.language import core
from advisor.language.core import Core
from advisor.language.intervals import Readings
from advisor.language.types import Choice, Code, ListOf, Quantity, YesNo

if TYPE_CHECKING:
    from advisor.readings.bounding import Bounding, Two

__all__ = ["looked_up", "reaches"]

_ANYTHING = Decimal(10) ** 30


def looked_up(bounds: Bounding, node: Core) -> Two:
    """The ends of a number that is looked up, counted on the calendar, drawn, or told by the trade."""
    match node:
        case core.Reduce(how=how, operand=operand):
            inner, _ = bounds.mask(operand)
            low, high, few, many = _readings(bounds, operand)
            return bounds.pair(f"reduce_range({how!r}, {inner}, {low}, {high}, {few}, {many})")
        case core.Lookup(table=table, key=key) if isinstance(key.type, Choice):
            mask, _ = bounds.mask(key)
            return bounds.pair(f"look_up_mask(tables[{table!r}], {key.type.options!r}, {mask})")
        case core.Lookup(table=table, key=key):
            a, b = bounds.number(key)
            return bounds.pair(f"look_up_days(tables[{table!r}], {a}, {b})")
        case core.DateShift(left=left, right=right, sign=sign, months=months):
            (a, b), (c, d) = bounds.number(left), bounds.number(right)
            if sign < 0:
                c, d = d, c
            return f"shifted({a}, {c}, {sign}, {months})", f"shifted({b}, {d}, {sign}, {months})"
        case core.DateGap(left=left, right=right):
            (a, b), (c, d) = bounds.number(left), bounds.number(right)
            return f"day_gap({a}, {d})", f"day_gap({b}, {c})"
        case core.DatePart(part=part, operand=operand):
            a, b = bounds.number(operand)
            if part == "month":
                return bounds.pair(f"month_range({a}, {b})")
            return f"Decimal({a}.year)", f"Decimal({b}.year)"
        case core.NextDay(left=left, right=right):
            (wanted, _), (a, b) = bounds.number(left), bounds.number(right)
            return f"next_day({wanted}, {a})", f"next_day({wanted}, {b})"
        case core.DaysTo(edge=edge, season=season, operand=operand):
            a, b = bounds.number(operand)
            return bounds.pair(f"days_to_range({edge!r}, seasons[{season!r}], {a}, {b})")
        case core.Chance() | core.Percentile():
            least, most = (Decimal(0), Decimal(1)) if isinstance(node, core.Chance) else (-_ANYTHING, _ANYTHING)
            anything = f"({bounds.constants.of(least)}, {bounds.constants.of(most)})"
            return bounds.pair(f"draw({node.term}, offer_lo) if draw is not None else {anything}")
        case core.TradeCall(name=name):
            return bounds.pair(f"trade_range({name!r}, {reaches(bounds, node)})")
    raise AssertionError(node)


def reaches(bounds: Bounding, node: core.TradeCall) -> str:
    """What each argument of a call can be, as `called.py` takes it."""
    return ", ".join(_reach(bounds, a) for a in node.args)


def _reach(bounds: Bounding, node: Core) -> str:
    low, high = bounds.value(node)
    match node.type:
        case YesNo():
            return f"('truth', {low}, {high})"
        case Choice(options):
            return f"('mask', {options!r}, {low})"
        case Code() | ListOf():
            return f"('value', {low})"
        case Quantity(whole=True):
            return f"('whole', {low}, {high})"
    return f"('ends', {low}, {high})"


def _readings(bounds: Bounding, operand: Core) -> tuple[str, str, int, int]:
    found = bounds.ranges.of(operand)
    assert isinstance(found, Readings)
    return bounds.constants.of(found.each.low), bounds.constants.of(found.each.high), found.fewest, found.most
