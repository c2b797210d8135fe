"""The quick order asks what decides most for each minute, by what is known by then."""

from __future__ import annotations

from datetime import date

from advisor.judging.asking import QuickOrder
from advisor.judging.situation import Situation
from advisor.language.answers import Answers
from tests.programs import judge_of

RULES = """\
ruleset "Two that go together"
    currency USD
ask asking: money from $0 to $9,000
    "What is asked?"
station "At the car"
ask oily: one of clean, dripping
    "Is it dry below?"
    takes 0.2 min
    usually clean 50%, dripping 50%
    fine clean
    unsure assume clean
ask seats: one of whole, torn
    "How are its seats?"
    takes 0.5 min
    usually whole 50%, torn 50%
    fine whole
    unsure assume whole
ask smoke: one of none, blue
    "What comes out behind?"
    takes 1 min
    usually none 60%, blue 40%
    fine none
    unsure assume none
setting highest_offer = $5,000
    source house figure
fault torn_seats when seats is torn
    "Torn seats"
    parts $100
    shop $0
    labor 1 h
    wait 1 day
    source house figure
refuse worn_out when oily is dripping and smoke is blue
    because "It burns what it does not lose."
    source house figure
caution oil when oily is dripping or smoke is blue
    because "It needs oil."
    source house figure
let profit = $3,000 - offer - sum(parts)
require pays: profit >= $500
    because "It must pay."
    source house figure
verdict
    buy  when ceiling >= $2,450
    pass otherwise
    source house figure
"""


COUNTED = RULES.replace("oily is dripping and smoke is blue\n", "smoke is blue and unverified_majors < 1\n")
COUNTED = COUNTED.replace("takes 0.2 min", "takes 0.2 min\n    major")


def test_a_count_that_a_deal_breaker_looks_at_weighs_too() -> None:
    readings = judge_of(COUNTED).readings
    day = date(2026, 5, 2)
    order = QuickOrder(readings)
    order.next(["oily", "seats", "smoke"], Situation(readings, Answers(day=day)), None)
    looked = Situation(readings, Answers(day=day, values={"oily": "clean"}))
    assert order.next(["seats", "smoke"], looked, "oily") == "smoke"
    assert QuickOrder(readings).next(["seats", "smoke"], looked, "oily") == "smoke"


def test_a_question_weighs_more_once_its_answer_can_end_the_deal() -> None:
    """The order that asked before and one that is new, as after a kill, agree."""
    readings = judge_of(RULES).readings
    day = date(2026, 5, 2)
    order = QuickOrder(readings)
    assert order.next(["oily", "seats", "smoke"], Situation(readings, Answers(day=day)), None) == "oily"
    dripping = Situation(readings, Answers(day=day, values={"oily": "dripping"}))
    assert order.next(["seats", "smoke"], dripping, "oily") == "smoke"
    assert QuickOrder(readings).next(["seats", "smoke"], dripping, "oily") == "smoke"
    clean = Situation(readings, Answers(day=day, values={"oily": "clean"}))
    assert order.next(["seats", "smoke"], clean, "oily") == "seats"
