"""Questions: from `ask` blocks as written to definitions with types and ranges.

In: one block, its gate as a core expression, and the `Declarer` that reads its values. Out: the `Question`.
"""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

from attrs import define, evolve

from advisor.language import catalogue, nodes
from advisor.language.core import Core
from advisor.language.declaring import LABOR, Declarer
from advisor.language.problems import Kind, nearest
from advisor.language.program import Question
from advisor.language.source import Span
from advisor.language.types import (
    BROKEN,
    DATE,
    EXACT,
    FIRST_DAY,
    LAST_DAY,
    MONEY,
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
)
from advisor.language.units import UNITS, parse_unit, unit_factor
from advisor.language.values import outside, read_literal, unit_type
from advisor.language.wording import format_value

__all__ = ["Asker"]

_WORDS: dict[str, Type] = {
    "yes/no": YES_NO,
    "date": DATE,
    "text": Text(),
    "number": NUMBER,
    "percent": PERCENT,
    "money": MONEY,
}
_LARGEST = Fraction(1_000_000)


def _in_order(low: nodes.Literal, high: nodes.Literal) -> bool:
    """Whether two numbers as written count from 1 to 100, the smaller first."""
    counts = [int(n.text) for n in (low, high) if n.text.isdigit() and len(n.text) <= 3]
    return len(counts) == 2 and 1 <= counts[0] <= counts[1] <= 100


@define
class Asker:
    """Checks questions one by one."""

    declare: Declarer

    def _say(self, kind: Kind, span: Span, /, **words: object) -> None:
        self.declare.elab.report(kind, span, **words)

    def question(self, ask: nodes.Ask, gate: Core | None, station: int | None) -> Question:
        """A question; its gate has been elaborated, and `station` is the place of its station among all."""
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
            usually=self._usually(ask, type_, low, high),
            unsure=self._inside(ask.unsure, type_, low, high, ask.name.text),
            refused=self._inside(ask.refused, type_, low, high, ask.name.text),
            gated=gate is not None,
            otherwise=otherwise,
            major=ask.major,
            chance=False,
            station=station,
            cited=ask.source,
            span=ask.name.span,
            becomes=self._becomes(ask, type_, low, high),
            spread=self._spread(ask, type_, low, high),
            fine=self._fine(ask, type_),
        )

    def _becomes(
        self, ask: nodes.Ask, type_: Type, low: Value | None, high: Value | None
    ) -> tuple[tuple[Value, str], ...]:
        """What somebody can make of the answer, and how."""
        found: dict[Value, str] = {}
        for node, how in ask.becomes:
            value = self._inside(node, type_, low, high, ask.name.text)
            if value is not None and value in found:
                self._say(catalogue.SAID_TWICE, node.span, what=node.text)
            elif value is not None:
                found[value] = how
        return tuple(found.items())

    def _inside(
        self, node: nodes.ValueText | None, type_: Type, low: Value | None, high: Value | None, name: str
    ) -> Value | None:
        """A value of a question, complaining if it lies outside the question's range."""
        if node is None or type_ == BROKEN:
            return None
        found = self.declare.value(node, type_, name)
        problem = outside(found, low, high) if found is not None else False
        if problem:
            ends = (format_value(v, type_, self.declare.elab.scope.currency) for v in (low, high))
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
        found = self.declare.value(node, LABOR, "takes") if node else None
        return found if isinstance(found, Decimal) else Decimal(1)

    def _fine(self, ask: nodes.Ask, type_: Type) -> Value | None:
        """The answer that means that all is as it should be."""
        if ask.fine is None or type_ == BROKEN:
            return None
        if not isinstance(type_, YesNo | Choice):
            self._say(catalogue.NO_FINE_HERE, ask.fine.span, name=ask.name.text)
            return None
        return self.declare.value(ask.fine, type_, ask.name.text)

    def _usually(
        self, ask: nodes.Ask, type_: Type, low: Value | None, high: Value | None
    ) -> tuple[tuple[Value, Decimal], ...]:
        shares: dict[Value, Decimal] = {}
        for name, share in ask.usually:
            if type_ == BROKEN:
                return ()
            if not isinstance(type_, YesNo | Choice):
                self._no_usually(ask, type_, low, high, name.span)
                return ()
            answer = self.declare.value(nodes.ValueText(name.text, name.span), type_, ask.name.text)
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

    def _spread(self, ask: nodes.Ask, type_: Type, low: Value | None, high: Value | None) -> Estimate | None:
        """How a number usually comes out: low, likely and high, of one reading where the answer is a list."""
        if ask.spread is None or type_ == BROKEN:
            return None
        item = type_.item if isinstance(type_, ListOf) else type_
        if not isinstance(item, Quantity):
            self._no_usually(ask, type_, low, high, ask.spread.span)
            return None
        found = self._inside(ask.spread, item, low, high, ask.name.text)
        return found if isinstance(found, Estimate) else None

    def _example(self, type_: Quantity | ListOf, low: Value | None, high: Value | None) -> str:
        """A spread over the whole range of a question, as somebody would write it."""
        if not (isinstance(low, Decimal) and isinstance(high, Decimal)):
            return "low .. likely .. high"
        item = type_.item if isinstance(type_, ListOf) else type_
        middle = EXACT.divide(EXACT.add(low, high), Decimal(2))
        if item.whole:
            middle = middle.to_integral_value()
        return format_value(Estimate(low, middle, high), item, self.declare.elab.scope.currency)

    def _no_usually(self, ask: nodes.Ask, type_: Type, low: Value | None, high: Value | None, span: Span) -> None:
        """Shares of a number, a spread of words, or either of what no hint can be given of."""
        cure = f"take it out: `usually` is for numbers, choices and yes/no, and this is {type_}"
        match type_:
            case Quantity() | ListOf():
                cure = f"write low, likely and high, such as `usually {self._example(type_, low, high)}`"
            case YesNo():
                cure = "give each answer its share, such as `usually no 80%, yes 20%`"
            case Choice(options):
                cure = f"give each answer its share, such as `usually {options[0]} 80%, ...`"
        self._say(catalogue.ODD_USUALLY, span, name=ask.name.text, cure=cure)

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
                    return type_, self.declare.value(low, DATE, name), self.declare.value(high, DATE, name)
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
        lowest, highest = self.declare.value(low, type_, name), self.declare.value(high, type_, name)
        if lowest is None or highest is None:
            return BROKEN, None, None
        if not (isinstance(lowest, Decimal) and isinstance(highest, Decimal) and lowest <= highest):
            self._say(catalogue.RANGE_ORDER, low.span.to(high.span))
            return BROKEN, None, None
        return type_, lowest, highest


def _largest(type_: Quantity) -> Decimal:
    parts = parse_unit(type_.unit) if type_.unit else None
    size = Fraction(1)
    if parts:
        size = unit_factor(parts)
    return decimal(_LARGEST * size)
