"""Conditions in words: what gates say on paper, by number and without, and that no name of the rules is shown."""

from __future__ import annotations

import re
from functools import cache

import pytest

from advisor.language.program import Program
from advisor.report.conditions import plain_words, when_words
from tests.report.cars import house
from tests.report.sheets import MANY_KINDS, checked


@cache
def many() -> Program:
    return checked(MANY_KINDS)


def numbers(program: Program) -> dict[str, int]:
    return {name: i for i, name in enumerate(program.questions, 1)}


def gate(name: str, on_paper: bool = True) -> str:
    program = many()
    return when_words(program, program.gates[name], numbers(program) if on_paper else None)


@pytest.mark.parametrize(
    ("name", "words"),
    [
        ("frame", "if the roof is folding (1)"),
        ("motor", "if free (17), or 17 does not apply"),
        ("seal", "if the roof is folding (1) and free (17)"),
        ("spare", "if 3 or more (3) or the roof is neither folding nor two panels (1)"),
        ("belt", "if it is not hot (4) or no (2)"),
        (
            "paid",
            "if before 2001-03-04 (13), and either the odometer reads 100,000 mi or more (8) or it is not hot (4)",
        ),
        ("gauge", "if the lowest reading of the answer to 16 is less than 1 mm"),
        ("worn", "if it has been driven hard and today is in winter"),
        ("rust", "if 6 years or more (9) and there is no spare (20), or 20 does not apply"),
        ("tire_guess", "if the answer to 26 does not tell the tire age"),
    ],
)
def test_gates_by_number(name: str, words: str) -> None:
    assert gate(name) == words


@pytest.mark.parametrize(
    ("name", "words"),
    [
        ("frame", "if the roof is folding"),
        ("motor", 'if the answer to "Does the roof go down twice?" is free, or that question does not apply'),
        ("belt", 'if it is not hot or the answer to "Does the lamp go out?" is no'),
        ("gauge", 'if the lowest reading of the answer to "The gap of each plug?" is less than 1 mm'),
    ],
)
def test_gates_without_numbers(name: str, words: str) -> None:
    assert gate(name, on_paper=False) == words


def test_every_gate_of_the_bundled_rules_is_in_plain_words() -> None:
    program = house().program
    assert len(program.gates) > 10
    coded = [n for n in (*program.questions, *program.lets, *program.settings, *program.faults) if "_" in n]
    for name, gate in program.gates.items():
        for on_paper in (numbers(program), None):
            words = when_words(program, gate, on_paper)
            assert words.startswith("if ")
            assert not re.search(r"[_<>=]", words), words
            assert not [n for n in coded if n in words], words
        by_number = when_words(program, gate, numbers(program))
        for n in map(int, re.findall(r"\((\d+)\)", by_number)):
            assert n < numbers(program)[name], "a gate looks back"


def test_gates_of_the_walk() -> None:
    program = house().program
    n = numbers(program)
    words = {name: when_words(program, gate, n) for name, gate in program.gates.items()}
    assert words["soft_top"] == f"if the body is convertible ({n['body']})"
    assert words["headliner"] == f"if the body is not convertible ({n['body']})"
    assert words["automatic"] == f"if the transmission is automatic ({n['gearbox']})"
    assert words["belt_miles"] == f"if belt ({n['timing_drive']}) and receipt ({n['belt_proof']})"


def test_every_condition_can_be_told() -> None:
    """Rules and faults have conditions of every shape; none of them shows a name with a line below."""
    program = house().program
    conditions = [r.condition for r in program.rules.values()] + [f.when for f in program.faults.values()]
    assert len(conditions) > 100
    for condition in conditions:
        assert "_" not in when_words(program, condition, numbers(program))


def test_plain_words() -> None:
    assert plain_words("two_or_more") == "two or more"
    assert plain_words("clean") == "clean"
