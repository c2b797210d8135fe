"""Invented cars: they come out as hinted, keep to the gates, and can be written down and read again."""

from __future__ import annotations

from collections import Counter
from datetime import date
from decimal import Decimal
from random import Random

import pytest

from advisor.judging.imagined import drawn_answers
from advisor.language.answers import Answers
from advisor.language.cars import read_car
from advisor.language.program import Program
from advisor.language.source import Source
from advisor.language.types import Value
from advisor.language.wording import format_value
from advisor.readings.compiled import Readings
from tests.programs import house, program_of, random_programs

RULES = """\
ask body: one of hatch, pickup, convertible
    "What kind of body?"
    usually hatch 60%, pickup 30%, convertible 10%
ask soft_top: one of sound, torn, missing
    "How is the top?"
    only when body is convertible, else sound
    usually sound 50%, torn 30%, missing 20%
ask frame: yes/no
    "Is the frame bent?"
    only when soft_top is torn, else no
ask tread: in from 0 in to 1 in
    "Shallowest tread?"
    usually 2/32 in .. 6/32 in .. 10/32 in
ask frost: degC from -40 degC to 50 degC
    "How cold can the coolant get?"
    usually -40 degC .. -30 degC .. -10 degC
ask compression: 4 to 6 of psi from 0 psi to 300 psi
    "Compression?"
    usually 100 psi .. 150 psi .. 190 psi
ask play: mm from 0 mm to 10 mm
    "How far does it rock?"
    unsure assume 2 mm
ask keys: count from 0 to 6
    "How many keys?"
ask sold: date from 1990-01-01 to 1999-12-31
    "When was it first sold?"
ask plate: code of 5 to 7
    "Its plate?"
ask share: percent
    "What share is rust?"
ask said: text
    "What did the seller say?"
"""
CARS = 3000


@pytest.fixture(scope="module")
def program() -> Program:
    return program_of(RULES)


@pytest.fixture(scope="module")
def cars(program: Program) -> list[dict[str, Value]]:
    random, readings = Random(20), Readings(program)
    return [drawn_answers(program, random, readings) for _ in range(CARS)]


def test_shares_come_out_as_hinted(cars: list[dict[str, Value]]) -> None:
    shares = {"hatch": 0.6, "pickup": 0.3, "convertible": 0.1}
    seen = Counter(car["body"] for car in cars)
    chi_square = sum((seen[b] - CARS * s) ** 2 / (CARS * s) for b, s in shares.items())
    assert chi_square < 13.8  # two degrees of freedom: exceeded once in a thousand


def test_a_choice_without_a_hint_comes_out_evenly(cars: list[dict[str, Value]]) -> None:
    bent = [car["frame"] for car in cars if "frame" in car]
    assert 0.3 < sum(map(bool, bent)) / len(bent) < 0.7
    keys = Counter(car["keys"] for car in cars)
    assert set(keys) == {Decimal(n) for n in range(7)}


def test_a_spread_comes_out_as_its_distribution(cars: list[dict[str, Value]], program: Program) -> None:
    spread = program.questions["tread"].spread
    assert spread is not None
    drawn = [car["tread"] for car in cars]
    assert all(isinstance(t, Decimal) and spread.low <= t <= spread.high for t in drawn)
    mean = sum(drawn, Decimal(0)) / CARS  # type: ignore[arg-type]  # numbers, as was just seen
    # The deviation of a symmetrical PERT is its width over the square root of 28.
    error = float(spread.high - spread.low) / 28**0.5 / CARS**0.5
    assert abs(float(mean - spread.planned)) < 4 * error
    below = sum(t < spread.likely for t in drawn) / CARS  # type: ignore[operator]  # likewise
    assert 0.35 < below < 0.5  # half of them, but for those at the likeliest itself


def test_what_is_drawn_is_as_round_as_people_write(cars: list[dict[str, Value]], program: Program) -> None:
    tread, frost, share = (program.questions[n].type for n in ("tread", "frost", "share"))
    assert {format_value(car["tread"], tread) for car in cars} == {f"{n}/32 in" for n in range(2, 11)}
    assert all(format_value(car["frost"], frost).removesuffix(" degC").lstrip("-").isdigit() for car in cars[:200])
    assert all(len(format_value(car["share"], share)) <= 4 for car in cars)


def test_gates_are_kept_to(cars: list[dict[str, Value]], program: Program) -> None:
    for car in cars:
        assert ("soft_top" in car) == (car["body"] == "convertible")
        assert ("frame" in car) == (car.get("soft_top") == "torn")
        assert list(car) == [n for n in program.questions if n in car]
        assert "said" not in car


def test_a_list_and_what_is_only_planned(cars: list[dict[str, Value]], program: Program) -> None:
    assert {len(car["compression"]) for car in cars} == {4, 5, 6}  # type: ignore[arg-type]  # a list
    assert {car["play"] for car in cars} == {program.questions["play"].unsure}
    assert all(date(1990, 1, 1) <= car["sold"] <= date(1999, 12, 31) for car in cars)  # type: ignore[operator]  # a day


def test_the_same_chance_gives_the_same_car(program: Program) -> None:
    assert drawn_answers(program, Random(4)) == drawn_answers(program, Random(4))
    assert drawn_answers(program, Random(4)) != drawn_answers(program, Random(5))


def read_again(program: Program, values: dict[str, Value]) -> dict[str, object]:
    """What is read of these answers once they are written down, for lines of `.car` files."""
    lines = [f"{n} = {format_value(v, program.questions[n].type, program.currency)}" for n, v in values.items()]
    answers, problems = read_car(Source("drawn.car", 'car "Drawn"\non 2026-04-11\n' + "\n".join(lines) + "\n"), program)
    assert not problems, [str(p) for p in problems]
    return dict(answers.values)


def test_what_is_drawn_can_be_written_and_read(cars: list[dict[str, Value]], program: Program) -> None:
    for car in cars[:200]:
        assert read_again(program, car) == car


def test_cars_of_random_rules_can_be_written_and_read() -> None:
    day = date(2026, 4, 11)
    for number, program in random_programs(20):
        readings = Readings(program)
        for seed in range(5):
            car = drawn_answers(program, Random(seed), readings, day)
            assert read_again(program, car) == car, number


def test_cars_of_the_bundled_rules_are_complete() -> None:
    judge = house()
    random, day = Random(7), date(2026, 4, 11)
    for _ in range(3):
        car = drawn_answers(judge.program, random, judge.readings, day)
        assert read_again(judge.program, car) == car
        judgment = judge.judge(Answers("", day, dict(car)), thorough=False)
        assert judgment.settled
        assert not judgment.assuming
        assert not judgment.set_aside
