"""Running the cases of a ruleset: each is a car and what the rules must say of it.

In: a judge. Out: a problem for each case that comes out otherwise.
"""

from __future__ import annotations

from decimal import Decimal

from advisor.judging.derivation import worded
from advisor.judging.judge import Judge
from advisor.judging.judgment import Judgment
from advisor.language import catalogue
from advisor.language.answers import Answers
from advisor.language.functions import SPECIAL
from advisor.language.problems import Problem, ProblemsFound
from advisor.language.program import CaseDef, Expected
from advisor.language.types import Estimate

__all__ = ["run_cases"]


def run_cases(judge: Judge) -> list[Problem]:
    """Run every case of the rules."""
    problems: list[Problem] = []
    for case in judge.program.cases:
        answers = Answers(
            case.title, case.day, case.answers, comparables=case.comparables, told=case.told, denied=case.denied
        )
        try:
            needs_verdict = any(_verdict(e, judge) for e in case.expected)
            judgment = judge.judge(answers, thorough=False, verdict=needs_verdict, settle=False)
        except ProblemsFound as error:
            problems.extend(error.problems)
            continue
        problems.extend(p for e in case.expected if (p := _compare(judge, case, judgment, e)))
    return problems


def _verdict(expected: Expected, judge: Judge) -> bool:
    """Whether a verdict is expected, not the value of a quantity."""
    return expected.name in (*judge.program.verdicts, "unsettled")


def _compare(judge: Judge, case: CaseDef, judgment: Judgment, expected: Expected) -> Problem | None:
    if not _verdict(expected, judge):
        return _compare_value(judge, judgment, expected)
    if judgment.verdict != expected.name:
        names = [r.name for r in judgment.reasons]
        because = f" because {', '.join(names)}" if names else ""
        missing = [u.question.name for u in judgment.unknown if not u.planned]
        open_ = f"; nothing is planned for {', '.join(missing)}" if missing else ""
        found = f"`{judgment.verdict}`{because}{open_}"
        return catalogue.CASE_FAILED.at(expected.span, found=found, wanted=f"`{expected.name}`")
    reasons = {r.name for r in judgment.reasons}
    for name in expected.because:
        if name not in reasons:
            found = ", ".join(f"`{n}`" for n in reasons) or "no rule"
            return catalogue.CASE_FAILED.at(
                expected.span, found=f"`{judgment.verdict}` because of {found}", wanted=f"because of `{name}`"
            )
    return None


def _compare_value(judge: Judge, judgment: Judgment, expected: Expected) -> Problem | None:
    program = judge.program
    type_ = SPECIAL.get(expected.name) or program.type_of(expected.name)
    assert type_ is not None
    if judgment.deal is None:
        missing = ", ".join(f"`{u.question.name}`" for u in judgment.unknown if not u.planned)
        none = f"no value of `{expected.name}`" + (f", for want of {missing}" if missing else "")
        return catalogue.CASE_FAILED.at(expected.span, found=none, wanted="one")
    if expected.name in judgment.deal.values:
        found = judgment.deal.values[expected.name]
    elif expected.name in program.settings:
        found = program.settings[expected.name].value
    else:
        found = judgment.deal.arrays.plan[list(program.questions).index(expected.name)]
    wanted = expected.value
    if isinstance(found, Estimate):
        found = found.planned
    if isinstance(wanted, Estimate):
        wanted = wanted.planned
    if found == wanted:
        return None
    shown = worded(found, type_, program.currency)
    hoped = worded(wanted, type_, program.currency)
    if shown == hoped and isinstance(found, Decimal):
        shown = f"{shown} before rounding"
    return catalogue.CASE_FAILED.at(expected.span, found=f"`{expected.name}` = {shown}", wanted=f"{hoped}")
