"""The questions of a ruleset as a checklist for paper and pencil: what is on it, not yet how it looks.

In: a `Program`. Out: a `Checklist` with every question once, in the order in which the walk asks them, under their
stations. Texts are as they came, not yet made safe for a terminal or a browser: whoever draws a text does that.
"""

from __future__ import annotations

from decimal import Decimal
from itertools import groupby

from attrs import frozen

from advisor.language.program import Program, Question
from advisor.language.types import MONEY, Choice, Code, DateType, ListOf, Quantity, Text, Type, YesNo
from advisor.language.units import UNITS
from advisor.language.wording import in_unit
from advisor.report.conditions import plain_words, when_words

__all__ = ["LINE", "MARKS", "Answer", "Blanks", "Checklist", "Group", "Item", "Stop", "Ticks", "checklist"]

MARKS = ("?", "x")
"""The marks of an answer that is none: the keys that `advisor walk` knows them by."""
_SHORT, _LONG, LINE = 4, 9, 0
"""Room to write in, in signs: a few digits, an amount or a distance; words, as far as the line goes."""
_ELSEWHERE = "Anywhere"
_MOST_BLANKS = 12
_MOST_CELLS = 20
_ENDS = "Each of you writes a highest price down before either says one. A no from either is a no."


@frozen
class Ticks:
    """Answers to choose from, each with a box to tick."""

    options: tuple[str, ...]


@frozen
class Blanks:
    """Room to write in: `room` has the signs that fit into each blank, `LINE` for as many as the line holds; `before`,
    `between` and `after` are printed around them."""

    room: tuple[int, ...]
    before: str = ""
    after: str = ""
    between: str = " "


Answer = Ticks | Blanks


@frozen
class Item:
    """A question with its number on the sheet."""

    number: int
    text: str
    answer: Answer
    major: bool


@frozen
class Group:
    """Questions under one condition; `gate` is empty where they are asked of every car."""

    gate: str
    items: tuple[Item, ...]


@frozen
class Stop:
    """A station with its dangers; without a title where the rules have no stations."""

    title: str
    dangers: tuple[str, ...]
    groups: tuple[Group, ...]


@frozen
class Checklist:
    """The whole sheet. `head` and `foot` are labels with room to write; each row of the foot is one partner's."""

    title: str
    head: tuple[tuple[str, Blanks], ...]
    legend: tuple[str, ...]
    stops: tuple[Stop, ...]
    closing: str
    foot: tuple[tuple[tuple[str, Blanks], ...], ...]

    @property
    def items(self) -> tuple[Item, ...]:
        """Every question, in order."""
        return tuple(i for s in self.stops for g in s.groups for i in g.items)


def checklist(program: Program) -> Checklist:
    """The sheet of a ruleset. Where its rules do not ask what the seller asks, it has no prices to write down."""
    numbers = {name: i for i, name in enumerate(program.questions, 1)}
    stops = []
    for at, questions in groupby(program.questions.values(), lambda q: q.station):
        station = program.stations[at] if at is not None else None
        stops.append(
            Stop(
                station.title if station else _ELSEWHERE if program.stations else "",
                station.dangers if station else (),
                tuple(_groups(program, tuple(questions), numbers)),
            )
        )
    priced = "asking" in program.questions
    money = Blanks((_LONG,), before=program.currency)
    line = Blanks((LINE,))
    return Checklist(
        title=f"{program.title} ({program.digest[:8]})",
        head=(("Car", line), ("Date", _DAY), ("Place", line), ("Seller", line), ("Asking", money)),
        legend=_legend(program),
        stops=tuple(stops),
        closing=_ENDS if priced else "",
        foot=tuple(
            ((f"{who}, highest price", money), ("signed", line)) if priced else ((f"{who}, signed", line),)
            for who in ("First partner", "Second partner")
        ),
    )


def _legend(program: Program) -> tuple[str, ...]:
    """How to fill it in; only what there is on this sheet."""
    questions = program.questions.values()
    told = [
        "Tick a box or fill in the blank.",
        f"Circle {MARKS[0]} if you can't tell, {MARKS[1]} if you are not allowed to look.",
        "Leave empty what nobody looked at.",
    ]
    if program.gates:
        told.append("A number in brackets is that of another question.")
    if any(q.major for q in questions):
        told.append("Major: not verified until it has an answer.")
    return tuple(told)


def _groups(program: Program, questions: tuple[Question, ...], numbers: dict[str, int]) -> list[Group]:
    found = []
    for gate, inside in groupby(questions, lambda q: program.gates.get(q.name)):
        words = when_words(program, gate, numbers) if gate is not None else ""
        items = tuple(Item(numbers[q.name], q.text, _answer(q.type, q.high, program), q.major) for q in inside)
        found.append(Group(words, items))
    return found


# ---- answers ----

_DAY = Blanks((4, 2, 2), between="-")


def _answer(type_: Type, high: object, program: Program) -> Answer:
    match type_:
        case YesNo():
            return Ticks(("yes", "no"))
        case Choice(options):
            return Ticks(tuple(program.said(plain_words(o)) for o in options))
        case DateType():
            return _DAY
        case Code(longest=longest) if longest <= _MOST_CELLS:
            return Blanks((1,) * longest)
        case Text() | Code():
            return Blanks((LINE,))
        case ListOf(item=item, most=most):
            before, after = _measure(item, high, program.currency)
            return Blanks((_SHORT,) * min(most, _MOST_BLANKS), before, after)
        case Quantity():
            before, after = _measure(type_, high, program.currency)
            return Blanks((_room(type_, high),), before, after)
    return Blanks((LINE,))


def _measure(type_: Quantity, high: object, currency: str) -> tuple[str, str]:
    """What stands before a blank and behind it: the sign of the currency, the unit."""
    if type_.plain:
        return "", " %" if type_.percent else ""
    if type_ == MONEY:
        return currency, ""
    unit = type_.unit
    if unit.startswith("$"):
        return currency, unit[1:]
    if unit == "in" and isinstance(high, Decimal) and in_unit(high, type_) <= 1:
        return "", "/32 in"  # as gauges for tires have it
    return "", f" {UNITS[unit].plural if unit in UNITS and UNITS[unit].plural else unit}"


def _room(type_: Quantity, high: object) -> int:
    """How many signs a number takes: few up to a thousand."""
    small = isinstance(high, Decimal) and in_unit(high, type_) < 10_000
    return _SHORT if small and type_ != MONEY else _LONG
