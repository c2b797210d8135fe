"""A program that was kept unpickles its questions first and is the same in the end."""

from __future__ import annotations

import pickle
import subprocess
import sys

import pytest
from attrs import evolve, fields

from advisor.cli.rules import load_rules
from advisor.language.program import Program
from advisor.readings import compiled
from advisor.readings.compiled import Readings
from tests.programs import random_programs

LATER = ("gates", "lets", "faults", "rules", "ladder", "cases")


def kept(program: Program) -> Program:
    found = pickle.loads(pickle.dumps(program))
    assert isinstance(found, Program)
    return found


def test_it_is_the_same_in_the_end() -> None:
    for _, program in random_programs(6):
        again = kept(program)
        assert again.questions == program.questions
        assert again.hazards == program.hazards
        assert again == program
        assert all(getattr(kept(program), f.name) == getattr(program, f.name) for f in fields(Program))
        assert kept(kept(program)) == program
        assert evolve(kept(program), title="other") == evolve(program, title="other")


def test_what_judges_waits_until_it_is_looked_at() -> None:
    program = kept(load_rules(None)[0].program)
    assert program.questions
    assert program.judges
    assert any(program.hazards)
    assert not [n for n in LATER if n in vars(program)]
    assert program.rules
    assert all(n in vars(program) for n in LATER)


def test_a_name_that_no_program_has() -> None:
    with pytest.raises(AttributeError, match="a program has no hue"):
        _ = kept(load_rules(None)[0].program).hue


def test_what_is_kept_is_made_once(monkeypatch: pytest.MonkeyPatch) -> None:
    made = []
    plain = compiled.generated
    monkeypatch.setattr(compiled, "generated", lambda program, name: made.append(name) or plain(program, name))
    (_, program), *_ = random_programs(1)
    readings = Readings(program)
    readings.to_bytes()
    assert all(map(callable, (readings.exact, readings.possible, readings.brief)))
    assert sorted(made) == sorted(set(made))


def test_the_reach_is_kept_with_the_readings() -> None:
    for _, program in random_programs(6):
        readings = Readings(program)
        assert Readings.from_bytes(kept(program), readings.to_bytes()).reach == readings.reach


def test_questions_come_without_the_operations_that_judge() -> None:
    """The first question of a walk waits for neither."""
    load_rules(None)  # into the cache
    code = "import sys; from advisor.cli.rules import load_rules; p = load_rules(None)[0].program; "
    code += "print(len(p.questions), 'advisor.language.core' in sys.modules, len(p.rules))"
    found = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True).stdout.split()
    assert int(found[0]) > 100
    assert found[1] == "False"
    assert int(found[2]) > 100
