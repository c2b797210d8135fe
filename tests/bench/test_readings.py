"""The readings against a function written by hand, all in one run."""

from __future__ import annotations

import timeit
from collections.abc import Callable
from decimal import Decimal
from typing import Any

from advisor import resources
from advisor.language.checking import check
from advisor.language.linking import Linked, link
from advisor.language.parsing import grammar
from advisor.language.program import Program
from advisor.language.source import Source
from advisor.readings.arithmetic import exact_arithmetic
from advisor.readings.compiled import Readings
from tests.bench.workload import by_hand, random_answers, ruleset

CARS = [random_answers(seed) for seed in range(50)]
OFFER = Decimal("4000.00")
NOTHING = ((Decimal(0),) * 3,) * 8
ONE_RANGE = (((Decimal(0), Decimal(0)),) * 3,) * 8
PRINTED = "{name}: {ratio:.2f} times the hand-written function (goal: at most {goal})"


def program() -> Program:
    """The workload, checked."""
    linked: Linked = link(grammar(resources.grammar_text()), Source("workload.tell", ruleset()), None)  # type: ignore[arg-type]  # it uses no file
    found, _ = check(linked)
    assert found is not None
    return found


def best(run: Callable[[], object]) -> float:
    """Seconds for one run over all cars, the best of several."""
    return min(timeit.repeat(run, number=4, repeat=7)) / 4


def test_ratios(capsys: Any) -> None:
    readings = Readings(program())
    hand = by_hand()
    no = (False,) * 80
    yes_no = slice(40, 60)

    def ranges(car: tuple[Any, ...]) -> tuple[Any, ...]:
        low = [*car[:40], *car[yes_no], *(1 << ("fine", "fair", "poor").index(w) for w in car[60:])]
        high = [*car[:40], *(not f for f in car[yes_no]), *low[60:]]
        pairs = tuple(zip(low, high, strict=True))
        return tuple(low), tuple(high), (pairs, pairs), None, no

    laid_out = [ranges(car) for car in CARS]

    def exact(car: tuple[Any, ...]) -> tuple[tuple[bool, ...], ...]:
        _, _, refuses, cautions, _, deal, _, _ = readings.exact(car, car, car, None, no, no, no)
        return refuses, cautions, deal(OFFER, NOTHING)[1]

    def traced(car: tuple[Any, ...]) -> tuple[tuple[bool, ...], ...]:
        _, refuses, cautions, requires, _ = readings.trace(car, car, car, None, no, no, no, OFFER, NOTHING, OFFER)
        return refuses, cautions, requires

    def possible(laid: tuple[Any, ...]) -> tuple[Any, ...]:
        _, _, refuses, cautions, deal, _, _, _ = readings.possible(*laid)
        return refuses, cautions, deal(OFFER, ONE_RANGE)

    with exact_arithmetic():
        for car, laid in zip(CARS, laid_out, strict=True):
            assert exact(car) == traced(car) == hand(car, OFFER)
            sure = tuple(tuple(t for t, _ in truths) for truths in possible(laid))
            assert sure == hand(car, OFFER)
        base = best(lambda: [hand(car, OFFER) for car in CARS])
        measured = {
            "exact": (best(lambda: [exact(car) for car in CARS]), 2.5),
            "traced": (best(lambda: [traced(car) for car in CARS]), 4),
            "possible": (best(lambda: [possible(laid) for laid in laid_out]), 10),
        }
    with capsys.disabled():
        print(f"\nby hand: {base / len(CARS) * 1e6:.1f} microseconds a car")
        for name, (seconds, goal) in measured.items():
            print(PRINTED.format(name=name, ratio=seconds / base, goal=goal))
