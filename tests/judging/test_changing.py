"""What would change the verdict: the fewest changes, each tried for real."""

from __future__ import annotations

from decimal import Decimal

from advisor.judging.judgment import Flip, Judgment
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

ask lien: one of none, open
    "Is a lender named on the title?"
    can become none "The seller pays the lender off."

ask slip: one of fresh, due
    "Is the inspection fresh?"
    can become fresh "The seller has it inspected."

ask rust: yes/no
    "Rust?"

fault inspection_due when slip is due
    parts $300
    must be fixed
    source house figure

refuse owed when lien is open
    because "Until the lender is paid, the seller cannot sell it."
    source common practice

refuse rusty when rust
    because "Too far gone."
    source common practice

let profit = resale - sum(parts) - offer

require enough: profit >= $1,000
    because "It has to pay."
    source house figure

verdict
    buy          when ceiling >= asking
    renegotiate  when ceiling >= 80% of asking
    pass         otherwise
"""


def judged(**answers: str) -> Judgment:
    judge = judge_of(RULES)
    lines = {"asking": "$3,000", "resale": "$5,000", "lien": "none", "slip": "fresh", "rust": "no"} | answers
    car, problems = read_car(Source("car", "".join(f"{n} = {v}\n" for n, v in lines.items())), judge.program)
    assert not problems
    return judge.judge(car)


def told(flips: tuple[Flip, ...]) -> list[tuple[dict[str, object], str]]:
    return [({c.question.name: c.value for c in f.changes}, f.verdict) for f in flips]


def test_what_is_to_be_bought_needs_no_change() -> None:
    assert judged().flips == ()


def test_a_deal_breaker_that_can_be_mended() -> None:
    assert told(judged(lien="open").flips) == [({"lien": "none"}, "buy")]


def test_a_price_that_comes_down_to_the_ceiling() -> None:
    assert told(judged(asking="$4,200").flips) == [({"asking": Decimal(4000)}, "buy")]


def test_one_change_is_told_before_two_and_the_one_that_leaves_more_first() -> None:
    found = told(judged(asking="$3,900", slip="due").flips)
    assert found == [({"slip": "fresh"}, "buy"), ({"asking": Decimal(3700)}, "buy")]


def test_two_changes_where_one_is_not_enough() -> None:
    found = told(judged(lien="open", asking="$6,000").flips)
    assert found == [({"lien": "none", "asking": Decimal(4000)}, "buy")]


def test_what_nobody_can_change_is_not_told() -> None:
    assert judged(rust="yes", lien="open").flips == ()


def test_each_change_leads_where_it_says() -> None:
    """Judged again with the changes made."""
    found = judged(asking="$4,900", slip="due", lien="open")
    assert found.flips
    for flip in found.flips:
        changed = {
            c.question.name: f"${c.value}" if c.question.name == "asking" else str(c.value) for c in flip.changes
        }
        again = judged(**({"asking": "$4,900", "slip": "due", "lien": "open"} | changed))
        assert (again.verdict, again.ceiling) == (flip.verdict, flip.ceiling)
