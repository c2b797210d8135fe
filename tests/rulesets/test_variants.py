"""The variants of the house rules, and the quick look that is cut out of the walk.

Each is a page of changes to the house rules; here stands what the changes are for, on the examples and on cars like
them, judged by the house and by the variant.
"""

from __future__ import annotations

import re
from decimal import Decimal
from functools import lru_cache
from pathlib import Path

import pytest

from advisor import resources
from advisor.cli.rules import check_rules, load_rules
from advisor.judging.judge import Judge
from advisor.judging.judgment import Judgment
from advisor.language.answers import Answers
from advisor.language.cars import read_car
from advisor.language.program import Program
from advisor.language.source import Source
from advisor.readings.arithmetic import exact_arithmetic

FOLDER = resources.rulesets_folder()
EXAMPLES = Path(__file__).resolve().parents[2] / "examples"
YEARS = ("before-1981", "from-1981-to-1995", "obd")
BODIES = ("open-cars", "small-trucks")
VARIANTS = (*YEARS, *BODIES)
MOST_LINES = 150
"""A page, with its cases."""
MOST_QUESTIONS = 15
MOST_MINUTES = Decimal(10)

OLD = {"model_year": "1978", "vin": "H78K114205", "odometer": "62,000 mi", "odometer_digits": "5"}
LATE = {"model_year": "1998", "reader": "connects", "codes": "single", "monitors_not_ready": "5"}
NO_RUST_LEFT_OUT = {"truck_frame": "scaly", "truck_bed": "rusted_through", "asking": "$1,000"}


@lru_cache
def judge(name: str) -> Judge:
    return Judge(load_rules(FOLDER / f"{name}.tell")[0])


def program(name: str) -> Program:
    return judge(name).program


def record(name: str, example: str, changed: dict[str, str], asked_only: bool = False) -> Answers:
    """An example with other answers, read by a ruleset; with its own questions only, where it asks few."""
    text = (EXAMPLES / f"{example}.car").read_text(encoding="utf-8")
    for question, answer in changed.items():
        text = re.sub(rf"^{question} = .*\n", "", text, flags=re.MULTILINE) + f"{question} = {answer}\n"
    if asked_only:
        lines = [line for line in text.splitlines() if line.partition(" = ")[0] in program(name).questions]
        text = "\n".join([*text.splitlines()[:3], *lines]) + "\n"
    answers, problems = read_car(Source(f"{example}.car", text), program(name))
    assert not problems, problems
    return answers


def judged(name: str, example: str, **changed: str) -> Judgment:
    return judge(name).judge(record(name, example, changed), thorough=False, settle=False)


def reasons(judgment: Judgment) -> set[str]:
    return {rule.name for rule in judgment.reasons}


def cautions(judgment: Judgment) -> set[str]:
    return {rule.name for rule, certain in judgment.cautions if certain}


@pytest.mark.parametrize("name", ["quick", *VARIANTS])
def test_it_has_cases_of_its_own(name: str) -> None:
    """That they come out, and that nothing is said of the rules, is tested of all bundled files at once."""
    assert len(judge(name).program.cases) >= 6


@pytest.mark.parametrize("name", ["quick", *VARIANTS])
def test_it_is_a_page(name: str) -> None:
    assert len((FOLDER / f"{name}.tell").read_text(encoding="utf-8").splitlines()) <= MOST_LINES


@pytest.mark.parametrize("name", VARIANTS)
def test_records_by_the_house_are_judged_by_it_too(name: str) -> None:
    """No question of the house rules is taken away: the same record goes from one ruleset to the other."""
    assert set(program("house").questions) <= set(program(name).questions)
    for path in sorted(EXAMPLES.glob("*.car")):
        record(name, path.stem, {})


@pytest.mark.parametrize(
    ("name", "example", "changed", "by_house", "by_it"),
    [
        ("open-cars", "brightwater-convertible", {}, "sells_in_season", "fair_hourly"),
        ("small-trucks", "ocotillo-pickup", NO_RUST_LEFT_OUT, None, "repairs_in_proportion"),
        ("obd", "quail-hatch", LATE, None, "back_at_once"),
        (
            "before-1981",
            "quail-hatch",
            OLD | {"owned_for": "days", "receipts": "none"},
            "under_market",
            "nothing_behind_it",
        ),
        ("from-1981-to-1995", "quail-hatch", {"vin": "1XH4B21D5MA104533"}, None, "false_number"),
    ],
)
def test_the_same_car_is_judged_otherwise(
    name: str, example: str, changed: dict[str, str], by_house: str | None, by_it: str
) -> None:
    house, variant = judged("house", example, **changed), judged(name, example, **changed)
    assert (by_house in reasons(house)) if by_house else (house.verdict == "buy")
    assert by_it in reasons(variant)
    assert house.verdict != variant.verdict or not reasons(house) & reasons(variant)


def test_an_open_car_is_kept_over_the_winter() -> None:
    house, kept = judged("house", "brightwater-convertible"), judged("open-cars", "brightwater-convertible")
    assert (house.verdict, house.ceiling) == ("pass", None)
    assert kept.verdict == "renegotiate"
    assert kept.ceiling is not None
    assert kept.deal is not None
    with exact_arithmetic():
        assert kept.deal.values["season_price"] > 1


def test_a_belt_of_five_years_is_due_in_the_years_of_belts() -> None:
    for years, dearer in (("4 years", False), ("5 years", True)):
        house, variant = (judged(n, "quail-hatch", belt_years=years) for n in ("house", "from-1981-to-1995"))
        assert house.deal is not None
        assert variant.deal is not None
        due = [h.fault.name for h in variant.deal.bargain.repairs.held if h.fault.name == "belt_due"]
        assert bool(due) is dearer
        assert "belt_due" not in [h.fault.name for h in house.deal.bargain.repairs.held]


def test_model_years_take_nothing_from_an_old_car() -> None:
    """Comparables of 1991 and 1992 say of one of 1978 what it brings, and not that thirteen years are gone."""
    house, variant = judged("house", "quail-hatch", **OLD), judged("before-1981", "quail-hatch", **OLD)
    assert house.ceiling is not None
    assert variant.ceiling is not None
    assert house.ceiling < variant.ceiling


CONVERTIBLE = {"body": "convertible", "soft_top": "sound", "roof_frame": "free", "rear_window": "clear"}
TRUCK = {
    "body": "pickup",
    "truck_bed": "sound",
    "truck_frame": "sound",
    "four_wheel_drive": "yes",
    "transfer_case": "works",
}


@pytest.mark.parametrize(
    ("name", "changed", "cannot_tell"),
    [
        ("before-1981", OLD, ["odometer_digits", "ignition", "front_brakes"]),
        ("from-1981-to-1995", {}, ["rust", "filler", "brake_lines", "vacuum_lines", "vin"]),
        ("obd", {**LATE, "codes": "none"}, ["reader", "monitors_not_ready", "airbag_light", "odometer_story"]),
        ("open-cars", CONVERTIBLE, ["soft_top", "rockers", "door_gaps"]),
        ("small-trucks", TRUCK, ["truck_frame", "truck_bed", "hitch", "front_drive"]),
    ],
)
def test_what_nobody_could_tell_holds_up_no_verdict(name: str, changed: dict[str, str], cannot_tell: list[str]) -> None:
    for question in cannot_tell:
        judgment = judged(name, "quail-hatch", **{**changed, question: "unsure"})
        assert judgment.verdict != "unsettled", question


@pytest.mark.parametrize("question", ["odometer_story", "owned_for", "receipts"])
def test_but_an_old_car_needs_years_and_paper(question: str) -> None:
    assert (
        judged("before-1981", "quail-hatch", **{**OLD, "asking": "$1,000", question: "unsure"}).verdict == "unsettled"
    )


@pytest.mark.parametrize(
    ("name", "changed", "caution", "right"),
    [
        ("before-1981", {"model_year": "1980"}, "younger_than_these_rules", None),
        ("before-1981", {"model_year": "1981"}, "younger_than_these_rules", "from-1981-to-1995"),
        ("from-1981-to-1995", {"model_year": "1980"}, "of_other_years", "before-1981"),
        ("from-1981-to-1995", {"model_year": "1981"}, "of_other_years", None),
        ("from-1981-to-1995", {"model_year": "1995"}, "of_other_years", None),
        ("from-1981-to-1995", {"model_year": "1996"}, "of_other_years", "obd"),
        ("obd", {"model_year": "1995"}, "older_than_these_rules", "from-1981-to-1995"),
        ("obd", {"model_year": "1996"}, "older_than_these_rules", None),
        ("open-cars", {"body": "hatch"}, "not_an_open_car", "house"),
        ("open-cars", {"body": "convertible"}, "not_an_open_car", None),
        ("small-trucks", {"body": "hatch"}, "no_truck", "house"),
        ("small-trucks", {"body": "hatch", "four_wheel_drive": "yes"}, "no_truck", None),
        ("small-trucks", {"body": "pickup"}, "no_truck", None),
    ],
)
def test_a_car_of_another_kind_is_sent_to_the_right_rules(
    name: str, changed: dict[str, str], caution: str, right: str | None
) -> None:
    assert (caution in cautions(judged(name, "quail-hatch", **changed))) is (right is not None)
    told = next(rule.because for rule in program(name).of_kind("caution") if rule.name == caution)
    named = re.findall(r"`([\w-]+)`", told)
    assert right is None or right in named
    assert all((FOLDER / f"{other}.tell").exists() for other in named)


def test_the_quick_look_is_quick() -> None:
    asked = program("quick").questions
    assert len(asked) <= MOST_QUESTIONS
    assert sum(q.minutes for q in asked.values()) <= MOST_MINUTES


@pytest.mark.parametrize("name", ["quick", "telephone"])
def test_a_full_record_is_judged_by_what_was_cut_out_of_the_house_too(name: str) -> None:
    """Nothing is lost silently: what only the house asks is kept and counted, and a slip of the pen is still one."""
    for path in sorted(EXAMPLES.glob("*.car")):
        answers = record(name, path.stem, {})
        assert answers.unasked
        assert set(answers.unasked) | set(answers.values) == set(record("house", path.stem, {}).values)
    text = (EXAMPLES / "quail-hatch.car").read_text(encoding="utf-8").replace("belt_miles", "belt_mils")
    problems = read_car(Source("a.car", text), program(name))[1]
    assert [p.code for p in problems] == ["C02"]


def test_the_quick_look_is_cut_out_of_the_walk() -> None:
    """Its questions are the walk's, in the walk's order, and its deal-breakers are the walk's, unchanged."""
    quick, walk = program("quick"), program("walkaround")
    assert list(quick.questions) == [name for name in walk.questions if name in quick.questions]
    refused = {rule.name: rule.condition for rule in walk.of_kind("refuse")}
    assert {rule.name: refused[rule.name] for rule in quick.of_kind("refuse")} == {
        rule.name: rule.condition for rule in quick.of_kind("refuse")
    }
    assert len(quick.of_kind("refuse")) >= 10
    assert quick.faults == {}


@pytest.mark.parametrize(
    ("example", "changed", "verdict"),
    [
        ("quail-hatch", {}, "take_the_hour"),
        ("quail-hatch", {"engine_cold": "no"}, "come_back"),
        ("quail-hatch", {"light": "wet"}, "come_back"),
        ("quail-hatch", {"light": "unsure"}, "come_back"),
        ("quail-hatch", {"cold_start": "another_day"}, "come_back"),
        ("quail-hatch", {"title_state": "refused"}, "leave_it"),
        ("quail-wagon", {}, "unsettled"),
        ("brightwater-coupe", {}, "leave_it"),
    ],
)
def test_the_quick_look_says_what_to_do(example: str, changed: dict[str, str], verdict: str) -> None:
    answers = record("quick", example, changed, asked_only=True)
    assert judge("quick").judge(answers, thorough=False, settle=False).verdict == verdict


@pytest.mark.parametrize(
    ("first", "last"), [*((year, body) for year in YEARS for body in BODIES), ("small-trucks", "open-cars")]
)
def test_two_go_together(first: str, last: str, tmp_path: Path) -> None:
    mine = tmp_path / "mine.tell"
    mine.write_text(f'use "{first}"\nuse "{last}"\n', encoding="utf-8")
    checked, _ = check_rules(mine)
    assert checked.problems == ()
    assert checked.program is not None
    names = {rule.name for kind in ("refuse", "caution") for rule in checked.program.of_kind(kind)}
    own = [{r.name for kind in ("refuse", "caution") for r in program(n).of_kind(kind)} for n in (first, last)]
    house = {r.name for kind in ("refuse", "caution") for r in program("house").of_kind(kind)}
    assert names >= (own[0] | own[1]) - house
