"""The British ruleset: British words, pounds and the British tread rule, in everything that people read."""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import lru_cache
from pathlib import Path

import pytest
from click.testing import CliRunner

from advisor.cli import main
from advisor.cli.rules import load_rules
from advisor.judging.judge import Judge
from advisor.language.cars import read_car
from advisor.language.program import Program
from advisor.language.source import Source

HERE = Path(__file__).resolve().parents[2]
RULES = HERE / "rulesets" / "united-kingdom.tell"
CAR = HERE / "examples" / "united-kingdom" / "quail-hatch.car"
AMERICAN = re.compile(
    r"\$|\b(DMV|titles?|titled|federal|hoods?|trunks?|tires?|windshields?|fenders?|rockers?|gas|gasoline|transmissions?|"
    r"license|curbs?|colors?|gray|dollars?|odometers?|flashlights?|aluminum|sedans?|parking lots?|"
    r"turn signals|neighbors?|mold|pickups?|centers?|kilometers?|notary|Buyers Guide|liens?|your state|states)\b",
    re.IGNORECASE,
)
"""What nobody says there. The state that paint is in is said everywhere."""


@lru_cache(maxsize=1)
def judge() -> Judge:
    return Judge(load_rules(RULES)[0])


def texts(program: Program) -> Iterator[tuple[str, str]]:
    """Every text of the rules that people read, as it is said."""
    for station in program.stations:
        yield from ((station.title, t) for t in (station.title, *station.dangers))
    for question in program.questions.values():
        ways = (how for _, how in question.becomes)
        yield from ((question.name, t) for t in (question.text, question.how, question.why, *ways))
    for rule in program.rules.values():
        yield from ((rule.name, t) for t in (rule.because, rule.lesson))
    yield from ((fault.name, fault.text) for fault in program.faults.values())
    yield from ((show.name, show.text) for show in program.shows)


def test_no_text_speaks_american() -> None:
    program = judge().program
    found = [(name, text) for name, text in texts(program) if AMERICAN.search(text)]
    assert found == []
    assert program.currency == "£"


@pytest.mark.parametrize(
    "command",
    [
        ("judge", str(CAR), "--all"),
        ("judge", str(CAR), "--json"),
        ("why", str(CAR), "profit"),
        ("sheet",),
    ],
    ids=lambda c: " ".join((c[0], *c[2:])),
)
def test_nothing_is_told_in_dollars(command: tuple[str, ...]) -> None:
    result = CliRunner().invoke(main, [*command, "--rules", "united-kingdom"])
    assert result.exit_code == 0, result.output
    assert "$" not in result.output
    assert "DMV" not in result.output


@pytest.mark.parametrize(
    ("tread", "finished"), [("2/32 in", True), ("1.59 mm", True), ("1.6 mm", False), ("1.7 mm", False)]
)
def test_tread_is_judged_by_the_british_rule(tread: str, finished: bool) -> None:
    """2/32 in is 1.5875 mm: just legal in the United States, and worn out where 1.6 mm is asked for."""
    text = re.sub(r"^tread = .*$", f"tread = {tread}", CAR.read_text(encoding="utf-8"), flags=re.MULTILINE)
    answers, problems = read_car(Source("car", text), judge().program)
    assert not problems
    deal = judge().judge(answers, thorough=False, settle=False).deal
    assert deal is not None
    assert deal.values["tires_finished"] is finished


def test_it_is_a_page_or_two_and_no_copy() -> None:
    assert RULES.read_text(encoding="utf-8").count("\n") < 300
