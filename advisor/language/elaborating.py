"""From expressions as written to core expressions with types and units.

In: expression nodes, and a `Scope` that knows the names defined so far. Out: `core` nodes, and the problems of
types, units and functions. An expression with a problem becomes a node of type `BROKEN`, which fits everywhere,
so that one mistake is told once.
"""

from __future__ import annotations

from decimal import Overflow

from attrs import define, field

from advisor.language import catalogue, core, nodes
from advisor.language.calling import called
from advisor.language.comparing import chain, compare, in_season, is_
from advisor.language.core import Core
from advisor.language.functions import SPECIAL
from advisor.language.problems import Kind, Problem
from advisor.language.program import SeasonDef, TableDef
from advisor.language.ranges import Ranges
from advisor.language.signatures import TRADE
from advisor.language.source import Span
from advisor.language.summing import binary, calendars_agree, extreme
from advisor.language.trends import Ends, NotOrdered
from advisor.language.types import (
    BROKEN,
    DATE,
    YES_NO,
    Estimate,
    Quantity,
    Type,
    Value,
    YesNo,
)
from advisor.language.units import DIMENSIONS
from advisor.language.values import Literal, Unreadable, measured, read_date, read_literal, with_unit

__all__ = ["Elaborator", "Scope"]


_LABOR, _CALENDAR = DIMENSIONS.index("labor"), DIMENSIONS.index("calendar")
_TEMPERATURE = DIMENSIONS.index("temperature")


@define
class Scope:
    """The names an expression may use."""

    types: dict[str, Type] = field(factory=dict)
    kinds: dict[str, str] = field(factory=dict)
    values: dict[str, Core] = field(factory=dict)
    seasons: dict[str, SeasonDef] = field(factory=dict)
    tables: dict[str, TableDef] = field(factory=dict)
    broken: set[str] = field(factory=set)
    everything_broken: bool = False
    mixed_money: bool = False
    """Its files are of different currencies, which was told: no amount is told again."""
    currency: str = "$"


@define
class Elaborator:
    """Turns expressions into core, one after another, numbering the nodes as it goes."""

    scope: Scope
    ranges: Ranges
    ends: Ends
    problems: list[Problem] = field(factory=list)
    unknown: dict[str, list[Span]] = field(factory=dict)
    """Names that nobody defined, with every place where they are used."""
    cures: dict[str, str] = field(factory=dict)
    """What to do about an unknown name, where its place says more than its spelling."""
    later: list[Problem] = field(factory=list)
    terms: int = 0

    def term(self) -> int:
        """A number for one more node."""
        self.terms += 1
        return self.terms - 1

    def report(self, kind: Kind, span: Span, /, **words: object) -> core.Const:
        """Note a problem and give the broken node that stands for it."""
        notes = words.pop("notes", ())
        self.problems.append(kind.at(span, notes=notes, **words))  # type: ignore[arg-type]  # notes is what callers pass
        return self.broken(span)

    def broken(self, span: Span) -> core.Const:
        """The node of something that already has a problem."""
        return core.Const(BROKEN, span, self.term(), False)

    def constant(self, type_: Type, value: Value, span: Span) -> core.Const:
        """A known value as a node."""
        return core.Const(type_, span, self.term(), value)

    def miss(self, name: str, span: Span, cure: str = "") -> None:
        """Note a name that is not defined; each is told once, when all its uses are known."""
        if name not in self.unknown and cure:
            self.cures[name] = cure
        self.unknown.setdefault(name, []).append(span)

    # ---- entry points ----

    def condition(self, node: nodes.Expr) -> Core:
        """An expression that must be yes or no."""
        found = self.expr(node)
        if isinstance(found.type, YesNo) or found.type == BROKEN:
            return found
        return self.report(catalogue.NOT_YES_NO, node.span, text=node.span.text, found=found.type)

    def number(self, node: nodes.Expr) -> Core:
        """An expression that must be a number, an amount or a quantity, and have a value whatever comes."""
        found = self.expr(node)
        if isinstance(found.type, Quantity):
            return self.valued(found)
        if found.type == BROKEN:
            return found
        return self.report(catalogue.NOT_A_NUMBER, node.span, text=node.span.text, found=found.type)

    def valued(self, found: Core) -> Core:
        """Complain where a quantity may be without a value: a quotient by zero, a rate where none fits."""
        lacking = self.lacking(found)
        if lacking:
            when, cure = lacking
            return self.report(catalogue.MAY_LACK_VALUE, found.span, text=found.span.text, when=when, cure=cure)
        return found

    def lacking(self, found: Core) -> tuple[str, str] | None:
        """When a quantity is without a value and what to do about it, in words; None if it always has one."""
        match self._origin(found):
            case core.Divide(right=right) if not self.ranges.number(right).positive:
                return f"`{right.span.text}` is zero", "compare the quotient itself, or keep the divisor above zero"
            case core.TradeCall(name=name, args=args) if TRADE[name].lacking:
                signature = TRADE[name]
                if signature.positive is None:
                    return signature.lacking, "compare or show it by itself"
                needed = args[signature.positive]
                if not self.ranges.number(needed).positive:
                    text = needed.span.text
                    return signature.lacking.format(text), f"compare it by itself, or keep `{text}` above zero"
        return None

    def quotient(self, node: Core) -> core.Divide | None:
        """The quotient that a node is, or that the quantity it names is, under whatever names."""
        origin = self._origin(node)
        return origin if isinstance(origin, core.Divide) else None

    def _origin(self, node: Core) -> Core:
        """What a node is, or the quantity that it names, under whatever names."""
        while isinstance(node, core.Ref) and node.kind == "let" and node.name in self.scope.values:
            node = self.scope.values[node.name]
        return node

    def expr(self, node: nodes.Expr) -> Core:
        """Any expression."""
        match node:
            case nodes.Literal():
                return self._literal(node)
            case nodes.MonthDayLiteral(text=text, span=span):
                return self.report(catalogue.MONTH_DAY_HERE, span, text=text)
            case nodes.Name():
                return self._name(node)
            case nodes.Call():
                return called(self, node)
            case nodes.Extreme():
                return extreme(self, node)
            case nodes.Negative(operand=operand, span=span):
                inner = self.number(operand)
                if inner.type == BROKEN:
                    return inner
                return self.measured(core.Negate(inner.type, span, self.term(), inner))
            case nodes.Binary():
                return binary(self, node)
            case nodes.Compare():
                return compare(self, node)
            case nodes.Is():
                return is_(self, node)
            case nodes.InSeason():
                return in_season(self, node)
            case nodes.Not(operand=operand, span=span):
                inner = self.condition(operand)
                return core.Not(YES_NO, span, self.term(), inner) if inner.type != BROKEN else inner
            case nodes.Chain():
                return chain(self, node)
            case nodes.ThreePoint():
                return self._estimate(node)

    # ---- names and literals ----

    def _literal(self, node: nodes.Literal) -> Core:
        try:
            if "-" in node.text[1:] and node.text[:4].isdigit():
                return self.constant(DATE, read_date(node.text), node.span)
            literal = self.literal(node)
        except Unreadable as error:
            return self.report(error.kind, node.span, **error.words)
        return self.constant(literal.type, literal.value, node.span)

    def literal(self, node: nodes.Literal) -> Literal:
        """Read a literal, in the currency of the file."""
        literal = read_literal(node.text)
        if literal.currency and literal.currency != self.scope.currency and not self.scope.mixed_money:
            raise Unreadable(catalogue.OTHER_CURRENCY, found=literal.currency, wanted=self.scope.currency)
        return literal

    def _estimate(self, node: nodes.ThreePoint) -> Core:
        try:
            low, likely, high = (self.literal(n) for n in (node.low, node.likely, node.high))
        except Unreadable as error:
            return self.report(error.kind, node.span, **error.words)
        for part, text in ((likely, node.likely), (high, node.high)):
            if part.type.dims != low.type.dims:
                return self.report(
                    catalogue.MIXED_DIMENSIONS, node.span, left=node.low.text, left_is=low.type, right=text.text,
                    right_is=part.type, verb="stand in one estimate",
                )  # fmt: skip
        if not low.value <= likely.value <= high.value:
            return self.report(catalogue.ESTIMATE_ORDER, node.span)
        return self.constant(low.type, Estimate(low.value, likely.value, high.value), node.span)

    def _name(self, node: nodes.Name) -> Core:
        name, span = node.text, node.span
        if name in self.scope.broken:
            return self.broken(span)
        if name in SPECIAL:
            return core.Special(SPECIAL[name], span, self.term(), name)
        if name in ("yes", "no"):
            return self.constant(YES_NO, name == "yes", span)
        if name in self.scope.types:
            kind = self.scope.kinds[name]
            if self.scope.types[name] == BROKEN:
                return self.broken(span)
            return core.Ref(self.scope.types[name], span, self.term(), kind, name)  # type: ignore[arg-type]  # one of four
        if name in self.scope.kinds:
            return self.report(catalogue.WRONG_KIND_OF_NAME, span, name=name, kind=self.scope.kinds[name])
        self.miss(name, span)
        return self.broken(span)

    # ---- what operations ask of their parts ----

    def measured(self, node: Core) -> Core:
        """Complain about a quantity that can outgrow exact arithmetic."""
        try:
            self.ranges.of(node)
        except Overflow:
            return self.report(catalogue.TOO_BIG, node.span, text=node.span.text)
        return node

    def agree(self, left_node: nodes.Expr, left: Core, right_node: nodes.Expr, right: Core, verb: str) -> bool:
        """Whether two quantities can be added or compared; complains if not."""
        a, b = left.type, right.type
        assert isinstance(a, Quantity)
        assert isinstance(b, Quantity)
        span = left_node.span.to(right_node.span)
        if a.dims == b.dims:
            if not calendars_agree(a, b):
                self.report(catalogue.MONTHS_AND_DAYS, span)
                return False
            return True
        for literal, other_node, other in ((left_node, right_node, b), (right_node, left_node, a)):
            if isinstance(literal, nodes.Literal) and _is_plain(literal.text):
                self.report(
                    catalogue.MISSING_UNIT, literal.span, name=other_node.span.text, wanted=measured(other),
                    text=literal.text, guess=with_unit(literal.text, other).replace("$", self.scope.currency),
                )  # fmt: skip
                return False
        if {_labor_or_calendar(a), _labor_or_calendar(b)} == {"labor", "calendar"}:
            labor_node, calendar_node = (
                (left_node, right_node) if _labor_or_calendar(a) == "labor" else (right_node, left_node)
            )
            self.report(
                catalogue.LABOR_AND_CALENDAR,
                span,
                labor=labor_node.span.text,
                calendar=calendar_node.span.text,
                verb=verb,
            )
            return False
        self.report(
            catalogue.MIXED_DIMENSIONS, span, left=left_node.span.text, left_is=a, right=right_node.span.text,
            right_is=b, verb=verb,
        )  # fmt: skip
        return False

    def at_end(self, found: Core, end: core.End, span: Span) -> Core:
        """A quantity with every estimate at the end that moves it toward `end`."""
        try:
            return self.ends.of(found, end)
        except NotOrdered as error:
            return self.report(
                catalogue.END_NOT_PROVED, span, function=end, text=found.span.text, part=error.culprit.span.text,
                notes=[(error.culprit.span, "this part")],
            )  # fmt: skip


def _is_plain(text: str) -> bool:
    return all(c in "0123456789.,/ " for c in text)


def _labor_or_calendar(type_: Quantity) -> str:
    if sum(map(abs, type_.dims)) != 1:
        return ""
    return "labor" if type_.dims[_LABOR] == 1 else "calendar" if type_.dims[_CALENDAR] == 1 else ""
