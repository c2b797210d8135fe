"""The few dozen operations that every reading gives a meaning to.

Out of `elaborating.py`, into `readings/`. Every node has a type, a place in the text and a number of its own
(`term`) under which a traced reading keeps its value. Quantities are in the stored grain of `units.grain`;
`Multiply` and `Divide` carry the factor that brings a result back to its own grain.
"""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal
from fractions import Fraction
from typing import Literal

from attrs import field, frozen

from advisor.language.source import Span
from advisor.language.types import End, Type, Value

__all__ = [
    "Add",
    "All",
    "Any",
    "Chance",
    "Compare",
    "Const",
    "Core",
    "Counted",
    "DateGap",
    "DatePart",
    "DateShift",
    "DaysTo",
    "Divide",
    "End",
    "Extreme",
    "InSeason",
    "Lookup",
    "Multiply",
    "Negate",
    "NextDay",
    "Not",
    "OneOf",
    "Percentile",
    "PlanFigure",
    "Power",
    "Reduce",
    "Ref",
    "Rounded",
    "Select",
    "Special",
    "Subtract",
    "TradeCall",
    "children",
    "walk",
]

Which = Literal["smaller", "larger"]
Edge = Literal["open", "close"]


@frozen
class _Node:
    type: Type
    span: Span = field(eq=False, repr=False)
    term: int = field(eq=False, repr=False)


@frozen
class Const(_Node):
    """A value written in the rules; an `Estimate` is read at `end`."""

    value: Value
    end: End = "plan"


@frozen
class Ref(_Node):
    """The value of a question, setting, let or fault."""

    kind: Literal["question", "setting", "let", "fault"]
    name: str
    end: End = "plan"


@frozen
class Special(_Node):
    """`offer`, `ceiling`, `today`, `unverified_majors`, `cannot_tell`, `refused_looks`."""

    name: str


@frozen
class PlanFigure(_Node):
    """A figure over the repair plan: of the repairs fixed (parts, shop, labor, wait) or left (the others); or over the
    faults themselves, whatever is done about them (argued)."""

    figure: Literal[
        "parts", "shop", "labor", "wait", "kept_resale", "lost_resale", "added_days", "kept_buyers", "argued"
    ]
    end: End = "plan"


@frozen
class Add(_Node):
    """left + right."""

    left: Core
    right: Core


@frozen
class Subtract(_Node):
    """left - right."""

    left: Core
    right: Core


@frozen
class Multiply(_Node):
    """left * right * factor."""

    left: Core
    right: Core
    factor: Fraction


@frozen
class Divide(_Node):
    """left / right * factor; without a value where `right` is zero."""

    left: Core
    right: Core
    factor: Fraction


@frozen
class Power(_Node):
    """operand to a whole power, by multiplying again and again; the operand is a plain number, zero or more."""

    operand: Core
    exponent: int


@frozen
class Negate(_Node):
    """-operand."""

    operand: Core


@frozen
class Extreme(_Node):
    """The smaller or larger of several."""

    which: Which
    args: tuple[Core, ...]


@frozen
class Rounded(_Node):
    """Rounded to a multiple of `step` (stored grain): half up, up or down."""

    how: Literal["half", "up", "down"]
    operand: Core
    step: Decimal


@frozen
class Reduce(_Node):
    """The lowest, highest, median or count of a list of readings."""

    how: Literal["lowest", "highest", "median", "count"]
    operand: Core


@frozen
class Counted(_Node):
    """How many of several conditions hold."""

    args: tuple[Core, ...]


@frozen
class Lookup(_Node):
    """The entry of a table for a choice, or for the month of a date."""

    table: str
    key: Core


@frozen
class Select(_Node):
    """The value of the first branch whose condition holds, else `otherwise`."""

    branches: tuple[tuple[Core, Core], ...]
    otherwise: Core


@frozen
class DateShift(_Node):
    """A date moved by a calendar time, forward (sign 1) or back (-1); months move by the calendar."""

    left: Core
    right: Core
    sign: int
    months: bool


@frozen
class DateGap(_Node):
    """The days from `right` to `left`."""

    left: Core
    right: Core


@frozen
class DatePart(_Node):
    """The year or the month of a date, as a number."""

    part: Literal["year", "month"]
    operand: Core


@frozen
class NextDay(_Node):
    """The next day `left` of the year, on the date `right` or after it."""

    left: Core
    right: Core


@frozen
class DaysTo(_Node):
    """Days from a date until a season next opens (0 while open), or until it closes (0 while closed)."""

    edge: Edge
    season: str
    operand: Core


@frozen
class Not(_Node):
    """Not operand."""

    operand: Core


@frozen
class All(_Node):
    """Every one of them holds."""

    args: tuple[Core, ...]


@frozen
class Any(_Node):
    """At least one of them holds."""

    args: tuple[Core, ...]


@frozen
class Compare(_Node):
    """left op right, over numbers, quantities or dates; `is` is equality."""

    op: Literal[">=", "<=", ">", "<", "is"]
    left: Core
    right: Core


@frozen
class OneOf(_Node):
    """A choice is one of `options`."""

    operand: Core
    options: tuple[str, ...]


@frozen
class InSeason(_Node):
    """A date lies in a window of a season."""

    operand: Core
    season: str


@frozen
class Chance(_Node):
    """The share of sampled outcomes in which a condition holds."""

    operand: Core


@frozen
class Percentile(_Node):
    """The value below which a share of the sampled outcomes of `right` lies."""

    left: Core
    right: Core


@frozen
class TradeCall(_Node):
    """A function of the trade."""

    name: str
    args: tuple[Core, ...]


Core = (
    Const
    | Ref
    | Special
    | PlanFigure
    | Add
    | Subtract
    | Multiply
    | Divide
    | Power
    | Negate
    | Extreme
    | Rounded
    | Reduce
    | Counted
    | Lookup
    | Select
    | DateShift
    | DateGap
    | DatePart
    | DaysTo
    | NextDay
    | Not
    | All
    | Any
    | Compare
    | OneOf
    | InSeason
    | Chance
    | Percentile
    | TradeCall
)


def children(node: Core) -> tuple[Core, ...]:
    """The nodes directly inside a node, in the order in which they are read."""
    match node:
        case Const() | Ref() | Special() | PlanFigure():
            return ()
        case Extreme() | Counted() | All() | Any() | TradeCall():
            return node.args
        case Select():
            return (*(part for branch in node.branches for part in branch), node.otherwise)
        case Lookup():
            return (node.key,)
        case Negate() | Power() | Rounded() | Reduce() | DatePart() | DaysTo():
            return (node.operand,)
        case Not() | OneOf() | InSeason() | Chance():
            return (node.operand,)
        case _:
            return (node.left, node.right)


def walk(node: Core) -> Iterator[Core]:
    """The node and everything inside it."""
    pending = [node]
    while pending:
        current = pending.pop()
        yield current
        pending.extend(reversed(children(current)))
