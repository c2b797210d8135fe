"""`can become` and `quote`: what an answer can be made of, and what a shop would ask, with their mistakes."""

from __future__ import annotations

from decimal import Decimal

import pytest

from advisor.language.answers import Answers
from tests.programs import checked, judge_of, program_of

RULES = """\
setting highest_offer = $9,000
    source house figure
setting shop_rate = $90/h
    source house figure
ask asking: money from $0 to $9,000
    "What is asked?"
ask lien: one of none, paid_at_sale, open
    "Is there a lien?"
    can become none         "The seller pays it off, with you there."
    can become paid_at_sale "At the lender's counter."
ask keys: count from 0 to 4
    "How many keys are there?"
ask rust: yes/no
    "Rust underneath?"

fault one_key when keys < 2
    "One key"
    quote  $180
    labor  1 h
    source house figure

fault rusted_floor when rust
    parts  $60 .. $90 .. $120
    shop   $50
    labor  2 h .. 3 h .. 4 h
    source house figure

let argument = argued(quotes)
let profit = $4,000 - offer - sum(parts) - sum(shop)
"""


def codes(text: str) -> list[str]:
    return [p.code for p in checked(text)[1] if p.stops]


def test_what_an_answer_can_become() -> None:
    questions = program_of(RULES).questions
    assert questions["lien"].becomes == (
        ("none", "The seller pays it off, with you there."),
        ("paid_at_sale", "At the lender's counter."),
    )
    assert questions["keys"].becomes == ()


@pytest.mark.parametrize(
    ("old", "new", "found"),
    [
        ("can become none ", "can become non ", ["V06"]),
        ("can become paid_at_sale", "can become none        ", ["S11"]),
        ('can become none         "The seller pays it off, with you there."', "can become none", ["S04"]),
        ('"How many keys are there?"', '"How many keys are there?"\n    can become 2 "A locksmith."', []),
        ('"How many keys are there?"', '"How many keys are there?"\n    can become 9 "A locksmith."', ["V13"]),
        ('"How many keys are there?"', '"How many keys are there?"\n    can become yes "A locksmith."', ["V01"]),
        ('"What is asked?"', '"What is asked?"\n    can become £500 "By talking."', ["V14"]),
        ("quote  $180", "quote  180", ["V07"]),
        ("quote  $180", "quote  2 h", ["V08"]),
        ("quote  $180", "quote  -$180", ["R20"]),
        ("quote  $180", "quote  $180\n    quote  $190", ["S11"]),
        ("quote  $180", "quote  offer", ["R11"]),
        ("quote  $180", "quote  $100 .. $180 .. $250", []),
        ("shop_rate = $90/h", "shop_rate = $90", ["N13"]),
        ("argued(quotes)", "argued(parts)", ["T07"]),
    ],
)
def test_a_mistake_is_one_message(old: str, new: str, found: list[str]) -> None:
    assert codes(RULES.replace(old, new)) == found


def test_a_quote_that_is_not_given_is_reckoned() -> None:
    text = RULES + "verdict\n    pass otherwise\n"
    answers = {"asking": Decimal(1), "lien": "none", "keys": Decimal(1), "rust": True}
    found = judge_of(text).judge(Answers("", None, answers))
    assert found.deal is not None
    # $180, and $90 of parts, $50 of shop work and 3 h at $90.
    assert found.deal.values["argument"] == 180 + 90 + 50 + 270
