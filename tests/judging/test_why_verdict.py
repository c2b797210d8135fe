"""`why verdict`: what decides, what was tried before it, and the rules that are why."""

from __future__ import annotations

from decimal import Decimal

import pytest

from advisor.judging.derivation import NeedsAnswers, Step, derive, names
from advisor.language.answers import Answers
from advisor.language.program import Unanswered
from advisor.language.types import Value
from tests.programs import judge_of, program_of

RULES = """ruleset "Ladder"
    currency USD
setting highest_offer = $9,000
    source house figure
ask asking: money from $0 to $9,000
    "What is asked?"
ask resale: money from $0 to $9,000
    "What does it bring?"
ask title: one of clean, missing
    "What does the title say?"
ask keys: count from 0 to 4
    "How many keys?"
    unsure assume 1
let least = 80% of asking
    "less is no offer"
refuse no_title when title is missing
    because "Nobody can register it."
require margin: offer <= resale - $1,000
    because "The profit is made when you buy."
verdict
    buy          when ceiling >= asking
    renegotiate  when ceiling >= least and keys >= 1
    pass         otherwise
"""


def why(**answers: Value | Unanswered) -> tuple[Step, ...]:
    usual = {"asking": Decimal(3000), "resale": Decimal(5000), "title": "clean", "keys": Decimal(2)}
    return derive(judge_of(RULES), Answers("", None, usual | answers), "verdict")


def test_the_first_rung() -> None:
    step, *others = why()
    assert (step.value, step.formula) == ("buy", "buy when ceiling >= asking")
    assert step.uses == (("ceiling", "$4,000"), ("asking", "$3,000"))
    assert step.note == "settled: no open answer can change it"
    assert step.place == "random.tell:21"
    assert {"ceiling", "asking"} <= {s.name for s in others}


def test_the_rungs_above_do_not_hold_and_rules_are_why() -> None:
    step, *others = why(resale=Decimal(3900), keys=Unanswered("unsure"))
    assert (step.value, step.formula) == ("renegotiate", "renegotiate when ceiling >= least and keys >= 1")
    assert dict(step.uses) == {
        "buy when ceiling >= asking": "does not hold",
        "ceiling": "$2,900", "asking": "$3,000", "least": "$2,400", "keys": "1",
        "margin": "is not met at $3,000",
    }  # fmt: skip
    assert step.note == "on the plan; what is open leaves possible: renegotiate, pass"
    assert {"margin", "least", "keys"} <= {s.name for s in others}


def test_without_a_ceiling_the_other_figures_are_still_told() -> None:
    step = why(resale=Decimal(900))[0]
    assert (step.value, step.formula) == ("pass", "pass otherwise")
    said = dict(step.uses)
    assert (said["ceiling"], said["asking"], said["least"]) == ("none", "$3,000", "$2,400")
    assert said["renegotiate when ceiling >= least and keys >= 1"] == "does not hold"


def test_a_deal_breaker() -> None:
    step = why(title="missing")[0]
    assert (step.value, step.formula, step.uses) == ("pass", "a deal-breaker holds", (("no_title", "holds"),))


def test_what_is_settled_without_a_plan() -> None:
    open_ = Unanswered("unsure")
    (step,) = why(title="missing", resale=open_)
    assert (step.value, step.formula) == ("pass", "whatever is not known yet")
    assert step.uses == (("no_title", "holds"),)


def test_what_is_not_settled_waits_for_answers() -> None:
    with pytest.raises(NeedsAnswers) as caught:
        why(title=Unanswered("unsure"))
    assert caught.value.questions == ("title",)


def test_rules_without_a_ladder_have_no_verdict() -> None:
    assert "verdict" not in names(program_of('let two = 2\nshow two "two"\n'))
