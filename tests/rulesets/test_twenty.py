"""Twenty cars that an old hand judged before the rules did: what the page of them says is what the rules say."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from advisor.judging.judgment import Judgment
from advisor.language.cars import read_car
from advisor.language.source import Source
from tests.rulesets.test_conservation import judge

FOLDER = Path(__file__).resolve().parents[2] / "examples" / "twenty"
PAGE = (FOLDER / "README.md").read_text(encoding="utf-8")
RECORDS = {int(path.name[:2]): path for path in sorted(FOLDER.glob("*.car"))}
SAID = {
    int(number): (old_hand, rules, agreed)
    for number, old_hand, rules, agreed in re.findall(r"^\| (\d+) \| ([a-z ]+) \| ([a-z]+) \| (yes|no) \|$", PAGE, re.M)
}
"""By number: the old hand's verdict, the rules', and whether they agree."""
BEFORE = dict(re.findall(r"^\| (\d+) \| .*\| \*\*(Buy|Pass|Renegotiate|Find out first)[.,]?\*\*", PAGE, re.M))
"""By number: what the old hand said in the page's first part."""


def judged(number: int) -> Judgment:
    path = RECORDS[number]
    answers, problems = read_car(Source(path.name, path.read_text(encoding="utf-8")), judge().program)
    assert not problems
    return judge().judge(answers, thorough=False)


def test_there_are_twenty_and_the_page_counts_them_rightly() -> None:
    assert list(RECORDS) == list(SAID) == list(range(1, 21))
    assert {str(n): old_hand.capitalize() for n, (old_hand, _, _) in SAID.items()} == BEFORE
    assert all((old_hand == rules) is (agreed == "yes") for old_hand, rules, agreed in SAID.values())
    assert "**Twelve of twenty agreed.**" in PAGE
    assert sum(agreed == "yes" for _, _, agreed in SAID.values()) == 12


@pytest.mark.parametrize("number", range(1, 21))
def test_the_rules_say_what_the_page_says(number: int) -> None:
    judgment = judged(number)
    assert judgment.verdict == SAID[number][1]
    assert judgment.settled or number in (9, 10), "what nobody would have left open is answered"


@pytest.mark.parametrize("number", [n for n, (old_hand, _, _) in SAID.items() if old_hand == "pass"])
def test_what_the_old_hand_leaves_the_rules_do_not_buy(number: int) -> None:
    assert judged(number).verdict == "pass"


@pytest.mark.parametrize(("number", "left", "hours"), [(1, 227, 34), (8, 324, 38), (13, 438, 37)])
def test_what_is_left_for_the_hours_is_as_told(number: int, left: int, hours: int) -> None:
    """The sums that the page gives for cars at their asking prices."""
    assert f"${left} for {hours}" in PAGE
    deal = judged(number).deal
    assert deal is not None
    assert round(deal.values["profit"]) == left
    assert round(deal.values["own_labor"] / 60) == hours
