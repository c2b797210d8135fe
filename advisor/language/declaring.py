"""From declarations as written to definitions with types: questions, settings, faults, seasons and tables.

In: one block, and the elaborator for the expressions in it. Out: its definition for the `Program`; problems go to
the elaborator's list.
"""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

from attrs import define, evolve

from advisor.language import catalogue, core, nodes
from advisor.language.core import Core
from advisor.language.elaborating import Elaborator
from advisor.language.problems import Kind, nearest
from advisor.language.program import FaultDef, Question, SeasonDef, SettingDef, TableDef
from advisor.language.source import Span
from advisor.language.types import (
    BROKEN,
    DATE,
    FIRST_DAY,
    LAST_DAY,
    MONEY,
    MONTH_DAY,
    NUMBER,
    PERCENT,
    YES_NO,
    Choice,
    Code,
    Estimate,
    ListOf,
    Quantity,
    Text,
    Type,
    Value,
    YesNo,
    decimal,
    quantity,
)
from advisor.language.units import CURRENCIES, UNITS, grain, parse_unit, unit_factor
from advisor.language.values import (
    MONTHS,
    Unreadable,
    check_fits,
    fitting,
    measured,
    outside,
    read_literal,
    read_month_day,
    read_value,
    unit_type,
)
from advisor.language.wording import format_value

__all__ = ["Declarer"]

LABOR, CALENDAR = quantity(labor="h"), quantity(calendar="day")
_WORDS: dict[str, Type] = {
    "yes/no": YES_NO,
    "date": DATE,
    "text": Text(),
    "number": NUMBER,
    "percent": PERCENT,
    "money": MONEY,
}
_LARGEST = Fraction(1_000_000)
_EFFECTS = ("resale falls", "days to sell rise", "buyers fall")


def _in_order(low: nodes.Literal, high: nodes.Literal) -> bool:
    """Whether two numbers as written count from 1 to 100, the smaller first."""
    counts = [int(n.text) for n in (low, high) if n.text.isdigit() and len(n.text) <= 3]
    return len(counts) == 2 and 1 <= counts[0] <= counts[1] <= 100


@define
class Declarer:
    """Checks declarations one by one."""

    elab: Elaborator
    station: int | None = None

    def _say(self, kind: Kind, span: Span, /, **words: object) -> None:
        self.elab.report(kind, span, **words)

    def value(self, node: nodes.ValueText, type_: Type, name: str) -> Value | None:
        """A written value of a known type, complaining if it is none."""
        try:
            found = read_value(node.text, type_, name)
            self._check_currency(node)
        except Unreadable as error:
            self._say(error.kind, node.span, **error.in_currency(self.elab.scope.currency).words)
            return None
        return found

    def _check_currency(self, node: nodes.ValueText) -> None:
        if self.elab.scope.mixed_money:
            return
        for sign in set(CURRENCIES.values()):
            if sign in node.text and sign != self.elab.scope.currency and not node.text.startswith('"'):
                raise Unreadable(catalogue.OTHER_CURRENCY, found=sign, wanted=self.elab.scope.currency)

    def free_value(self, node: nodes.ValueText) -> tuple[Type, Value] | None:
        """A written value whose type shows from its form."""
        text = node.text
        try:
            self._check_currency(node)
            if text in ("yes", "no"):
                return YES_NO, text == "yes"
            if text[:4].isdigit() and text[4:5] == "-":
                return DATE, read_value(text, DATE, "")
            if text[:3] in MONTHS:
                return MONTH_DAY, read_month_day(text)
            literal = read_literal(text.split("..")[0])
            return literal.type, read_value(text, literal.type, "this value")
        except Unreadable as error:
            self._say(error.kind, node.span, **error.words)
            return None

    # ---- questions ----

    def question(self, ask: nodes.Ask, gate: Core | None) -> Question:
        """A question; its gate has been elaborated."""
        type_, low, high = self.type_of(ask.type, ask.name.text)
        otherwise = self._inside(ask.otherwise, type_, low, high, ask.name.text) if ask.otherwise else None
        if not ask.text and type_ != BROKEN:
            self._say(catalogue.NO_QUESTION, ask.name.span, name=ask.name.text)
        return Question(
            name=ask.name.text,
            type=type_,
            low=low,
            high=high,
            text=ask.text,
            how=ask.how,
            why=ask.why,
            minutes=self._minutes(ask.takes),
            usually=self._usually(ask, type_),
            unsure=self._inside(ask.unsure, type_, low, high, ask.name.text),
            refused=self._inside(ask.refused, type_, low, high, ask.name.text),
            gate=gate,
            otherwise=otherwise,
            major=ask.major,
            chance=False,
            station=self.station,
            cited=ask.source,
            span=ask.name.span,
        )

    def _inside(
        self, node: nodes.ValueText | None, type_: Type, low: Value | None, high: Value | None, name: str
    ) -> Value | None:
        """A value of a question, complaining if it lies outside the question's range."""
        if node is None or type_ == BROKEN:
            return None
        found = self.value(node, type_, name)
        problem = outside(found, low, high) if found is not None else False
        if problem:
            ends = (format_value(v, type_, self.elab.scope.currency) for v in (low, high))
            self._say(
                catalogue.OUTSIDE_RANGE,
                node.span,
                name=name,
                text=node.text,
                **dict(zip(("low", "high"), ends, strict=True)),
            )
            return None
        return found

    def _minutes(self, node: nodes.ValueText | None) -> Decimal:
        found = self.value(node, LABOR, "takes") if node else None
        return found if isinstance(found, Decimal) else Decimal(1)

    def _usually(self, ask: nodes.Ask, type_: Type) -> tuple[tuple[Value, Decimal], ...]:
        shares: dict[Value, Decimal] = {}
        for name, share in ask.usually:
            if type_ == BROKEN:
                return ()
            if not isinstance(type_, YesNo | Choice):
                self._say(catalogue.USUALLY_OF_NUMBER, name.span, name=ask.name.text)
                return ()
            answer = self.value(nodes.ValueText(name.text, name.span), type_, ask.name.text)
            if answer is None:
                return ()
            if answer in shares:
                self._say(catalogue.SAID_TWICE, name.span, what=name.text)
                return ()
            shares[answer] = read_literal(share.text).value
        if shares and sum(shares.values()) != 1:
            total = sum(shares.values(), Decimal(0)) * 100
            span = ask.usually[0][0].span.to(ask.usually[-1][1].span)
            self._say(catalogue.SHARES_SUM, span, total=f"{total.normalize():f}%")
        return tuple(shares.items())

    def type_of(self, node: nodes.TypeNode, name: str) -> tuple[Type, Value | None, Value | None]:
        """A type as written, and the range of its values."""
        match node:
            case nodes.ChoiceOf(options=options):
                return self._choice(options), None, None
            case nodes.CodeOf(word=word, shortest=shortest, longest=longest):
                if word.text != "code":
                    self._say(catalogue.UNKNOWN_TYPE, word.span, text=word.text, cure="write `code of 5 to 17`")
                    return BROKEN, None, None
                if not _in_order(shortest, longest):
                    cure = "write for example `code of 5 to 17`, the shorter first, 100 at most"
                    self._say(catalogue.UNKNOWN_TYPE, node.span, text=node.span.text, cure=cure)
                    return BROKEN, None, None
                return Code(int(shortest.text), int(longest.text)), None, None
            case nodes.RangeType(unit=unit, low=low, high=high):
                type_ = self._unit_type(unit)
                if type_ == DATE:
                    return type_, self.value(low, DATE, name), self.value(high, DATE, name)
                return self._ranged(type_, low, high, name, node.span)
            case nodes.ListType(fewest=fewest, most=most, unit=unit, domain=domain):
                item = self._unit_type(unit)
                if not isinstance(item, Quantity):
                    return BROKEN, None, None
                _, lowest, highest = (
                    self._ranged(item, *domain, name, node.span) if domain else (item, Decimal(0), _largest(item))
                )
                if not _in_order(fewest, most):
                    self._say(catalogue.READINGS_RANGE, fewest.span.to(most.span))
                    return BROKEN, None, None
                return ListOf(item, int(fewest.text), int(most.text)), lowest, highest
            case nodes.PlainType(name=word, span=span):
                type_ = self._unit_type(nodes.Unit(word, span))
                if isinstance(type_, Quantity):
                    return type_, Decimal(0), Decimal(1) if type_.percent else _largest(type_)
                return (type_, FIRST_DAY, LAST_DAY) if type_ == DATE else (type_, None, None)

    def _choice(self, options: tuple[nodes.Name, ...]) -> Type:
        seen: set[str] = set()
        for option in options:
            if option.text in seen:
                self._say(catalogue.SAID_TWICE, option.span, what=option.text)
            seen.add(option.text)
        return Choice(tuple(dict.fromkeys(o.text for o in options)))

    def _unit_type(self, unit: nodes.Unit) -> Type:
        if unit.text in _WORDS:
            return _WORDS[unit.text]
        if unit.text == "count":
            return evolve(NUMBER, whole=True)
        parts = parse_unit(unit.text)
        if parts:
            return unit_type(parts)
        guess = nearest(unit.text, [*_WORDS, "count", *UNITS])
        cure = (
            f"did you mean `{guess}`?"
            if guess
            else f"kinds of answers are {', '.join(_WORDS)}, one of ..., or a unit with from .. to"
        )
        self._say(catalogue.UNKNOWN_TYPE, unit.span, text=unit.text, cure=cure)
        return BROKEN

    def _ranged(
        self, type_: Type, low: nodes.ValueText, high: nodes.ValueText, name: str, span: Span
    ) -> tuple[Type, Value | None, Value | None]:
        if not isinstance(type_, Quantity):
            if type_ != BROKEN:
                self._say(catalogue.NO_RANGE_HERE, span, found=f"an answer of the kind `{span.text.split()[0]}`")
            return BROKEN, None, None
        lowest, highest = self.value(low, type_, name), self.value(high, type_, name)
        if lowest is None or highest is None:
            return BROKEN, None, None
        if not (isinstance(lowest, Decimal) and isinstance(highest, Decimal) and lowest <= highest):
            self._say(catalogue.RANGE_ORDER, low.span.to(high.span))
            return BROKEN, None, None
        return type_, lowest, highest

    # ---- settings, seasons, tables ----

    def setting(self, node: nodes.Setting) -> SettingDef | None:
        """A setting; its type shows from its value."""
        found = self.free_value(node.value)
        if found is None:
            return None
        return SettingDef(node.name.text, found[0], found[1], node.text, node.source, node.name.span)

    def season(self, node: nodes.Season) -> SeasonDef | None:
        """A season."""
        windows = []
        for first, last in node.windows:
            for end in (first, last):
                try:
                    read_month_day(end.text)
                except Unreadable as error:
                    self._say(error.kind, end.span, **error.words)
                    return None
            windows.append((read_month_day(first.text), read_month_day(last.text)))
        if not windows:
            self._say(
                catalogue.EMPTY, node.name.span, what="season", wanted="an `open` line, such as `open Apr 1 .. Sep 30`"
            )
            return None
        return SeasonDef(node.name.text, tuple(windows), node.name.span)

    def table(self, node: nodes.Table, by: Type | None) -> TableDef | None:
        """A table by month (`by` is None) or by a choice."""
        keys = MONTHS if by is None else by.options if isinstance(by, Choice) else ()
        entries: dict[str, Decimal] = {}
        type_: Quantity | None = None
        for key, text in node.entries:
            if key.text not in keys:
                guess = nearest(key.text, keys)
                kind = catalogue.UNKNOWN_MONTH if by is None else catalogue.NOT_A_CHOICE
                cure = f"did you mean `{guess}`?" if guess else "it is one of " + ", ".join(f"`{k}`" for k in keys)
                self._say(kind, key.span, text=key.text, name=node.by.text, cure=cure)
                return None
            if key.text in entries:
                self._say(catalogue.SAID_TWICE, key.span, what=key.text)
                return None
            try:
                literal = read_literal(text.text)
                check_fits(literal, type_ or literal.type, node.name.text, text.text)
                self._check_currency(text)
            except Unreadable as error:
                self._say(error.kind, text.span, **error.words)
                return None
            type_ = type_ or literal.type
            entries[key.text] = literal.value
        missing = [k for k in keys if k not in entries]
        if missing or type_ is None:
            self._say(
                catalogue.TABLE_GAP, node.name.span, name=node.name.text, missing=", ".join(f"`{m}`" for m in missing)
            )
            return None
        name = None if by is None else node.by.text
        return TableDef(node.name.text, name, type_, tuple((k, entries[k]) for k in keys), node.name.span)

    # ---- faults ----

    def fault(self, node: nodes.Fault, when: Core) -> FaultDef:
        """A fault; its condition has been elaborated."""
        figures = {
            kind: self._figure(getattr(node, kind), type_, kind)
            for kind, type_ in (("parts", MONEY), ("shop", MONEY), ("labor", LABOR), ("wait", CALENDAR))
        }
        falls, drop, days, buyers = Decimal(0), Decimal(0), Decimal(0), Decimal(0)
        for effect in node.effects:
            amount = self._effect(effect)
            match effect.words, amount:
                case "resale falls", (Quantity(percent=True), value):
                    falls = value
                case "resale falls", (_, value):
                    drop = value
                case "days to sell rise", (_, value):
                    days = value
                case "buyers fall", (_, value):
                    buyers = value
        return FaultDef(
            name=node.name.text, when=when, text=node.text, **figures, falls=falls, drop=drop, days=days, buyers=buyers,
            must=node.must, together=tuple(n.text for n in node.together), ends=self._ends(figures),
            cited=node.source, span=node.name.span,
        )  # fmt: skip

    def _ends(self, figures: dict[str, Core | None]) -> dict[str, tuple[Core, Core]]:
        """The low and the high end of the figures that stand on estimates by name."""
        found = {}
        for kind, figure in figures.items():
            if figure is None or isinstance(figure, core.Const):
                continue
            low, high = self.elab.at_end(figure, "low", figure.span), self.elab.at_end(figure, "high", figure.span)
            if low is not figure and BROKEN not in (low.type, high.type):
                found[kind] = (low, high)
        return found

    def _figure(self, node: nodes.Expr | None, type_: Quantity, kind: str) -> Core | None:
        if node is None:
            return None
        found = self.elab.number(node)
        if not isinstance(found.type, Quantity):
            return None
        if found.type.dims != type_.dims:
            if found.type.plain and isinstance(node, nodes.Literal):
                guess = f"{self.elab.scope.currency}{node.text}" if type_ == MONEY else f"{node.text} {type_.unit}"
                self._say(
                    catalogue.MISSING_UNIT, node.span, name=kind, wanted=measured(type_), text=node.text, guess=guess
                )
            else:
                self._say(
                    catalogue.WRONG_DIMENSION, node.span, name=kind, wanted=type_, text=node.span.text,
                    found=found.type, cure=fitting(type_).replace("$", self.elab.scope.currency),
                )  # fmt: skip
            return None
        low = found.value.low if isinstance(found, core.Const) and isinstance(found.value, Estimate) else None
        if low is None:
            low = self.elab.ranges.number(found).low
        if low < 0:
            self._say(catalogue.NEGATIVE_FIGURE, node.span, name=kind)
            return None
        return found

    def _effect(self, effect: nodes.Effect) -> tuple[Quantity, Decimal] | None:
        if effect.words not in _EFFECTS:
            guess = nearest(effect.words, _EFFECTS)
            cure = f"did you mean `{guess}`?" if guess else "effects are " + ", ".join(f"`{e}`" for e in _EFFECTS)
            self._say(catalogue.UNKNOWN_EFFECT, effect.span, text=effect.words, cure=cure)
            return None
        try:
            literal = self.elab.literal(effect.value)
        except Unreadable as error:
            self._say(error.kind, effect.value.span, **error.words)
            return None
        value, type_ = literal.value, literal.type
        share = type_.plain and type_.percent and 0 <= value <= 1
        fits = {
            "resale falls": share or (type_ == MONEY and value >= 0),
            "buyers fall": share,
            "days to sell rise": type_.dims == CALENDAR.dims or (type_.plain and not type_.percent),
        }[effect.words]
        if not fits:
            wanted = {
                "resale falls": "a percentage or money",
                "buyers fall": "a percentage",
                "days to sell rise": "days",
            }
            amount = "20" if effect.words == "days to sell rise" else "25%"
            self._say(
                catalogue.BAD_EFFECT, effect.value.span, text=effect.words, wanted=wanted[effect.words],
                example=f"{effect.words} {amount}",
            )  # fmt: skip
            return None
        if effect.words == "days to sell rise" and type_.plain:
            value = decimal(Fraction(value) / grain(CALENDAR.dims))
        return type_, value


def _largest(type_: Quantity) -> Decimal:
    parts = parse_unit(type_.unit) if type_.unit else None
    size = Fraction(1)
    if parts:
        size = unit_factor(parts)
    return decimal(_LARGEST * size)
