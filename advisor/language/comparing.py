"""Conditions as core expressions: comparisons, `is`, `is in`, and what `and` and `or` make of them.

In: a condition as written, and the `Elaborator` it belongs to. Out: its node. A quotient on one side of a comparison
is multiplied out, so that the comparison is exact.
"""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from typing import TYPE_CHECKING

from advisor.language import catalogue, core, nodes
from advisor.language.core import Core
from advisor.language.functions import SPECIAL
from advisor.language.intervals import Interval, compare_ranges
from advisor.language.problems import nearest
from advisor.language.source import Span
from advisor.language.types import (
    BROKEN,
    NUMBER,
    YES_NO,
    Choice,
    DateType,
    Quantity,
    YesNo,
)
from advisor.language.values import as_percentage, measured, read_literal
from advisor.language.wording import format_value

if TYPE_CHECKING:
    from advisor.language.elaborating import Elaborator

__all__ = ["chain", "compare", "in_season", "is_", "season_named"]


def compare(elab: Elaborator, node: nodes.Compare) -> Core:
    left, right = elab.expr(node.left), elab.expr(node.right)
    return _compared(elab, node.op, node.left, left, node.right, right, node.span)


def _compared(
    elab: Elaborator, op: str, left_node: nodes.Expr, left: Core, right_node: nodes.Expr, right: Core, span: Span
) -> Core:
    """A comparison of two numbers or dates; a quotient on one side is multiplied out, so that it is exact."""
    if BROKEN in (left.type, right.type):
        return elab.broken(span)
    if isinstance(left.type, DateType) and isinstance(right.type, DateType):
        return core.Compare(YES_NO, span, elab.term(), op, left, right)  # type: ignore[arg-type]  # from the grammar
    for side, part in ((left_node, left), (right_node, right)):
        if not isinstance(part.type, Quantity):
            return elab.report(catalogue.CANNOT_COMPARE, side.span, text=side.span.text, found=part.type)
    if not elab.agree(left_node, left, right_node, right, "be compared"):
        return elab.broken(span)
    for literal, other_node, other in ((left_node, right_node, right), (right_node, left_node, left)):
        assert isinstance(other.type, Quantity)
        unitless = isinstance(literal, nodes.Literal) and _is_plain(literal.text) and literal.text not in ("0", "1")
        if unitless and other.type.percent and elab.quotient(other) is None:
            text = literal.span.text
            return elab.report(
                catalogue.MISSING_UNIT,
                literal.span,
                name=other_node.span.text,
                wanted=measured(other.type),
                text=text,
                guess=as_percentage(read_literal(text).value),
            )
    if _one_way(elab, op, left, right, span):
        return elab.broken(span)
    return _multiplied_out(elab, op, left, right, span)


def _one_way(elab: Elaborator, op: str, left: Core, right: Core, span: Span) -> bool:
    """Complain about a question compared with a number that its own range settles."""
    for this, that in ((left, right), (right, left)):
        if isinstance(this, core.Ref) and this.kind == "question" and isinstance(that, core.Const):
            domain, a, b = elab.ranges.names.get(this.name), elab.ranges.of(left), elab.ranges.of(right)
            if not (isinstance(domain, Interval) and isinstance(a, Interval) and isinstance(b, Interval)):
                return False
            truth = compare_ranges(op, a, b)
            if truth.can_hold and truth.can_fail:
                return False
            low, high = (format_value(v, this.type, elab.scope.currency) for v in (domain.low, domain.high))
            way = "true" if truth.can_hold else "false"
            elab.report(catalogue.ALWAYS, span, text=span.text, way=way, name=this.name, low=low, high=high)
            return True
    return False


def _multiplied_out(elab: Elaborator, op: str, left: Core, right: Core, span: Span) -> Core:
    for this, that, flip in ((left, right, False), (right, left, True)):
        quotient = elab.quotient(this)
        if quotient is None:
            continue
        if elab.valued(that).type == BROKEN:
            return elab.broken(span)
        up, down = quotient.factor.numerator, quotient.factor.denominator
        above = quotient.left
        if up != 1:
            one = elab.constant(NUMBER, Decimal(1), quotient.left.span)
            above = core.Multiply(above.type, above.span, elab.term(), above, one, Fraction(up))
        below = core.Multiply(quotient.left.type, span, elab.term(), that, quotient.right, Fraction(down))
        pair = (below, above) if flip else (above, below)
        return core.Compare(YES_NO, span, elab.term(), op, *pair)  # type: ignore[arg-type]  # from the grammar
    return core.Compare(YES_NO, span, elab.term(), op, left, right)  # type: ignore[arg-type]  # likewise


def is_(elab: Elaborator, node: nodes.Is) -> Core:
    left = elab.expr(node.left)
    if left.type == BROKEN:
        return left
    if isinstance(left.type, Choice):
        found = _is_choice(elab, node, left, left.type)
    elif node.listed:
        parts = [_equal(elab, node, left, option) for option in node.options]
        broken = [p for p in parts if p.type == BROKEN]
        found = broken[0] if broken else core.Any(YES_NO, node.span, elab.term(), tuple(parts))
    else:
        found = _equal(elab, node, left, node.options[0])
    if found.type == BROKEN or not node.negated:
        return found
    return core.Not(YES_NO, node.span, elab.term(), found)


def _is_choice(elab: Elaborator, node: nodes.Is, left: Core, type_: Choice) -> Core:
    words = set(type_.options)
    for option in node.options:
        if not isinstance(option, nodes.Name) or option.text not in words:
            guess = nearest(option.span.text, type_.options)
            listed = ", ".join(f"`{o}`" for o in type_.options)
            cure = f"did you mean `{guess}`?" if guess else f"it is one of {listed}"
            return elab.report(
                catalogue.NOT_A_CHOICE, option.span, name=left.span.text, text=option.span.text, cure=cure
            )
    options = tuple(o.span.text for o in node.options)
    return core.OneOf(YES_NO, node.span, elab.term(), left, options)


def _equal(elab: Elaborator, node: nodes.Is, left: Core, option: nodes.Expr) -> Core:
    if isinstance(left.type, YesNo):
        if isinstance(option, nodes.Name) and option.text in ("yes", "no"):
            return left if option.text == "yes" else core.Not(YES_NO, node.span, elab.term(), left)
        return elab.report(
            catalogue.NOT_A_CHOICE,
            option.span,
            name=left.span.text,
            text=option.span.text,
            cure="say `yes` or `no`",
        )
    a_word = isinstance(option, nodes.Name) and option.text not in elab.scope.types and option.text not in SPECIAL
    if a_word and not isinstance(left.type, Quantity | DateType):
        return elab.report(catalogue.CANNOT_COMPARE, node.left.span, text=node.left.span.text, found=left.type)
    return _compared(elab, "is", node.left, left, option, elab.expr(option), node.span)


def in_season(elab: Elaborator, node: nodes.InSeason) -> Core:
    left = elab.expr(node.left)
    season = season_named(elab, node.season)
    if left.type == BROKEN or season is None:
        return elab.broken(node.span)
    if not isinstance(left.type, DateType):
        return elab.report(catalogue.NOT_A_DATE, node.left.span, text=node.left.span.text, found=left.type)
    found = core.InSeason(YES_NO, node.span, elab.term(), left, season)
    return core.Not(YES_NO, node.span, elab.term(), found) if node.negated else found


def season_named(elab: Elaborator, name: nodes.Name) -> str | None:
    """A season's name, complaining if there is none."""
    if name.text in elab.scope.seasons:
        return name.text
    if name.text in elab.scope.kinds:
        elab.report(catalogue.WRONG_KIND_OF_NAME, name.span, name=name.text, kind=elab.scope.kinds[name.text])
    elif name.text not in elab.scope.broken:
        elab.miss(name.text, name.span)
    return None


def chain(elab: Elaborator, node: nodes.Chain) -> Core:
    terms = [elab.condition(t) for t in node.terms]
    # `and` beside `or` has been told already; what they would mean together nobody can say.
    if len(set(node.ops)) > 1 or any(t.type == BROKEN for t in terms):
        return elab.broken(node.span)
    make = core.All if node.ops[0] == "and" else core.Any
    return make(YES_NO, node.span, elab.term(), tuple(terms))


def _is_plain(text: str) -> bool:
    return all(c in "0123456789.,/ " for c in text)
