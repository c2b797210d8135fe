"""What a rule file says, as a tree: one class for each form of the language.

Out of `building.py`, into `linking.py` and `checking.py`. Names are not resolved and nothing has a type yet.
Spans do not take part in equality, so that two trees are equal if they say the same.
"""

from __future__ import annotations

from attrs import field, frozen

from advisor.language.cited import Cited
from advisor.language.source import Source, Span

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
    "Compare",
    "Effect",
    "Expr",
    "Extreme",
    "Fault",
    "Gives",
    "InSeason",
    "Is",
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
    "Refuse",
    "Require",
    "Ruleset",
    "Rung",
    "Season",
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
]


def _span() -> Span:
    return field(eq=False, repr=False)  # type: ignore[no-any-return]  # attrs types field() as Any


# ---- expressions -------------------------------------------------------------------------------------------


@frozen
class Literal:
    """A number, amount, percentage, quantity or date as written."""

    text: str
    span: Span = _span()


@frozen
class MonthDayLiteral:
    """`Apr 1`."""

    text: str
    span: Span = _span()


@frozen
class Name:
    """A word: a question, a sum, a setting, a choice, a season."""

    text: str
    span: Span = _span()


@frozen
class Call:
    """`lowest(compression)`, `sum(parts)`."""

    function: Name
    args: tuple[Expr, ...]
    span: Span = _span()


@frozen
class Extreme:
    """`smaller of (a, b)` or `larger of (a, b)`; `which` is the first word."""

    which: str
    args: tuple[Expr, ...]
    span: Span = _span()


@frozen
class Negative:
    """`-x`."""

    operand: Expr
    span: Span = _span()


@frozen
class Binary:
    """`a + b`, and likewise `-`, `*`, `/` and `of`; `bracketed` says whether it stood in brackets."""

    op: str
    left: Expr
    right: Expr
    span: Span = _span()
    bracketed: bool = field(default=False, eq=False)


@frozen
class Compare:
    """`a >= b`, and likewise `<=`, `>` and `<`."""

    op: str
    left: Expr
    right: Expr
    span: Span = _span()


@frozen
class Is:
    """`a is b`, `a is not b`, `a is one of (b, c)`."""

    left: Expr
    options: tuple[Expr, ...]
    negated: bool
    listed: bool
    span: Span = _span()


@frozen
class InSeason:
    """`sale_day is in top_down`."""

    left: Expr
    season: Name
    negated: bool
    span: Span = _span()


@frozen
class Not:
    """`not a`."""

    operand: Expr
    span: Span = _span()


@frozen
class Chain:
    """`a and b and c`, or the same with `or`; `ops` still holds every word between, mixed or not."""

    ops: tuple[str, ...]
    terms: tuple[Expr, ...]
    span: Span = _span()
    bracketed: bool = field(default=False, eq=False)


@frozen
class ThreePoint:
    """`low .. likely .. high`."""

    low: Literal
    likely: Literal
    high: Literal
    span: Span = _span()


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
    span: Span = _span()


# ---- types ---------------------------------------------------------------------------------------------------


@frozen
class PlainType:
    """`yes/no`, `date`, `text` and the like."""

    name: str
    span: Span = _span()


@frozen
class ChoiceOf:
    """`one of clean, rebuilt, salvage`."""

    options: tuple[Name, ...]
    span: Span = _span()


@frozen
class RangeType:
    """`mi from 0 mi to 500,000 mi`."""

    unit: Unit
    low: ValueText
    high: ValueText
    span: Span = _span()


@frozen
class Unit:
    """A unit or kind of number, as written before `from`."""

    text: str
    span: Span = _span()


@frozen
class ListType:
    """`1 to 12 of psi`."""

    fewest: Literal
    most: Literal
    unit: Unit
    domain: tuple[ValueText, ValueText] | None
    span: Span = _span()


@frozen
class CodeOf:
    """`code of 5 to 17`."""

    word: Name
    shortest: Literal
    longest: Literal
    span: Span = _span()


TypeNode = PlainType | ChoiceOf | RangeType | ListType | CodeOf


# ---- blocks --------------------------------------------------------------------------------------------------


@frozen
class Line:
    """A line of words for people: `because`, `lesson`, `how`, `danger` and so on."""

    text: str
    span: Span = _span()


@frozen
class Ruleset:
    """The title of a file and its currency."""

    title: str
    currency: Name | None
    span: Span = _span()


@frozen
class Use:
    """`use "walkaround"`."""

    target: str
    span: Span = _span()


@frozen
class Without:
    """`without soft_top, season_of_it`."""

    names: tuple[Name, ...]
    span: Span = _span()


@frozen
class SetTo:
    """`set recon_cap = 30%`."""

    name: Name
    value: ValueText
    source: Cited | None
    span: Span = _span()


@frozen
class Setting:
    """`setting target_rate = $45/h "..."`."""

    name: Name
    value: ValueText
    text: str
    source: Cited | None
    span: Span = _span()


@frozen
class Station:
    """A place of the walk, with its cautions."""

    title: str
    dangers: tuple[Line, ...]
    source: Cited | None
    span: Span = _span()


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
    unsure: ValueText | None
    refused: ValueText | None
    gate: Expr | None
    otherwise: ValueText | None
    major: bool
    source: Cited | None
    span: Span = _span()


@frozen
class Effect:
    """One thing that a fault does when it is left: `resale falls 25%`."""

    words: str
    value: Literal
    span: Span = _span()


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
    effects: tuple[Effect, ...]
    must: bool
    together: tuple[Name, ...]
    source: Cited | None
    span: Span = _span()


@frozen
class Branch:
    """`$320 when ...`; the condition is None for `otherwise`."""

    value: Expr
    condition: Expr | None
    span: Span = _span()


@frozen
class Let:
    """A named quantity or condition, by one expression or by branches."""

    name: Name
    value: Expr | tuple[Branch, ...]
    text: str
    source: Cited | None
    span: Span = _span()


@frozen
class Season:
    """Windows of the year."""

    name: Name
    windows: tuple[tuple[MonthDayLiteral, MonthDayLiteral], ...]
    source: Cited | None
    span: Span = _span()


@frozen
class Table:
    """A value for each month or each choice."""

    name: Name
    by: Name
    entries: tuple[tuple[Name, ValueText], ...]
    source: Cited | None
    span: Span = _span()


@frozen
class Show:
    """A line of the report."""

    name: Name
    text: str
    span: Span = _span()


@frozen
class Refuse:
    """A deal-breaker."""

    name: Name
    when: Expr
    because: str
    lesson: str
    source: Cited | None
    span: Span = _span()


@frozen
class Caution:
    """Something to be told, whatever the verdict."""

    name: Name
    when: Expr
    because: str
    lesson: str
    source: Cited | None
    span: Span = _span()


@frozen
class Require:
    """Something that must hold at the price."""

    name: Name
    condition: Expr
    because: str
    lesson: str
    source: Cited | None
    span: Span = _span()


@frozen
class Rung:
    """One line of the verdict; the condition is None for `otherwise`."""

    verdict: Name
    condition: Expr | None
    span: Span = _span()


@frozen
class Verdict:
    """The ladder: the first rung that holds decides."""

    rungs: tuple[Rung, ...]
    source: Cited | None
    span: Span = _span()


@frozen
class Promise:
    """What must be true of every possible car; `word` is never or always."""

    word: str
    verdict: Name
    condition: Expr
    because: str
    source: Cited | None
    span: Span = _span()


@frozen
class Car:
    """Answers under a name, for cases to start from."""

    name: Name | None
    title: str
    like: Name | None
    day: Literal | None
    answers: tuple[tuple[Name, ValueText], ...]
    notes: tuple[str, ...]
    span: Span = _span()


@frozen
class Gives:
    """What a case expects: a verdict, with its reasons, or a quantity's value."""

    name: Name
    because: tuple[Name, ...]
    value: ValueText | None
    span: Span = _span()


@frozen
class Case:
    """A car and what the rules must say of it."""

    title: str
    car: Car
    gives: tuple[Gives, ...]
    span: Span = _span()


Named = Setting | Ask | Fault | Let | Season | Table | Refuse | Caution | Require | Car
"""The blocks that put a name into the world."""

Block = Named | Ruleset | Use | Without | SetTo | Station | Show | Verdict | Promise | Case


def sources_of(blocks: tuple[Block, ...]) -> tuple[Source, ...]:
    """The sources that the blocks came from, each once, in order."""
    return tuple(dict.fromkeys(b.span.source for b in blocks))
