"""What is planned for what nobody saw: assumptions, faults at their chance, and no verdict where nothing is planned."""

from __future__ import annotations

from decimal import Decimal
from random import Random
from typing import Any

import pytest

from advisor.judging.judge import Judge
from advisor.judging.judgment import Judgment
from advisor.judging.sheet import Sheet
from advisor.language.answers import Answers
from advisor.language.program import Unanswered
from advisor.readings.arithmetic import exact_arithmetic
from advisor.readings.compiled import Readings
from tests.answers import random_car
from tests.programs import judge_of, random_judges, random_programs
from tests.reference import ENDS, FIGURES, Car

UNSURE, REFUSED = Unanswered("unsure"), Unanswered("refused")

CHANCES = """ruleset "Chances"
    currency USD
setting highest_offer = $5,000
ask asking: money from $0 to $6,000
    "What is asked?"
ask pads: one of good, worn, gone
    "How are the pads?"
    usually good 50%, worn 30%, gone 20%
ask hoses: yes/no
    "Are the hoses cracked?"
    usually yes 40%, no 60%
ask belt: yes/no
    "Is the belt old?"
    usually yes 25%, no 75%
    refused assume yes
fault brakes when pads is one of (worn, gone)
    parts $100
    labor 4 h
    wait 10 days
    must be fixed
fault cooling when hoses and pads is not gone
    parts $20 .. $50 .. $140
    labor 10 h
    wait 2 days
    together with brakes
    must be fixed
fault timing when belt
    parts $80
    if left resale falls 20%, days to sell rise 10, buyers fall 30%
    must be fixed
let profit = $3,000 - sum(parts) - sum(labor) * $10/h - longest(wait) * $2/day - offer
let hours = sum(labor)
let days = longest(wait)
require some: profit >= $1,000
verdict
    buy  when ceiling >= asking
    pass otherwise
"""


def judged(text: str, **answers: Any) -> Judgment:
    return judge_of(text).judge(Answers("", None, {"asking": Decimal(900)} | answers))


def test_faults_come_at_their_chance() -> None:
    """Worked by hand. Brakes: 30 % + 20 % = 50 %. Cooling: 40 % of the 80 % whose pads are not gone = 32 %.
    Timing: 25 %.

    parts   50 % of $100 + 32 % of $60 + 25 % of $80    $50.00 + $19.20 + $20.00 = $89.20
    labor   50 % of 4 h = 2 h and 32 % of 10 h = 3.2 h, done together: 3.2 h + 30 % of 2 h = 3.8 h
    wait    the longest of 50 % of 10 days and 32 % of 2 days = 5 days
    profit  $3,000 - $89.20 - $38.00 - $10.00 - $900 = $1,962.80
    """
    found = judged(CHANCES)
    assert found.deal is not None
    assert {h.fault.name: h.chance for h in found.deal.bargain.repairs.held} == {
        "brakes": Decimal("0.5"),
        "cooling": Decimal("0.32"),
        "timing": Decimal("0.25"),
    }
    values = found.deal.values
    assert values["hours"] == Decimal("3.8") * 60
    assert values["days"] == 5 * 12
    assert values["profit"] == Decimal("1962.80")
    assert found.ceiling == Decimal("1862.80")
    assert {a.question.name: a.value for a in found.assuming} == {"pads": None, "hoses": None, "belt": None}


def test_an_answer_takes_the_place_of_the_chance() -> None:
    found = judged(CHANCES, pads="gone", belt=False)
    assert found.deal is not None
    assert {h.fault.name: h.chance for h in found.deal.bargain.repairs.held} == {"brakes": Decimal(1)}
    # $3,000 - $100 - $40 - $20 - $900
    assert found.deal.values["profit"] == Decimal(1940)


def test_an_assumption_for_a_refusal_comes_before_the_chance() -> None:
    found = judged(CHANCES, pads="good", hoses=False, belt=REFUSED)
    assert found.deal is not None
    assert {h.fault.name: h.chance for h in found.deal.bargain.repairs.held} == {"timing": Decimal(1)}
    unsure = judged(CHANCES, pads="good", hoses=False, belt=UNSURE)
    assert unsure.deal is not None
    assert {h.fault.name: h.chance for h in unsure.deal.bargain.repairs.held} == {"timing": Decimal("0.25")}


def test_what_each_answer_would_do_to_the_ceiling() -> None:
    found = judged(CHANCES, hoses=False, belt=False)
    (pads,) = found.assuming
    # $3,000 - $1,000, less $100 + $40 + $20 where the brakes are worn.
    assert {t.value: t.ceiling for t in pads.trials} == {"good": 2000, "worn": 1840, "gone": 1840}
    assert pads.ceilings == (1840, 2000)
    assert found.ceiling == 1920  # at 50 %: half of $160 less


LEFT = """ruleset "Left"
    currency USD
setting highest_offer = $5,000
ask asking: money from $0 to $6,000
    "What is asked?"
ask dull: yes/no
    "Is the paint dull?"
    usually yes 40%, no 60%
ask torn: yes/no
    "Is the seat torn?"
    usually yes 50%, no 50%
fault paint when dull
    parts $900
    if left resale falls 20%, days to sell rise 10, buyers fall 30%
fault seat when torn
    parts $900
    if left resale falls 10%, resale falls $60, buyers fall 50%
let worth = $2,000 * kept(resale) - lost(resale)
let slow = added(days)
let buyers = kept(buyers)
let profit = worth - sum(parts) - offer
require some: profit >= $100
verdict
    buy  when ceiling >= asking
    pass otherwise
"""


def test_faults_that_are_left_weigh_at_their_chance() -> None:
    """Both cost more to mend than they take off: left. Kept of the resale: (1 - 40 % of 20 %) * (1 - 50 % of 10 %) =
    0.92 * 0.95 = 0.874; of the buyers: (1 - 12 %) * (1 - 25 %) = 0.66; $2,000 * 0.874 - 50 % of $60 = $1,718."""
    found = judged(LEFT)
    assert found.deal is not None
    values = found.deal.values
    assert (values["worth"], values["buyers"], values["slow"]) == (Decimal(1718), Decimal("0.66"), Decimal(4 * 12))
    assert found.ceiling == Decimal(1618)


NO_PLAN = """ruleset "No plan"
    currency USD
setting highest_offer = $5,000
ask asking: money from $0 to $6,000
    "What is asked?"
ask title: one of clean, missing
    "What does the title say?"
ask soft_top: yes/no
    "Has it a soft top?"
ask torn: yes/no
    "Is the top torn?"
    only when soft_top, else no
ask idle: yes/no
    "Does the clock run?"
refuse untitled when title is missing
    because "So."
refuse wet when torn
    because "So."
require cheap: offer <= $1,000
caution clock when not idle
    because "So."
verdict
    buy  when ceiling >= asking
    pass otherwise
"""


@pytest.mark.parametrize(
    ("answers", "verdict", "settled", "missing"),
    [
        ({}, "unsettled", False, {"title", "soft_top", "torn"}),
        # A deal-breaker that holds settles it, whatever else is open.
        ({"title": "missing"}, "pass", True, {"soft_top", "torn"}),
        # So does a price that no answer can bring down.
        ({"asking": Decimal("1000.01")}, "pass", True, {"title", "soft_top", "torn"}),
        ({"title": "clean"}, "unsettled", False, {"soft_top", "torn"}),
        ({"title": "clean", "soft_top": True}, "unsettled", False, {"torn"}),
        ({"title": "clean", "soft_top": True, "torn": UNSURE}, "unsettled", False, {"torn"}),
        # A question that does not apply needs no plan.
        ({"title": "clean", "soft_top": False}, "buy", True, set()),
        ({"title": "clean", "soft_top": True, "torn": False}, "buy", True, set()),
    ],
)
def test_no_verdict_on_the_plan_where_nothing_is_planned(
    answers: dict[str, Any], verdict: str, settled: bool, missing: set[str]
) -> None:
    judge = judge_of(NO_PLAN)
    car = Answers("", None, {"asking": Decimal(900)} | answers)
    found = judge.judge(car)
    assert (found.verdict, found.settled) == (verdict, settled)
    assert set(judge.unplanned(Sheet(judge.program, car))) == missing
    assert (found.deal is None) == bool(missing)
    if verdict == "unsettled":
        assert {u.question.name for u in found.unknown} == missing


@pytest.mark.parametrize("part", range(3))
def test_unsettled_exactly_where_something_open_has_no_plan(part: int) -> None:
    for seed, judge in random_judges(40, start=500_000 + part * 10_000):
        program, random = judge.program, Random(f"judgment {seed}")
        for _ in range(4):
            car = random_car(random, program, random.choice((0.6, 0.9)))
            found = judge.judge(car, thorough=random.random() < 0.3)
            missing = judge.unplanned(Sheet(program, car))
            assert (found.verdict == "unsettled") == (bool(missing) and len(found.possible) > 1), seed
            if len(found.possible) == 1:
                assert found.possible == (found.verdict,)
            elif found.deal is not None:
                assert found.verdict == found.deal.verdict


def test_plan_figures_at_a_chance_against_the_plain_evaluator() -> None:
    for seed, program in random_programs(60, size=5, start=1_300_000):
        random = Random(f"chances {seed}")
        chances = {n: Decimal(random.randint(1, 100)) / 100 for n in program.faults if random.random() < 0.8}
        car = random_car(random, program, 1)
        assert car.day is not None
        plain = Car(program, car.values, car.day, told=car.told, denied=car.denied)
        sheet = Sheet(program, car)
        with exact_arithmetic():
            deal = Judge(Readings(program)).deal(sheet, {}, chances)
            repairs = deal.bargain.repairs
            plan = random.randrange(1 << len(repairs.optional))
            fixed = frozenset(h.fault.name for h in repairs.fixed(plan))
            totals = dict(zip(FIGURES, repairs.totals(plan), strict=True))
            found = {(figure, end): triple[i] for figure, triple in totals.items() for i, end in enumerate(ENDS)}
            assert found == plain.figures(fixed, chances), seed


BOTH_WAYS = """ruleset "Both ways"
    currency USD
setting highest_offer = $5,000
ask asking: money from $0 to $6,000
    "What is asked?"
ask worn: yes/no
    "Is it worn?"
    usually yes 50%, no 50%
fault tired when worn
    parts $100
    must be fixed
let profit = $3,000 - sum(parts) - offer
require clear: sum(parts) <= $10 or sum(parts) >= $90
verdict
    buy  when ceiling >= asking
    pass otherwise
"""


def test_what_is_settled_comes_before_what_is_expected() -> None:
    """Half a repair, $50, is what no car has; whatever the answer is, the rule is met."""
    found = judged(BOTH_WAYS)
    assert (found.verdict, found.settled, found.possible) == ("buy", True, ("buy",))
    assert found.deal is not None
    assert found.deal.verdict == "pass"
