"""Drawn outcomes: columns against scipy's beta distribution, chances against the exact reading outcome by outcome, and
what must hold of them whatever the car."""

from __future__ import annotations

from decimal import Decimal
from random import Random

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from advisor.judging.enclosure import bounds_of_chances
from advisor.judging.judge import Judge
from advisor.judging.judgment import Judgment
from advisor.judging.repairs import possible_totals
from advisor.language.answers import Answers
from advisor.language.cars import read_car
from advisor.language.source import Source
from advisor.language.types import Estimate
from advisor.readings.arithmetic import exact_arithmetic
from advisor.readings.drawing import Columns
from tests.answers import random_answer
from tests.programs import judge_of

CENT = Decimal("0.01")

RULES = """
setting highest_offer = $25,000
    source house figure

setting draws = 512
    source house figure

setting fee = $50 .. $100 .. $400
    source house figure

ask asking: money from $0 to $50,000
    "What does the seller ask?"

ask resale: money from $0 to $50,000
    "What will it bring?"

ask hours: h from 1 h to 400 h
    "How long will it take?"

ask rust: yes/no
    "Rust?"
    usually no 75%, yes 25%

ask belt: one of fresh, due
    "Is the belt due?"
    unsure assume fresh

ask dent: yes/no
    "A dent?"
    unsure assume no

fault rusty when rust
    parts $100 .. $200 .. $900
    labor 5 h .. 10 h .. 40 h
    must be fixed
    source house figure

fault old_belt when belt is due
    parts $50 .. $100 .. $400
    if left resale falls 20%
    source house figure

fault dented when dent
    shop $100 .. $150 .. $1,200
    labor 1 h .. 2 h .. 9 h
    if left resale falls $300
    together with rusty
    source house figure

let sold = resale * kept(resale) - lost(resale) - fee
let profit = to_cent(sold - sum(parts) - sum(shop) - offer)
let worked = hours + sum(labor)

let loss = chance(profit < $0)
let worth = chance(profit / worked >= $20/h)
let tenth = percentile(10%, profit)
let resale_tenth = percentile(10%, resale)
let plan_parts = percentile(50%, sum(parts))

require seldom: chance(profit < $0) <= 10%
require paid: profit / worked >= $20/h

verdict
    buy  when ceiling >= asking
    pass otherwise
"""
CAR = """
asking = $3,000
resale = $4,000 .. $5,200 .. $5,800
hours = 10 h .. 20 h .. 60 h
rust = no
"""


def judged(rules: str = RULES, car: str = CAR) -> tuple[Judge, Judgment]:
    judge = judge_of(rules)
    return judge, judge.judge(answers_of(judge, car))


def answers_of(judge: Judge, car: str) -> Answers:
    answers, problems = read_car(Source("car", car), judge.program)
    assert not problems
    return answers


# ---- columns ----


@settings(max_examples=60, deadline=None)
@given(st.integers(0, 5000), st.integers(0, 5000), st.integers(1, 5000), st.integers(0, 99))
def test_a_column_is_the_pert_distribution_in_equal_shares(low: int, rise: int, more: int, seed: int) -> None:
    """A PERT is a beta distribution on its range (Malcolm, Roseboom, Clark and Fazar, Operations Research 7(5), 1959,
    from memory); its quantiles are scipy's."""
    likely, high = low + rise, low + rise + more
    column = np.sort(Columns(512, seed).estimate("x", Estimate(Decimal(low), Decimal(likely), Decimal(high))))
    mode = (likely - low) / (high - low)
    shares = (np.arange(512) + 0.5) / 512
    wanted = low + (high - low) * stats.beta.ppf(shares, 1 + 4 * mode, 5 - 4 * mode)
    assert np.abs(column - wanted).max() <= 2e-5 * (high - low)


def test_published_pert_values() -> None:
    """PERT (2, 4, 12): mean 5, and four in five lie below 6.5026; scipy says the same."""
    column = Columns(65_536, 1).estimate("x", Estimate(Decimal(2), Decimal(4), Decimal(12)))
    assert column.mean() == pytest.approx(5, abs=1e-4)
    assert np.quantile(column, 0.8) == pytest.approx(6.5026, abs=2e-4)
    assert stats.beta(1.8, 4.2, 2, 10).ppf(0.8) == pytest.approx(6.5026, abs=1e-4)


def test_columns_of_two_names_have_nothing_to_do_with_each_other() -> None:
    columns = Columns(4096, 1)
    even = Estimate(Decimal(0), Decimal(1), Decimal(2))
    drawn = [columns.estimate(f"name {i}", even) for i in range(40)]
    between = np.corrcoef(drawn) - np.eye(40)
    assert np.abs(between).max() < 4 / np.sqrt(4096)
    assert (Columns(4096, 1).estimate("name 7", even) == drawn[7]).all()
    assert (Columns(4096, 2).estimate("name 7", even) != drawn[7]).any()


def test_options_come_in_their_shares() -> None:
    at = Columns(4000, 5).option("q", [0.75, 0.2, 0.05])
    assert [int((at == i).sum()) for i in range(3)] == [3000, 800, 200]


def test_a_quantile_is_the_inverted_distribution_function() -> None:
    """As numpy's `inverted_cdf` (Hyndman and Fan 1996, type 1) takes it."""
    judge, _ = judged()
    columns = judge.drawing.columns
    column = columns.estimate("answer resale", Estimate(Decimal(4000), Decimal(5200), Decimal(5800)))
    for share in ("1%", "10%", "33.3%", "50%", "99%", "100%"):
        rules = RULES.replace("percentile(10%, resale)", f"percentile({share}, resale)")
        found = judged(rules)[1].deal.values["resale_tenth"]  # type: ignore[union-attr]  # nothing is missing
        wanted = np.quantile(column, float(share[:-1]) / 100, method="inverted_cdf")
        assert abs(float(found) - wanted) <= 0.005 + 1e-9


# ---- chances, outcome by outcome ----


def test_a_chance_is_the_share_of_outcomes_that_the_exact_reading_finds() -> None:
    """Every outcome judged by itself: its own resale, hours and fee written in, and decided in decimals."""
    judge, found = judged(car=CAR.replace("$3,000", "$4,600"))
    assert found.deal is not None
    columns = judge.drawing.columns
    answers = found.answers.values
    resale, hours = (columns.estimate(f"answer {n}", answers[n]) for n in ("resale", "hours"))  # type: ignore[arg-type]  # estimates
    fee = columns.estimate("setting fee", Estimate(Decimal(50), Decimal(100), Decimal(400)))
    losses = paid = 0
    for sold, worked, paid_fee in zip(resale, hours, fee, strict=True):
        profit = (Decimal(repr(float(sold))) - Decimal(repr(float(paid_fee))) - 4600).quantize(CENT, "ROUND_HALF_UP")
        losses += profit < 0
        paid += profit * 60 >= 20 * Decimal(repr(float(worked)))
    assert found.deal.values["loss"] == Decimal(losses) / 512
    assert found.deal.values["worth"] == Decimal(paid) / 512
    assert 0 < losses < 512
    assert 0 < paid < 512


def test_an_outcome_with_faults_is_what_its_columns_come_to() -> None:
    car = CAR.replace("rust = no", "rust = yes") + "belt = due\ndent = yes\n"
    rules = RULES + "\nsetting misjudgment = 70% .. 95% .. 150%\n    source house figure\n"
    judge, found = judged(rules, car)
    assert found.deal is not None
    columns = judge.drawing.columns
    amiss = columns.estimate("misjudgment", Estimate(Decimal("0.7"), Decimal("0.95"), Decimal("1.5")))
    assert float(amiss.mean()) == pytest.approx(1, abs=1e-4)
    repairs = found.deal.bargain.repairs
    fixed = {h.fault.name for h in repairs.fixed(found.deal.plan)}
    parts = 0.0
    for held in repairs.held:
        low, planned, high = held.parts
        if held.fault.name in fixed and high:
            estimate = Estimate(low, (6 * planned - low - high) / 4, high)
            parts = parts + columns.estimate(f"fault {held.fault.name} parts", estimate)
    wanted = np.quantile(parts * amiss, 0.5, method="inverted_cdf")
    assert abs(float(found.deal.values["plan_parts"]) - wanted) <= 0.006


def test_a_question_at_its_chance_brings_its_fault_in_its_share() -> None:
    car = CAR.replace("rust = no\n", "")
    rules = RULES.replace("let plan_parts = percentile(50%, sum(parts))", "let plan_parts = chance(sum(parts) > $0)")
    found = judged(rules, car)[1]
    assert found.deal is not None
    assert found.deal.values["plan_parts"] == Decimal("0.25")


# ---- what must hold ----


@settings(max_examples=25, deadline=None)
@given(st.integers(0, 800_000), st.integers(1, 100_000))
def test_paying_more_never_makes_a_profit_likelier(cents: int, more: int) -> None:
    _, found = judged()
    assert found.deal is not None
    draw = found.deal.bargain.draw(found.deal.plan)
    (loss,) = (t for t, (n, where) in judged()[0].drawing.nodes.items() if where == "rule seldom")
    low, high = Decimal(cents) * CENT, Decimal(cents + more) * CENT
    assert draw(loss, low) <= draw(loss, high)


@pytest.mark.parametrize("seed", range(12))
def test_the_ceiling_is_exact_where_a_rule_looks_at_a_chance(seed: int) -> None:
    """At the ceiling some plan meets every rule, a cent above it none does: every plan is tried by hand."""
    random = Random(seed)
    low = random.randint(2000, 5000)
    likely = low + random.randint(0, 1500)
    car = (
        f"asking = $3,000\nresale = ${low} .. ${likely} .. ${likely + random.randint(0, 2000)}\n"
        f"hours = 5 h .. 9 h .. {random.randint(10, 90)} h\nrust = {random.choice(['yes', 'no', 'unsure'])}\n"
        f"belt = {random.choice(['due', 'fresh'])}\ndent = {random.choice(['yes', 'no'])}\n"
    )
    _, found = judged(car=car)
    assert found.deal is not None
    bargain, ceiling = found.deal.bargain, found.deal.ceiling
    assert bargain.proved
    everything = tuple(range(bargain.count))
    with exact_arithmetic():
        if ceiling.offer is not None:
            assert bargain.meets(ceiling.offer, ceiling.plan, everything)
        above = CENT + ceiling.offer if ceiling.offer is not None else Decimal(0)
        assert not any(bargain.meets(above, p, everything) for p in range(1 << len(bargain.repairs.optional)))


def test_a_fault_that_is_added_leaves_the_other_columns_as_they_were() -> None:
    one = judged()[1]
    more = RULES.replace(
        "let sold =",
        "fault another when dent\n    parts $5 .. $50 .. $500\n    must be fixed\n    source house figure\n\n"
        "let sold =",
    )
    two = judged(more)[1]
    three = judged(more, CAR + "dent = yes\n")[1]
    assert one.deal is not None
    assert two.deal is not None
    assert three.deal is not None
    assert one.deal.values["resale_tenth"] == two.deal.values["resale_tenth"] == three.deal.values["resale_tenth"]
    assert one.deal.values["loss"] == two.deal.values["loss"]
    assert three.deal.values["tenth"] < one.deal.values["tenth"]


def test_the_same_seed_says_the_same_and_another_nearly() -> None:
    one, again = judged()[1].deal, judged()[1].deal
    other = judged(RULES + "\nsetting seed = 77\n    source house figure\n")[1].deal
    assert one is not None
    assert again is not None
    assert other is not None
    assert one.values["worth"] == again.values["worth"]
    assert abs(one.values["worth"] - other.values["worth"]) < Decimal("0.05")


SMALL = 8
"""Open questions that hardly matter; all their answers together are more than are tried one by one."""


def many_small_questions() -> str:
    """The rules with questions about small things, and a chance that they touch."""
    asks = "".join(f'\nask small{i}: yes/no\n    "Small thing {i}?"\n    unsure assume no\n' for i in range(SMALL))
    faults = "".join(
        f"\nfault tiny{i} when small{i}\n    parts $5 .. $10 .. $40\n    labor 1 h .. 1 h .. 2 h\n"
        "    must be fixed\n    source house figure\n"
        for i in range(SMALL)
    )
    return RULES + asks + faults


def test_a_chance_settles_what_no_open_answer_can_change() -> None:
    cheap = CAR.replace("$3,000", "$1,200") + "belt = fresh\ndent = no\n"
    _, found = judged(many_small_questions(), cheap)
    assert (found.verdict, found.settled) == ("buy", True)
    _, found = judged(many_small_questions(), cheap.replace("$1,200", "$4,900"))
    assert (found.verdict, found.settled) == ("pass", True)


@pytest.mark.parametrize("seed", range(8))
def test_what_is_drawn_lies_within_its_bounds(seed: int) -> None:
    """At some offer, for some completions of the answers: each chance and percentile inside what was said of it."""
    random = Random(f"bounds {seed}")
    judge = judge_of(many_small_questions().replace("let loss", "setting misjudgment = 60% .. 95% .. 160%\n\nlet loss"))
    known = [line for line in CAR.strip().splitlines() if random.random() < 0.8 or "asking" in line]
    answers = answers_of(judge, "\n".join(known) + "\n")
    sheet, drawing = judge.sheet(answers, None), judge.drawing
    faults = judge.program.faults.values()
    offer = Decimal(random.randint(0, 6000))
    with exact_arithmetic():
        arguments = sheet.possible()
        facts, figures, *_ = judge.readings.possible(*arguments)
        mended = {f.name: random.random() < 0.6 for f in faults}
        totals = possible_totals(tuple(faults), facts, figures, mended)
        bounds = bounds_of_chances(drawing, sheet, arguments, facts, figures, mended, totals)
        said = {term: bounds(term, offer) for term in drawing.nodes}
        for _ in range(12):
            whole = {n: random_answer(random, judge.program.questions[n], []) for n in sheet.open}
            done = sheet.with_answers(whole)
            deal = judge.deal(done, {})
            optional = deal.bargain.repairs.optional
            plan = sum(1 << i for i, h in enumerate(optional) if mended[h.fault.name])
            draw = deal.bargain.draw(plan)
            for term, (low, high) in said.items():
                assert low <= draw(term, offer) <= high


def test_without_every_answer_a_chance_settles_nothing_it_should_not() -> None:
    """Whatever the open answers turn out to be, the verdict lies among those said to be possible."""
    judge = judge_of(RULES)
    answers = answers_of(judge, "asking = $3,000\nresale = $4,000 .. $5,200 .. $5,800\nhours = 20 h\n")
    said = judge.judge(answers)
    for rust in (True, False):
        for belt in ("fresh", "due"):
            for dent in (True, False):
                whole = Answers("", answers.day, answers.values | {"rust": rust, "belt": belt, "dent": dent})
                assert judge.judge(whole).verdict in said.possible
