"""The sampled reading over closed ranges: what each outcome lies between while answers are open.

In: a `Program`. Out: `Enclosing`, which gives for a number its lowest and highest value in each outcome, for a
condition whether it can hold and whether it can fail. Sound: whatever the open answers turn out to be, the sampled
reading's value of each outcome lies between. What is drawn is drawn as there; every operation has that one's at its
corners, and rounding keeps order. Where the two ends of a date differ, tables and seasons give all they hold.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from decimal import Decimal
from functools import partial
from typing import Any

import numpy as np
from attrs import define, evolve, field

from advisor.language import core
from advisor.language.core import Core
from advisor.language.program import Question
from advisor.language.signatures import TRADE
from advisor.language.stored import DAY, next_day
from advisor.language.types import Choice, Code, Estimate, ListOf, MonthDay, YesNo, end_of
from advisor.readings.arithmetic import days_to, in_season, median
from advisor.readings.arrays import powered, quantile, rounding, shift
from advisor.readings.enclosed_ends import Two, both, bounded, compared, corners, same
from advisor.readings.sampled import Sampled, as_plain, as_value, needed
from advisor.readings.trading import traded

__all__ = ["Enclosed", "Enclosing"]

Key = tuple[str, core.End]
_FAR = Decimal(10) ** 30
_EITHER: Two = (True, True)
_ANYTHING: Two = (-np.inf, np.inf)


@define(slots=True)
class Enclosed:
    """A car while answers are open: each question's range (a condition: can hold, can fail; a choice: which of its
    options are open, as a set; a list: its readings or None), the faults, the figures of a plan, and an offer."""

    cells: dict[Key, Any]
    facts: dict[str, Two]
    figures: dict[Key, Two]
    today: date
    drawn: Callable[[str, Estimate], Any]
    offer: float = 0.0
    known: dict[Key, Any] = field(factory=dict)

    def at(self, offer: float) -> Enclosed:
        """The same at another offer, nothing computed yet."""
        return evolve(self, offer=offer, known={})


@define
class Enclosing:
    """Ranges of expressions in an `Enclosed` car."""

    sampled: Sampled
    _where: str = ""
    _estimates: int = 0

    def drawn(self, node: core.Chance | core.Percentile, car: Enclosed, where: str, count: int) -> Two:
        """The least and the greatest value of what is drawn, in decimals."""
        lets = self.sampled.program.lets
        with np.errstate(divide="ignore", invalid="ignore"):
            for name, end in needed(self.sampled.program, [node]):  # in order: a long chain must not be many calls
                self._named(core.Ref(lets[name].type, node.span, -1, "let", name, end), car)
            if isinstance(node, core.Chance):
                return self._chance(node, car, where, count)
            return self._percentile(node, car, where, count)

    def _percentile(self, node: core.Percentile, car: Enclosed, where: str, count: int) -> Two:
        self._where, self._estimates = where, 0
        (least, most), ends = self.number(node.left, car), self.number(node.right, car)
        low, high = (np.broadcast_to(np.asarray(e, dtype=float), count) for e in ends)
        found = quantile(low, np.min(least)), quantile(high, np.max(most))
        if not np.all(np.isfinite(found)):
            return -_FAR, _FAR
        return as_value(found[0], node.type), as_value(found[1], node.type)

    def _chance(self, node: core.Chance, car: Enclosed, where: str, count: int) -> Two:
        self._where, self._estimates = where, 0
        can, fail = self.truth(node.operand, car)
        least = np.count_nonzero(~np.broadcast_to(np.asarray(fail, dtype=bool), count))
        most = np.count_nonzero(np.broadcast_to(np.asarray(can, dtype=bool), count))
        return Decimal(int(least)) / count, Decimal(int(most)) / count

    # ---- conditions ----

    def truth(self, node: Core, car: Enclosed) -> Two:
        """Whether a condition can hold, and whether it can fail."""
        match node:
            case core.Const(value=value):
                return bool(value), not value
            case core.Ref(kind="fault", name=name):
                return car.facts[name]
            case core.Ref():
                can, fail = self._named(node, car)
                return can, fail
            case core.Not(operand=operand):
                can, fail = self.truth(operand, car)
                return fail, can
            case core.All(args=args):
                cans, fails = zip(*(self.truth(a, car) for a in args), strict=True)
                return np.logical_and.reduce(np.broadcast_arrays(*cans)), np.logical_or.reduce(
                    np.broadcast_arrays(*fails)
                )
            case core.Any(args=args):
                cans, fails = zip(*(self.truth(a, car) for a in args), strict=True)
                return np.logical_or.reduce(np.broadcast_arrays(*cans)), np.logical_and.reduce(
                    np.broadcast_arrays(*fails)
                )
            case core.Compare(op=op, left=left, right=right):
                return compared(op, self.number(left, car), self.number(right, car))
            case core.OneOf(operand=operand, options=options):
                open_ = self._options(operand, car)
                return bool(open_ & set(options)), bool(open_ - set(options))
            case core.InSeason(operand=operand, season=name):
                season, (low, high) = self.sampled.program.seasons[name], self.number(operand, car)
                if low is not high:
                    return _EITHER
                held = self.sampled.by_day(("in", name), lambda d: in_season(d, season), low)
                return held, np.logical_not(held)
            case core.Select(branches=branches, otherwise=otherwise):
                return self._select_truth(branches, otherwise, car)
            case core.TradeCall():
                found = self._traded(node, car)
                return _EITHER if found is None else (found, np.logical_not(found))
        return _EITHER

    def _select_truth(self, branches: tuple[tuple[Core, Core], ...], otherwise: Core, car: Enclosed) -> Two:
        can: Any = False
        fail: Any = False
        live: Any = True
        for condition, value in [*branches, (None, otherwise)]:
            t, f = self.truth(condition, car) if condition is not None else (True, False)
            vt, vf = self.truth(value, car)
            can, fail = can | (live & t & vt), fail | (live & t & vf)
            live = live & f
        return can, fail

    def _options(self, node: Core, car: Enclosed) -> frozenset[str]:
        """Which options of a choice are open."""
        assert isinstance(node.type, Choice)
        match node:
            case core.Const(value=str() as value):
                return frozenset({value})
            case core.Ref():
                found = self._named(node, car)
                assert isinstance(found, frozenset)
                return found
            case core.TradeCall():
                found = self._traded(node, car)
                if found is not None:
                    return frozenset(node.type.options[int(place)] for place in np.unique(found))
        return frozenset(node.type.options)

    # ---- functions of the trade ----

    def _traded(self, node: core.TradeCall, car: Enclosed) -> Any:
        """What a call comes to in each outcome; None where one of its arguments is open."""
        values = [self._single(a, car) for a in node.args]
        if any(v is None for v in values):
            return None
        return traded(node, [lambda _, v=v: v for v in values])(None)  # type: ignore[misc]  # each has its own value

    def _single(self, node: Core, car: Enclosed) -> Any:
        """The one value of an expression in each outcome; None where it is open."""
        match node.type:
            case ListOf() | Code():
                return self._whole(node, car)
            case Choice():
                open_ = self._options(node, car)
                return next(iter(open_)) if len(open_) == 1 else None
            case YesNo():
                can, fail = self.truth(node, car)
                return can if np.all(np.not_equal(can, fail)) else None
        low, high = self.number(node, car)
        return low if low is high or np.array_equal(low, high) else None

    def _whole(self, node: Core, car: Enclosed) -> Any:
        """A list or a code; None while it is open."""
        match node:
            case core.Const(value=value):
                return value
            case core.Ref():
                return self._named(node, car)
        return None

    # ---- numbers and dates ----

    def number(self, node: Core, car: Enclosed) -> Two:
        """The lowest and the highest value of a number, quantity or date; one object twice where they are the same."""
        match node:
            case core.Const(value=value, end=end):
                if isinstance(value, Estimate) and end == "plan":
                    name = f"{self._where} {self._estimates}"
                    self._estimates += 1
                    return both(car.drawn(name, value))
                return both(as_plain(end_of(value, end)))
            case core.Ref(kind="setting", name=name, end=end):
                value = self.sampled.program.settings[name].value
                if isinstance(value, Estimate) and end == "plan":
                    return both(car.drawn(f"setting {name}", value))
                return both(as_plain(end_of(value, end)))
            case core.Ref():
                found = self._named(node, car)
                assert isinstance(found, tuple)
                return found
            case core.Special(name=name):
                if name == "offer":
                    return both(car.offer)
                if name == "today":
                    return both(car.today.toordinal())
                return _ANYTHING if name == "ceiling" else (0.0, float(len(self.sampled.program.questions)))
            case core.PlanFigure(figure=figure, end=end):
                return car.figures[figure, end]
            case core.Select(branches=branches, otherwise=otherwise):
                return self._select(branches, otherwise, car)
            case core.Lookup() | core.DateShift() | core.DateGap() | core.DatePart() | core.NextDay() | core.DaysTo():
                return self._of_day(node, car)
            case core.Counted(args=args):
                truths = [self.truth(a, car) for a in args]
                return sum(np.logical_not(f) * 1.0 for _, f in truths), sum(t * 1.0 for t, _ in truths)
            case core.Reduce(how=how, operand=operand):
                readings = self._whole(operand, car)
                if readings is None:
                    return _ANYTHING if how != "count" else (0.0, 100.0)
                work: dict[str, Callable[[Any], Any]] = {"lowest": min, "highest": max, "median": median, "count": len}
                return both(float(work[how](readings)))
            case core.Chance():
                return 0.0, 1.0
            case core.TradeCall(name=name):
                known = self._traded(node, car)
                if known is not None:
                    return both(known)
                low, high = TRADE[name].ends
                return _ANYTHING if TRADE[name].lacking else (float(low), float(high))
            case core.Percentile():
                return _ANYTHING
        return bounded(*self._arithmetic(node, car))

    def _arithmetic(self, node: Core, car: Enclosed) -> Two:
        match node:
            case core.Add(left=left, right=right):
                (a, b), (c, d) = self.number(left, car), self.number(right, car)
                return a + c, b + d
            case core.Subtract(left=left, right=right):
                (a, b), (c, d) = self.number(left, car), self.number(right, car)
                return a - d, b - c
            case core.Multiply(left=left, right=right, factor=factor):
                return corners(np.multiply, self.number(left, car), self.number(right, car), float(factor))
            case core.Divide(left=left, right=right, factor=factor):
                below = self.number(right, car)
                if not np.all(np.asarray(below[0]) > 0):
                    return _ANYTHING
                return corners(np.divide, self.number(left, car), below, float(factor))
            case core.Power(operand=operand, exponent=exponent):
                low, high = self.number(operand, car)  # the checker has proved it not to be negative
                return powered(np.maximum(low, 0.0), exponent), powered(np.maximum(high, 0.0), exponent)
            case core.Negate(operand=operand):
                low, high = self.number(operand, car)
                return -high, -low
            case core.Extreme(which=which, args=args):
                pick = np.minimum if which == "smaller" else np.maximum
                lows, highs = zip(*(self.number(a, car) for a in args), strict=True)
                return pick.reduce(np.broadcast_arrays(*lows)), pick.reduce(np.broadcast_arrays(*highs))
            case core.Rounded(how=how, operand=operand, step=step):
                work = rounding(how, float(step))
                low, high = self.number(operand, car)
                return work(low), work(high)
        return _ANYTHING

    def _select(self, branches: tuple[tuple[Core, Core], ...], otherwise: Core, car: Enclosed) -> Two:
        low: Any = np.inf
        high: Any = -np.inf
        live: Any = True
        for condition, value in [*branches, (None, otherwise)]:
            t, f = self.truth(condition, car) if condition is not None else (True, False)
            reached = live & t
            if np.any(reached):
                a, b = self.number(value, car)
                if np.all(reached) and not np.any(f):
                    return np.minimum(low, a), np.maximum(high, b)
                low, high = np.where(reached, np.minimum(low, a), low), np.where(reached, np.maximum(high, b), high)
            live = live & f
            if not np.any(live):
                break
        return low, high

    def _of_day(self, node: Core, car: Enclosed) -> Two:
        sampled, program = self.sampled, self.sampled.program
        match node:
            case core.DateShift(left=left, right=right, sign=sign, months=months):
                (a, b), (c, d) = self.number(left, car), self.number(right, car)
                if sign < 0:
                    c, d = d, c
                return same((a, c), (b, d), lambda day, by: shift(day, by, sign, months))
            case core.DateGap(left=left, right=right):
                (a, b), (c, d) = self.number(left, car), self.number(right, car)
                return (a - d) * float(DAY), (b - c) * float(DAY)
            case core.Lookup(table=name, key=key):
                entries = [float(v) for _, v in program.tables[name].entries]
                if program.tables[name].by is not None:
                    known = dict(program.tables[name].entries)
                    entries = [float(known[o]) for o in self._options(key, car)]
                    return min(entries), max(entries)
                low, high = self.number(key, car)
                if low is not high:
                    return min(entries), max(entries)
                return both(sampled.by_day(("table", name), lambda d: np.float64(entries[d.month - 1]), low))
            case core.DatePart(part=part, operand=operand):
                low, high = self.number(operand, car)
                if part == "month" and low is not high:
                    return 1.0, 12.0
                return same((low,), (high,), lambda d: sampled.by_day((part,), lambda x: float(getattr(x, part)), d))
            case core.NextDay(left=core.Const(value=value), right=right):
                low, high = self.number(right, car)
                assert isinstance(value, MonthDay)
                following = partial(_ordinal_of_next, value)
                return same((low,), (high,), lambda d: sampled.by_day(("next", value), following, d))
            case core.DaysTo(edge=edge, season=name, operand=operand):
                season, (low, high) = program.seasons[name], self.number(operand, car)
                if low is not high:
                    return 0.0, 366.0 * DAY
                return both(sampled.by_day((edge, name), lambda d: float(days_to(edge, season, d)), low))
        return _ANYTHING

    # ---- names ----

    def _named(self, node: core.Ref, car: Enclosed) -> Any:
        key: Key = (f"{node.kind} {node.name}", node.end)
        found = car.known.get(key)
        if found is None:
            found = car.known[key] = self._find(node, car)
        return found

    def _find(self, node: core.Ref, car: Enclosed) -> Any:
        program = self.sampled.program
        if node.kind == "let":
            let = program.lets[node.name]
            value = {"plan": let.value, "low": let.low, "high": let.high}[node.end]
            assert value is not None
            before, self._where, self._estimates = (self._where, self._estimates), f"let {node.name}", 0
            found = self.value(value, car)
            self._where, self._estimates = before
            return found
        if node.kind == "setting":
            setting = program.settings[node.name].value
            return bool(setting), not setting
        question = program.questions[node.name]
        cell = car.cells[node.name, node.end]
        if not question.gated or question.otherwise is None:
            return cell
        can, fail = self.truth(program.gates[node.name], car)
        return _gated(question, node.end, cell, bool(np.any(can)), bool(np.any(fail)))

    def value(self, node: Core, car: Enclosed) -> Any:
        """The range of an expression, whatever its type."""
        if isinstance(node.type, YesNo):
            return self.truth(node, car)
        if isinstance(node.type, ListOf | Code):
            return self._whole(node, car)
        return self._options(node, car) if isinstance(node.type, Choice) else self.number(node, car)


def _ordinal_of_next(wanted: MonthDay, day: date) -> int:
    return next_day(wanted, day).toordinal()


def _gated(question: Question, end: core.End, cell: Any, can: bool, fail: bool) -> Any:
    """A question's range behind a gate that may be shut."""
    if not fail:
        return cell
    match question.type:
        case YesNo():
            other: Any = (question.otherwise is True, question.otherwise is False)
            return (cell[0] or other[0], cell[1] or other[1]) if can else other
        case Choice():
            other = frozenset({str(question.otherwise)})
            return cell | other if can else other
    other = as_plain(end_of(question.otherwise, end))  # type: ignore[arg-type]  # the caller has seen to it
    if not isinstance(cell, tuple) or not isinstance(other, float | int):
        return None  # a list
    return (np.minimum(cell[0], other), np.maximum(cell[1], other)) if can else both(other)
