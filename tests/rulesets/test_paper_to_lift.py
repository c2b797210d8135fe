"""From the car's number to the lift at home: what papers, stories, sellers and we ourselves have to say has its weight.

Each car is the sound example with a line or two of its record changed; what only warns is looked for by its name.
"""

from __future__ import annotations

import pytest

from advisor.judging.deal import Deal
from tests.rulesets.test_conservation import judge
from tests.rulesets.test_findings import cautions, faults, found, judged, reasons, record

HANDOVER = (
    "bill_of_sale",
    "all_that_belongs",
    "insured_now",
    "notice_filed",
    "fit_for_home",
    "title_signed",
)
NUMBER = "1ZZHA11F3MA004127"


def priced(**changed: str) -> Deal:
    deal = judged(**changed).deal
    assert deal is not None
    return deal


@pytest.mark.parametrize(
    ("name", "answer", "caution"),
    [
        ("meeting_place", "parking_lot", "no_house_behind_it"),
        ("meeting_place", "dealers_lot", "sells_many"),
        ("other_cars", "several", "sells_many"),
        ("other_cars", "one_more", "second_car_for_sale"),
        ("state_of_us", "in_a_hurry", "not_at_our_best"),
        ("moved_for_you", "yes", "moved_for_us"),
        ("helped_start", "yes", "helped_along"),
        ("title_words", "not_actual_miles", "mark_the_miles"),
        ("title_words", "lemon_or_buyback", "buyers_read_it"),
        ("address_fits", "different", "odd_address"),
        ("origin", "imported", "ask_for_the_entry_papers"),
        ("receipts", "another_cars", "receipts_of_another"),
        ("pressure", "price_falls_unasked", "hurried"),
        ("pressure", "cash_today_only", "hurried"),
        ("odometer_story", "replaced", "odometer_was_replaced"),
        ("converter", "rattles", "converter_of_your_state"),
        ("owned_for", "days", "title_days_old"),
        ("others_said", "found_something", "others_found_something"),
        ("hot_oil_light", "flickers", "pressure_in_doubt"),
        ("would_come_again", "no", "the_road_is_spent"),
        ("lift_look", "refused_by_seller", "lift_refused"),
    ],
)
def test_what_makes_an_old_hand_slow_down_is_said(name: str, answer: str, caution: str) -> None:
    assert caution not in cautions(found())
    assert caution in cautions(found(**{name: answer}))


@pytest.mark.parametrize(
    ("name", "answer", "rule"),
    [
        ("title_back", "signed_open", "open_title"),
        ("title_back", "altered", "open_title"),
        ("title_back", "refused", "open_title"),
        ("title_words", "flood", "flood_on_title"),
        ("owners_sign", "one_missing", "owner_missing"),
        ("owners_sign", "refused", "owner_missing"),
        ("origin", "kit_or_rebodied", "not_this_car"),
        ("hot_oil_light", "on", "light_on_when_hot"),
        ("seen_today", "3", "seen_enough_today"),
    ],
)
def test_what_ends_it_at_any_price(name: str, answer: str, rule: str) -> None:
    judgment = judged(**{name: answer})
    assert (judgment.verdict, reasons(judgment)) == ("pass", {rule})


@pytest.mark.parametrize("state", ["held_electronically", "being_replaced", "none_given"])
def test_a_title_that_is_no_paper_has_no_back_to_be_read(state: str) -> None:
    assert judged(title_state=state, title_back="unsure").verdict == judged(title_state=state).verdict == "buy"


def test_a_corner_that_hangs_low_is_a_broken_spring_at_the_gate_too() -> None:
    low = found(stance="low_corner")
    assert "broken_spring" in faults(low)
    assert "no_drive" in cautions(low)


def test_a_copy_lets_nobody_sign_and_an_original_costs_a_trip() -> None:
    judgment = judged(seller_on_title="holds_a_letter", authority="copy_only")
    assert (judgment.verdict, reasons(judgment)) == ("pass", {"copy_of_a_letter"})
    assert "letter_to_file" in faults(found(seller_on_title="holds_a_letter", authority="estate_letter"))
    # Where the owner is there, no paper is asked for, whatever is still written down.
    assert judged(authority="copy_only").verdict == "buy"


def test_nobody_says_whether_all_owners_sign_and_nothing_is_decided() -> None:
    assert judged(owners_sign="unsure").verdict == "unsettled"
    assert judged(title_back="unsure").verdict == "unsettled"


def test_a_number_is_held_against_itself_and_against_its_year() -> None:
    assert not cautions(found(vin=NUMBER)) & {"number_does_not_add_up", "number_of_another_year"}
    assert "number_does_not_add_up" in cautions(found(vin=NUMBER.replace("4127", "4128")))
    assert "number_of_another_year" in cautions(found(vin=NUMBER, model_year="1992"))
    # An older car's number has no check digit to fit.
    assert "number_does_not_add_up" not in cautions(found(vin="0123456789", model_year="1975"))


def test_five_digits_may_have_started_over_and_the_miles_are_planned_for() -> None:
    six = priced(odometer="34,500 mi", odometer_digits="6")
    five = priced(odometer="34,500 mi", odometer_digits="5")
    assert "may_have_started_over" in cautions(five)
    assert "may_have_started_over" not in cautions(six)
    assert five.values["unseen"] > six.values["unseen"]


@pytest.mark.parametrize(
    ("year", "story", "caution"),
    [("2010", "unproved", "odometer_not_proved"), ("2011", "unproved", "odometer_paper")],
)
def test_an_exempt_odometer_is_unknown_and_a_younger_one_needs_its_paper(year: str, story: str, caution: str) -> None:
    both = {"odometer_not_proved", "odometer_paper"}
    assert cautions(found(model_year=year, odometer_story=story)) & both == {caution}


def test_a_clean_record_of_an_old_car_is_silence() -> None:
    assert "silence_of_the_record" in cautions(found())
    assert "silence_of_the_record" not in cautions(found(model_year="2022"))


def test_what_it_just_needs_is_planned_at_three_times() -> None:
    told, plain = priced(just_needs="$40"), priced()
    assert "more_than_it_needs" in faults(told)
    assert "more_than_it_needs" not in faults(plain)
    ((fault, plan),) = [(h.fault, h) for h in told.bargain.repairs.held if h.fault.name == "more_than_it_needs"]
    assert plan.chance == 1
    assert fault.name == "more_than_it_needs"
    assert told.values["profit"] < plain.values["profit"] - 120


def test_a_word_on_the_title_costs_less_than_a_rebuilt_one() -> None:
    clean, worded, rebuilt = (
        priced(title_words=words, title_state=state).values["sale_price"]
        for words, state in (("none", "clean"), ("taxi_police_or_fleet", "clean"), ("none", "rebuilt"))
    )
    assert rebuilt < worded < clean


def test_too_cheap_is_run_before_it_is_bought() -> None:
    cheap = judged(asking="$900", history="not_run")
    assert (cheap.verdict, reasons(cheap)) == ("pass", {"too_cheap_unchecked"})
    assert judged(asking="$900").verdict == "buy"


def test_two_reasons_for_a_poor_look_ask_for_another_day() -> None:
    assert "check_first" not in cautions(found(state_of_us="tired_or_cold"))
    assert "check_first" in cautions(found(state_of_us="tired_or_cold", light="dusk"))


@pytest.mark.parametrize(
    ("sold", "offered", "warned"),
    [("3", "4", set()), ("3", "5", {"window_form"}), ("5", "5", {"window_form", "odometer_dealer"})],
)
def test_sales_are_counted_by_two_laws(sold: str, offered: str, warned: set[str]) -> None:
    deal = found(sold_this_year=sold, offered_this_year=offered)
    assert cautions(deal) & {"window_form", "odometer_dealer"} == warned
    kept = found(sold_this_year=sold, offered_this_year=offered, bought_to="keep")
    assert not cautions(kept) & {"window_form", "odometer_dealer", "intent_counts"}


def test_a_lift_refused_counts_as_one_grave_thing() -> None:
    assert judged(lift_look="refused_by_seller").verdict == "buy"
    judgment = judged(lift_look="refused_by_seller", bottom_end="unsure")
    assert (judgment.verdict, reasons(judgment)) == ("pass", {"one_big_unknown"})


@pytest.mark.parametrize(
    ("changed", "fault"),
    [
        ({"leak_down_taken": "yes", "leak_loss": "30%", "hisses_from": "tailpipe"}, "leaking_valves"),
        ({"leak_down_taken": "yes", "leak_loss": "30%", "hisses_from": "oil_filler"}, "leaking_rings"),
        ({"leak_down_taken": "yes", "leak_loss": "30%", "hisses_from": "radiator"}, "gasket_shown"),
        ({"exhaust_gas_test": "changes_color"}, "gasket_shown"),
        ({"oil_pressure": "low"}, "low_oil_pressure"),
        ({"underside": "thin_spots"}, "thin_structure"),
        ({"air_play": "ball_joint"}, "worn_ball_joint"),
        ({"air_play": "tie_rod"}, "worn_tie_rod"),
        ({"air_play": "bearing"}, "loose_bearing"),
        ({"bushings": "cracked_through"}, "cracked_bushings"),
        ({"compression_test": "yes", "compression": "150 psi, 100 psi, 150 psi, 150 psi"}, "low_cylinder"),
    ],
)
def test_what_the_lift_shows_counts_on_the_lift_only(changed: dict[str, str], fault: str) -> None:
    assert fault in faults(found(lift_look="at_a_shop", **changed))
    assert fault in faults(found(stage="ours", **changed))
    assert fault not in faults(found(**changed))


@pytest.mark.parametrize(("loss", "bad"), [("25%", False), ("26%", True)])
def test_a_fair_loss_is_told_and_a_bad_one_priced(loss: str, bad: bool) -> None:
    deal = found(lift_look="at_a_shop", leak_down_taken="yes", leak_loss=loss, hisses_from="tailpipe")
    assert ("leaking_valves" in faults(deal)) is bad
    assert ("leaks_some" in cautions(deal)) is not bad


@pytest.mark.parametrize(
    ("kind", "left", "finished"),
    [("riveted", "1/32 in", False), ("bonded", "1/32 in", True), ("bonded", "1/16 in", False)],
)
def test_linings_are_finished_by_their_kind(kind: str, left: str, finished: bool) -> None:
    deal = found(lift_look="at_a_shop", lining_kind=kind, thinnest_lining=left, rotor_edge="flat")
    assert ("finished_linings" in faults(deal)) is finished


@pytest.mark.parametrize(
    ("rule", "low"),
    [("three_quarters", False), ("seventy_and_100_psi", False), ("within_10_psi", True)],
)
def test_compression_is_judged_by_the_engines_own_manual(rule: str, low: bool) -> None:
    readings = "160 psi, 130 psi, 150 psi, 155 psi"
    deal = found(compression_slip="yes", cylinders="4", compression=readings, compression_rule=rule)
    assert ("low_cylinder" in faults(deal)) is low


def test_a_handover_is_not_asked_for_before_a_price_is_agreed() -> None:
    """Looking, its questions are set aside; agreed, what is not answered counts as not done, and the price stays."""
    looking, agreed = judged(), judged(stage="price_agreed")
    aside = {q.name for q in looking.set_aside}
    assert aside.isdisjoint(HANDOVER) or aside >= set(HANDOVER)
    assert judge().judge(record(), thorough=False).settled
    assert looking.deal is not None
    assert agreed.deal is not None
    assert agreed.deal.ceiling.offer == looking.deal.ceiling.offer
    done = dict.fromkeys(HANDOVER, "yes") | {"paid_at": "bank_counter", "plates": "stay_on"}
    missing = cautions(found(stage="price_agreed"))
    told = {
        "write_the_sale",
        "take_it_all_now",
        "not_an_uninsured_mile",
        "file_it_today",
        "tow_it_home",
        "title_before_money",
        "count_it_at_a_bank",
        "plates_come_off",
    }
    assert told <= missing
    assert not told & cautions(found(stage="price_agreed", **done))
    assert not told & cautions(found())


def test_the_lender_is_paid_before_the_money_is() -> None:
    assert "release_before_money" in cautions(found(stage="price_agreed", lien="payoff_arranged"))
    assert "release_before_money" not in cautions(found(stage="price_agreed"))


def test_the_recheck_asks_what_was_missed_and_whether_to_go_on() -> None:
    assert {"write_down_what_was_missed", "judge_it_again"} <= cautions(found(stage="ours", found_at_home="3"))
    assert "judge_it_again" in cautions(found(stage="ours", over_plan="yes"))
    assert "tell_the_seller" in cautions(found(stage="ours", found_at_home="1", told_in_time="no"))
    assert not cautions(found(found_at_home="3", over_plan="yes")) & {"judge_it_again", "write_down_what_was_missed"}


def test_what_was_paid_is_gone_either_way() -> None:
    """Finishing or selling as it stands: under one repair plan the same figures, whatever was paid for it."""
    cheap, dear = priced(stage="ours", asking="$1,000"), priced(stage="ours", asking="$2,500")
    assert cheap.plan == dear.plan
    for name in ("finishing_brings", "way_out", "finishing_gain"):
        assert cheap.values[name] == dear.values[name]
    assert cheap.values["profit"] > dear.values["profit"]
    assert judged(stage="ours", underside="unsure").verdict != "unsettled"
    wreck = priced(stage="ours", oil_pressure="low", underside="thin_spots", exhaust_gas_test="changes_color")
    assert wreck.values["finishing_gain"] < 0 < cheap.values["finishing_gain"]


def test_every_record_that_is_changed_here_is_read() -> None:
    assert record(stage="ours").known("stage") == "ours"
    assert judge().program.questions["stage"].unsure == "looking"
