"""What to plan with where a car's answers are missing, and the car that this makes.

In: `Readings` of a program and a `Sheet`. Out: planned values, the chances of faults, the questions that nothing is
planned for, and complete cars judged exactly.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Set
from decimal import Decimal
from functools import cached_property
from itertools import product
from math import prod
from typing import TYPE_CHECKING

from attrs import define, field

from advisor.judging.bargain import Bargain
from advisor.judging.deal import Deal
from advisor.judging.repairs import Held, Repairs, Said
from advisor.judging.sheet import Sheet, highest_offer
from advisor.language import core
from advisor.language.program import Program
from advisor.language.types import Value
from advisor.readings.compiled import Readings
from advisor.readings.footing import Footing
from advisor.readings.pruned import conditions_alone
from advisor.readings.weighing import Weight, climbs, drawn_rules, looks_at_plan, weight

if TYPE_CHECKING:
    from advisor.judging.drawing import CarOutcomes, Drawing

__all__ = ["Planner"]

_FEW = 64
"""So many ways are tried by the whole exact reading in less time than one of their own takes to make."""
_MOST_SHARED = 4096
"""So many chances are kept at once; then the keeping begins anew."""


@define(slots=False)
class Planner:
    """Judges complete cars by one program, and fills in for the others what is planned."""

    readings: Readings
    _weight: Weight = field(init=False)
    _ladder_looks_at_plan: bool = field(init=False)
    _ladder_climbs: bool = field(init=False)
    _drawn: frozenset[int] = field(init=False)
    _alone: dict[tuple[str, ...], Readings] = field(factory=dict)
    _shared: dict[Hashable, dict[str, Decimal]] = field(factory=dict)
    """Chances of faults that were worked out before, by all that they stand on."""

    def __attrs_post_init__(self) -> None:
        self._weight = weight(self.program)
        self._ladder_looks_at_plan = looks_at_plan(self.program)
        self._ladder_climbs = climbs(self.program)
        self._drawn = drawn_rules(self.program)

    @property
    def program(self) -> Program:
        """The rules."""
        return self.readings.program

    @cached_property
    def footing(self) -> Footing:
        """What expressions stand on."""
        return Footing(self.program)

    # ---- one complete car ----

    def deal(self, sheet: Sheet, planned: dict[str, Value], chances: dict[str, Decimal] | None = None) -> Deal:
        """Judge a car exactly, with `planned` where nothing was answered and faults at the given chances."""
        arrays = sheet.exact(planned)
        facts, figures, refuses, cautions, situation, deal, rungs, reports = self.readings.exact(
            arrays.plan, arrays.low, arrays.high, sheet.today, arrays.unanswered, arrays.unsure, arrays.refused
        )
        held = []
        for i, (fault, holds) in enumerate(zip(self.program.faults.values(), facts, strict=True)):
            chance = (chances or {}).get(fault.name, Decimal(1) if holds else Decimal(0))
            if chance > 0:
                nothing = (Decimal(0),) * 3
                held.append(Held(fault, i, chance, *(f or nothing for f in figures[i])))
        top = highest_offer(self.program)
        questions = list(self.program.questions)
        asking = arrays.plan[questions.index("asking")] if "asking" in questions else Decimal(0)
        repairs = Repairs(tuple(held), Said(sheet.answers.told, sheet.answers.denied))
        car = self._outcomes(sheet, planned, chances, repairs)
        bargain = Bargain(
            deal,
            repairs,
            top,
            len(self.program.of_kind("require")),
            self._drawn,
            blocks=lambda tried, base: car().blocks(tried, base),
            listed=lambda plans: car().listed(plans),
            draw=lambda plan: lambda term, offer: car().draw(plan)(term, offer),
        )
        return Deal(
            self.program, arrays, bargain, refuses, cautions, situation, rungs, reports, car, asking, sheet.today,
            self._ladder_looks_at_plan, self._ladder_climbs,
        )  # fmt: skip

    def _outcomes(
        self, sheet: Sheet, planned: dict[str, Value], chances: dict[str, Decimal] | None, repairs: Repairs
    ) -> Callable[[], CarOutcomes]:
        """The car's outcomes, made when they are first asked for."""
        made: list[CarOutcomes] = []

        def car() -> CarOutcomes:
            if not made:
                from advisor.judging.drawing import CarOutcomes

                asked = [self.program.questions[n] for n in self._at_chance(sheet)] if chances else []
                made.append(CarOutcomes(self.drawing, sheet, planned, asked, repairs))
            return made[0]

        return car

    @cached_property
    def drawing(self) -> Drawing:
        """What is drawn for every car. It brings in numpy, which is loaded when it is first needed."""
        from advisor.judging.drawing import Drawing

        return Drawing.of(self.program)

    def _at_chance(self, sheet: Sheet) -> list[str]:
        """The open questions that are planned at their chance."""
        return [n for n in sheet.open if self.program.questions[n].chance and sheet.planned(n) is None]

    # ---- the plan for what is not answered ----

    def unplanned(self, sheet: Sheet) -> tuple[str, ...]:
        """Open questions that matter, apply, and have nothing to plan with."""
        planned = self.planned(sheet)
        questions = self.program.questions
        bare = [n for n in sheet.open if n in self._weight.weighty and n not in planned and not questions[n].chance]
        if not any(questions[n].gated for n in bare):
            return tuple(bare)
        gates = self.gates(sheet, planned)
        return tuple(n for n in bare if gates[n])

    def planned(self, sheet: Sheet) -> dict[str, Value]:
        """What is planned with for each open question: its `assume`, or, where it is planned at its chance, its
        commonest answer."""
        found = {name: sheet.planned(name) for name in sheet.open}
        found |= {
            name: max(self.program.questions[name].usually, key=lambda s: s[1])[0]
            for name, value in found.items()
            if value is None and self.program.questions[name].chance
        }
        return {n: v for n, v in found.items() if v is not None}

    def gates(self, sheet: Sheet, planned: dict[str, Value] | None = None) -> dict[str, bool]:
        """Whether each question can apply, taking `planned` for what is not answered."""
        planned = planned or {}
        values = {n: v for n, v in planned.items() if n in sheet.open}
        filled = sheet.with_answers(values)
        *_, found = self.readings.brief(*filled.possible())
        return dict(zip(self.program.questions, (t for t, _ in found), strict=True))

    def chances(self, sheet: Sheet, planned: dict[str, Value], *, only: Set[str] | None = None) -> dict[str, Decimal]:
        """The chance of each fault (or of some) that open questions with shares leave open."""
        asked = self._at_chance(sheet)
        if not asked or (only is not None and not only):
            return {}
        gates = self.gates(sheet, planned)
        asked = [n for n in asked if gates[n]]
        behind = {
            f.name: self.footing.behind(f.when) & set(asked)
            for f in self.program.faults.values()
            if only is None or f.name in only
        }
        groups: dict[frozenset[str], list[str]] = {}
        for fault, names in behind.items():
            if names:
                groups.setdefault(frozenset(names), []).append(fault)
        found: dict[str, Decimal] = {}
        for names, faults in groups.items():
            key = self._looked_at(sheet, planned, names, faults)
            if key is None or key not in self._shared:
                chances = self._chances(sheet, planned, sorted(names), faults)
                if key is None:
                    found |= chances
                    continue
                if len(self._shared) >= _MOST_SHARED:
                    self._shared.clear()
                self._shared[key] = chances
            found |= self._shared[key]
        return found

    def _chances(
        self, sheet: Sheet, planned: dict[str, Value], names: list[str], faults: list[str]
    ) -> dict[str, Decimal]:
        """The chance of each of some faults, over all answers to the open questions behind them."""
        many = prod(len(self.program.questions[n].usually) for n in names) > _FEW
        readings = self._conditions(tuple(faults)) if many else self.readings
        index = {name: i for i, name in enumerate(readings.program.faults)}
        found = dict.fromkeys(faults, Decimal(0))
        a = sheet.exact(planned)
        ends = [list(values) for values in (a.plan, a.low, a.high)]
        order = list(self.program.questions)
        places = [order.index(n) for n in names]
        for combination in product(*(self.program.questions[n].usually for n in names)):
            share = Decimal(1)
            for place, (value, part) in zip(places, combination, strict=True):
                share *= part
                for end in ends:
                    end[place] = value
            facts = readings.exact(*ends, sheet.today, a.unanswered, a.unsure, a.refused)[0]
            for fault in faults:
                found[fault] += share if facts[index[fault]] else 0
        return found

    def _conditions(self, faults: tuple[str, ...]) -> Readings:
        """The exact reading of some faults' conditions alone: thousands of answers are tried by it."""
        if faults not in self._alone:
            self._alone[faults] = Readings(conditions_alone(self.program, faults))
        return self._alone[faults]

    def _looked_at(
        self, sheet: Sheet, planned: dict[str, Value], names: frozenset[str], faults: list[str]
    ) -> Hashable | None:
        """All that the chances of some faults stand on: two cars that agree in it have the same. None where a fault
        looks at what no single question tells, such as how many were left open."""
        if any(f in self._counting for f in faults):
            return None
        behind = set().union(*(self.footing.behind(self.program.faults[f].when) for f in faults)) - names
        seen = tuple((n, sheet.cell(n), planned.get(n)) for n in sorted(behind))
        return tuple(faults), names, seen, sheet.today

    @cached_property
    def _counting(self) -> frozenset[str]:
        """The faults that look at a count of answers."""
        faults = self.program.faults.items()
        return frozenset(
            n
            for n, f in faults
            if any(isinstance(p, core.Special) and p.name != "today" for p in self.footing.parts(f.when))
        )
