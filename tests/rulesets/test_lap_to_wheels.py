"""From the lap to the wheels: what each look at the outside turns up, what it is warned of, and where it is not asked.

Each car is a sound example with a line or two of its record changed.
"""

from __future__ import annotations

import pytest

from tests.rulesets.test_findings import cautions, faults, found, judged, reasons

EVEN = "110 um, 118 um, 104 um, 122 um, 115 um, 109 um"
PICKUP = {"body": "pickup", "truck_bed": "sound", "truck_frame": "sound", "rear_axle": "dry"}
OPEN_CAR = {"body": "convertible", "soft_top": "sound", "rear_window": "clear", "roof_frame": "free"}


@pytest.mark.parametrize(
    ("found_there", "fault"),
    [
        ({"modified": "dressed_up"}, "dressed_up_car"),
        ({"windshield": "cracked_in_sweep"}, "cracked_windshield"),
        ({"windshield": "chip_at_the_edge"}, "chipped_windshield"),
        ({"door_seals": "streaked"}, "worn_door_seals"),
        ({"roof_rack": "rusted_feet"}, "rusted_rack_feet"),
        ({"hitch": "cut_in_wiring"}, "spliced_trailer_wiring"),
        ({"undercoating": "thick_and_fresh"}, "covered_underside"),
        ({"floors": "patched"}, "patched_floor"),
        ({"floors": "soft"}, "soft_floor"),
        ({"floors": "refused"}, "soft_floor"),
        ({"fuel_neck": "rusty"}, "rusty_tank"),
        ({"fuel_neck": "damp"}, "fuel_leak"),
        ({"springs": "broken"}, "broken_spring"),
        ({"springs": "raised_by_spacers"}, "raised_springs"),
        ({"rack_boots": "split"}, "split_rack_boot"),
        ({"rack_boots": "wet"}, "leaking_rack"),
        ({"rack_boots": "wet"}, "alignment_after_repair"),
        ({"brake_hoses": "cracked"}, "cracked_brake_hoses"),
        ({"sidewalls": "bulge_or_cord"}, "finished_pair"),
        ({"sidewalls": "bulge_or_cord", "worn_tires": "3"}, "finished_set"),
        ({"tire_makes": "mixed_on_an_axle"}, "mixed_pair"),
        ({"wheel_nuts": "one_missing"}, "missing_wheel_nut"),
        ({"rear_brakes": "discs", "rear_rotors": "pitted"}, "worn_rear_rotors"),
        ({"rear_brakes": "discs", "rear_rotors": "flat", "wet_rear_wheel": "yes"}, "wet_rear_caliper"),
        ({"wet_rear_wheel": "yes"}, "wet_wheel_cylinder"),
        ({**PICKUP, "rear_axle": "wet"}, "wet_axle"),
        ({**OPEN_CAR, "rear_window": "split"}, "cloudy_top_window"),
    ],
)
def test_a_look_finds_its_fault(found_there: dict[str, str], fault: str) -> None:
    assert fault in faults(found(**found_there))
    assert fault not in faults(found())


@pytest.mark.parametrize(
    ("found_there", "caution"),
    [
        ({"modified": "raced"}, "was_raced"),
        ({"repaint": "one_panel"}, "one_fresh_panel"),
        ({"filler": "one_spot", "rust": "none"}, "filler_without_rust"),
        ({"rust": "bubbles"}, "rust_is_iceberg"),
        ({"hitch": "tidy"}, "has_towed"),
        ({"door_seals": "streaked"}, "water_gets_in"),
        ({"undercoating": "thick_and_fresh"}, "hidden_underside"),
        ({"fuel_neck": "damp"}, "fuel_and_fire"),
        ({"exhaust": "blowing"}, "exhaust_gas"),
        ({"converter": "no_number"}, "converter_without_number"),
        ({"sidewalls": "bulge_or_cord"}, "tire_gives_out"),
        ({"sidewalls": "fine_cracks"}, "old_rubber"),
        ({"four_wheel_drive": "yes", "rear_axle": "dry", "tire_makes": "pairs"}, "unlike_tires"),
    ],
)
def test_a_trap_is_told(found_there: dict[str, str], caution: str) -> None:
    assert caution in cautions(found(**found_there))
    assert caution not in cautions(found())


def test_one_sign_of_a_crash_is_a_question_and_two_are_an_answer() -> None:
    assert "hit_and_not_told" not in cautions(found(bolt_heads="turned"))
    assert "hit_and_not_told" in cautions(found(bolt_heads="turned", overspray="on_rubber_or_hoses"))
    assert "hit_and_not_told" in cautions(found(lamp_pair="one_newer", glass_dates="several_newer"))
    one_panel = {"repaint": "one_panel", "paint_gauge": "yes", "paint_readings": f"{EVEN}, 390 um"}
    assert "hit_and_not_told" not in cautions(found(**one_panel))  # seen twice, and one sign
    known = found(crash="bolted_panels", bolt_heads="turned", overspray="on_rubber_or_hoses")
    assert "hit_and_not_told" not in cautions(known)
    assert "crash_repaired" in cautions(known)


@pytest.mark.parametrize(
    "found_there",
    [{"undercoating": "thick_and_fresh"}, {"bolt_heads": "turned", "overspray": "on_rubber_or_hoses"}],
)
def test_what_may_be_hidden_below_pays_for_a_lift(found_there: dict[str, str]) -> None:
    assert judged().deal.values["inspection_line"] == 0
    assert judged(**found_there).deal.values["inspection_line"] > 0


@pytest.mark.parametrize("found_there", [{"sidewalls": "bulge_or_cord"}, {"wheel_nuts": "one_missing"}])
def test_what_gives_out_on_the_road_is_not_driven(found_there: dict[str, str]) -> None:
    assert "no_drive" in cautions(found(**found_there))


def test_a_gauge_compares_the_car_with_itself() -> None:
    assert "gauge_saw_paint" not in cautions(found(paint_gauge="yes", paint_readings=EVEN))
    assert "gauge_saw_paint" in cautions(found(paint_gauge="yes", paint_readings=f"{EVEN}, 390 um"))
    too_few = found(paint_gauge="yes", paint_readings="110 um, 390 um")
    assert "gauge_saw_paint" not in cautions(too_few)
    assert "gauge_saw_paint" not in cautions(found(paint_gauge="no", paint_readings=f"{EVEN}, 390 um"))


@pytest.mark.parametrize(
    ("code", "finished", "old"),
    [
        ("1022", False, False),  # March 2022
        ("1619", False, True),  # seven years on the day
        ("1416", True, False),  # ten years and a few days
        ("1716", False, True),  # ten years in two weeks
        ("DOT M5EJ 00BX 1022", False, False),  # the whole of it
        ("109", True, False),  # three figures: before 2000
    ],
)
def test_a_tire_is_as_old_as_its_code(code: str, finished: bool, old: bool) -> None:
    deal = found(tire_code=code, worn_tires="1")
    assert ("finished_pair" in faults(deal)) is finished
    assert ("old_rubber" in cautions(deal)) is (old or finished)


def test_without_a_code_somebody_guesses_the_age() -> None:
    assert "old_rubber" in cautions(found(tire_code="unsure"))
    assert "old_rubber" not in cautions(found(tire_code="unsure", oldest_tire="3 years"))
    assert "finished_pair" in faults(found(tire_code="unsure", oldest_tire="11 years"))
    assert "finished_pair" not in faults(found(oldest_tire="11 years"))  # the code says otherwise


def test_what_cannot_be_there_is_not_asked() -> None:
    assert "cloudy_top_window" not in faults(found(rear_window="split"))
    assert "wet_axle" not in faults(found(rear_axle="wet"))
    assert "worn_rear_rotors" not in faults(found(rear_rotors="pitted"))
    assert "converter_needed" in faults(found(converter="missing"))
    assert "converter_needed" not in faults(found(converter="missing", model_year="1972"))


def test_four_wheel_drive_wants_a_set() -> None:
    driven = {"four_wheel_drive": "yes", "rear_axle": "dry"}
    assert "unlike_four" in faults(found(**driven, tire_makes="pairs"))
    assert "unlike_four" not in faults(found(**driven, tire_makes="four_alike"))
    assert "mixed_pair" not in faults(found(**driven, tire_makes="mixed_on_an_axle"))


@pytest.mark.parametrize(
    ("found_there", "reason"),
    [
        ({"crash": "bent"}, "bent_shell"),
        ({"rockers": "holed"}, "rotten_structure"),
        ({**PICKUP, "truck_frame": "holed"}, "rotten_structure"),
        ({**PICKUP, "truck_frame": "refused"}, "rotten_structure"),
    ],
)
def test_what_is_holed_or_bent_ends_it(found_there: dict[str, str], reason: str) -> None:
    judgment = judged(**found_there)
    assert judgment.verdict == "pass"
    assert reason in reasons(judgment)
