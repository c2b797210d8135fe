"""From expressions as written to core expressions with types and units.

In: expression nodes, and a `Scope` that knows the names defined so far. Out: `core` nodes, and the problems of
types, units and functions. An expression with a problem becomes a node of type `BROKEN`, which fits everywhere,
so that one mistake is told once.
"""

from __future__ import annotations

from decimal import Decimal, Overflow
from fractions import Fraction

from attrs import define, field

from advisor.language import catalogue, core, nodes
from advisor.language.core import Core
from advisor.language.functions import FUNCTIONS, OLD_SPELLINGS, PLAN_FIGURES, TRADE
from advisor.language.problems import Kind, Problem, nearest
from advisor.language.program import SeasonDef, TableDef
from advisor.language.ranges import Interval, Ranges, compare_ranges
from advisor.language.source import Span
from advisor.language.trends import Ends, NotOrdered
from advisor.language.types import (
    BROKEN,
    DATE,
    MONEY,
    MONTH_DAY,
    NUMBER,
    PERCENT,
    YES_NO,
    Choice,
    DateType,
    Estimate,
    ListOf,
    MonthDayType,
    Quantity,
    Type,
    Value,
    YesNo,
    quantity,
)
from advisor.language.units import DIMENSIONS, describe_dims, grain
from advisor.language.values import (
    Literal,
    Unreadable,
    format_value,
    measured,
    read_date,
    read_literal,
    read_month_day,
    with_unit,
)

__all__ = ["SPECIAL", "Elaborator", "Scope"]

SPECIAL: dict[str, Type] = {
    "offer": MONEY,
    "ceiling": MONEY,
    "today": DATE,
    "unverified_majors": NUMBER,
    "cannot_tell": NUMBER,
    "refused_looks": NUMBER,
}
"""Names that always mean something."""

_LABOR, _CALENDAR = DIMENSIONS.index("labor"), DIMENSIONS.index("calendar")
_TEMPERATURE = DIMENSIONS.index("temperature")
_FIGURE_TYPES = {
    "money": MONEY, "labor": quantity(labor="h"), "calendar": quantity(calendar="day"), "percent": PERCENT,
}  # fmt: skip


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
        """Complain where a quotient may be without a value because its divisor may be zero."""
        quotient = self.quotient(found)
        if quotient and not self.ranges.number(quotient.right).positive:
            return self.report(
                catalogue.DIVISOR_MAY_BE_ZERO, found.span, text=found.span.text, divisor=quotient.right.span.text
            )
        return found

    def quotient(self, node: Core) -> core.Divide | None:
        """The quotient that a node is, or that the quantity it names is."""
        if isinstance(node, core.Ref) and node.kind == "let":
            value = self.scope.values.get(node.name)
            return value if isinstance(value, core.Divide) else None
        return node if isinstance(node, core.Divide) else None

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
                return self._call(node)
            case nodes.Extreme():
                return self._extreme(node)
            case nodes.Negative(operand=operand, span=span):
                inner = self.number(operand)
                if inner.type == BROKEN:
                    return inner
                return self._measured(core.Negate(inner.type, span, self.term(), inner))
            case nodes.Binary():
                return self._binary(node)
            case nodes.Compare():
                return self._compare(node)
            case nodes.Is():
                return self._is(node)
            case nodes.InSeason():
                return self._in_season(node)
            case nodes.Not(operand=operand, span=span):
                inner = self.condition(operand)
                return core.Not(YES_NO, span, self.term(), inner) if inner.type != BROKEN else inner
            case nodes.Chain():
                return self._chain(node)
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

    # ---- sums and products ----

    def _binary(self, node: nodes.Binary) -> Core:
        left, right = self.expr(node.left), self.expr(node.right)
        spoiled = node.op in "+-" and (_bare_share(node.left) or _bare_share(node.right))
        if spoiled or BROKEN in (left.type, right.type):
            return self.broken(node.span)
        if node.op in "+-" and isinstance(left.type, DateType):
            return self._date_sum(node, left, right)
        for side, part in ((node.left, left), (node.right, right)):
            if not isinstance(part.type, Quantity):
                return self.report(catalogue.NOT_A_NUMBER, side.span, text=side.span.text, found=part.type)
            if self.valued(part).type == BROKEN:
                return self.broken(node.span)
        if node.op in "+-":
            return self._sum(node, left, right)
        return self._product(node, left, right)

    def _sum(self, node: nodes.Binary, left: Core, right: Core) -> Core:
        if not self._agree(node.left, left, node.right, right, "be added" if node.op == "+" else "be subtracted"):
            return self.broken(node.span)
        if left.type.dims[_TEMPERATURE]:  # type: ignore[union-attr]  # both are quantities
            return self.report(catalogue.TEMPERATURE_SUM, node.span)
        type_ = _merged(left.type, right.type)
        make = core.Add if node.op == "+" else core.Subtract
        return self._measured(make(type_, node.span, self.term(), left, right))

    def _product(self, node: nodes.Binary, left: Core, right: Core) -> Core:
        a, b = left.type, right.type
        assert isinstance(a, Quantity)
        assert isinstance(b, Quantity)
        if a.dims[_TEMPERATURE] or b.dims[_TEMPERATURE]:
            return self.report(catalogue.TEMPERATURE_SUM, node.span)
        if not _calendars_agree(a, b):
            return self.report(catalogue.MONTHS_AND_DAYS, node.span)
        sign = -1 if node.op == "/" else 1
        dims = tuple(x + sign * y for x, y in zip(a.dims, b.dims, strict=True))
        units = tuple((x or y) if e else "" for x, y, e in zip(a.units, b.units, dims, strict=True))
        # A quantity over another of its kind is a share, and is shown as a percentage.
        share = node.op == "/" and a.dims == b.dims and not a.plain
        percent = share or (node.op != "/" and (b.percent if node.op == "of" else a.percent and b.percent))
        type_ = Quantity(dims, units, percent and not any(dims))
        if sign < 0:
            factor = grain(a.dims) / grain(b.dims) / grain(dims)
            return self._quotient(core.Divide(type_, node.span, self.term(), left, right, factor))
        factor = grain(a.dims) * grain(b.dims) / grain(dims)
        return self._measured(core.Multiply(type_, node.span, self.term(), left, right, factor))

    def _quotient(self, node: core.Divide) -> Core:
        """A quotient's divisor must not be negative; where it is computed with, `valued` asks for more."""
        divisor = self.ranges.number(node.right)
        if not divisor.not_negative:
            return self.report(catalogue.DIVISOR_MAY_BE_NEGATIVE, node.right.span, divisor=node.right.span.text)
        if isinstance(node.right, core.Const) and divisor.high == 0:
            return self.report(catalogue.DIVISOR_IS_ZERO, node.right.span)
        return node

    def _measured(self, node: Core) -> Core:
        """Complain about a quantity that can outgrow exact arithmetic."""
        try:
            self.ranges.of(node)
        except Overflow:
            return self.report(catalogue.TOO_BIG, node.span, text=node.span.text)
        return node

    def _agree(self, left_node: nodes.Expr, left: Core, right_node: nodes.Expr, right: Core, verb: str) -> bool:
        """Whether two quantities can be added or compared; complains if not."""
        a, b = left.type, right.type
        assert isinstance(a, Quantity)
        assert isinstance(b, Quantity)
        span = left_node.span.to(right_node.span)
        if a.dims == b.dims:
            if not _calendars_agree(a, b):
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

    def _date_sum(self, node: nodes.Binary, left: Core, right: Core) -> Core:
        if isinstance(right.type, DateType) and node.op == "-":
            return core.DateGap(quantity(calendar="day"), node.span, self.term(), left, right)
        days = quantity(calendar="day")
        if not isinstance(right.type, Quantity) or right.type.dims != days.dims:
            return self.report(catalogue.DATE_SUM, node.span)
        months = right.type.units[_CALENDAR] in ("month", "year")
        sign = 1 if node.op == "+" else -1
        return core.DateShift(DATE, node.span, self.term(), left, right, sign, months)

    def _extreme(self, node: nodes.Extreme) -> Core:
        if len(node.args) < 2:
            return self.report(catalogue.ONE_ARGUMENT, node.span, which=node.which, args=node.args[0].span.text)
        args = [self.number(a) for a in node.args]
        if any(a.type == BROKEN for a in args):
            return self.broken(node.span)
        for arg_node, arg in zip(node.args[1:], args[1:], strict=True):
            if not self._agree(node.args[0], args[0], arg_node, arg, "be compared"):
                return self.broken(node.span)
        which: core.Which = "smaller" if node.which == "smaller" else "larger"
        return self._measured(core.Extreme(args[0].type, node.span, self.term(), which, tuple(args)))

    # ---- conditions ----

    def _compare(self, node: nodes.Compare) -> Core:
        left, right = self.expr(node.left), self.expr(node.right)
        return self.compared(node.op, node.left, left, node.right, right, node.span)

    def compared(
        self, op: str, left_node: nodes.Expr, left: Core, right_node: nodes.Expr, right: Core, span: Span
    ) -> Core:
        """A comparison of two numbers or dates; a quotient on one side is multiplied out, so that it is exact."""
        if BROKEN in (left.type, right.type):
            return self.broken(span)
        if isinstance(left.type, DateType) and isinstance(right.type, DateType):
            return core.Compare(YES_NO, span, self.term(), op, left, right)  # type: ignore[arg-type]  # from the grammar
        for side, part in ((left_node, left), (right_node, right)):
            if not isinstance(part.type, Quantity):
                return self.report(catalogue.CANNOT_COMPARE, side.span, text=side.span.text, found=part.type)
        if not self._agree(left_node, left, right_node, right, "be compared"):
            return self.broken(span)
        for literal, other_node, other in ((left_node, right_node, right), (right_node, left_node, left)):
            assert isinstance(other.type, Quantity)
            unitless = isinstance(literal, nodes.Literal) and _is_plain(literal.text) and literal.text not in ("0", "1")
            if unitless and other.type.percent and self.quotient(other) is None:
                text = literal.span.text
                return self.report(
                    catalogue.MISSING_UNIT,
                    literal.span,
                    name=other_node.span.text,
                    wanted=measured(other.type),
                    text=text,
                    guess=f"{text}%",
                )
        if self._one_way(op, left, right, span):
            return self.broken(span)
        return self._multiplied_out(op, left, right, span)

    def _one_way(self, op: str, left: Core, right: Core, span: Span) -> bool:
        """Complain about a question compared with a number that its own range settles."""
        for this, that in ((left, right), (right, left)):
            if isinstance(this, core.Ref) and this.kind == "question" and isinstance(that, core.Const):
                domain, a, b = self.ranges.names.get(this.name), self.ranges.of(left), self.ranges.of(right)
                if not (isinstance(domain, Interval) and isinstance(a, Interval) and isinstance(b, Interval)):
                    return False
                truth = compare_ranges(op, a, b)
                if truth.can_hold and truth.can_fail:
                    return False
                low, high = (format_value(v, this.type, self.scope.currency) for v in (domain.low, domain.high))
                way = "true" if truth.can_hold else "false"
                self.report(catalogue.ALWAYS, span, text=span.text, way=way, name=this.name, low=low, high=high)
                return True
        return False

    def _multiplied_out(self, op: str, left: Core, right: Core, span: Span) -> Core:
        for this, that, flip in ((left, right, False), (right, left, True)):
            quotient = self.quotient(this)
            if quotient is None:
                continue
            if self.valued(that).type == BROKEN:
                return self.broken(span)
            up, down = quotient.factor.numerator, quotient.factor.denominator
            above = quotient.left
            if up != 1:
                one = self.constant(NUMBER, Decimal(1), quotient.left.span)
                above = core.Multiply(above.type, above.span, self.term(), above, one, Fraction(up))
            below = core.Multiply(quotient.left.type, span, self.term(), that, quotient.right, Fraction(down))
            pair = (below, above) if flip else (above, below)
            return core.Compare(YES_NO, span, self.term(), op, *pair)  # type: ignore[arg-type]
        return core.Compare(YES_NO, span, self.term(), op, left, right)  # type: ignore[arg-type]

    def _is(self, node: nodes.Is) -> Core:
        left = self.expr(node.left)
        if left.type == BROKEN:
            return left
        if isinstance(left.type, Choice):
            found = self._is_choice(node, left, left.type)
        elif node.listed:
            parts = [self._equal(node, left, option) for option in node.options]
            broken = [p for p in parts if p.type == BROKEN]
            found = broken[0] if broken else core.Any(YES_NO, node.span, self.term(), tuple(parts))
        else:
            found = self._equal(node, left, node.options[0])
        if found.type == BROKEN or not node.negated:
            return found
        return core.Not(YES_NO, node.span, self.term(), found)

    def _is_choice(self, node: nodes.Is, left: Core, type_: Choice) -> Core:
        words = set(type_.options)
        for option in node.options:
            if not isinstance(option, nodes.Name) or option.text not in words:
                guess = nearest(option.span.text, type_.options)
                listed = ", ".join(f"`{o}`" for o in type_.options)
                cure = f"did you mean `{guess}`?" if guess else f"it is one of {listed}"
                return self.report(
                    catalogue.NOT_A_CHOICE, option.span, name=left.span.text, text=option.span.text, cure=cure
                )
        options = tuple(o.span.text for o in node.options)
        return core.OneOf(YES_NO, node.span, self.term(), left, options)

    def _equal(self, node: nodes.Is, left: Core, option: nodes.Expr) -> Core:
        if isinstance(left.type, YesNo):
            if isinstance(option, nodes.Name) and option.text in ("yes", "no"):
                return left if option.text == "yes" else core.Not(YES_NO, node.span, self.term(), left)
            return self.report(
                catalogue.NOT_A_CHOICE,
                option.span,
                name=left.span.text,
                text=option.span.text,
                cure="say `yes` or `no`",
            )
        a_word = isinstance(option, nodes.Name) and option.text not in self.scope.types and option.text not in SPECIAL
        if a_word and not isinstance(left.type, Quantity | DateType):
            return self.report(catalogue.CANNOT_COMPARE, node.left.span, text=node.left.span.text, found=left.type)
        return self.compared("is", node.left, left, option, self.expr(option), node.span)

    def _in_season(self, node: nodes.InSeason) -> Core:
        left = self.expr(node.left)
        season = self.season(node.season)
        if left.type == BROKEN or season is None:
            return self.broken(node.span)
        if not isinstance(left.type, DateType):
            return self.report(catalogue.NOT_A_DATE, node.left.span, text=node.left.span.text, found=left.type)
        found = core.InSeason(YES_NO, node.span, self.term(), left, season)
        return core.Not(YES_NO, node.span, self.term(), found) if node.negated else found

    def season(self, name: nodes.Name) -> str | None:
        """A season's name, complaining if there is none."""
        if name.text in self.scope.seasons:
            return name.text
        if name.text in self.scope.kinds:
            self.report(catalogue.WRONG_KIND_OF_NAME, name.span, name=name.text, kind=self.scope.kinds[name.text])
        elif name.text not in self.scope.broken:
            self.miss(name.text, name.span)
        return None

    def _chain(self, node: nodes.Chain) -> Core:
        terms = [self.condition(t) for t in node.terms]
        # `and` beside `or` has been told already; what they would mean together nobody can say.
        if len(set(node.ops)) > 1 or any(t.type == BROKEN for t in terms):
            return self.broken(node.span)
        make = core.All if node.ops[0] == "and" else core.Any
        return make(YES_NO, node.span, self.term(), tuple(terms))

    # ---- functions ----

    def _call(self, node: nodes.Call) -> Core:
        name = node.function.text
        figure = _plan_figure(node)
        if figure:
            what, measure = figure
            return core.PlanFigure(_FIGURE_TYPES[measure], node.span, self.term(), what)  # type: ignore[arg-type]
        if name in self.scope.tables:
            return self._lookup(node, self.scope.tables[name])
        if name in TRADE:
            return self._trade(node)
        if name in ("days_to_open", "days_to_close"):
            return self._days_to(node)
        if name == "next_day":
            return self._next_day(node)
        make = getattr(self, f"_call_{name}", None) if name in FUNCTIONS else None
        if make is None:
            return self._unknown_function(node)
        args = [self.expr(a) for a in node.args]
        if any(a.type == BROKEN for a in args):
            return self.broken(node.span)
        found: Core = make(node, args)
        return found

    def _unknown_function(self, node: nodes.Call) -> Core:
        name = node.function.text
        if name in self.scope.broken:
            return self.broken(node.span)
        if name in ("sum", "longest", "kept", "lost", "added"):
            forms = ", ".join(f"`{f}({a})`" for f, a in PLAN_FIGURES if f == name and a != "labour")
            return self.report(catalogue.ARGUMENTS, node.span, function=name, wanted=f"write {forms}")
        if name in OLD_SPELLINGS:
            return self.report(
                catalogue.UNKNOWN_FUNCTION, node.function.span, name=name, cure=f"write `{OLD_SPELLINGS[name]} (...)`"
            )
        if name in self.scope.kinds:
            return self.report(catalogue.WRONG_KIND_OF_NAME, node.function.span, name=name, kind=self.scope.kinds[name])
        guess = nearest(name, [*FUNCTIONS, *TRADE, *self.scope.tables])
        cure = (
            f"did you mean `{guess}`?"
            if guess
            else "functions are listed in the reference, and a table is used like one"
        )
        return self.report(catalogue.UNKNOWN_FUNCTION, node.function.span, name=name, cure=cure)

    def _wrong(self, node: nodes.Call, wanted: str) -> Core:
        return self.report(catalogue.ARGUMENTS, node.span, function=node.function.text, wanted=wanted)

    def _reduce(self, node: nodes.Call, args: list[Core]) -> Core:
        if len(args) != 1 or not isinstance(args[0].type, ListOf):
            return self._wrong(node, "give it one list of readings")
        how = node.function.text
        type_ = NUMBER if how == "count" else args[0].type.item
        return core.Reduce(type_, node.span, self.term(), how, args[0])  # type: ignore[arg-type]  # one of four

    _call_lowest = _call_highest = _call_median = _reduce

    def _call_count(self, node: nodes.Call, args: list[Core]) -> Core:
        if args and all(isinstance(a.type, YesNo) for a in args):
            return core.Counted(NUMBER, node.span, self.term(), tuple(args))
        if len(args) == 1 and isinstance(args[0].type, ListOf):
            return self._reduce(node, args)
        return self._wrong(node, "give it one list of readings, or several conditions")

    def _call_to_cent(self, node: nodes.Call, args: list[Core]) -> Core:
        if len(args) != 1 or args[0].type != MONEY:
            return self._wrong(node, "give it one amount of money")
        return self._rounded(node, "half", args[0], Decimal("0.01"))

    def _rounded(self, node: nodes.Call, how: str, operand: Core, step: Decimal) -> Core:
        if self.valued(operand).type == BROKEN:
            return self.broken(node.span)
        return core.Rounded(operand.type, node.span, self.term(), how, operand, step)  # type: ignore[arg-type]

    def _stepped(self, node: nodes.Call, args: list[Core]) -> Core:
        match args:
            case [operand, core.Const(value=Decimal() as step)] if isinstance(operand.type, Quantity) and step > 0:
                if not self._agree(node.args[0], operand, node.args[1], args[1], "go together"):
                    return self.broken(node.span)
                return self._rounded(node, node.function.text.removeprefix("rounded_"), operand, step)
        return self._wrong(node, "give it a number and the step to round to, as in `rounded_down(x, $50)`")

    _call_rounded_up = _call_rounded_down = _stepped

    def _date_part(self, node: nodes.Call, args: list[Core]) -> Core:
        if len(args) != 1 or not isinstance(args[0].type, DateType):
            return self._wrong(node, "give it one date")
        return core.DatePart(NUMBER, node.span, self.term(), node.function.text, args[0])  # type: ignore[arg-type]

    _call_year = _call_month = _date_part

    def _at_end(self, node: nodes.Call, args: list[Core]) -> Core:
        if len(args) != 1 or not isinstance(args[0].type, Quantity):
            return self._wrong(node, "give it one number, amount or quantity")
        if self.valued(args[0]).type == BROKEN:
            return self.broken(node.span)
        return self.at_end(args[0], node.function.text, node.span)  # type: ignore[arg-type]  # low or high

    def at_end(self, found: Core, end: core.End, span: Span) -> Core:
        """A quantity with every estimate at the end that moves it toward `end`."""
        try:
            return self.ends.of(found, end)
        except NotOrdered as error:
            return self.report(
                catalogue.END_NOT_PROVED, span, function=end, text=found.span.text, part=error.culprit.span.text,
                notes=[(error.culprit.span, "this part")],
            )  # fmt: skip

    _call_low = _call_high = _at_end

    def _call_chance(self, node: nodes.Call, args: list[Core]) -> Core:
        if len(args) != 1 or not isinstance(args[0].type, YesNo):
            return self._wrong(node, "give it one condition")
        self.later.append(catalogue.CHANCE_LATER.at(node.span, function="chance"))
        return core.Chance(PERCENT, node.span, self.term(), args[0])

    def _call_percentile(self, node: nodes.Call, args: list[Core]) -> Core:
        match args:
            case [share, what] if share.type == NUMBER and isinstance(what.type, Quantity):
                self.later.append(catalogue.CHANCE_LATER.at(node.span, function="percentile"))
                return core.Percentile(what.type, node.span, self.term(), share, what)
        return self._wrong(node, "give it a percentage and a quantity, as in `percentile(10%, profit)`")

    def _lookup(self, node: nodes.Call, table: TableDef) -> Core:
        if len(node.args) != 1:
            return self._wrong(node, "give it one date" if table.by is None else f"give it `{table.by}`")
        key = self.expr(node.args[0])
        if key.type == BROKEN:
            return self.broken(node.span)
        if table.by is None and not isinstance(key.type, DateType):
            return self._wrong(node, "it is a table by month: give it a date")
        if table.by is not None and key.type != self.scope.types.get(table.by):
            return self._wrong(node, f"it is a table by `{table.by}`: give it that")
        return core.Lookup(table.type, node.span, self.term(), table.name, key)

    def _days_to(self, node: nodes.Call) -> Core:
        if len(node.args) != 2 or not isinstance(node.args[0], nodes.Name):
            return self._wrong(node, f"give it a season and a date, as in `{node.function.text}(top_down, today)`")
        season, day = self.season(node.args[0]), self.expr(node.args[1])
        if season is None or day.type == BROKEN:
            return self.broken(node.span)
        if not isinstance(day.type, DateType):
            return self.report(catalogue.NOT_A_DATE, day.span, text=day.span.text, found=day.type)
        edge: core.Edge = "open" if node.function.text == "days_to_open" else "close"
        return core.DaysTo(quantity(calendar="day"), node.span, self.term(), edge, season, day)

    def _next_day(self, node: nodes.Call) -> Core:
        if len(node.args) != 2:
            return self._wrong(node, "give it a day of the year and a date, as in `next_day(Apr 1, today)`")
        wanted, day = self._month_day(node.args[0]), self.expr(node.args[1])
        if BROKEN in (wanted.type, day.type):
            return self.broken(node.span)
        if not isinstance(day.type, DateType):
            return self.report(catalogue.NOT_A_DATE, day.span, text=day.span.text, found=day.type)
        return core.NextDay(DATE, node.span, self.term(), wanted, day)

    def _month_day(self, node: nodes.Expr) -> Core:
        """A day of the year, written out or as a setting."""
        if isinstance(node, nodes.MonthDayLiteral):
            try:
                return self.constant(MONTH_DAY, read_month_day(node.text), node.span)
            except Unreadable as error:
                return self.report(error.kind, node.span, **error.words)
        found = self.expr(node)
        if isinstance(found.type, MonthDayType) or found.type == BROKEN:
            return found
        return self.report(catalogue.NOT_A_DAY_OF_YEAR, node.span, text=node.span.text, found=found.type)

    def _trade(self, node: nodes.Call) -> Core:
        signature = TRADE[node.function.text]
        args = [self.expr(a) for a in node.args]
        if any(a.type == BROKEN for a in args):
            return self.broken(node.span)
        wanted = ", ".join(name for name, _ in signature.takes)
        fits = len(args) == len(signature.takes) and all(
            type(a.type) is type(t) and (not isinstance(t, Quantity) or a.type == t)
            for a, (_, t) in zip(args, signature.takes, strict=False)
        )
        if not fits:
            return self._wrong(node, f"give it {wanted}")
        self.later.append(catalogue.TRADE_LATER.at(node.span, function=node.function.text))
        return core.TradeCall(signature.gives, node.span, self.term(), node.function.text, tuple(args))


def _plan_figure(node: nodes.Call) -> tuple[str, str] | None:
    if len(node.args) == 1 and isinstance(node.args[0], nodes.Name):
        return PLAN_FIGURES.get((node.function.text, node.args[0].text))
    return None


def _bare_share(node: nodes.Expr) -> bool:
    """`70% of resale` without brackets: beside `+` or `-` it has been told already."""
    return isinstance(node, nodes.Binary) and node.op == "of" and not node.bracketed


def _is_plain(text: str) -> bool:
    return all(c in "0123456789.,/ " for c in text)


def _labor_or_calendar(type_: Quantity) -> str:
    if sum(map(abs, type_.dims)) != 1:
        return ""
    return "labor" if type_.dims[_LABOR] == 1 else "calendar" if type_.dims[_CALENDAR] == 1 else ""


def _calendars_agree(a: Quantity, b: Quantity) -> bool:
    """Months convert to years only, never to days or weeks."""
    units = {a.units[_CALENDAR], b.units[_CALENDAR]}
    return not ("month" in units and units & {"day", "week"})


def _merged(a: Type, b: Type) -> Quantity:
    """The type of a sum: shown as its first part is, with the finer calendar unit of the two."""
    assert isinstance(a, Quantity)
    assert isinstance(b, Quantity)
    units = [x or y for x, y in zip(a.units, b.units, strict=True)]
    order = ("day", "week", "month", "year", "")
    units[_CALENDAR] = min(a.units[_CALENDAR], b.units[_CALENDAR], key=order.index)
    return Quantity(a.dims, tuple(units), a.percent or b.percent)


def dims_text(type_: Type) -> str:
    """A type's dimensions in words."""
    return describe_dims(type_.dims) if isinstance(type_, Quantity) else str(type_)
