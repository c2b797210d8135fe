"""No bundled rule buys a loser: of two thousand invented cars, those that the house rules buy at their own ceiling
keep the house's minimum on the plan, and lose in no more outcomes than the rules promise: of those they were judged by
exactly, and of others, drawn anew, up to what chance can do.

The cars are drawn from what the rules say of how answers usually come out; the day from the whole year. Each is bought
at its ceiling, the dearest the rules allow.
"""

from __future__ import annotations

import tempfile
from datetime import date, timedelta
from decimal import Decimal
from functools import lru_cache
from math import sqrt
from pathlib import Path
from random import Random

import pytest
from attrs import frozen

from advisor.cli.rules import load_rules
from advisor.judging.deal import Deal
from advisor.judging.imagined import drawn_answers
from advisor.judging.judge import Judge
from advisor.language.answers import Answers
from advisor.language.types import end_of
from advisor.readings.arithmetic import exact_arithmetic
from tests.programs import house

CARS, PARTS = 2000, 4
"""Two thousand cars, in parts that can be judged side by side."""
DRAWS = 4096
FEWEST = 15
"""So many of each part are bought at least, or nothing was shown."""


@frozen
class Bought:
    """A car bought at its ceiling."""

    seed: int
    answers: Answers
    deal: Deal


def judge() -> Judge:
    return house()


@lru_cache(maxsize=1)
def drawn_anew() -> Judge:
    """The house rules, with other outcomes drawn."""
    with tempfile.TemporaryDirectory() as folder:
        anew = Path(folder) / "anew.tell"
        anew.write_text('use "house"\nset seed = 2\n', encoding="utf-8")
        return Judge(load_rules(anew)[0])


def deal_of(answers: Answers, by: Judge | None = None) -> Deal:
    by = by or judge()
    with exact_arithmetic():
        sheet = by.sheet(answers, None)
        assert not by.unplanned(sheet)
        return by.deal(sheet, by.planned(sheet))


def bought(part: int) -> list[Bought]:
    """The cars of a part that are bought when what is asked is the most that the rules allow."""
    found = []
    for seed in range(part, CARS, PARTS):
        random = Random(f"a car {seed}")
        day = date(2026, 1, 1) + timedelta(days=random.randrange(365))
        values = drawn_answers(judge().program, random, judge().readings, day)
        deal = deal_of(Answers("a car", day, values=values))
        if any(deal.refuses) or not deal.ceiling.offer:
            continue
        answers = Answers("a car", day, values=values | {"asking": deal.ceiling.offer})
        deal = deal_of(answers)
        if deal.verdict == "buy":
            found.append(Bought(seed, answers, deal))
    return found


def promised() -> Decimal:
    """The chance of a loss that the house rules allow."""
    value = end_of(judge().program.settings["most_loss_chance"].value, "plan")
    assert isinstance(value, Decimal)
    return value


@pytest.mark.parametrize("part", range(PARTS))
def test_what_is_bought_at_the_ceiling_keeps_what_was_promised(part: int) -> None:
    other = drawn_anew()
    by_chance = 3 * sqrt(float(promised() * (1 - promised()) / DRAWS))
    cars = bought(part)
    assert len(cars) >= FEWEST
    for car in cars:
        values = car.deal.values
        assert car.deal.asking <= (car.deal.ceiling.offer or 0), car.seed
        assert values["profit"] >= values["house_minimum"] >= 0, car.seed
        assert values["chance_of_loss"] <= promised(), car.seed
        again = deal_of(car.answers, other).values
        assert float(again["chance_of_loss"]) <= float(promised()) + by_chance, car.seed
