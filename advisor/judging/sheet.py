"""A car's answers, laid out the way the readings take them.

In: a program and `Answers`. Out: a `Sheet`: for every question what is known, what is planned and what is still
open, as the arrays of the exact and of the possible reading.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date
from decimal import ROUND_FLOOR, Decimal
from functools import cached_property
from typing import Any

from attrs import define, evolve, field, frozen

from advisor.language.answers import Answers
from advisor.language.program import Program, Question, Unanswered
from advisor.language.types import (
    FIRST_DAY,
    LAST_DAY,
    Choice,
    Code,
    DateType,
    End,
    Estimate,
    ListOf,
    Quantity,
    Value,
    YesNo,
    end_of,
)

__all__ = [
    "ExactArrays",
    "Sheet",
    "domain",
    "each_value",
    "highest_offer",
]


Pair = tuple[Any, Any]
"""What a value can be, as the possible reading takes it: see `domain`."""
_ENDS: tuple[End, ...] = ("plan", "low", "high")
NO_CODE = ""
"""What a code is planned as where nobody read one: the functions of the trade have an answer to it."""


@frozen
class ExactArrays:
    """Planning values, low ends and high ends of every question, and which are not answered and how."""

    plan: tuple[Any, ...]
    low: tuple[Any, ...]
    high: tuple[Any, ...]
    unanswered: tuple[bool, ...]
    unsure: tuple[bool, ...]
    refused: tuple[bool, ...]


def highest_offer(program: Program) -> Decimal:
    """The setting `highest_offer` in whole cents, rounded down; of an estimate, its planning value."""
    setting = program.settings.get("highest_offer")
    value = end_of(setting.value, "plan") if setting else Decimal(0)
    assert isinstance(value, Decimal)
    return value.quantize(Decimal("0.01"), ROUND_FLOOR)


@define(slots=False)
class Sheet:
    """One car's answers against one program."""

    program: Program
    answers: Answers
    assumed: dict[str, Value] = field(factory=dict)
    """What to plan with instead of a question's own `assume`: what comparables come to while something they are
    adjusted to is open."""
    _cells: dict[str, Value | Unanswered | None] = field(init=False)

    def __attrs_post_init__(self) -> None:
        self._cells = {name: self.answers.values.get(name) for name in self.program.questions}

    @property
    def today(self) -> date:
        """The car's day. A program that looks at it is not judged without one."""
        return self.answers.day or FIRST_DAY

    def cell(self, name: str) -> Value | Unanswered | None:
        """What was said to a question: an answer, `unsure`, `refused`, or None."""
        return self._cells[name]

    def answered(self, name: str) -> bool:
        """Whether a question has an answer."""
        cell = self._cells[name]
        return cell is not None and not isinstance(cell, Unanswered)

    @cached_property
    def known(self) -> dict[str, Value]:
        """The answers, in file order."""
        return {n: c for n, c in self._cells.items() if c is not None and not isinstance(c, Unanswered)}

    @cached_property
    def open(self) -> tuple[str, ...]:
        """The questions without an answer, in file order."""
        return tuple(n for n in self.program.questions if not self.answered(n))

    def with_answers(self, values: Mapping[str, Value | Unanswered | None]) -> Sheet:
        """The same car with other answers to some questions; None for one that was not asked."""
        cells = {n: v for n, v in (self.answers.values | dict(values)).items() if v is not None}
        other = Sheet(self.program, evolve(self.answers, values=cells), self.assumed)
        questions = self.program.questions
        other._pairs = self._pairs | {n: _pairs_of(questions[n], v) for n, v in values.items() if n in questions}
        return other

    def planned(self, name: str) -> Value | None:
        """The value to plan with where a question is not answered: its `assume`, if it has one that applies."""
        question, cell = self.program.questions[name], self._cells[name]
        if name in self.assumed:
            return self.assumed[name]
        if isinstance(cell, Unanswered) and cell.how == "refused" and question.refused is not None:
            return question.refused
        if isinstance(question.type, Code) and question.unsure is None:
            return NO_CODE
        return question.unsure

    @cached_property
    def _standing(self) -> list[Value]:
        """What stands in the exact reading's arrays where nothing is planned: the answer, or any value there is."""
        return [
            self._cells[n] if self.answered(n) else _stand_in(q)  # type: ignore[misc]  # an answer is a value
            for n, q in self.program.questions.items()
        ]

    @cached_property
    def _places(self) -> dict[str, int]:
        """Where the open questions stand among all."""
        return {n: i for i, n in enumerate(self.program.questions) if not self.answered(n)}

    @cached_property
    def _unanswered(self) -> tuple[tuple[bool, ...], tuple[bool, ...], tuple[bool, ...]]:
        """For each question: whether it has no answer, whether one could not tell, whether one was not allowed to."""
        cells = self._cells.values()
        hows = tuple(c.how if isinstance(c, Unanswered) else None for c in cells)
        return (
            tuple(c is None or h is not None for c, h in zip(cells, hows, strict=True)),
            tuple(h == "unsure" for h in hows),
            tuple(h == "refused" for h in hows),
        )

    def exact(self, planned: dict[str, Value]) -> ExactArrays:
        """The arrays of the exact reading, with `planned` where nothing was answered."""
        values = list(self._standing)
        for name, place in self._places.items():
            value = planned.get(name)
            if value is not None:
                values[place] = value
        plan = low = high = tuple(values)
        estimates = [i for i, v in enumerate(values) if isinstance(v, Estimate)]
        if estimates:
            plan, low, high = (_at_end(values, estimates, end) for end in _ENDS)
        unanswered, unsure, refused = self._unanswered
        return ExactArrays(plan=plan, low=low, high=high, unanswered=unanswered, unsure=unsure, refused=refused)

    @cached_property
    def _pairs(self) -> dict[str, tuple[Pair, Pair, Pair]]:
        """Of each question, what its planning value can be, and the low and the high end of it."""
        return {n: _pairs_of(q, self._cells[n]) for n, q in self.program.questions.items()}

    def possible(self, boxes: Mapping[str, Pair] | None = None) -> tuple[Any, ...]:
        """The arguments of the possible reading; `boxes` narrows what open questions may still be."""
        pairs = self._pairs
        if boxes:
            pairs = pairs | {n: (pair,) * 3 for n, pair in boxes.items() if not self.answered(n)}
        plan, *ends = zip(*pairs.values(), strict=True) if pairs else ((), (), ())
        low, high = zip(*plan, strict=True) if plan else ((), ())
        return low, high, tuple(ends), self.today, self._unanswered[0]


def _pairs_of(question: Question, cell: Value | Unanswered | None) -> tuple[Pair, Pair, Pair]:
    if cell is None or isinstance(cell, Unanswered):
        return (domain(question),) * 3
    if isinstance(cell, Estimate):
        return known(question, cell), known(question, cell.low), known(question, cell.high)
    return (known(question, cell),) * 3


def _at_end(values: list[Value], estimates: list[int], end: End) -> tuple[Value, ...]:
    found = list(values)
    for place in estimates:
        found[place] = end_of(values[place], end)
    return tuple(found)


def _stand_in(question: Question) -> Value:
    """Any value of a question, where none is known and none matters."""
    match question.type:
        case YesNo():
            return False
        case Choice(options):
            return options[0]
        case DateType():
            return question.low if isinstance(question.low, date) else FIRST_DAY
        case ListOf(fewest=fewest):
            assert isinstance(question.low, Decimal)
            return (question.low,) * fewest
        case Quantity():
            assert isinstance(question.low, Decimal)
            return question.low
    return NO_CODE


def domain(question: Question) -> tuple[Any, Any]:
    """Everything that a question may be, as the possible reading takes it."""
    match question.type:
        case YesNo():
            return True, True
        case Choice(options):
            mask = (1 << len(options)) - 1
            return mask, mask
        case DateType():
            return question.low or FIRST_DAY, question.high or LAST_DAY
        case Quantity():
            return question.low, question.high
    return None, None


def known(question: Question, value: Value) -> tuple[Any, Any]:
    """One value, as the possible reading takes it."""
    match question.type:
        case YesNo():
            return value is True, value is False
        case Choice(options):
            assert isinstance(value, str)
            mask = 1 << options.index(value)
            return mask, mask
    if isinstance(value, Estimate):
        value = value.planned
    return value, value


def each_value(question: Question) -> Iterable[Value]:
    """Every answer of a yes/no question or a choice."""
    match question.type:
        case YesNo():
            return (True, False)
        case Choice(options):
            return options
    return ()
