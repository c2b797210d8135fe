"""The generated exact code against a plain, slow evaluator: random rulesets, random cars, no difference."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal
from random import Random
from typing import Any

import pytest

from advisor.judging.repairs import Held, Repairs, Said
from advisor.judging.sheet import Sheet
from advisor.language.answers import Answers
from advisor.language.program import Program, Unanswered
from advisor.readings.arithmetic import exact_arithmetic
from advisor.readings.compiled import Readings
from advisor.readings.emitting import wanted
from tests.answers import random_answer, random_car, thresholds
from tests.programs import random_judges
from tests.reference import ENDS, FIGURES, Car, Figures

PARTS = 8
PROGRAMS = 30
CARS = 8
ALL_IN_ALL = 100_000
"""What all parts together must have compared."""

CENT = Decimal("0.01")
NOTHING = (Decimal(0),) * 3


class Both:
    """One car, half answered and completed by what it is planned with, in both evaluators."""

    def __init__(self, program: Program, readings: Readings, random: Random) -> None:
        self.program = program
        self.random = random
        seen = random_car(random, program, 0.7)
        cuts = thresholds(program)
        planned = {n: random_answer(random, q, cuts.get(n, [])) for n, q in program.questions.items()}
        known = {n: v for n, v in seen.values.items() if not isinstance(v, Unanswered)}
        said = {n: v.how for n, v in seen.values.items() if isinstance(v, Unanswered)}
        assert seen.day is not None
        self.car = Car(
            program,
            planned | known,
            seen.day,
            frozenset(n for n, how in said.items() if how == "unsure"),
            frozenset(n for n, how in said.items() if how == "refused"),
            frozenset(program.questions) - set(seen.values),
            seen.told,
            seen.denied,
        )
        sheet = Sheet(program, Answers("", seen.day, seen.values))
        arrays = sheet.exact(planned)
        self.arguments = (
            arrays.plan, arrays.low, arrays.high, seen.day, arrays.unanswered, arrays.unsure, arrays.refused,
        )  # fmt: skip
        self.facts, self.figures, self.refuses, self.cautions, self.lets, self.deal, self.rungs, self.reports = (
            readings.exact(*self.arguments)
        )

    def reported(self, offer: Decimal, totals: Any, ceiling: Decimal | None) -> tuple[Any, Any]:
        """The rung that decides, and the values that stand on the price."""
        if ceiling is None:
            return self.rungs[1](offer, totals), self.reports[1](offer, totals)
        return self.rungs[0](offer, totals, ceiling), self.reports[0](offer, totals, ceiling)

    def plans(self) -> Iterator[tuple[Any, Figures]]:
        """A few repair plans: their figures as judging sums them, and as the reference does."""
        held = [
            Held(fault, i, Decimal(1), *(f or NOTHING for f in self.figures[i]))
            for i, (fault, holds) in enumerate(zip(self.program.faults.values(), self.facts, strict=True))
            if holds
        ]
        repairs = Repairs(tuple(held), Said(self.car.told, self.car.denied))
        count = 1 << len(repairs.optional)
        for bits in self.random.sample(range(count), min(count, 3)):
            names = frozenset(h.fault.name for h in repairs.fixed(bits))
            yield repairs.totals(bits), self.car.figures(names)

    def prices(self) -> Iterator[tuple[Decimal, Decimal | None]]:
        """An offer and a ceiling, or none."""
        for ceiling in (Decimal(self.random.randint(0, 600_000)) * CENT, None):
            yield Decimal(self.random.randint(0, 600_000)) * CENT, ceiling


def cars(part: int) -> Iterator[tuple[int, Readings, Both]]:
    for seed, judge in random_judges(PROGRAMS, start=part * 10_000):
        for i in range(CARS):
            yield seed, judge.readings, Both(judge.program, judge.readings, Random(f"{seed} {i}"))


def pairs(both: Both) -> Iterator[tuple[str, Any, Any]]:
    """Everything that both evaluators say of a car, side by side."""
    program, car = both.program, both.car
    yield from zip(program.faults, both.facts, car.facts().values(), strict=True)
    for fault, figures in zip(program.faults.values(), both.figures, strict=True):
        for kind, found in zip(("parts", "shop", "labor", "wait", "quote"), figures, strict=True):
            yield f"{kind} of {fault.name}", found or NOTHING, car.figure(fault, kind)
    for kind, held in (("refuse", both.refuses), ("caution", both.cautions)):
        for rule, holds in zip(program.of_kind(kind), held, strict=True):  # type: ignore[arg-type]  # one of the kinds
            yield rule.name, holds, car.holds(rule.name)
    todo = wanted(program)
    for (let, end), found in zip(todo.situation, both.lets, strict=True):
        yield f"{let.name} {end}", found, car.still.let(let.name, end)
    for totals, figures in both.plans():
        for i, figure in enumerate(FIGURES):
            for j, end in enumerate(ENDS):
                yield f"{figure} {end}", totals[i][j], figures[figure, end]
        for offer, ceiling in both.prices():
            priced = car.at(offer, figures, ceiling)
            profit, requires = both.deal(offer, totals)
            yield "profit", profit, priced.let("profit", "plan")
            for rule, holds in zip(program.of_kind("require"), requires, strict=True):
                yield rule.name, holds, priced.value(rule.condition)
            rung, lets = both.reported(offer, totals, ceiling)
            yield "rung", program.ladder[rung].verdict, car.rung(priced)
            for (let, end), found in zip(todo.report, lets, strict=True):
                yield f"{let.name} {end} at a price", found, priced.let(let.name, end)


@pytest.mark.parametrize("part", range(PARTS))
def test_generated_code_agrees_with_the_reference(part: int) -> None:
    count = 0
    with exact_arithmetic():
        for seed, _, both in cars(part):
            for what, generated, plain in pairs(both):
                assert generated == plain, (seed, what)
                assert type(generated) is type(plain), (seed, what)
                count += 1
    assert count >= ALL_IN_ALL / PARTS, f"only {count} comparisons: draw more cars"


@pytest.mark.parametrize("part", range(2))
def test_traced_code_agrees_with_untraced(part: int) -> None:
    with exact_arithmetic():
        for seed, readings, both in cars(part):
            todo = wanted(both.program)
            for totals, _ in both.plans():
                for offer, ceiling in both.prices():
                    traced = readings.trace(*both.arguments, offer, totals, ceiling)
                    terms, refuses, cautions, requires, rungs = traced
                    assert (refuses, cautions, requires) == (both.refuses, both.cautions, both.deal(offer, totals)[1])
                    rung, lets = both.reported(offer, totals, ceiling)
                    assert ([*rungs, True].index(True)) == rung, seed
                    for (let, end), value in [
                        *zip(todo.situation, both.lets, strict=True),
                        *zip(todo.report, lets, strict=True),
                    ]:
                        node = {"plan": let.value, "low": let.low, "high": let.high}[end]
                        assert node is not None
                        assert terms[node.term] == value, (seed, let.name, end)
                    for fault, holds in zip(both.program.faults.values(), both.facts, strict=True):
                        assert terms[fault.when.term] == holds
