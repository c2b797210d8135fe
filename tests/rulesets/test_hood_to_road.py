"""From the hood to the road: what each look turns up, what it is warned of, and what is never taken for good undriven.

Each car is a sound example with a line or two of its record changed.
"""

from __future__ import annotations

import pytest

from tests.programs import deal_on_plan
from tests.rulesets.test_conservation import judge
from tests.rulesets.test_findings import cautions, faults, found, record

ONLY_DRIVEN = (
    "clutch", "shifting", "reverse", "pulling", "smoke_driving", "take_up", "axle", "braking", "straight_line", "bumps",
    "wheel_hum", "lock_clicks", "odometer_counts", "cruise",
)  # fmt: skip
"""What only a drive tells of a car with a manual transmission."""


@pytest.mark.parametrize(
    ("found_there", "fault"),
    [
        ({"antifreeze": "20 degF"}, "weak_antifreeze"),
        ({"fuel_hoses": "cracked"}, "cracked_fuel_hoses"),
        ({"oil_on_stick": "glitters"}, "worn_bearings"),
        ({"battery_side": "acid_eaten"}, "eaten_tray"),
        ({"battery_age": "5 years"}, "old_battery"),
        ({"key_lamps": "one_dark"}, "dead_lamp"),
        ({"manifold_tick": "fades_warm"}, "leaking_manifold"),
        ({"seat_runners": "loose"}, "loose_seat"),
        ({"sunroof": "leaks"}, "leaking_sunroof"),
        ({"airbag_light": "cover_touched"}, "bag_to_be_replaced"),
        ({"reverse": "will_not"}, "reverse_trouble"),
        ({"pulling": "misses"}, "tired_ignition"),
        ({"straight_line": "wanders"}, "worn_bushings"),
        ({"straight_line": "shakes"}, "shaking_wheel"),
        ({"temperature": "needle_dead"}, "dead_needle"),
        ({"cruise": "dead"}, "dead_cruise"),
    ],
)
def test_a_look_finds_its_fault(found_there: dict[str, str], fault: str) -> None:
    assert fault in faults(found(**found_there))
    assert fault not in faults(found())


@pytest.mark.parametrize(
    ("found_there", "caution"),
    [
        ({"engine_bay": "washed"}, "washed_engine"),
        ({"radiator": "newer_than_the_car"}, "new_radiator"),
        ({"smog_parts": "label_of_another_engine"}, "another_engine"),
        ({"breath": "puffs"}, "hard_breath"),
        ({"pedal_wear": "worn_through"}, "miles_do_not_show"),
        ({"who_drives": "the_seller"}, "not_driven_by_you"),
    ],
)
def test_a_trap_is_told(found_there: dict[str, str], caution: str) -> None:
    assert caution in cautions(found(**found_there))
    assert caution not in cautions(found())


@pytest.mark.parametrize(
    "found_there",
    [
        {"fuel_hoses": "wet"},
        {"fuel_neck": "damp"},
        {"brake_hoses": "cracked"},
        {"springs": "broken"},
        {"seat_runners": "loose"},
        {"oil_on_stick": "glitters"},
    ],
)
def test_the_gate_looks_at_more_than_brakes(found_there: dict[str, str]) -> None:
    assert "no_drive" in cautions(found(**found_there))


@pytest.mark.parametrize(
    ("play", "wheel", "loose"),
    [("2 in", "15 in", False), ("2 1/4 in", "16 in", True), ("2 1/4 in", "18 in", False), ("2 5/8 in", "20 in", True)],
)
def test_play_is_measured_against_its_wheel(play: str, wheel: str, loose: bool) -> None:
    deal = found(wheel_play=play, steering_wheel=wheel)
    assert ("steering_play" in faults(deal)) is loose
    assert ("no_drive" in cautions(deal)) is loose


def test_a_battery_is_read_with_its_temperature_and_its_age() -> None:
    assert "charge_first" in cautions(found(battery_rest="12.45 V", outside_temperature="20 degF"))
    assert "charge_first" not in cautions(found(battery_rest="12.45 V", outside_temperature="90 degF"))
    assert "dead_battery" in faults(found(battery_rest="12.1 V", outside_temperature="80 degF", battery_age="7 years"))
    assert "dead_battery" not in faults(
        found(battery_rest="12.1 V", outside_temperature="80 degF", battery_age="2 years")
    )


def test_a_carburetor_counts_only_where_there_is_one() -> None:
    tired = {"choke": "stays_shut", "carburetor": "flat_spot", "fuel_pump": "whines"}
    both = {"choke_trouble", "tired_carburetor"}
    assert faults(found(fuel_system="carburetor", **tired)) & {*both, "tired_fuel_pump"} == both
    assert faults(found(fuel_system="injection", **tired)) & {*both, "tired_fuel_pump"} == {"tired_fuel_pump"}
    assert "no_drive" in cautions(found(fuel_system="carburetor", carburetor="floods"))
    assert "no_drive" not in cautions(found(fuel_system="injection", carburetor="floods"))


@pytest.mark.parametrize(
    ("outside", "drop", "weak"), [("70 degF", "19", True), ("70 degF", "20", False), ("69 degF", "5", False)]
)
def test_what_feels_cold_is_judged_by_the_thermometer(outside: str, drop: str, weak: bool) -> None:
    held = faults(found(air_conditioning="cold", cooling_drop=drop, outside_temperature=outside))
    assert ("weak_cooling" in held) is weak


@pytest.mark.parametrize(
    ("year", "monitors", "codes", "fault"),
    [
        ("1995", "8", "several", None),
        ("1998", "2", "none", None),
        ("1998", "3", "none", "cleared_away"),
        ("2001", "2", "none", "cleared_away"),
        ("2001", "1", "none", None),
        ("1998", "0", "single", "one_code"),
        ("1998", "5", "several", "several_codes"),
    ],
)
def test_codes_count_from_1996_on_and_an_empty_list_that_is_not_ready_is_no_news(
    year: str, monitors: str, codes: str, fault: str | None
) -> None:
    deal = found(model_year=year, reader="connects", monitors_not_ready=monitors, codes=codes)
    assert faults(deal) & {"cleared_away", "one_code", "several_codes", "dead_socket"} == ({fault} if fault else set())
    assert "cleared_away" not in faults(deal) or "nothing_to_read_yet" in cautions(deal)


def test_what_the_lamp_tells_is_not_counted_again_by_its_codes() -> None:
    deal = found(model_year="1998", engine_light="stays_on", reader="connects", codes="several")
    assert "engine_light_on" in faults(deal)
    assert not faults(deal) & {"one_code", "several_codes", "cleared_away"}


def test_one_used_engine_is_enough() -> None:
    deal = found(oil_on_stick="glitters", smoke_driving="blue_off_the_gas")
    assert faults(deal) & {"worn_bearings", "worn_rings"} == {"worn_bearings"}


@pytest.mark.parametrize("stopped", [{"drive_lawful": "no"}, {"who_drives": "nobody"}])
def test_what_was_not_driven_is_feared_and_never_good(stopped: dict[str, str]) -> None:
    driven, not_driven = (
        deal_on_plan(judge(), record(**changed)) for changed in ({}, dict.fromkeys(ONLY_DRIVEN, "unsure") | stopped)
    )
    assert not_driven.values["fear"] > driven.values["fear"]
    assert not_driven.values["profit"] < driven.values["profit"]
    assert {"no_drive", "nobody_may_drive"} & cautions(not_driven)


def test_an_automatic_with_burnt_fluid_is_a_rebuild_and_only_once() -> None:
    slow = {"gearbox": "automatic", "automatic": "slow"}
    of_automatics = {"slow_automatic", "slipping_automatic", "dead_overdrive"}
    assert faults(found(**slow, automatic_fluid="burnt")) & of_automatics == {"slipping_automatic"}
    assert faults(found(**slow, automatic_fluid="red")) & of_automatics == {"slow_automatic"}
    brown = {"gearbox": "automatic", "automatic": "crisp", "automatic_fluid": "brown"}
    assert faults(found(**brown)) & of_automatics == {"slow_automatic"}
