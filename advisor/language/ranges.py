"""What values an expression can take, over every car the questions allow.

In: core expressions and the ranges of the names in them. Out: closed ranges, used to prove that a divisor is
never negative, that a factor has a sign, that a comparison can go either way, and that no value outgrows what
can be computed exactly. This is the checker's own plain evaluator; the generated `possible` reading is tested
against it.
"""

from __future__ import annotations

from collections.abc import Iterable
from decimal import Decimal, Overflow
from fractions import Fraction

from attrs import define, field

from advisor.language import core
from advisor.language.core import Core
from advisor.language.intervals import (
    ANY_DAY,
    EITHER,
    Days,
    Interval,
    Options,
    Range,
    Readings,
    Truth,
    compare_ranges,
    domain_range,
    value_range,
)
from advisor.language.program import FaultDef, SeasonDef, TableDef
from advisor.language.signatures import TRADE
from advisor.language.stored import DAY, day_gap, powered, rounded, scaled, shifted
from advisor.language.types import (
    EXACT,
    Quantity,
    decimal,
)

__all__ = ["Ranges", "plan_ranges"]

_HUGE = Decimal("1e30")
"""No quantity may pass this, so that cents stay exact in 34 digits."""


@define
class Ranges:
    """The ranges of names, filled in as definitions are checked, and of any expression over them."""

    seasons: dict[str, SeasonDef]
    tables: dict[str, TableDef]
    highest_offer: Decimal
    """The most that `offer` can be: the setting, or the dearest car that can be asked for."""
    names: dict[str, Range] = field(factory=dict)
    plan: dict[str, Interval] = field(factory=dict)
    counts: dict[str, int] = field(factory=dict)

    def number(self, node: Core) -> Interval:
        """The range of a number or quantity; raises `decimal.Overflow` where it outgrows all bounds."""
        found = self.of(node)
        return found if isinstance(found, Interval) else Interval(Decimal(0), Decimal(0))

    def truth(self, node: Core) -> Truth:
        """The range of a condition."""
        found = self.of(node)
        return found if isinstance(found, Truth) else EITHER

    def _days(self, node: Core) -> Days:
        found = self.of(node)
        return found if isinstance(found, Days) else ANY_DAY

    def of(self, node: Core) -> Range:
        """The range of any expression."""
        match node:
            case core.Const(value=value):
                return value_range(value)
            case core.Ref(name=name):
                return self.names.get(name)
            case core.Special(name=name):
                return self._special(name)
            case core.PlanFigure(figure=figure):
                return self.plan[figure]
            case core.Not(operand=operand):
                truth = self.truth(operand)
                return Truth(truth.can_fail, truth.can_hold)
            case core.All(args=args):
                truths = [self.truth(a) for a in args]
                return Truth(all(t.can_hold for t in truths), any(t.can_fail for t in truths))
            case core.Any(args=args):
                truths = [self.truth(a) for a in args]
                return Truth(any(t.can_hold for t in truths), all(t.can_fail for t in truths))
            case core.Compare():
                return self._compare(node)
            case core.OneOf(operand=operand, options=options):
                found = self.of(operand)
                if not isinstance(found, Options):
                    return EITHER
                return Truth(bool(found.open & set(options)), bool(found.open - set(options)))
            case core.InSeason() | core.Chance():
                return EITHER if isinstance(node, core.InSeason) else Interval(Decimal(0), Decimal(1))
            case core.Select():
                return self._select(node)
            case core.TradeCall(type=type_, name=name):
                return domain_range(type_, *(TRADE[name].ends if TRADE[name].domain else (None, None)))
            case core.DateShift() | core.DateGap() | core.DatePart() | core.DaysTo() | core.NextDay():
                return self._calendar(node)
            case _:
                return _bounded(self._arithmetic(node))

    def _special(self, name: str) -> Range:
        if name == "today":
            return ANY_DAY
        if name in ("offer", "ceiling"):
            return Interval(Decimal(0), self.highest_offer)
        return Interval(Decimal(0), Decimal(self.counts.get(name, 0)))

    def _arithmetic(self, node: Core) -> Interval:
        match node:
            case core.Add(left=left, right=right):
                a, b = self.number(left), self.number(right)
                return Interval(EXACT.add(a.low, b.low), EXACT.add(a.high, b.high))
            case core.Subtract(left=left, right=right):
                a, b = self.number(left), self.number(right)
                return Interval(EXACT.subtract(a.low, b.high), EXACT.subtract(a.high, b.low))
            case core.Multiply(left=left, right=right, factor=factor):
                return _corners(self.number(left), self.number(right), factor)
            case core.Divide(left=left, right=right, factor=factor):
                a, b = self.number(left), self.number(right)
                if b.low <= 0 <= b.high:
                    return Interval(-_HUGE, _HUGE)
                ends = [scaled(EXACT.divide(x, y), factor) for x in (a.low, a.high) for y in (b.low, b.high)]
                return Interval(min(ends), max(ends))
            case core.Power(operand=operand, exponent=exponent):
                a = self.number(operand)
                return Interval(powered(a.low, exponent), powered(a.high, exponent))
            case core.Negate(operand=operand):
                a = self.number(operand)
                return Interval(-a.high, -a.low)
            case core.Extreme(which=which, args=args):
                each = [self.number(a) for a in args]
                pick = min if which == "smaller" else max
                return Interval(pick(e.low for e in each), pick(e.high for e in each))
            case core.Rounded(how=how, operand=operand, step=step):
                a = self.number(operand)
                return Interval(rounded(a.low, how, step), rounded(a.high, how, step))
            case core.Reduce(how=how, operand=operand):
                readings = self.of(operand)
                assert isinstance(readings, Readings)
                if how == "count":
                    return Interval(Decimal(readings.fewest), Decimal(readings.most))
                return readings.each
            case core.Counted(args=args):
                truths = [self.truth(a) for a in args]
                return Interval(Decimal(sum(not t.can_fail for t in truths)), Decimal(sum(t.can_hold for t in truths)))
            case core.Lookup(table=table):
                values = [v for _, v in self.tables[table].entries]
                return Interval(min(values), max(values))
            case core.Percentile(right=right):
                a = self.number(right)
                reach = 10 * max(abs(a.low), abs(a.high))  # what is drawn goes further wrong than any estimate
                return Interval(-reach, reach)
        raise AssertionError(node)

    def _compare(self, node: core.Compare) -> Truth:
        left, right = self.of(node.left), self.of(node.right)
        if not (isinstance(left, Interval | Days) and isinstance(right, Interval | Days)):
            return EITHER
        return compare_ranges(node.op, left, right)

    def _select(self, node: core.Select) -> Range:
        found: list[Range] = []
        for condition, value in node.branches:
            truth = self.truth(condition)
            if truth.can_hold:
                found.append(self.of(value))
            if not truth.can_fail:
                return _hull(found)
        return _hull([*found, self.of(node.otherwise)])

    def _calendar(self, node: Core) -> Range:
        match node:
            case core.DateShift(left=left, right=right, sign=sign, months=months):
                day, amount = self._days(left), self.number(right)
                ends = (amount.low, amount.high) if sign > 0 else (amount.high, amount.low)
                return Days(shifted(day.low, ends[0], sign, months), shifted(day.high, ends[1], sign, months))
            case core.DateGap(left=left, right=right):
                a, b = self._days(left), self._days(right)
                return Interval(day_gap(a.low, b.high), day_gap(a.high, b.low))
            case core.NextDay(right=right):
                day = self._days(right)
                return Days(day.low, shifted(day.high, Decimal(366 * DAY), 1, False))
            case core.DatePart(part=part, operand=operand):
                day = self._days(operand)
                if part == "year":
                    return Interval(Decimal(day.low.year), Decimal(day.high.year))
                return Interval(Decimal(1), Decimal(12))
        return Interval(Decimal(0), decimal(366 * DAY))


def plan_ranges(faults: Iterable[FaultDef], ranges: Ranges) -> dict[str, Interval]:
    """Bounds for the figures of any repair plan for these faults."""
    faults = list(faults)
    zero, one = Decimal(0), Decimal(1)
    found = {}
    for kind in ("parts", "shop", "labor", "wait"):
        figures = [getattr(f, kind) for f in faults]
        highs = [ranges.number(g).high for g in figures if isinstance(g, core.Core) and isinstance(g.type, Quantity)]
        found[kind] = Interval(zero, max(highs, default=zero) if kind == "wait" else sum(highs, zero))
    quotes = sorted((ranges.number(f.quote).high for f in faults if f.quote is not None), reverse=True)
    found["argued"] = Interval(zero, 2 * sum(quotes[:3], zero))
    found["kept_resale"] = found["kept_buyers"] = Interval(zero, one)
    found["lost_resale"] = Interval(zero, sum((f.drop for f in faults), zero))
    found["added_days"] = Interval(zero, sum((f.days for f in faults), zero))
    return found


def _corners(a: Interval, b: Interval, factor: Fraction) -> Interval:
    ends = [scaled(EXACT.multiply(x, y), factor) for x in (a.low, a.high) for y in (b.low, b.high)]
    return Interval(min(ends), max(ends))


def _bounded(interval: Interval) -> Interval:
    if interval.low < -_HUGE or interval.high > _HUGE:
        raise Overflow
    return interval


def _hull(found: list[Range]) -> Range:
    intervals = [f for f in found if isinstance(f, Interval)]
    if intervals:
        return Interval(min(i.low for i in intervals), max(i.high for i in intervals))
    truths = [f for f in found if isinstance(f, Truth)]
    if truths:
        return Truth(any(t.can_hold for t in truths), any(t.can_fail for t in truths))
    words = [f.open for f in found if isinstance(f, Options)]
    if words:
        return Options(frozenset().union(*words))
    days = [f for f in found if isinstance(f, Days)]
    if days:
        return Days(min(d.low for d in days), max(d.high for d in days))
    return None
