"""The sampled reading: the same operations over arrays of outcomes, or of repair plans, in binary floating point.

In: a `Program`. Out: `Sampled`, which turns each expression once into a function of an `Outcome`: a car's answers
with arrays where something is drawn or tried in many ways, the figures of the repair plan, and an offer. Scalars stay
scalars; a condition that is one for all decides which branch is computed at all.

Every operation of floating point keeps the order of its operands, so that what never gets easier as the offer rises
does not get easier here either. Where a value is rounded to a step, what lies within a billionth of a step of an edge
is taken to lie on it, as it does in decimals. Nothing at a boundary is decided by this reading but a chance itself.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from datetime import date
from decimal import Decimal
from typing import Any

import numpy as np
from attrs import define, evolve, field

from advisor.language import core
from advisor.language.core import Core
from advisor.language.program import Program
from advisor.language.stored import DAY, next_day
from advisor.language.types import MONEY, Choice, DateType, Estimate, Quantity, Type, Value, end_of
from advisor.readings.arithmetic import days_to, in_season, median
from advisor.readings.arrays import (
    compared,
    extreme,
    is_array,
    joined,
    opposite,
    powered,
    quantile,
    rounding,
    select,
    shift,
)
from advisor.readings.trading import traded

__all__ = ["Outcome", "Sampled", "as_plain", "as_value", "needed", "stands_on_offer"]

_CENT, _FINE = Decimal("0.01"), Decimal("0.000001")

Made = Callable[["Outcome"], Any]
Key = tuple[str, core.End]


@define(slots=True)
class Outcome:
    """A car in many ways at once. `cells` holds each question's value as this reading takes it; `drawn` gives the
    column of a named estimate, or its planning value; `figures` the plan's figures by name and end."""

    cells: dict[Key, Any]
    today: date
    unanswered: dict[str, tuple[bool, ...]]
    """For each counter, such as `cannot_tell`, which questions it counts if they apply."""
    drawn: Callable[[str, Estimate], Any]
    figures: dict[Key, Any] = field(factory=dict)
    settings: dict[str, Any] = field(factory=dict)
    """Settings that are tried at other values than the rules give them."""
    draw: Callable[[core.Chance | core.Percentile], float] | None = None
    """Where nothing is drawn here: where the value of a chance comes from."""
    offer: Any = 0.0
    ceiling: Any = float("nan")
    kept: dict[Key, Any] = field(factory=dict)
    """What does not stand on the offer, once computed."""
    priced: dict[Key, Any] = field(factory=dict)
    """What does."""

    def at(self, offer: Any) -> Outcome:
        """The same at another offer; what does not stand on it is kept."""
        return evolve(self, offer=offer, priced={})

    def under(self, figures: dict[Key, Any]) -> Outcome:
        """The same under another repair plan, nothing computed yet."""
        return evolve(self, figures=figures, kept={}, priced={})


def as_plain(value: Value) -> Any:
    """A value as this reading takes it: a float for a decimal, an ordinal for a date, the rest as it is."""
    match value:
        case Decimal():
            return float(value)
        case date():
            return value.toordinal()
    return value


def as_value(value: Any, type_: Type) -> Value:
    """A value of this reading as a report shows it: money to the cent, other quantities to six places."""
    match type_:
        case Quantity():
            return Decimal(repr(float(value))).quantize(_CENT if type_ == MONEY else _FINE)
        case DateType():
            return date.fromordinal(int(value))
        case Choice(options):
            return options[int(value)]
    return bool(value)


def _priced(program: Program) -> frozenset[str]:
    """The lets that stand on the offer."""
    found: frozenset[str] = frozenset()
    for name in program.order:
        if name in program.lets:
            let = program.lets[name]
            if any(stands_on_offer(v, found) for v in (let.value, let.low, let.high) if v is not None):
                found |= {name}
    return found


def stands_on_offer(node: Core, lets: frozenset[str]) -> bool:
    """Whether an expression stands on the offer or the ceiling, directly or by one of these lets."""
    return any(
        (isinstance(p, core.Special) and p.name in ("offer", "ceiling")) or (isinstance(p, core.Ref) and p.name in lets)
        for p in core.walk(node)
    )


def needed(program: Program, nodes: Iterable[Core]) -> list[Key]:
    """The lets, each at one end, that expressions stand on, in an order in which they can be computed."""
    found: set[Key] = set()
    pending = list(nodes)
    while pending:
        for part in core.walk(pending.pop()):
            if isinstance(part, core.Ref) and part.kind == "let" and (part.name, part.end) not in found:
                found.add((part.name, part.end))
                let = program.lets[part.name]
                value = {"plan": let.value, "low": let.low, "high": let.high}[part.end]
                pending += [value] if value is not None else []
    place = {name: i for i, name in enumerate(program.order)}
    return sorted(found, key=lambda k: place[k[0]])


@define(slots=False)
class Sampled:
    """Functions of outcomes, made once for each expression of a program."""

    program: Program
    stand_on_offer: frozenset[str] = field(init=False)
    _lets: dict[Key, Made] = field(factory=dict)
    _made: dict[int, Made] = field(factory=dict)
    _order: dict[int, list[Key]] = field(factory=dict)
    _days: dict[tuple[Any, ...], dict[int, Any]] = field(factory=dict)

    def __attrs_post_init__(self) -> None:
        self.stand_on_offer = _priced(self.program)

    def value(self, node: Core, outcome: Outcome, where: str = "") -> Any:
        """The value of an expression in an outcome. `where` names the estimates that are written inside it."""
        order = self._order.get(node.term)
        if order is None:
            order = self._order[node.term] = needed(self.program, [node])
        for key in order:  # in order, so that a long chain of lets does not become as many calls
            if key not in outcome.kept and key not in outcome.priced:
                self._let(key)(outcome)
        made = self._made.get(node.term)
        if made is None:
            made = self._made[node.term] = _Maker(self, where).make(node)
        with np.errstate(divide="ignore", invalid="ignore"):
            return made(outcome)

    def _let(self, key: Key) -> Made:
        found = self._lets.get(key)
        if found is None:
            name, end = key
            let = self.program.lets[name]
            body = _Maker(self, f"let {name}").make({"plan": let.value, "low": let.low, "high": let.high}[end])  # type: ignore[arg-type]  # an end that is asked for is there
            found = self._lets[key] = _remembered(body, key, name in self.stand_on_offer)
        return found

    def by_day(self, key: tuple[Any, ...], work: Callable[[date], Any], days: Any) -> Any:
        """A function of dates over ordinals, each day worked out once."""
        known = self._days.setdefault(key, {})
        if not isinstance(days, np.ndarray):
            return known[days] if days in known else known.setdefault(days, work(date.fromordinal(int(days))))
        if not len(days):
            return days
        first = int(days.min())
        span = range(first, int(days.max()) + 1)
        if len(span) > len(days):  # sparse: only those that are there
            span_days, places = np.unique(days, return_inverse=True)
        else:
            span_days, places = np.arange(first, span.stop), days.astype(np.int64) - first
        values = [
            known[d] if d in known else known.setdefault(d, work(date.fromordinal(d))) for d in map(int, span_days)
        ]
        return np.array(values)[places]


def _remembered(body: Made, key: Key, priced: bool) -> Made:
    def let(outcome: Outcome) -> Any:
        memo = outcome.priced if priced else outcome.kept
        found = memo.get(key)
        if found is None:
            found = memo[key] = body(outcome)
        return found

    return let


@define
class _Maker:
    """Makes the functions of one expression."""

    sampled: Sampled
    where: str
    estimates: int = 0

    def make(self, node: Core) -> Made:
        """The function of a node."""
        match node:
            case core.Const():
                return self._const(node)
            case core.Ref():
                return self._ref(node)
            case core.Special(name=name):
                return self._special(name)
            case core.PlanFigure(figure=figure, end=end):
                return lambda o: o.figures[figure, end]
            case core.Not(operand=operand):
                inner = self.make(operand)
                return lambda o: opposite(inner(o))
            case core.All(args=args):
                return joined([self.make(a) for a in args], every=True)
            case core.Any(args=args):
                return joined([self.make(a) for a in args], every=False)
            case core.Counted(args=args):
                made = [self.make(a) for a in args]
                return lambda o: sum(m(o) * 1.0 for m in made)
            case core.Compare(op=op, left=left, right=right):
                a, b = self.make(left), self.make(right)
                return lambda o: compared(op, a(o), b(o))
            case core.OneOf(operand=operand, options=options):
                return self._one_of(operand, options)
            case core.Select(branches=branches, otherwise=otherwise):
                pairs = [(self.make(c), self.make(v)) for c, v in branches]
                return select(pairs, self.make(otherwise))
            case core.Chance(operand=operand):
                inner = self.make(operand)
                return lambda o: o.draw(node) if o.draw is not None else float(np.mean(inner(o)))
            case core.Percentile(left=left, right=right):
                share, of = self.make(left), self.make(right)
                return lambda o: o.draw(node) if o.draw is not None else quantile(of(o), share(o))
            case core.Reduce():
                return self._reduce(node)
            case core.Lookup() | core.InSeason() | core.DatePart() | core.NextDay() | core.DaysTo():
                return self._of_day(node)
            case core.DateShift(left=left, right=right, sign=sign, months=months):
                day, by = self.make(left), self.make(right)
                return lambda o: shift(day(o), by(o), sign, months)
            case core.DateGap(left=left, right=right):
                a, b = self.make(left), self.make(right)
                return lambda o: (a(o) - b(o)) * float(DAY)
            case core.TradeCall():
                return traded(node, [self.make(a) for a in node.args])
        return self._arithmetic(node)

    # ---- leaves ----

    def _const(self, node: core.Const) -> Made:
        value = node.value
        if isinstance(value, Estimate):
            name = f"{self.where} {self.estimates}"
            self.estimates += 1
            if node.end == "plan":
                estimate = value
                return lambda o: o.drawn(name, estimate)
            value = end_of(value, node.end)
        if isinstance(node.type, Choice) and isinstance(value, str):
            value = Decimal(node.type.options.index(value))
        plain = as_plain(value)
        return lambda o: plain

    def _ref(self, node: core.Ref) -> Made:
        name, end, program = node.name, node.end, self.sampled.program
        match node.kind:
            case "let":
                return self.sampled._let((name, end))
            case "setting":
                value = program.settings[name].value
                if isinstance(value, Estimate) and end == "plan":
                    return lambda o: o.drawn(f"setting {name}", value)
                plain = as_plain(end_of(value, end))
                return lambda o: o.settings.get(name, plain)
            case "fault":
                return _remembered(
                    _Maker(self.sampled, name).make(program.faults[name].when), (f"fault {name}", end), False
                )
        question = program.questions[name]
        key: Key = (name, end)
        if not question.gated or question.otherwise is None:
            return lambda o: o.cells[key]
        gate = self._gate(name)
        other = as_plain(end_of(question.otherwise, end))
        if isinstance(question.type, Choice):
            other = float(question.type.options.index(str(question.otherwise)))
        return select([(gate, lambda o: o.cells[key])], lambda o: other)

    def _gate(self, name: str) -> Made:
        """Whether a question applies."""
        gate = self.sampled.program.gates.get(name)
        if gate is None:
            return lambda o: True
        return _remembered(_Maker(self.sampled, name).make(gate), (f"gate {name}", "plan"), False)

    def _special(self, name: str) -> Made:
        match name:
            case "offer":
                return lambda o: o.offer
            case "ceiling":
                return lambda o: o.ceiling
            case "today":
                return lambda o: o.today.toordinal()
        questions = self.sampled.program.questions.values()
        counted = [(i, self._gate(q.name)) for i, q in enumerate(questions) if q.counted(name)]

        def counter(outcome: Outcome) -> Any:
            unanswered = outcome.unanswered[name]
            return sum(gate(outcome) * 1.0 for i, gate in counted if unanswered[i])

        return counter

    # ---- conditions, lists and dates ----

    def _one_of(self, operand: Core, options: tuple[str, ...]) -> Made:
        assert isinstance(operand.type, Choice)
        wanted = [float(operand.type.options.index(o)) for o in options if o in operand.type.options]
        inner = self.make(operand)

        def one_of(outcome: Outcome) -> Any:
            value = inner(outcome)
            if not is_array(value):
                return value in wanted
            found = value == wanted[0]
            for option in wanted[1:]:
                found |= value == option
            return found

        return one_of if wanted else lambda o: False

    def _reduce(self, node: core.Reduce) -> Made:
        how, inner = node.how, self.make(node.operand)
        work: dict[str, Callable[[Any], Any]] = {"lowest": min, "highest": max, "median": median, "count": len}
        return lambda o: float(work[how](inner(o)))

    def _of_day(self, node: Core) -> Made:
        sampled, program = self.sampled, self.sampled.program
        match node:
            case core.Lookup(table=name, key=key):
                table, inner = program.tables[name], self.make(key)
                entries = np.array([float(v) for _, v in table.entries])
                if table.by is None:
                    return lambda o: sampled.by_day(("table", name), lambda d: entries[d.month - 1], inner(o))
                assert isinstance(key.type, Choice)
                known = dict(table.entries)
                entries = np.array([float(known[w]) for w in key.type.options])
                return lambda o: entries[np.asarray(inner(o), dtype=np.int64)]
            case core.InSeason(operand=operand, season=name):
                season, inner = program.seasons[name], self.make(operand)
                return lambda o: sampled.by_day(("in", name), lambda d: in_season(d, season), inner(o))
            case core.DatePart(part=part, operand=operand):
                inner = self.make(operand)
                return lambda o: sampled.by_day((part,), lambda d: float(getattr(d, part)), inner(o))
            case core.NextDay(left=left, right=right):
                which, inner = self.make(left), self.make(right)
                return lambda o: sampled.by_day(
                    ("next", which(o)), lambda d: next_day(which(o), d).toordinal(), inner(o)
                )
            case core.DaysTo(edge=edge, season=name, operand=operand):
                season, inner = program.seasons[name], self.make(operand)
                return lambda o: sampled.by_day((edge, name), lambda d: float(days_to(edge, season, d)), inner(o))
        raise AssertionError(node)

    # ---- arithmetic ----

    def _arithmetic(self, node: Core) -> Made:
        match node:
            case core.Add(left=left, right=right):
                a, b = self.make(left), self.make(right)
                return lambda o: a(o) + b(o)
            case core.Subtract(left=left, right=right):
                a, b = self.make(left), self.make(right)
                return lambda o: a(o) - b(o)
            case core.Multiply(left=left, right=right, factor=factor):
                a, b, scale = self.make(left), self.make(right), float(factor)
                return (lambda o: a(o) * b(o)) if scale == 1 else (lambda o: a(o) * b(o) * scale)
            case core.Divide(left=left, right=right, factor=factor):
                a, b, scale = self.make(left), self.make(right), float(factor)
                return lambda o: np.divide(a(o), b(o)) * scale
            case core.Power(operand=operand, exponent=exponent):
                inner = self.make(operand)
                return lambda o: powered(inner(o), exponent)
            case core.Negate(operand=operand):
                inner = self.make(operand)
                return lambda o: -inner(o)
            case core.Extreme(which=which, args=args):
                return extreme(which, [self.make(a) for a in args])
            case core.Rounded(how=how, operand=operand, step=step):
                inner, work = self.make(operand), rounding(how, float(step))
                return lambda o: work(inner(o))
        raise AssertionError(node)
