"""The possible reading against the exact one: whatever a completion comes to was announced as possible."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal
from random import Random
from typing import Any

import pytest

from advisor.judging.repairs import Held, Repairs, Said, possible_totals
from advisor.judging.sheet import Sheet
from advisor.language.answers import Answers
from advisor.language.program import Program, Unanswered
from advisor.readings.arithmetic import exact_arithmetic
from advisor.readings.compiled import Readings
from tests.answers import random_answer, random_car, thresholds
from tests.programs import random_judges

PARTS = 6
PROGRAMS = 30
CARS = 4
COMPLETIONS = 6

CENT = Decimal("0.01")
NOTHING = (Decimal(0),) * 3


def completed(random: Random, program: Program, seen: Answers) -> tuple[Sheet, dict[str, Any]]:
    """The car after the open questions were asked: answered, or left open and planned with some value."""
    cuts = thresholds(program)
    values = dict(seen.values)
    planned = {n: random_answer(random, q, cuts.get(n, []), estimates=False) for n, q in program.questions.items()}
    for name, value in planned.items():
        if isinstance(values.get(name), Unanswered) or name not in values:
            how = random.choice(("answered", "answered", "as it is", "unsure", "refused"))
            if how == "answered":
                values[name] = value
            elif how != "as it is":
                values[name] = Unanswered(how)  # type: ignore[arg-type]  # one of the two
    return Sheet(program, Answers("", seen.day, values, told=seen.told, denied=seen.denied)), planned


def ask_exact(readings: Readings, sheet: Sheet, planned: dict[str, Any]) -> Any:
    a = sheet.exact(planned)
    return readings.exact(a.plan, a.low, a.high, sheet.today, a.unanswered, a.unsure, a.refused)


def inside(pair: tuple[bool, bool], holds: bool) -> bool:
    return pair[0] if holds else pair[1]


def cars(part: int) -> Iterator[tuple[int, Readings, Random, Answers]]:
    for seed, judge in random_judges(PROGRAMS, start=500_000 + part * 10_000):
        readings, program = judge.readings, judge.program
        for i in range(CARS):
            random = Random(f"possible {seed} {i}")
            yield seed, readings, random, random_car(random, program, random.choice((0.2, 0.5, 0.8, 0.95)))


@pytest.mark.parametrize("part", range(PARTS))
def test_what_a_completion_comes_to_was_possible(part: int) -> None:
    with exact_arithmetic():
        for seed, readings, random, seen in cars(part):
            program = readings.program
            sheet = Sheet(program, seen)
            possible = readings.possible(*sheet.possible())
            for _ in range(COMPLETIONS):
                done, planned = completed(random, program, seen)
                exact = ask_exact(readings, done, planned)
                for i, kind in ((0, "faults"), (2, "refuses"), (3, "cautions")):
                    for pair, holds in zip(possible[i], exact[i], strict=True):
                        assert inside(pair, holds), (seed, kind)
                contained_price(seed, readings, random, possible, exact, done)


def contained_price(seed: int, readings: Readings, random: Random, possible: Any, exact: Any, sheet: Sheet) -> None:
    """Requires and ladder, under a repair plan that is decided in part, in whole or not at all."""
    program = readings.program
    faults = tuple(program.faults.values())
    held = [
        Held(fault, i, Decimal(1), *(f or NOTHING for f in exact[1][i]))
        for i, fault in enumerate(faults)
        if exact[0][i]
    ]
    said = Said(sheet.answers.told, sheet.answers.denied)
    repairs = Repairs(tuple(held), said)
    plan = random.randrange(1 << len(repairs.optional))
    totals = repairs.totals(plan)
    fixed = {h.fault.name for h in repairs.fixed(plan)}
    # Faults that do not hold may be decided either way: the plan says nothing of them.
    decided = {
        f.name: f.name in fixed if exact[0][i] else random.random() < 0.5
        for i, f in enumerate(faults)
        if not f.must and random.random() < 0.7
    }
    ranges = possible_totals(faults, possible[0], possible[1], decided, said)
    for triple, pairs in zip(totals, ranges, strict=True):
        for value, (low, high) in zip(triple, pairs, strict=True):
            assert low <= value <= high, seed
    offer = random.randint(0, 600_000) * CENT
    for pair, holds in zip(possible[4](offer, ranges), exact[5](offer, totals)[1], strict=True):
        assert inside(pair, holds), seed
    asking, ceiling = random.randint(0, 600_000) * CENT, random.randint(0, 500_000) * CENT
    below, above = asking - random.randint(0, 10_000) * CENT, ceiling + random.randint(0, 10_000) * CENT
    rung = exact[6][0](asking, totals, ceiling)
    assert possible[5](below, asking, ranges, ceiling, above) >> rung & 1, seed
    rung = exact[6][1](asking, totals)
    assert possible[6](asking, asking, ranges) >> rung & 1, seed


@pytest.mark.parametrize("part", range(2))
def test_a_known_car_has_one_possible_value(part: int) -> None:
    """With nothing open the ranges close: the possible reading says what the exact one says, and no more."""
    with exact_arithmetic():
        for seed, readings, random, seen in cars(part):
            done, planned = completed(random, readings.program, seen)
            done = done.with_answers({n: planned[n] for n in done.open})
            possible, exact = readings.possible(*done.possible()), ask_exact(readings, done, {})
            for i in (0, 2, 3):
                assert tuple(possible[i]) == tuple((h, not h) for h in exact[i]), seed


@pytest.mark.parametrize("part", range(2))
def test_a_smaller_box_never_makes_more_possible(part: int) -> None:
    with exact_arithmetic():
        for seed, readings, random, seen in cars(part):
            sheet = Sheet(readings.program, seen)
            wide = readings.possible(*sheet.possible())
            _done, planned = completed(random, readings.program, seen)
            some = {n: planned[n] for n in sheet.open if random.random() < 0.5}
            narrow = readings.possible(*sheet.with_answers(some).possible())
            for i in (0, 2, 3, 7):
                for (t, f), (t2, f2) in zip(wide[i], narrow[i], strict=True):
                    assert t >= t2, seed
                    assert f >= f2, seed


@pytest.mark.parametrize("part", range(2))
def test_the_brief_reading_says_the_same_of_gates_and_deal_breakers(part: int) -> None:
    breaking = gated = 0
    with exact_arithmetic():
        for seed, readings, random, seen in cars(part):
            sheet = Sheet(readings.program, seen)
            some = {n: v for n, v in completed(random, readings.program, seen)[1].items() if random.random() < 0.3}
            for car in (sheet, sheet.with_answers(some)):
                whole, brief = readings.possible(*car.possible()), readings.brief(*car.possible())
                for i in (2, 7):
                    assert tuple(brief[i]) == tuple(whole[i]), seed
                breaking += any(t and not f for t, f in whole[2])
                gated += any(not t for t, _ in whole[7])
    assert min(breaking, gated) >= 10
