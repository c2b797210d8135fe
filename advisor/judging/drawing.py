"""Outcomes of one car: what its estimates, and the faults that are only a chance, come to in each of N cases.

In: the sampled reading, a car's answers and its repairs. Out: for a repair plan, a function that gives the value of a
`chance(...)` or `percentile(...)` at an offer. The plan is fixed before anything is drawn.

Each named estimate has a column of its own. Parts, shop work and labor of one car share one more, the setting
`misjudgment`: how far a whole job goes wrong, with a mean of 1. A question that is planned at its chance takes its
answers in their shares, and brings the faults that each of them would bring.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from decimal import Decimal
from functools import cached_property
from typing import Any

import numpy as np
from attrs import define, evolve, field

from advisor.judging.plans import Plans, Rules, every_plan, plans_of
from advisor.judging.repairs import SHARED, Held, Repairs, Triple
from advisor.judging.sheet import Sheet
from advisor.language import core
from advisor.language.program import Program, Question
from advisor.language.types import Choice, Estimate, Value, end_of
from advisor.readings.drawing import Columns
from advisor.readings.emitting import FIGURES
from advisor.readings.sampled import Outcome, Sampled, as_plain, as_value
from advisor.readings.weighing import drawn_rules

__all__ = ["DRAWS", "SEED", "CarOutcomes", "Drawing"]

DRAWS, SEED = 4096, 1
"""How many outcomes are drawn, and from which seed, where the settings `draws` and `seed` do not say."""
_ENDS: tuple[core.End, ...] = ("low", "plan", "high")


@define(slots=False)
class Drawing:
    """What is drawn for every car by one program."""

    sampled: Sampled
    columns: Columns
    nodes: dict[int, tuple[core.Chance | core.Percentile, str]] = field(init=False)
    rules: Rules = field(init=False)

    @classmethod
    def of(cls, program: Program) -> Drawing:
        """With the program's own count and seed."""
        return cls(Sampled(program), Columns(_whole(program, "draws", DRAWS), _whole(program, "seed", SEED)))

    def __attrs_post_init__(self) -> None:
        program = self.sampled.program
        self.nodes = {
            part.term: (part, where)
            for where, expression in _named(program)
            for part in core.walk(expression)
            if isinstance(part, core.Chance | core.Percentile)
        }
        drawn = drawn_rules(program)
        requires = program.of_kind("require")
        profit = program.lets["profit"].value if "profit" in program.lets else None
        tried = tuple(i for i in range(len(requires)) if i not in drawn)
        self.rules = Rules(self.sampled, tuple(r.condition for r in requires), tried, profit)

    @cached_property
    def misjudgment(self) -> Any:
        """By how much the whole of a car's repairs goes wrong in each outcome."""
        setting = self.sampled.program.settings.get("misjudgment")
        if setting is None or not isinstance(setting.value, Estimate):
            return 1.0
        return self.columns.estimate("misjudgment", setting.value) / float(setting.value.planned)


def _whole(program: Program, name: str, otherwise: int) -> int:
    """A setting that is a whole number, or what holds without it."""
    setting = program.settings.get(name)
    return int(setting.value) if setting is not None and isinstance(setting.value, Decimal) else otherwise


def _named(program: Program) -> list[tuple[str, core.Core]]:
    """The expressions that may look at a chance, each with a name for the estimates written inside it."""
    found = [
        (f"let {let.name} chance", v)
        for let in program.lets.values()
        for v in (let.value, let.low, let.high)
        if v is not None
    ]
    found += [(f"rule {r.name}", r.condition) for r in program.rules.values()]
    found += [(f"rung {i}", r.condition) for i, r in enumerate(program.ladder) if r.condition is not None]
    return found


@define(slots=False)
class CarOutcomes:
    """One car, its open questions answered by `planned` or, those in `asked`, in their shares."""

    drawing: Drawing
    sheet: Sheet
    planned: dict[str, Value]
    asked: Sequence[Question]
    repairs: Repairs
    settings: dict[str, float] = field(factory=dict)
    """Settings at other values than the rules give them."""
    _plans: dict[int, Outcome] = field(factory=dict)
    _known: dict[tuple[int, int, Decimal], Decimal] = field(factory=dict)

    # ---- one plan, drawn ----

    def draw(self, plan: int) -> Callable[[int, Decimal], Decimal]:
        """The chances and percentiles under a plan, by the number of their term and the offer."""

        def drawn(term: int, offer: Decimal) -> Decimal:
            key = plan, term, offer
            found = self._known.get(key)
            if found is None:
                found = self._known[key] = self._value(plan, term, offer)
            return found

        return drawn

    def _value(self, plan: int, term: int, offer: Decimal) -> Decimal:
        node, where = self.drawing.nodes[term]
        outcome = self._outcome(plan).at(float(offer))
        count = self.drawing.columns.count
        if isinstance(node, core.Chance):
            held = np.broadcast_to(self.drawing.sampled.value(node.operand, outcome, where), count)
            return Decimal(int(np.count_nonzero(held))) / count
        found = as_value(self.drawing.sampled.value(node, outcome, where), node.type)
        assert isinstance(found, Decimal)
        return found

    def _outcome(self, plan: int) -> Outcome:
        found = self._plans.get(plan)
        if found is None:
            found = self._plans[plan] = self._drawn.under(self._figures(plan))
        return found

    @cached_property
    def _drawn(self) -> Outcome:
        columns = self.drawing.columns
        outcome = self._start(columns.estimate)
        for question in self.asked:
            shares = [float(s) for _, s in question.usually]
            at = columns.option(f"answer {question.name}", shares)
            values = np.array([_cell(question, v) for v, _ in question.usually])
            outcome.cells[question.name, "plan"] = values[at]
        return outcome

    def _start(self, drawn: Callable[[str, Estimate], Any]) -> Outcome:
        """The car's answers as the sampled reading takes them."""
        arrays = self.sheet.exact(self.planned)
        cells: dict[tuple[str, core.End], Any] = {}
        for at, (name, question) in enumerate(self.sheet.program.questions.items()):
            plan, low, high = arrays.plan[at], arrays.low[at], arrays.high[at]
            cell = cells[name, "plan"] = _cell(question, plan)
            cells[name, "low"] = cell if low is plan else _cell(question, low)
            cells[name, "high"] = cell if high is plan else _cell(question, high)
            value = self.sheet.cell(name) if self.sheet.answered(name) else self.planned.get(name)
            if isinstance(value, Estimate):
                cells[name, "plan"] = drawn(f"answer {name}", value)
        majors = tuple(
            q.major and u for q, u in zip(self.sheet.program.questions.values(), arrays.unanswered, strict=True)
        )
        counted = {"unverified_majors": majors, "cannot_tell": arrays.unsure, "refused_looks": arrays.refused}
        return Outcome(cells, self.sheet.today, counted, drawn, settings=dict(self.settings))

    def _figures(self, plan: int) -> dict[tuple[str, core.End], Any]:
        """The drawn figures of a plan; their low and high ends stay what they are."""
        found: dict[tuple[str, core.End], Any] = {}
        for figure, (low, planned, high) in zip(FIGURES, self.repairs.totals(plan), strict=True):
            found[figure, "low"], found[figure, "high"] = float(low), float(high)
            found[figure, "plan"] = float(planned)
        fixed = {h.index for h in self.repairs.fixed(plan)}
        amiss = self.drawing.misjudgment
        parts = shop = wait = 0.0
        kept = buyers = 1.0
        lost = days = 0.0
        for held in self.repairs.held:
            there = self._there(held)
            if held.index in fixed:
                parts = parts + there * self._column(held, "parts", held.parts)
                shop = shop + there * self._column(held, "shop", held.shop)
                wait = np.maximum(wait, there * self._column(held, "wait", held.wait))
            else:
                kept, buyers = (
                    kept * (1 - there * float(held.fault.falls)),
                    buyers * (1 - there * float(held.fault.buyers)),
                )
                lost, days = lost + there * float(held.fault.drop), days + there * float(held.fault.days)
        drawn = {
            "parts": parts * amiss, "shop": shop * amiss, "labor": self._labor(fixed) * amiss, "wait": wait,
            "kept_resale": kept, "kept_buyers": buyers, "lost_resale": lost, "added_days": days,
        }  # fmt: skip
        return found | {(figure, "plan"): value for figure, value in drawn.items()}

    def _labor(self, fixed: set[int]) -> Any:
        total: Any = 0.0
        for group in self.repairs.working_together({i for i, h in enumerate(self.repairs.held) if h.index in fixed}):
            hours = [
                self._there(self.repairs.held[i])
                * self._column(self.repairs.held[i], "labor", self.repairs.held[i].labor)
                for i in group
            ]
            most, whole = hours[0], hours[0]
            for one in hours[1:]:
                most, whole = np.maximum(most, one), whole + one
            total = total + most + float(SHARED) * (whole - most)
        return total

    def _there(self, held: Held) -> Any:
        """In which outcomes a fault is there: in all of them, once it was seen."""
        if held.chance == 1:
            return 1.0
        return self.drawing.sampled.value(held.fault.when, self._drawn, held.fault.name) * 1.0

    def _column(self, held: Held, figure: str, ends: Triple) -> Any:
        low, planned, high = ends
        if low == high:
            return float(planned)
        # The mode of a PERT with these ends and this mean.
        likely = min(max((6 * planned - low - high) / 4, low), high)
        return self.drawing.columns.estimate(f"fault {held.fault.name} {figure}", Estimate(low, likely, high))

    # ---- many plans, at their planning values ----

    @cached_property
    def _planning(self) -> Outcome:
        return self._start(lambda name, value: float(value.planned))

    def blocks(self, tried: Sequence[int], base: int) -> Any:
        """All ways to decide some repairs, the others as in `base`."""
        return every_plan(self.drawing.rules, self._planning, self.repairs, tried, base)

    def with_setting(self, name: str, value: Decimal) -> CarOutcomes:
        """The same car, the faults and the answers as they are, with another value of a setting."""
        other = CarOutcomes(
            self.drawing, self.sheet, self.planned, self.asked, self.repairs, self.settings | {name: float(value)}
        )
        start = other._planning
        held = []
        for one in self.repairs.held:
            figures: dict[str, Any] = {
                kind: tuple(self._figure(node, end, start) for node, end in zip(nodes, _ENDS, strict=True))
                for kind, nodes in zip(("parts", "shop", "labor", "wait", "quote"), one.fault.figures, strict=True)
                if nodes is not None
            }
            held.append(evolve(one, **figures))
        other.repairs = Repairs(tuple(held), self.repairs.said)
        return other

    def _figure(self, node: core.Core, end: core.End, outcome: Outcome) -> Decimal:
        """A figure of a fault at one of its ends."""
        if isinstance(node, core.Const):
            found = end_of(node.value, end)
        else:
            found = as_value(self.drawing.sampled.value(node, outcome), node.type)
        assert isinstance(found, Decimal)
        return found

    def priced(self, plan: int, offer: Decimal, ceiling: Decimal | None) -> Outcome:
        """The car at its planning values under a plan and at an offer; what is drawn is drawn under that plan."""
        figures = {
            (figure, end): float(value)
            for figure, ends in zip(FIGURES, self.repairs.totals(plan), strict=True)
            for end, value in zip(("low", "plan", "high"), ends, strict=True)
        }
        outcome = self._planning.under(figures)  # type: ignore[arg-type]  # the ends are the three there are
        outcome.offer = float(offer)
        outcome.ceiling = float(ceiling) if ceiling is not None else float("nan")
        outcome.draw = lambda node: float(self._value(plan, node.term, offer))
        return outcome

    def listed(self, plans: Sequence[int]) -> Plans:
        """Some plans."""
        return plans_of(self.drawing.rules, self._planning, self.repairs, plans)


def _cell(question: Question, value: Any) -> Any:
    """A value of a question as the sampled reading takes it."""
    if isinstance(question.type, Choice):
        return float(question.type.options.index(value))
    return as_plain(value)
