"""What a practiced buyer finds at a car has its weight: the verdict turns, or somebody is warned.

Each car is a sound example with a line or two of its record changed; cases in the rules cannot look at cautions.
"""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from advisor.judging.deal import Deal
from advisor.judging.judgment import Judgment
from advisor.judging.valuing import valuation
from advisor.language.answers import Answers
from advisor.language.cars import read_car
from advisor.language.source import Source
from tests.rulesets.test_conservation import judge

SOUND = Path(__file__).resolve().parents[2] / "examples" / "quail-hatch.car"


def record(**changed: str) -> Answers:
    """The sound example with other answers."""
    text = SOUND.read_text(encoding="utf-8")
    for name, answer in changed.items():
        text = re.sub(rf"^{name} = .*\n", "", text, flags=re.MULTILINE) + f"{name} = {answer}\n"
    answers, problems = read_car(Source("sound.car", text), judge().program)
    assert not problems, problems
    return answers


def judged(**changed: str) -> Judgment:
    return judge().judge(record(**changed), thorough=False, settle=False)


def found(**changed: str) -> Deal:
    """The same before any price is looked for: what is wrong with it, and what is warned of."""
    answers = record(**changed)
    sheet = judge().sheet(answers, valuation(judge().program, answers))
    planned = judge().planned(sheet)
    return judge().deal(sheet, planned, judge().chances(sheet, planned))


def cautions(deal: Deal) -> set[str]:
    rules = judge().program.of_kind("caution")
    return {rule.name for rule, holds in zip(rules, deal.cautions, strict=True) if holds}


def faults(deal: Deal) -> set[str]:
    """The faults that surely hold."""
    return {held.fault.name for held in deal.bargain.repairs.held if held.chance == 1}


def reasons(judgment: Judgment) -> set[str]:
    return {rule.name for rule in judgment.reasons}


def test_the_sound_one_is_bought_and_may_be_driven() -> None:
    assert judged().verdict == "buy"
    assert "no_drive" not in cautions(found())


@pytest.mark.parametrize(
    ("name", "answer"),
    [
        ("brake_lines", "wet"),
        ("brake_pedal", "sinks"),
        ("drive_lawful", "no"),
        ("fuel_smell", "yes"),
        ("parking_brake", "slips"),
        ("rims", "cracked"),
        ("road_lights", "some_dead"),
        ("seat_belts", "frayed"),
        ("seat_belts", "will_not_latch"),
        ("tread", "1/32 in"),
        ("wet_rear_wheel", "yes"),
        ("wheel_play", "2 1/4 in"),
        ("wheel_rock", "loose"),
    ],
)
def test_nobody_drives_on_this(name: str, answer: str) -> None:
    assert "no_drive" in cautions(found(**{name: answer}))


def test_an_open_lender_is_paid_and_an_unknown_one_settles_nothing() -> None:
    assert "pay_the_lender" in cautions(found(lien="open"))
    unknown = judged(lien="unsure")
    assert unknown.verdict == "unsettled"
    assert not unknown.settled


def test_a_theft_or_a_claim_on_the_record_stops_it() -> None:
    judgment = judged(history="theft_or_lien")
    assert (judgment.verdict, reasons(judgment)) == ("pass", {"stolen_or_owed"})


def test_a_washed_title_is_a_rebuilt_one_in_the_money() -> None:
    clean, washed, rebuilt = (
        judged(title_state=title, history=record_says, asking="$1,900").deal
        for title, record_says in (
            ("clean", "nothing_found"),
            ("clean", "brand_or_total_loss"),
            ("rebuilt", "nothing_found"),
        )
    )
    assert clean is not None
    assert washed is not None
    assert rebuilt is not None
    assert washed.values["profit"] == rebuilt.values["profit"] < clean.values["profit"]


def test_a_title_that_may_not_be_seen_is_no_title() -> None:
    judgment = judged(title_state="refused")
    assert (judgment.verdict, "dead_title" in reasons(judgment)) == ("pass", True)


@pytest.mark.parametrize(
    ("figures", "worn", "short"),
    [
        ("150 psi, 148 psi, 151 psi, 149 psi", False, False),
        ("60 psi, 61 psi, 59 psi, 60 psi", True, False),
        ("150 psi, 100 psi, 150 psi, 150 psi", True, False),
        ("150 psi", False, True),
        ("150 psi, 149 psi, 151 psi", False, True),
    ],
)
def test_compression_has_a_floor_and_every_cylinder(figures: str, worn: bool, short: bool) -> None:
    deal = found(compression_slip="yes", cylinders="4", compression=figures)
    assert ("low_cylinder" in faults(deal)) is worn
    assert ("cylinders_left_out" in cautions(deal)) is short


@pytest.mark.parametrize(
    ("miles", "years", "due"),
    [("59,000 mi", "6 years", False), ("60,000 mi", "2 years", True), ("10,000 mi", "7 years", True)],
)
def test_a_receipt_for_a_belt_ages(miles: str, years: str, due: bool) -> None:
    assert ("belt_due" in faults(found(belt_miles=miles, belt_years=years))) is due


@pytest.mark.parametrize(
    ("history", "caution"),
    [("brand_or_total_loss", "washed_title"), ("not_run", "history_not_run")],
)
def test_what_the_record_says_is_told(history: str, caution: str) -> None:
    assert caution in cautions(found(history=history))


@pytest.mark.parametrize(("recalls", "caution"), [("open", "recall_open"), ("not_looked_up", "recalls_not_known")])
def test_recalls_are_told(recalls: str, caution: str) -> None:
    assert caution in cautions(found(recalls=recalls))


@pytest.mark.parametrize(
    ("worn", "drive", "bought"),
    [
        ("1", "no", "finished_pair"),
        ("2", "no", "finished_pair"),
        ("3", "no", "finished_set"),
        ("1", "yes", "finished_set"),
    ],
)
def test_a_bald_tire_buys_a_pair_and_four_wheel_drive_a_set(worn: str, drive: str, bought: str) -> None:
    deal = found(tread="1/32 in", worn_tires=worn, four_wheel_drive=drive)
    assert faults(deal) & {"finished_pair", "finished_set"} == {bought}


def test_a_convertible_has_no_headliner() -> None:
    sagging = judged(body="convertible", soft_top="sound", roof_frame="free", headliner="sagging")
    assert sagging.deal is not None
    assert "sagging_headliner" not in faults(sagging.deal)
    assert "headliner" in {question.name for question in sagging.set_aside}


def test_a_half_charged_battery_is_charged_and_not_replaced() -> None:
    deal = found(battery_rest="12.2 V")
    assert "dead_battery" not in faults(deal)
    assert "charge_first" in cautions(deal)


def test_what_the_house_must_know_of_itself_is_asked_first() -> None:
    asked = list(judge().program.questions)
    assert asked[:2] == ["cars_open", "sold_this_year"]
    assert asked.index("known_model") < asked.index("title_state")
