"""What the verdict hangs on: answers that are counted as unseen, and questions that only the repair plan leads to."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest

from advisor.judging.judge import Judge
from advisor.language.answers import Answers
from advisor.language.program import Unanswered
from tests.programs import judge_of

UNSURE, REFUSED = Unanswered("unsure"), Unanswered("refused")

HEAD = """ruleset "Small"
    currency USD
setting highest_offer = $2,000
ask asking: money from $0 to $6,000
    "What is asked?"
"""
LADDER = """
verdict
    buy when ceiling >= asking
    pass otherwise
"""
UNSEEN = (
    HEAD
    + """
ask clock: yes/no
    "Does the clock run?"
require cheap: offer <= $1,000
"""
)
MAJORS = (
    HEAD
    + """
ask engine: yes/no
    "Does the engine knock?"
    usually yes 30%, no 70%
    major
fault knocking when engine
    parts $1
let profit = $1,000 - sum(parts) - offer
require some: profit >= $0
refuse unseen when unverified_majors >= 1
    because "So."
"""
)


def said(judge: Judge, **answers: Any) -> tuple[str, bool]:
    found = judge.judge(Answers("", None, {"asking": Decimal(900)} | answers))
    return found.verdict, found.settled


@pytest.mark.parametrize(("counter", "cell"), [("cannot_tell", UNSURE), ("refused_looks", REFUSED)])
def test_what_only_a_caution_looks_at_is_not_counted(counter: str, cell: Unanswered) -> None:
    caution = 'caution stopped when not clock\n    because "It has stopped."\n'
    blind = f'refuse blind when {counter} >= 1\n    because "So."\n'
    judge = judge_of(f"{UNSEEN}\n{caution}{blind}{LADDER}")
    assert said(judge) == said(judge, clock=cell) == ("buy", True)
    planned = UNSEEN.replace('"Does the clock run?"', '"Does the clock run?"\n    unsure assume yes')
    both = judge_of(
        f"{planned}\n{caution}{blind}fault stopped_clock when not clock\n    parts $1\n    must be fixed\n{LADDER}"
    )
    assert said(both, clock=cell) == ("pass", False)


@pytest.mark.parametrize(("counter", "cell"), [("cannot_tell", UNSURE), ("refused_looks", REFUSED)])
def test_a_question_that_is_only_counted_keeps_the_verdict_open(counter: str, cell: Unanswered) -> None:
    judge = judge_of(f'{UNSEEN}\nrefuse blind when {counter} >= 1\n    because "So."\n{LADDER}')
    assert said(judge) == ("buy", False)
    assert said(judge, clock=cell) == ("pass", False)
    assert said(judge, clock=True) == ("buy", True)


def test_a_counter_that_looks_at_nothing_open_settles() -> None:
    judge = judge_of(f'{UNSEEN}\nrefuse blind when cannot_tell >= 2\n    because "So."\n{LADDER}')
    assert said(judge) == ("buy", True)


def test_a_major_that_nobody_saw_counts_although_its_answers_agree() -> None:
    """Both answers lead to a purchase; not having looked does not."""
    judge = judge_of(MAJORS + LADDER)
    assert said(judge) == ("pass", False)
    assert said(judge, engine=UNSURE) == ("pass", False)
    assert said(judge, engine=True) == ("buy", True)


def test_a_fault_matters_to_a_ladder_that_looks_at_repairs_alone() -> None:
    judge = judge_of(
        HEAD + 'ask knock: yes/no\n    "Does it knock?"\nfault knocking when knock\n    parts $500\n    must be fixed\n'
        "verdict\n    buy when sum(parts) <= $10\n    pass otherwise\n"
    )
    assert said(judge) == ("unsettled", False)
    assert said(judge, knock=True) == ("pass", True)
    assert said(judge, knock=False) == ("buy", True)


def test_the_price_asked_matters_to_a_ladder_that_looks_at_the_offer() -> None:
    judge = judge_of(HEAD + "verdict\n    buy when offer <= $1,000\n    pass otherwise\n")
    assert judge.judge(Answers()).verdict == "unsettled"
    assert said(judge) == ("buy", True)


def test_an_estimated_highest_offer_is_planned_and_cut_to_the_cent() -> None:
    """(1,000 + 4 * 1,300.01 + 2,000) / 6 = 1,366.6733..., of which 1,366.67 can be offered."""
    judge = judge_of(
        MAJORS.replace("$2,000", "$1,000 .. $1,300.01 .. $2,000").replace("$1,000 - ", "$9,000 - ") + LADDER
    )
    found = judge.judge(Answers("", None, {"asking": Decimal(900), "engine": False}))
    assert found.ceiling == Decimal("1366.67")
