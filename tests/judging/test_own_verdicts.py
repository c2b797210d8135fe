"""A ruleset that is not about a price advises in words of its own, the best first."""

from __future__ import annotations

import pytest

from advisor.judging.judgment import Judgment
from advisor.language.cars import read_car
from advisor.language.source import Source
from advisor.report.composing import compose
from advisor.report.data import judgment_data
from tests.programs import checked, judge_of

RULES = """
ask title_in_name: yes/no
    "Is the title in the seller's name?"

ask photographs: one of promised, later, refused_to
    "Will the seller send photographs?"
    unsure assume later

refuse hides_it when photographs is refused_to
    because "What nobody may see is worse than what is told."

caution somebody_elses when not title_in_name
    because "The owner must come in person."

verdict
    go               when title_in_name and photographs is promised "Go and see it."
    ask_for_pictures when title_in_name "Ask once more for pictures."
    leave_it         otherwise "Leave it."
"""


def judged(car: str) -> Judgment:
    judge = judge_of(RULES)
    answers, problems = read_car(Source("it.car", car), judge.program)
    assert not problems
    return judge.judge(answers)


@pytest.mark.parametrize(
    ("car", "verdict", "said"),
    [
        ("title_in_name = yes\nphotographs = promised\n", "go", "GO: Go and see it."),
        ("title_in_name = yes\nphotographs = unsure\n", "ask_for_pictures", "ASK FOR PICTURES: Ask once more"),
        ("title_in_name = no\nphotographs = promised\n", "leave_it", "LEAVE IT: Leave it."),
        ("title_in_name = yes\nphotographs = refused_to\n", "leave_it", "LEAVE IT. What nobody may see"),
    ],
)
def test_the_first_line_that_holds_advises(car: str, verdict: str, said: str) -> None:
    judgment = judged(car)
    assert judgment.verdict == judgment_data(judgment)["verdict"] == verdict
    document = compose(judgment)
    assert document.verdict.line.startswith(said)
    assert not any("Stop at" in str(s) or "right at" in str(s) for s in document.sections)


def test_what_is_open_leaves_the_verdicts_that_can_still_come_the_best_first() -> None:
    judgment = judged("title_in_name = yes\n")
    assert judgment.possible == ("go", "ask_for_pictures", "leave_it")
    assert not judgment.settled
    assert judged("photographs = promised\n").possible == ("go", "leave_it")
    assert judged("photographs = promised\n").verdict == "unsettled"


def test_a_deal_breaker_leads_to_the_last_and_is_the_reason() -> None:
    judgment = judged("title_in_name = yes\nphotographs = refused_to\n")
    assert judgment.hopeless
    assert [r.name for r in judgment.reasons] == ["hides_it"]


def test_a_case_may_expect_the_rules_own_words_and_no_others() -> None:
    case = '\ncase "told"\n    title_in_name = yes\n    photographs = promised\n    gives {}\n'
    assert checked(RULES + case.format("go"))[0] is not None
    _, problems = checked(RULES + case.format("buy"))
    assert [p.code for p in problems if p.stops] == ["N12"]
