"""Everything asked is explained, and every deciding rule has a case on either side, over all bundled rulesets.

That nothing is idle, unasked or without a source, and that the cases come out, `tests/cli` sees: it checks them all.
"""

from __future__ import annotations

from functools import lru_cache
from pathlib import Path

import pytest

from advisor import resources
from advisor.cli.rules import load_rules
from advisor.judging.judge import Judge
from advisor.language.program import CaseDef, Program, Question
from advisor.language.types import Code, DateType, Text

FOLDER = resources.rulesets_folder()
RULESETS = sorted(path.stem for path in FOLDER.glob("*.tell"))
SEVERAL = 2
"""So many answers may differ between a case in which a rule decides and one in which it just does not."""
BY_HEART = {"asking", "resale", "body", "engine_cold"} | {
    "title_state", "title_words", "title_back", "seller_on_title", "authority", "owners_sign", "vin_plates", "origin",
    "lien",
}  # fmt: skip
"""What nobody should plan with: the price, what it brings, and the papers. Without them it is to be found out first."""


@lru_cache
def judge(name: str) -> Judge:
    return Judge(load_rules(FOLDER / f"{name}.tell")[0])


def program(name: str = "house") -> Program:
    return judge(name).program


def test_the_house_rules_are_as_wide_as_the_trade() -> None:
    house = program()
    assert len(house.questions) >= 110
    assert len(house.faults) >= 80
    assert len(house.rules) >= 35
    assert len([s for i, s in enumerate(house.stations) if any(q.station == i for q in house.questions.values())]) >= 12


def planned(question: Question) -> bool:
    """Whether somebody who cannot tell gets on all the same."""
    return (
        question.unsure is not None or question.chance or isinstance(question.type, Code | Text) or not question.weighed
    )


@pytest.mark.parametrize("name", ["house", "telephone", "quick"])
def test_every_question_says_how_why_how_long_and_how_it_comes_out(name: str) -> None:
    lacking = [
        (q.name, what)
        for q in program(name).questions.values()
        for what, there in (
            ("how", q.how),
            ("why", q.why),
            ("takes", q.minutes > 0),
            ("usually", q.usually or q.spread or isinstance(q.type, Code | DateType | Text)),
            ("can't tell", planned(q) or q.name in BY_HEART),
            ("not allowed", q.refused is not None or planned(q) or q.name in BY_HEART),
        )
        if not there
    ]
    assert lacking == []


def test_every_fault_says_what_it_takes_and_what_leaving_it_costs() -> None:
    lacking = [
        (f.name, what)
        for f in program().faults.values()
        for what, there in (
            ("parts", f.parts),
            ("shop", f.shop),
            ("labor", f.labor),
            ("wait", f.wait),
            ("quote", f.quote),
            ("source", f.cited),
            ("text", f.text),
            ("if left", f.must or f.falls or f.drop or f.days or f.buyers),
        )
        if there is None or there in ("", False, 0)
    ]
    assert lacking == []


def differing(one: CaseDef, other: CaseDef) -> int:
    """How many answers of two cases differ."""
    names = one.answers.keys() | other.answers.keys()
    return sum(one.answers.get(n) != other.answers.get(n) for n in names) + (one.day != other.day)


@pytest.mark.parametrize("name", [n for n in RULESETS if n != "worked-deal"])
def test_each_deciding_rule_has_a_case_on_either_side(name: str) -> None:
    """One in which it is a reason, and another, a few answers away, in which it is none."""
    rules = program(name)
    if not rules.ladder:
        return  # part of a ruleset that decides; its rules are decided there
    # A variant decides by the ladder that it uses, and that ruleset has the cases of its own rules.
    variant = Path(rules.ladder[0].span.source.name).stem != name
    reasons = {c.title: {n for e in c.expected for n in e.because} for c in rules.cases}
    lacking = []
    for rule in (*rules.of_kind("refuse"), *rules.of_kind("require")):
        if variant and Path(rule.span.source.name).stem != name:
            continue
        deciding = [c for c in rules.cases if rule.name in reasons[c.title]]
        others = [c for c in rules.cases if rule.name not in reasons[c.title]]
        beside = [c for c in others if any(differing(c, d) <= SEVERAL for d in deciding)]
        if not deciding or not beside:
            lacking.append(rule.name)
    assert lacking == []


@pytest.mark.parametrize("name", RULESETS)
def test_each_file_says_what_it_is(name: str) -> None:
    assert (FOLDER / f"{name}.tell").read_text(encoding="utf-8").startswith("# ")
    assert f"`{name}.tell`" in Path(FOLDER / "README.md").read_text(encoding="utf-8")
