"""Money is neither made nor lost on the way: what must hold of the bundled rules whatever the car."""

from __future__ import annotations

from decimal import Decimal
from functools import lru_cache
from pathlib import Path
from random import Random

import pytest
from attrs import evolve

from advisor.judging.deal import Deal
from advisor.judging.judge import Judge
from advisor.language.answers import Answers
from advisor.language.cars import read_car
from advisor.language.program import VERDICTS
from advisor.language.source import Source
from advisor.readings.arithmetic import exact_arithmetic
from tests.answers import random_answer
from tests.programs import deal_on_plan, house

EXAMPLES = sorted(Path(__file__).resolve().parents[2].joinpath("examples").glob("*.car"))
CENT = Decimal("0.01")
CARS = 12


def judge() -> Judge:
    return house()


@lru_cache(maxsize=CARS)
def random_deal(seed: int) -> tuple[Judge, Answers, Deal]:
    """An example with a fifth of its answers changed to others, and nothing left open that has no plan."""
    random = Random(f"conservation {seed}")
    program = judge().program
    path = random.choice(EXAMPLES)
    answers, problems = read_car(Source(path.name, path.read_text(encoding="utf-8")), program)
    assert not problems
    values = dict(answers.values)
    for name, question in program.questions.items():
        if answers.known(name) is None or random.random() < 0.2:
            values[name] = random_answer(random, question, [])
    # Prices somebody might ask, so that not every deal is hopeless.
    values["asking"] = Decimal(random.randint(0, 6000))
    values["resale"] = Decimal(random.randint(1000, 12_000))
    answers = evolve(answers, values=values)
    return judge(), answers, deal_on_plan(judge(), answers)


@pytest.mark.parametrize("seed", range(CARS))
def test_the_column_adds_up(seed: int) -> None:
    _, _, deal = random_deal(seed)
    value = deal.values
    with exact_arithmetic():
        assert value["money_in"] == deal.asking + value["buying"] + value["recon"] + value["holding"]
        assert value["profit"] + value["money_in"] + value["selling"] == value["sale_price"]
        parts = ("buying", "repairs", "unseen", "holding", "selling", "profit", "sale_price")
        assert all(value[p] == value[p].quantize(CENT) for p in parts)


@pytest.mark.parametrize("seed", range(CARS))
def test_the_partners_get_what_is_there_and_no_more(seed: int) -> None:
    _, _, deal = random_deal(seed)
    value = deal.values
    with exact_arithmetic():
        shared = value["first_gets"] + value["second_gets"]
        assert shared == value["profit"] + value["money_line"] + value["parking_line"]
        assert value["first_gets"] == value["first_gets"].quantize(CENT)


@pytest.mark.parametrize("seed", range(CARS))
def test_a_dollar_more_never_helps(seed: int) -> None:
    """Neither the profit, nor the chance of one, nor the verdict."""
    judge, answers, deal = random_deal(seed)
    dearer = evolve(answers, values=answers.values | {"asking": deal.asking + 1})
    other = deal_on_plan(judge, dearer)
    plan = deal.plan
    with exact_arithmetic():
        assert other.bargain.profit(other.asking, plan) < deal.bargain.profit(deal.asking, plan)
        draw = deal.bargain.draw(plan)
        for term, (_, where) in judge.drawing.nodes.items():
            if where.startswith("rule"):
                assert draw(term, deal.asking) <= draw(term, deal.asking + 1)
    assert VERDICTS.index(other.verdict) >= VERDICTS.index(deal.verdict)


@pytest.mark.parametrize("seed", range(CARS))
def test_the_ceiling_is_exact_to_the_cent(seed: int) -> None:
    _, _, deal = random_deal(seed)
    bargain, ceiling = deal.bargain, deal.ceiling
    everything = tuple(range(bargain.count))
    with exact_arithmetic():
        if ceiling.offer is not None:
            assert bargain.meets(ceiling.offer, ceiling.plan, everything)
            if ceiling.offer < bargain.highest:
                assert not bargain.meets(ceiling.offer + CENT, ceiling.plan, everything)
        above = ceiling.offer + CENT if ceiling.offer is not None else Decimal(0)
        if above <= bargain.highest and len(bargain.repairs.optional) <= 6:
            every = range(1 << len(bargain.repairs.optional))
            assert not any(bargain.meets(above, p, everything) for p in every)
