"""A car recorded by other rules: what only those ask is kept, counts for nothing, and is no mistake."""

from __future__ import annotations

from pathlib import Path

from advisor.cli.rules import load_rules
from advisor.judging.judge import Judge
from advisor.language.answers import Answers
from advisor.language.cars import read_car
from advisor.language.problems import Problem
from advisor.language.source import Source
from advisor.report.lines import judgment_lines

CAR = """\
car "A hatch"
on 2026-05-01
rules "{digest}"
title_state = clean
points_gap = 0.4 mm
told worn_belt_nobody_here_knows
"""


def quick() -> Judge:
    return Judge(load_rules(Path("quick"))[0])


def read(digest: str) -> tuple[Answers, list[Problem]]:
    return read_car(Source("a.car", CAR.format(digest=digest)), quick().program)


def test_other_rules_may_have_asked_more() -> None:
    answers, problems = read("0123abcd")
    assert problems == []
    assert answers.unasked == {"points_gap": "0.4 mm"}
    assert list(answers.values) == ["title_state"]
    text = judgment_lines(quick().judge(answers), 80, everything=True)
    assert "Not asked by these rules" in text
    assert "points gap" in text


def test_these_rules_have_not() -> None:
    answers, problems = read(quick().program.digest)
    assert [p.code for p in problems] == ["C02", "C10"]
    assert answers.unasked == {}


def test_what_a_used_file_asks_was_taken_out_and_is_no_mistake() -> None:
    """A record written by hand names no rules. Comparables and told faults of the files that are used go along."""
    text = CAR.replace('rules "{digest}"\n', "").replace("points_gap = 0.4 mm", "belt_miles = 20,000 mi")
    text = text.replace("worn_belt_nobody_here_knows", "torn_seats") + "comparable $5,400, sold\n"
    answers, problems = read_car(Source("a.car", text), quick().program)
    assert problems == []
    assert answers.unasked == {"belt_miles": "20,000 mi"}
    assert len(answers.comparables) == 1
    text = judgment_lines(quick().judge(answers), 80)
    assert "One of the answers is to a question" in text
    assert "comparables count for nothing" in text
