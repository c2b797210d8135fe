"""Expressions and kinds of answers as written: one class for each form.

Out of `phrasing.py`, into `elaborating.py` and `asking.py`. Part of the tree of `nodes.py`, under which they are known.
"""

from __future__ import annotations

from attrs import field, frozen

from advisor.language.source import Span, spanned

__all__ = [
    "Binary",
    "Call",
    "Chain",
    "ChoiceOf",
    "CodeOf",
    "Compare",
    "Expr",
    "Extreme",
    "InSeason",
    "Is",
    "ListType",
    "Literal",
    "MonthDayLiteral",
    "Name",
    "Negative",
    "Not",
    "PlainType",
    "RangeType",
    "ThreePoint",
    "TypeNode",
    "Unit",
    "ValueText",
]


@frozen
class Literal:
    """A number, amount, percentage, quantity or date as written."""

    text: str
    span: Span = spanned()


@frozen
class MonthDayLiteral:
    """`Apr 1`."""

    text: str
    span: Span = spanned()


@frozen
class Name:
    """A word: a question, a sum, a setting, a choice, a season."""

    text: str
    span: Span = spanned()


@frozen
class Call:
    """`lowest(compression)`, `sum(parts)`."""

    function: Name
    args: tuple[Expr, ...]
    span: Span = spanned()


@frozen
class Extreme:
    """`smaller of (a, b)` or `larger of (a, b)`; `which` is the first word."""

    which: str
    args: tuple[Expr, ...]
    span: Span = spanned()


@frozen
class Negative:
    """`-x`."""

    operand: Expr
    span: Span = spanned()


@frozen
class Binary:
    """`a + b`, and likewise `-`, `*`, `/` and `of`; `bracketed` says whether it stood in brackets."""

    op: str
    left: Expr
    right: Expr
    span: Span = spanned()
    bracketed: bool = field(default=False, eq=False)


@frozen
class Compare:
    """`a >= b`, and likewise `<=`, `>` and `<`."""

    op: str
    left: Expr
    right: Expr
    span: Span = spanned()


@frozen
class Is:
    """`a is b`, `a is not b`, `a is one of (b, c)`."""

    left: Expr
    options: tuple[Expr, ...]
    negated: bool
    listed: bool
    span: Span = spanned()


@frozen
class InSeason:
    """`sale_day is in top_down`."""

    left: Expr
    season: Name
    negated: bool
    span: Span = spanned()


@frozen
class Not:
    """`not a`."""

    operand: Expr
    span: Span = spanned()


@frozen
class Chain:
    """`a and b and c`, or the same with `or`; `ops` still holds every word between, mixed or not."""

    ops: tuple[str, ...]
    terms: tuple[Expr, ...]
    span: Span = spanned()
    bracketed: bool = field(default=False, eq=False)


@frozen
class ThreePoint:
    """`low .. likely .. high`."""

    low: Literal
    likely: Literal
    high: Literal
    span: Span = spanned()


Expr = (
    Literal
    | MonthDayLiteral
    | Name
    | Call
    | Extreme
    | Negative
    | Binary
    | Compare
    | Is
    | InSeason
    | Not
    | Chain
    | ThreePoint
)


@frozen
class ValueText:
    """A value that is read once its type is known: an answer, a setting's value, an `else`."""

    text: str
    span: Span = spanned()


# ---- types ---------------------------------------------------------------------------------------------------


@frozen
class PlainType:
    """`yes/no`, `date`, `text` and the like."""

    name: str
    span: Span = spanned()


@frozen
class ChoiceOf:
    """`one of clean, rebuilt, salvage`."""

    options: tuple[Name, ...]
    span: Span = spanned()


@frozen
class RangeType:
    """`mi from 0 mi to 500,000 mi`."""

    unit: Unit
    low: ValueText
    high: ValueText
    span: Span = spanned()


@frozen
class Unit:
    """A unit or kind of number, as written before `from`."""

    text: str
    span: Span = spanned()


@frozen
class ListType:
    """`1 to 12 of psi`."""

    fewest: Literal
    most: Literal
    unit: Unit
    domain: tuple[ValueText, ValueText] | None
    span: Span = spanned()


@frozen
class CodeOf:
    """`code of 5 to 17`."""

    word: Name
    shortest: Literal
    longest: Literal
    span: Span = spanned()


TypeNode = PlainType | ChoiceOf | RangeType | ListType | CodeOf
