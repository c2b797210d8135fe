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

from advisor.language import core
from advisor.language.answers import Answers
from advisor.language.program import Program, Question, Unanswered
from advisor.language.types import (
    FIRST_DAY,
    LAST_DAY,
    Choice,
    Code,
    DateType,
    Estimate,
    ListOf,
    Quantity,
    Value,
    YesNo,
)
from advisor.readings.emitting import end_of

__all__ = [
    "ExactArrays",
    "Sheet",
    "Weight",
    "climbs",
    "domain",
    "drawn_rules",
    "each_value",
    "highest_offer",
    "looks_at_plan",
    "weight",
]


_ENDS: tuple[core.End, ...] = ("plan", "low", "high")
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


@frozen
class Weight:
    """The questions that the verdict can depend on.

    `weighty` by their answers: through deal-breakers, requires, the ladder, profit or faults. `counted` by whether
    they are answered at all: through the `counters`, such as `cannot_tell`, that the verdict can depend on.
    """

    weighty: frozenset[str]
    counted: frozenset[str]
    counters: frozenset[str]
    thresholds: dict[str, tuple[Decimal, ...]] = field(factory=dict)
    """The numbers that rules compare a question with, in order."""

    def ways_open(self, question: Question) -> tuple[Unanswered | None, ...]:
        """The ways in which a question can stay without an answer that some counter tells apart."""
        major = question.major and "unverified_majors" in self.counters
        unsure = [Unanswered("unsure")] if "cannot_tell" in self.counters else []
        refused = [Unanswered("refused")] if "refused_looks" in self.counters else []
        return (*unsure, *refused, *([None] if major else []))


def weight(program: Program) -> Weight:
    """What the verdict of a program can depend on."""
    questions = program.questions
    found: set[str] = set()
    counted: set[str] = set()
    counters: set[str] = set()
    pending: list[core.Core] = [r.condition for r in program.rules.values() if r.kind != "caution"]
    pending += [r.condition for r in program.ladder if r.condition is not None]
    names: set[str] = set()
    if program.of_kind("require") or "profit" in program.lets:
        names |= {"profit", "asking", *program.faults}
    while pending or names:
        gates: list[core.Core] = []
        for part in (p for node in pending for p in core.walk(node)):
            match part:
                case core.Ref(name=name):
                    names.add(name)
                case core.PlanFigure():
                    names |= set(program.faults)
                case core.Special(name="offer"):
                    names.add("asking")
                case core.Special(name="unverified_majors"):
                    majors = {q.name for q in questions.values() if q.major}
                    names |= majors
                    counted |= majors
                    counters.add("unverified_majors")
                case core.Special(name="cannot_tell" | "refused_looks" as counter):
                    if counter not in counters:  # what is not asked of this car is not counted
                        gates += program.gates_of(q.name for q in questions.values() if q.weighed)
                    counted |= {q.name for q in questions.values() if q.weighed}
                    counters.add(counter)
        pending = gates
        for name in names - found:
            pending += _stands_on(program, name)
        found |= names
        names = set()
    return Weight(frozenset(found & set(questions)), frozenset(counted), frozenset(counters), _thresholds(program))


def _thresholds(program: Program) -> dict[str, tuple[Decimal, ...]]:
    """The numbers that each name is compared with."""
    found: dict[str, set[Decimal]] = {}
    for expression in program.expressions():
        for part in core.walk(expression):
            match part:
                case core.Compare(left=core.Ref(name=name), right=core.Const(value=Decimal() as cut)):
                    found.setdefault(name, set()).add(cut)
                case core.Compare(left=core.Const(value=Decimal() as cut), right=core.Ref(name=name)):
                    found.setdefault(name, set()).add(cut)
    return {name: tuple(sorted(cuts)) for name, cuts in found.items()}


def _stands_on(program: Program, name: str) -> list[core.Core]:
    """The expressions that decide a name."""
    if name in program.lets:
        let = program.lets[name]
        return [v for v in (let.value, let.low, let.high) if v is not None]
    if name in program.faults:
        fault = program.faults[name]
        return [v for v in (fault.when, fault.parts, fault.shop, fault.labor, fault.wait, fault.quote) if v is not None]
    return program.gates_of([name])


def highest_offer(program: Program) -> Decimal:
    """The setting `highest_offer` in whole cents, rounded down; of an estimate, its planning value."""
    setting = program.settings.get("highest_offer")
    value = end_of(setting.value, "plan") if setting else Decimal(0)
    assert isinstance(value, Decimal)
    return value.quantize(Decimal("0.01"), ROUND_FLOOR)


def looks_at_plan(program: Program) -> bool:
    """Whether the verdict ladder looks at anything that the repair plan decides, the ceiling aside."""
    seen: set[str] = set()
    pending = [r.condition for r in program.ladder if r.condition is not None]
    while pending:
        for part in core.walk(pending.pop()):
            if isinstance(part, core.PlanFigure) and part.figure != "argued":
                return True
            if isinstance(part, core.Ref) and part.kind == "let" and part.name not in seen:
                seen.add(part.name)
                pending.append(program.lets[part.name].value)
    return False


def climbs(program: Program) -> bool:
    """Whether a higher ceiling only leads to an earlier rung: each looks at it as `ceiling >= ...`, or not at all."""
    lets = {n for n, let in program.lets.items() if let.stage == "report"}

    def looks(node: core.Core) -> bool:
        return any(
            (isinstance(p, core.Special) and p.name == "ceiling") or (isinstance(p, core.Ref) and p.name in lets)
            for p in core.walk(node)
        )

    for condition in (r.condition for r in program.ladder if r.condition is not None):
        match condition:
            case core.Compare(op=">=" | ">", left=core.Special(name="ceiling"), right=right) if not looks(right):
                continue
        if looks(condition):
            return False
    return True


def drawn_rules(program: Program) -> frozenset[int]:
    """Which requires, by their place, look at a chance or a percentile."""
    lets: set[str] = set()

    def draws(node: core.Core) -> bool:
        return any(
            isinstance(p, core.Chance | core.Percentile) or (isinstance(p, core.Ref) and p.name in lets)
            for p in core.walk(node)
        )

    for name in program.order:
        if name in program.lets and draws(program.lets[name].value):
            lets.add(name)
    return frozenset(i for i, r in enumerate(program.of_kind("require")) if draws(r.condition))


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
        return Sheet(self.program, evolve(self.answers, values=cells), self.assumed)

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

    def possible(self, boxes: dict[str, tuple[Any, Any]] | None = None) -> tuple[Any, ...]:
        """The arguments of the possible reading; `boxes` narrows what open questions may still be."""
        low, high, low_ends, high_ends = [], [], [], []
        for name, question in self.program.questions.items():
            cell = self._cells[name]
            if cell is None or isinstance(cell, Unanswered):
                pair = (boxes or {}).get(name) or domain(question)
                ends = (pair, pair)
            else:
                pair = known(question, cell)
                ends = (pair, pair)
                if isinstance(cell, Estimate):
                    ends = (known(question, cell.low), known(question, cell.high))
            low.append(pair[0])
            high.append(pair[1])
            low_ends.append(ends[0])
            high_ends.append(ends[1])
        open_ = tuple(not self.answered(n) for n in self.program.questions)
        return tuple(low), tuple(high), (tuple(low_ends), tuple(high_ends)), self.today, open_


def _at_end(values: list[Value], estimates: list[int], end: core.End) -> tuple[Value, ...]:
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
