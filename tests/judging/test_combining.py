"""How rules combine, against the published table of deny-overrides.

Source: eXtensible Access Control Markup Language (XACML) Version 3.0, OASIS Standard, 22 January 2013, Appendix C.2,
"Deny-overrides". Its steps, in order: any Deny makes Deny; else any Indeterminate{DP} makes Indeterminate{DP}; else
an Indeterminate{D} beside an Indeterminate{P} or a Permit makes Indeterminate{DP}; else any Indeterminate{D} makes
Indeterminate{D}; else any Permit makes Permit; else any Indeterminate{P} makes Indeterminate{P}; else NotApplicable.

What answers to it here: a deal-breaker that holds is Deny, one that may hold Indeterminate{D}. A purchase is granted
by the ladder: a rung that holds is Permit, one that may hold Indeterminate{P}. Deny is the verdict `pass`, Permit
`buy`, NotApplicable the ladder's `otherwise`, here `renegotiate`, and an Indeterminate the set of verdicts that stay
possible. There is no rule that both may deny and may permit, so Indeterminate{DP} comes out and never goes in.
"""

from __future__ import annotations

from itertools import permutations, product

import pytest

from advisor.judging.judge import Judge
from advisor.language.answers import Answers
from advisor.language.program import Unanswered
from tests.programs import judge_of

MEMBERS = ("Deny", "Ind{D}", "Permit", "Ind{P}", "NotApplicable")


def deny_overrides(members: tuple[str, ...]) -> str:
    """The table of C.2, step by step as it is printed."""
    found = set(members)
    if "Deny" in found:
        return "Deny"
    if "Ind{DP}" in found:
        return "Ind{DP}"
    if "Ind{D}" in found and found & {"Ind{P}", "Permit"}:
        return "Ind{DP}"
    if "Ind{D}" in found:
        return "Ind{D}"
    if "Permit" in found:
        return "Permit"
    return "Ind{P}" if "Ind{P}" in found else "NotApplicable"


VERDICTS = {
    "Deny": {"pass"},
    "Permit": {"buy"},
    "NotApplicable": {"renegotiate"},
    "Ind{D}": {"pass", "renegotiate"},
    "Ind{P}": {"buy", "renegotiate"},
}
"""What stays possible. For Ind{DP} it depends: beside a Permit a purchase is certain unless something denies."""


def expected(members: tuple[str, ...]) -> set[str]:
    combined = deny_overrides(members)
    if combined != "Ind{DP}":
        return VERDICTS[combined]
    return {"pass", "buy"} if "Permit" in members else {"pass", "buy", "renegotiate"}


def ruleset(members: tuple[str, ...]) -> tuple[str, dict[str, bool]]:
    """Rules that deny, permit or may do so, and the answers that make them what they are."""
    text, rungs, known = ['ruleset "Combining"', "    currency USD"], [], {}
    for i, member in enumerate(members):
        text += [f"ask a{i}: yes/no", f'    "Does rule {i} apply?"']
        if member in ("Deny", "Permit", "NotApplicable"):
            known[f"a{i}"] = member != "NotApplicable"
        if member in ("Deny", "Ind{D}"):
            text += [f"refuse no{i} when a{i}", '    because "So."']
        else:
            rungs.append(f"    buy when a{i}")
    text += ["verdict", *rungs, "    renegotiate otherwise"]
    return "\n".join(text) + "\n", known


def possible(members: tuple[str, ...]) -> set[str]:
    text, known = ruleset(members)
    return set(judge_of(text).judge(Answers("", None, dict(known))).possible)


@pytest.mark.parametrize("count", [0, 1, 2, 3])
def test_deny_overrides(count: int) -> None:
    for members in product(MEMBERS, repeat=count):
        assert possible(members) == expected(members), members


@pytest.mark.parametrize(
    ("members", "combined"),
    [
        (("Permit", "Ind{P}"), "Permit"),
        (("Permit", "Ind{D}"), "Ind{DP}"),
        (("Ind{D}", "Ind{P}"), "Ind{DP}"),
        (("Ind{P}",), "Ind{P}"),
        ((), "NotApplicable"),
        (("NotApplicable", "Permit"), "Permit"),
        (("Deny", "Ind{DP}"), "Deny"),
        (("Ind{DP}", "Permit"), "Ind{DP}"),
    ],
)
def test_the_table_as_written_here_is_the_published_one(members: tuple[str, ...], combined: str) -> None:
    assert deny_overrides(members) == combined


def test_the_order_of_the_rules_does_not_matter() -> None:
    for members in (("Deny", "Permit", "Ind{D}", "Ind{P}"), ("Ind{D}", "Permit", "Ind{P}", "NotApplicable")):
        assert len({frozenset(possible(order)) for order in permutations(members)}) == 1


PRICED = """ruleset "Priced"
    currency USD
setting highest_offer = $5,000
ask asking: money from $0 to $6,000
    "What is asked?"
ask salvage: yes/no
    "Is it salvage?"
ask worn: yes/no
    "Is it worn?"
refuse branded when salvage
    because "So."
caution tired when worn
    because "So."
require cheap: offer <= $1,000
verdict
    buy         when ceiling >= asking
    renegotiate when ceiling >= 80% of asking
    pass        otherwise
"""


@pytest.fixture(scope="module")
def priced() -> Judge:
    return judge_of(PRICED)


@pytest.mark.parametrize("asking", [0, 900, 1000, 1200, 1300, 6000])
@pytest.mark.parametrize("worn", [True, False, None])
def test_a_deal_breaker_that_holds_ends_it_whatever_the_price(priced: Judge, asking: int, worn: bool | None) -> None:
    answers = {"asking": asking, "salvage": True} | ({} if worn is None else {"worn": worn})
    found = priced.judge(Answers("", None, answers))
    assert (found.verdict, found.settled) == ("pass", True)
    assert "branded" in [r.name for r in found.reasons]


@pytest.mark.parametrize(
    ("asking", "permitted"), [(1000, "buy"), (1001, "renegotiate"), (1250, "renegotiate"), (1251, "pass")]
)
def test_an_open_deal_breaker_leaves_both_verdicts(priced: Judge, asking: int, permitted: str) -> None:
    found = priced.judge(Answers("", None, {"asking": asking, "salvage": Unanswered("unsure"), "worn": True}))
    assert set(found.possible) == {"pass", permitted}
    assert priced.judge(Answers("", None, {"asking": asking, "salvage": False})).verdict == permitted


def test_a_caution_never_changes_a_verdict(priced: Judge) -> None:
    for asking, salvage in product((900, 1100, 2000), (True, False)):
        verdicts = set()
        for worn in (True, False):
            found = priced.judge(Answers("", None, {"asking": asking, "salvage": salvage, "worn": worn}))
            assert [(r.name, sure) for r, sure in found.cautions] == ([("tired", True)] if worn else [])
            verdicts.add((found.verdict, found.settled))
        assert len(verdicts) == 1
        assert priced.judge(Answers("", None, {"asking": asking, "salvage": salvage})).settled
