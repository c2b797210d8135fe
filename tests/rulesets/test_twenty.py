"""Twenty cars that an old hand judged before the rules did: what the page of them says is what the rules say."""

from __future__ import annotations

import re
from decimal import Decimal
from functools import lru_cache
from pathlib import Path

import pytest

from advisor.cli.rules import load_rules
from advisor.judging.judge import Judge
from advisor.judging.judgment import Judgment
from advisor.language.answers import Answers
from advisor.language.cars import read_car
from advisor.language.source import Source
from advisor.trade.curb import curb_price
from tests.rulesets.test_conservation import judge
from tests.rulesets.test_variants import judge as judge_by

FOLDER = Path(__file__).resolve().parents[2] / "examples" / "twenty"
PAGE = (FOLDER / "README.md").read_text(encoding="utf-8")
RECORDS = {int(path.name[:2]): path for path in sorted(FOLDER.glob("*.car"))}
NUMBERS = range(1, 21)
NOT_SETTLED = 10
"""The one car of which something could still turn the verdict."""
SAID = {
    int(number): (old_hand, rules, agreed)
    for number, old_hand, rules, agreed in re.findall(r"^\| (\d+) \| ([a-z ]+) \| ([a-z]+) \| (yes|no) \|$", PAGE, re.M)
}
"""By number: the old hand's verdict, the rules', and whether they agree."""
BEFORE = dict(re.findall(r"^\| (\d+) \| .*\| \*\*(Buy|Pass|Renegotiate|Find out first)[.,]?\*\*", PAGE, re.M))
"""By number: what the old hand said in the page's first part."""
STORIES = {int(number): story for number, story in re.findall(r"^\| (\d+) \| (\d{4} [^|]*) \|", PAGE, re.M)}
"""By number: the car, its day, what is asked and what like ones brought."""
MAKES = "Brightwater|Harrow|Ocotillo|Quail"
MONTHS = ("January", "February", "March", "April", "May", "June", "July", "August", "September", "October")
CLEAN_START = {
    "cold_start": "allowed",
    "engine_cold": "yes",
    "moved_for_you": "no",
    "key_lamps": "all_light",
    "cranking": "even_and_quick",
    "smoke_cold": "none",
    "bottom_end": "quiet",
    "top_rattle": "quiet",
    "manifold_tick": "quiet",
}


def text(number: int) -> str:
    return RECORDS[number].read_text(encoding="utf-8")


def kinds(number: int) -> list[str]:
    """The rulesets for a car's model year and body."""
    year = int(re.findall(r"^model_year = (\d+)$", text(number), re.M)[0])
    body = re.findall(r"^body = (\w+)$", text(number), re.M)[0]
    names = ["before-1981" if year < 1981 else "from-1981-to-1995" if year < 1996 else "obd"]
    names += ["open-cars"] if body == "convertible" else []
    return names + (["small-trucks"] if body in ("pickup", "suv") else [])


def read(number: int, by: Judge, changed: dict[str, str]) -> Answers:
    record = text(number)
    for question, answer in changed.items():
        record = re.sub(rf"^{question} = .*\n", "", record, flags=re.M) + f"{question} = {answer}\n"
    answers, problems = read_car(Source(RECORDS[number].name, record), by.program)
    assert not problems, problems
    return answers


@lru_cache
def judged(number: int, ruleset: str = "house") -> Judgment:
    by = judge() if ruleset == "house" else judge_by(ruleset)
    return by.judge(read(number, by, {}), thorough=False)


def judged_with(number: int, **changed: str) -> Judgment:
    return judge().judge(read(number, judge(), changed), thorough=False)


def per_hour(judgment: Judgment) -> int:
    """What is left for each of our hours, in whole dollars."""
    assert judgment.deal is not None
    rate: Decimal = judgment.deal.values["profit"] / judgment.deal.values["own_labor"] * 60
    return round(rate)


def test_there_are_twenty_and_the_page_counts_them_rightly() -> None:
    assert list(RECORDS) == list(SAID) == list(STORIES) == list(NUMBERS)
    assert {str(n): old_hand.capitalize() for n, (old_hand, _, _) in SAID.items()} == BEFORE
    assert all((old_hand == rules) is (agreed == "yes") for old_hand, rules, agreed in SAID.values())
    assert "**Twelve of twenty agreed.**" in PAGE
    assert sum(agreed == "yes" for _, _, agreed in SAID.values()) == 12


@pytest.mark.parametrize("number", NUMBERS)
def test_a_record_is_of_the_car_that_the_page_tells_of(number: int) -> None:
    story = STORIES[number]
    year, make = re.findall(rf"^(\d{{4}}) ({MAKES}) ", story)[0]
    assert text(number).startswith(f'car "{year} {make} ')
    assert f"\nmodel_year = {year}\n" in text(number)
    miles, month, day = re.findall(r" ([\d,]+) mi.*?, ([A-Z][a-z]+) (\d+)\.", story)[0]
    assert f"\nodometer = {miles} mi\n" in text(number)
    assert f"\non 2026-{MONTHS.index(month) + 1:02}-{int(day):02}\n" in text(number)
    asked, low, likely, high = re.findall(r"\$(\d[\d,]*\d)", story)
    assert f"\nasking = ${asked}\n" in text(number)
    assert f"\nresale = ${low} .. ${likely} .. ${high}\n" in text(number)


@pytest.mark.parametrize("number", NUMBERS)
def test_the_rules_say_what_the_page_says(number: int) -> None:
    assert judged(number).verdict == SAID[number][1]
    assert judged(number).settled is (number != NOT_SETTLED)


@pytest.mark.parametrize(("number", "ruleset"), [(n, kind) for n in NUMBERS for kind in kinds(n)])
def test_the_rules_of_its_kind_say_no_other_verdict(number: int, ruleset: str) -> None:
    judgment = judged(number, ruleset)
    assert judgment.verdict == SAID[number][1]
    assert judgment.settled is (number != NOT_SETTLED)


@pytest.mark.parametrize("number", [n for n, (old_hand, _, _) in SAID.items() if old_hand == "pass"])
def test_what_the_old_hand_leaves_the_rules_do_not_buy(number: int) -> None:
    assert judged(number).verdict == "pass"


@pytest.mark.parametrize(("number", "left", "hours", "rate"), [(1, 512, 34, 15), (8, 324, 38, 9), (13, 640, 37, 17)])
def test_what_is_left_for_the_hours_is_as_told(number: int, left: int, hours: int, rate: int) -> None:
    """The sums that the page gives for cars at their asking prices."""
    assert f"${left} for {hours}" in PAGE
    deal = judged(number).deal
    assert deal is not None
    assert round(deal.values["profit"]) == left
    assert round(deal.values["own_labor"] / 60) == hours
    assert per_hour(judged(number)) == rate


@pytest.mark.parametrize(("number", "asked", "rate"), [(4, 3000, 37), (11, 900, 38), (15, 1700, 35), (16, 2200, 9)])
def test_an_hour_at_the_old_hands_price_is_as_told(number: int, asked: int, rate: int) -> None:
    assert f"${rate}" in PAGE
    assert per_hour(judged_with(number, asking=f"${asked}")) == rate


def test_whom_less_an_hour_contents_may_pay_more(tmp_path: Path) -> None:
    """The pickup's price and the truck's, by the two rates that the page names."""
    sets = re.findall(r"`(set (?:target|all_in)_rate = \$\d+/h)`", PAGE)
    assert len(sets) == 2
    file = tmp_path / "content.tell"
    lines = ['ruleset "Content with less"', "    currency USD", 'use "house"']
    file.write_text(
        "\n".join([*lines, *(f"{line}\n    source house figure" for line in sets)]) + "\n", encoding="utf-8"
    )
    by = Judge(load_rules(file)[0])
    pickup, truck = (by.judge(read(number, by, {}), thorough=False) for number in (4, 11))
    assert pickup.ceiling is not None
    assert f"${curb_price(pickup.ceiling):,} for the pickup" in PAGE
    assert truck.verdict != "buy"
    assert [rule.name for rule in truck.reasons] == ["pays_for_its_slot"]


@pytest.mark.parametrize(
    ("number", "ruleset", "price"),
    [
        (2, "house", 2100),
        (5, "house", None),
        (5, "open-cars", 525),
        (13, "house", 350),
        (13, "before-1981", None),
        (15, "house", 1350),
        (16, "house", 1100),
        (11, "house", 600),
        (20, "house", 3550),
    ],
)
def test_the_price_is_as_told(number: int, ruleset: str, price: int | None) -> None:
    """Down to a round figure, as a report prints it."""
    ceiling = judged(number, ruleset).ceiling
    assert (None if ceiling is None else curb_price(ceiling)) == price
    assert price is None or f"${price:,}" in PAGE


def test_what_eight_cars_cost_besides_is_as_told() -> None:
    deals = [judged(n).deal for n, (_, _, agreed) in SAID.items() if agreed == "no"]
    for name, least, most in (("buying", 270, 450), ("selling", 140, 190), ("unseen", 270, 440)):
        amounts = [deal.values[name] for deal in deals if deal is not None]
        assert len(amounts) == 8
        assert [round(min(amounts) - 5, -1), round(max(amounts) + 5, -1)] == [least, most]
        assert f"${least} to ${most}" in PAGE
    deal = judged(2).deal
    assert deal is not None
    assert round(deal.values["own_labor"] / 60) == 25


def test_a_clean_cold_start_brings_the_price_within_reach() -> None:
    judgment = judged_with(10, **CLEAN_START)
    assert (judgment.verdict, judgment.settled) == ("renegotiate", True)
    assert judgment.ceiling is not None
    assert curb_price(judgment.ceiling) == 1900


def test_without_being_told_of_the_gasket_there_is_something_to_argue_with() -> None:
    record = text(11).replace("told blown_gasket\n", "")
    answers, problems = read_car(Source("11.car", record), judge().program)
    assert not problems
    assert judge().judge(answers, thorough=False).verdict == "renegotiate"
