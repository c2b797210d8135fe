"""Which way an expression moves when the offer rises, and what the low end of an expression is.

Two proofs over core expressions, both from the signs of the parts. `Trends` shows that a `require` never gets
easier as the offer rises, the repair plan held fixed, or names the part it cannot order. `Ends` rewrites a
quantity so that every estimate in it stands at the end that lowers (or raises) it, or names the part whose
direction it cannot prove.
"""

from __future__ import annotations

from collections.abc import Callable
from enum import Enum

from attrs import define, evolve, field, frozen

from advisor.language import core
from advisor.language.core import Core
from advisor.language.intervals import Interval
from advisor.language.ranges import Ranges
from advisor.language.types import Estimate

__all__ = ["Ends", "NotOrdered", "Trend", "Trends", "Way"]


class Way(Enum):
    """How something moves as the offer rises."""

    FLAT = 0
    UP = 1
    DOWN = -1
    UNKNOWN = 2


@frozen
class Trend:
    """A way, and for an unknown one the part that could not be ordered."""

    way: Way
    culprit: Core | None = None

    def flipped(self) -> Trend:
        """The trend of the negative."""
        turned = {Way.UP: Way.DOWN, Way.DOWN: Way.UP}
        return Trend(turned.get(self.way, self.way), self.culprit)


_FLAT = Trend(Way.FLAT)


def _joined(node: Core, *trends: Trend) -> Trend:
    """The trend of something that rises with each of its parts."""
    ways = {t.way for t in trends} - {Way.FLAT}
    for trend in trends:
        if trend.way is Way.UNKNOWN:
            return trend
    if len(ways) > 1:
        return Trend(Way.UNKNOWN, node)
    return Trend(ways.pop()) if ways else _FLAT


@define
class Trends:
    """Trends in the offer; those of lets are kept."""

    ranges: Ranges
    lets: dict[str, Core]
    known: dict[str, Trend] = field(factory=dict)

    def of(self, node: Core) -> Trend:
        """The trend of an expression; of a condition, UP means it can start to hold as the offer rises."""
        match node:
            case core.Special(name="offer"):
                return Trend(Way.UP)
            case core.Special(name="ceiling"):
                return Trend(Way.UNKNOWN, node)
            case core.Ref(kind="let", name=name):
                if name not in self.known:
                    self.known[name] = self.of(self.lets[name]) if name in self.lets else _FLAT
                return self.known[name]
            case core.Const() | core.Ref() | core.Special() | core.PlanFigure():
                return _FLAT
            case core.Subtract(left=left, right=right):
                return _joined(node, self.of(left), self.of(right).flipped())
            case core.Negate(operand=operand) | core.Not(operand=operand):
                return self.of(operand).flipped()
            case core.Multiply(left=left, right=right):
                return self._product(node, left, right)
            case core.Divide(left=left, right=right):
                return self._quotient(node, left, right)
            case core.Compare(op=op, left=left, right=right):
                return self._compare(node, op, left, right)
            case core.Select():
                for condition, _ in node.branches:
                    if self.of(condition).way is not Way.FLAT:
                        return Trend(Way.UNKNOWN, condition)
                values = [value for _, value in node.branches]
                return _joined(node, *(self.of(v) for v in [*values, node.otherwise]))
            case core.Percentile(right=right):
                return self.of(right)
            case core.Add() | core.Power() | core.Extreme() | core.Rounded() | core.Counted():
                return _joined(node, *(self.of(c) for c in core.children(node)))
            case core.TradeCall(name="compounded", args=(share, days)) if self.of(days).way is Way.FLAT:
                return self.of(share)
            case core.All() | core.Any() | core.Chance():
                return _joined(node, *(self.of(c) for c in core.children(node)))
            case _:
                moving = [c for c in core.children(node) if self.of(c).way is not Way.FLAT]
                return Trend(Way.UNKNOWN, moving[0]) if moving else _FLAT

    def _product(self, node: Core, left: Core, right: Core) -> Trend:
        parts = []
        for moving, still in ((left, right), (right, left)):
            trend = self.of(moving)
            if trend.way is Way.FLAT:
                continue
            sign = self.ranges.number(still)
            if sign.not_negative:
                parts.append(trend)
            elif sign.not_positive:
                parts.append(trend.flipped())
            else:
                return trend if trend.way is Way.UNKNOWN else Trend(Way.UNKNOWN, still)
        return _joined(node, *parts)

    def _quotient(self, node: Core, left: Core, right: Core) -> Trend:
        above, below = self.of(left), self.of(right)
        parts = [above]
        if below.way is not Way.FLAT:
            sign = self.ranges.number(left)
            if not (sign.not_negative or sign.not_positive):
                return below if below.way is Way.UNKNOWN else Trend(Way.UNKNOWN, left)
            parts.append(below.flipped() if sign.not_negative else below)
        if not self.ranges.number(right).not_negative:
            return Trend(Way.UNKNOWN, right)
        return _joined(node, *parts)

    def _compare(self, node: Core, op: str, left: Core, right: Core) -> Trend:
        difference = _joined(node, self.of(left), self.of(right).flipped())
        if op in (">=", ">"):
            return difference
        if op in ("<=", "<"):
            return difference.flipped()
        return difference if difference.way is Way.FLAT else Trend(Way.UNKNOWN, node)


class NotOrdered(Exception):
    """The direction in which an estimate moves a quantity cannot be proved; `culprit` is the part in the way."""

    def __init__(self, culprit: Core) -> None:
        self.culprit = culprit
        super().__init__(culprit)


class _Missing(Exception):
    """A let has no variant for this end yet."""

    def __init__(self, name: str, end: core.End) -> None:
        self.name, self.end = name, end
        super().__init__(name)


_OTHER: dict[core.End, core.End] = {"low": "high", "high": "low"}


@define
class Ends:
    """Rewrites expressions with their estimates at one end; the variants of lets are collected in `lets`."""

    ranges: Ranges
    values: dict[str, Core]
    estimates: set[str]
    fresh: Callable[[], int]
    lets: dict[tuple[str, core.End], Core] = field(factory=dict)
    _moved: dict[str, bool] = field(factory=dict)

    def note(self, name: str) -> None:
        """Remember whether an estimate lies behind a let; called for each in order, so that none looks far back."""
        self._moved[name] = self._uncertain(self.values[name])

    def of(self, node: Core, end: core.End) -> Core:
        """The expression with each estimate at the end that moves the whole toward `end`. Raises `NotOrdered`."""
        # A let whose variant is missing is done first: a long chain of lets must not become as many calls.
        pending: list[tuple[str | None, Core, core.End]] = [(None, node, end)]
        while True:
            name, part, toward = pending[-1]
            try:
                found = self._at(part, toward)
            except _Missing as missing:
                pending.append((missing.name, self.values[missing.name], missing.end))
                continue
            pending.pop()
            if name is None:
                return found
            self.lets[name, toward] = found

    def _at(self, node: Core, end: core.End) -> Core:
        if not self._uncertain(node):
            return node
        match node:
            case core.Const() | core.PlanFigure():
                return self._new(node, end=end)
            case core.Ref(kind="let", name=name):
                if (name, end) not in self.lets:
                    raise _Missing(name, end)
                return self._new(node, end=end)
            case core.Ref():
                return self._new(node, end=end)
            case core.Add(left=left, right=right):
                return self._new(node, left=self._at(left, end), right=self._at(right, end))
            case core.Subtract(left=left, right=right):
                return self._new(node, left=self._at(left, end), right=self._at(right, _OTHER[end]))
            case core.Negate(operand=operand):
                return self._new(node, operand=self._at(operand, _OTHER[end]))
            case core.Rounded(operand=operand) | core.Power(operand=operand):
                return self._new(node, operand=self._at(operand, end))
            case core.Extreme(args=args):
                return self._new(node, args=tuple(self._at(a, end) for a in args))
            case core.Multiply(left=left, right=right):
                return self._new(node, left=self._scaled(left, right, end), right=self._scaled(right, left, end))
            case core.Divide(left=left, right=right):
                if self._uncertain(right):
                    end_below = self._scaled_end(left, _OTHER[end])
                    right = self._at(right, end_below)
                return self._new(node, left=self._at(left, end), right=right)
            case core.Select(branches=branches, otherwise=otherwise):
                for condition, _ in branches:
                    if self._uncertain(condition):
                        raise NotOrdered(condition)
                done = tuple((c, self._at(v, end)) for c, v in branches)
                return self._new(node, branches=done, otherwise=self._at(otherwise, end))
        raise NotOrdered(node)

    def _new(self, node: Core, **changes: object) -> Core:
        """A changed copy with a number of its own."""
        return evolve(node, term=self.fresh(), **changes)  # type: ignore[arg-type]  # the caller names its fields

    def _scaled(self, moving: Core, still: Core, end: core.End) -> Core:
        return self._at(moving, self._scaled_end(still, end)) if self._uncertain(moving) else moving

    def _scaled_end(self, still: Core, end: core.End) -> core.End:
        sign: Interval = self.ranges.number(still)
        if sign.not_negative:
            return end
        if sign.not_positive:
            return _OTHER[end]
        raise NotOrdered(still)

    def _uncertain(self, node: Core) -> bool:
        """Whether an estimate can lie behind it. What is drawn has taken its estimates in already."""
        pending = [node]
        while pending:
            part = pending.pop()
            if self._is_estimate(part):
                return True
            if not isinstance(part, core.Chance | core.Percentile):
                pending += core.children(part)
        return False

    def _is_estimate(self, node: Core) -> bool:
        match node:
            case core.Const(value=value):
                return isinstance(value, Estimate)
            case core.PlanFigure(figure=figure):
                return figure in ("parts", "shop", "labor", "wait")
            case core.Ref(kind="let", name=name):
                if name not in self._moved:
                    self._moved[name] = False
                    self._moved[name] = self._uncertain(self.values[name]) if name in self.values else False
                return self._moved[name]
            case core.Ref(name=name):
                return name in self.estimates
        return False
