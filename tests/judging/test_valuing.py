"""An answer that comparables give: planned with, drawn, explained, and open while what it is adjusted to is open."""

from __future__ import annotations

from decimal import Decimal

import numpy as np
import pytest

from advisor.judging.derivation import derive
from advisor.judging.judge import Judge
from advisor.judging.judgment import Judgment
from advisor.language.answers import Answers
from advisor.language.cars import read_car
from advisor.language.source import Source
from tests.programs import judge_of

RULES = """
setting highest_offer = $25,000
    source house figure

ask asking: money from $0 to $50,000
    "What does the seller ask?"

ask resale: money from $0 to $50,000
    "What will it bring?"

ask model_year: count from 1900 to 2100
    "What year is it?"

ask odometer: mi from 0 mi to 900,000 mi
    "How many miles?"
    unsure assume 120,000 mi

let profit = resale - offer
let tenth = percentile(10%, resale)
let ninetieth = percentile(90%, resale)

require enough: profit >= $1,000

verdict
    buy  when ceiling >= asking
    pass otherwise

comparables for resale
    year      model_year
    miles     odometer
    private   93%
    dealer    87%
    auction   120%
    stands    45 days
    a year    6%
    each 10,000 miles 3%
    rough     70%
    fair      88%
    excellent 110%
    branded   70%
    spread    15%
    source    house figure
"""
LIKES = """
comparable $5,400, asked, private, 2026-03-20, 131,000 mi, 1991, good, 12 days
comparable $4,900, sold, private, 2026-02-20, 140,000 mi, 1990, fair
comparable $6,200, asked, dealer, 101,000 mi, 1992, excellent
"""
KNOWN = "on 2026-04-11\nasking = $3,000\nmodel_year = 1991\nodometer = 121,000 mi\n"


def judged(text: str) -> tuple[Judge, Answers, Judgment]:
    judge = judge_of(RULES)
    answers, problems = read_car(Source("car", text), judge.program)
    assert not problems, [p.message for p in problems]
    return judge, answers, judge.judge(answers)


def test_comparables_answer_what_nobody_answered() -> None:
    _, _, found = judged(KNOWN + LIKES)
    assert found.market is not None
    assert found.market.likely is not None
    assert (found.verdict, found.settled) == ("buy", True)
    assert found.ceiling is not None
    assert abs(found.ceiling + 1000 - found.market.likely) < found.market.likely / 10


def test_what_is_drawn_keeps_the_range_of_the_comparables() -> None:
    """Low to high is an 80 % range: a tenth of what is drawn lies below it, and a tenth above."""
    _, _, found = judged(KNOWN + LIKES)
    assert found.deal is not None
    assert found.market is not None
    assert found.market.low is not None
    assert found.market.high is not None
    assert abs(found.deal.values["tenth"] - found.market.low) < 5
    assert abs(found.deal.values["ninetieth"] - found.market.high) < 5


def test_an_answer_stands_before_comparables() -> None:
    _, _, found = judged(KNOWN + "resale = $9,000\n" + LIKES)
    assert found.ceiling == Decimal(8000)
    assert found.market is not None


def test_without_either_there_is_no_verdict() -> None:
    _, _, found = judged(KNOWN)
    assert found.verdict == "unsettled"
    assert [u.question.name for u in found.unknown] == ["resale"]


@pytest.mark.parametrize("line", ["odometer = unsure\n", ""])
def test_while_the_miles_are_open_nothing_is_settled(line: str) -> None:
    """Another odometer would be another valuation: it is planned with, and settles nothing."""
    _, _, found = judged(KNOWN.replace("odometer = 121,000 mi\n", line) + LIKES)
    assert (found.verdict, found.settled) == ("buy", False)
    assert "resale" in [a.question.name for a in found.assuming]


def test_why_tells_where_it_comes_from() -> None:
    judge, answers, _ = judged(KNOWN + LIKES)
    first, *rest = derive(judge, answers, "resale")
    assert first.kind == "comparables"
    assert first.note.startswith("from 3 comparables")
    assert {"model_year", "odometer"} <= {s.name for s in rest}


def test_the_order_of_comparables_does_not_matter() -> None:
    lines = LIKES.strip().splitlines()
    one, two = judged(KNOWN + LIKES)[2], judged(KNOWN + "\n".join(reversed(lines)) + "\n")[2]
    assert one.ceiling == two.ceiling
    assert np.isfinite(float(one.ceiling or 0))
