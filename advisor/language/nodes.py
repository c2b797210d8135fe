"""What a rule file says, as a tree: one class for each form of the language.

Out of `building.py`, into `linking.py` and `checking.py`. Names are not resolved and nothing has a type yet.
Spans do not take part in equality, so that two trees are equal if they say the same.
"""

from __future__ import annotations

from attrs import frozen

from advisor.language.cited import Cited
from advisor.language.expressions import (
    Binary,
    Call,
    Chain,
    ChoiceOf,
    CodeOf,
    Compare,
    Expr,
    Extreme,
    InSeason,
    Is,
    ListType,
    Literal,
    MonthDayLiteral,
    Name,
    Negative,
    Not,
    PlainType,
    RangeType,
    ThreePoint,
    TypeNode,
    Unit,
    ValueText,
)
from advisor.language.joining import Keep, Line, Rate, Ruleset, Use, Without, Words
from advisor.language.recorded import Car, Case, ComparableLine, Gives
from advisor.language.source import Span, spanned

__all__ = [
    "Ask",
    "Binary",
    "Block",
    "Branch",
    "Call",
    "Car",
    "Case",
    "Caution",
    "Chain",
    "ChoiceOf",
    "Cited",
    "CodeOf",
    "ComparableLine",
    "Comparables",
    "Compare",
    "Curve",
    "Effect",
    "Expr",
    "Extreme",
    "Fault",
    "Gives",
    "InSeason",
    "Is",
    "Keep",
    "Let",
    "Line",
    "ListType",
    "Literal",
    "MonthDayLiteral",
    "Name",
    "Named",
    "Negative",
    "Not",
    "PlainType",
    "Promise",
    "RangeType",
    "Rate",
    "Refuse",
    "Require",
    "Ruleset",
    "Rung",
    "Season",
    "Section",
    "SetTo",
    "Setting",
    "Show",
    "Station",
    "Table",
    "ThreePoint",
    "TypeNode",
    "Unit",
    "Use",
    "ValueText",
    "Verdict",
    "Without",
    "Words",
]


@frozen
class SetTo:
    """`set recon_cap = 30%`."""

    name: Name
    value: ValueText
    domain: tuple[ValueText, ValueText] | None
    source: Cited | None
    span: Span = spanned()


@frozen
class Setting:
    """`setting purchase_tax = 0% from 0% to 20% "..."`."""

    name: Name
    value: ValueText
    domain: tuple[ValueText, ValueText] | None
    text: str
    source: Cited | None
    span: Span = spanned()


@frozen
class Station:
    """A place of the walk, with its cautions."""

    title: str
    dangers: tuple[Line, ...]
    source: Cited | None
    span: Span = spanned()


@frozen
class Ask:
    """A question."""

    name: Name
    type: TypeNode
    text: str
    how: str
    why: str
    takes: ValueText | None
    usually: tuple[tuple[Name, Literal], ...]
    spread: ValueText | None
    unsure: ValueText | None
    refused: ValueText | None
    gate: Expr | None
    otherwise: ValueText | None
    becomes: tuple[tuple[ValueText, str], ...]
    major: bool
    fine: ValueText | None
    source: Cited | None
    span: Span = spanned()


@frozen
class Effect:
    """One thing that a fault does when it is left: `resale falls 25%`."""

    words: str
    value: Literal
    span: Span = spanned()


@frozen
class Fault:
    """Something wrong with the car: when it holds, what mending it takes, what leaving it does."""

    name: Name
    when: Expr
    text: str
    parts: Expr | None
    shop: Expr | None
    labor: Expr | None
    wait: Expr | None
    quote: Expr | None
    effects: tuple[Effect, ...]
    must: bool
    together: tuple[Name, ...]
    source: Cited | None
    span: Span = spanned()


@frozen
class Branch:
    """`$320 when ...`; the condition is None for `otherwise`."""

    value: Expr
    condition: Expr | None
    span: Span = spanned()


@frozen
class Let:
    """A named quantity or condition, by one expression or by branches."""

    name: Name
    value: Expr | tuple[Branch, ...]
    text: str
    source: Cited | None
    span: Span = spanned()


@frozen
class Season:
    """Windows of the year."""

    name: Name
    windows: tuple[tuple[MonthDayLiteral, MonthDayLiteral], ...]
    source: Cited | None
    span: Span = spanned()


@frozen
class Table:
    """A value for each month or each choice."""

    name: Name
    by: Name
    entries: tuple[tuple[Name, ValueText], ...]
    source: Cited | None
    span: Span = spanned()


@frozen
class Show:
    """A line of the report."""

    name: Name
    text: str
    span: Span = spanned()


@frozen
class Section:
    """A part of the report, for the `show` lines that follow it."""

    title: str
    leads: bool
    page_two: Line | None
    drawn: bool
    source: Cited | None
    span: Span = spanned()


@frozen
class Curve:
    """A setting tried over a range; the parts are None where their lines are missing."""

    title: str
    setting: Name | None
    ends: tuple[ValueText, ValueText, ValueText] | None
    shows: tuple[tuple[Name, str], ...]
    most: Name | None
    source: Cited | None
    span: Span = spanned()


@frozen
class Comparables:
    """How a question about money is answered from other cars: words and what stands behind them."""

    question: Name
    subject: tuple[tuple[Name, Name], ...]
    figures: tuple[tuple[Name, ValueText], ...]
    source: Cited | None
    span: Span = spanned()


@frozen
class Refuse:
    """A deal-breaker."""

    name: Name
    when: Expr
    because: str
    lesson: str
    source: Cited | None
    span: Span = spanned()


@frozen
class Caution:
    """Something to be told, whatever the verdict."""

    name: Name
    when: Expr
    because: str
    lesson: str
    source: Cited | None
    safety: bool
    span: Span = spanned()


@frozen
class Require:
    """Something that must hold at the price."""

    name: Name
    condition: Expr
    because: str
    lesson: str
    source: Cited | None
    span: Span = spanned()


@frozen
class Rung:
    """One line of the verdict; the condition is None for `otherwise`. A word of the ruleset's own has a text."""

    verdict: Name
    condition: Expr | None
    text: str
    span: Span = spanned()


@frozen
class Verdict:
    """The ladder: the first rung that holds decides."""

    rungs: tuple[Rung, ...]
    source: Cited | None
    span: Span = spanned()


@frozen
class Promise:
    """What must be true of every possible car; `word` is never or always."""

    word: str
    verdict: Name
    condition: Expr
    because: str
    source: Cited | None
    span: Span = spanned()


Named = Setting | Ask | Fault | Let | Season | Table | Refuse | Caution | Require | Car
"""The blocks that put a name into the world."""

Shown = Section | Show | Curve
"""The blocks that speak of the report."""

Block = Named | Ruleset | Use | Without | Words | SetTo | Station | Shown | Comparables | Verdict | Promise | Case
