"""A caution that always holds: on page one of every report, and no mistake."""

from __future__ import annotations

import pytest

from advisor.judging.judge import Judge
from advisor.language.answers import Answers
from advisor.readings.compiled import Readings
from advisor.report.composing import compose
from tests.programs import checked

RULES = """\
ask wet: yes/no
    "Is it wet?"
{asked}
refuse soaked when wet
    because "Wet through."
    source common practice
{cautions}
caution on_every_report when yes
    because "This is no inspection by a mechanic."
    source house figure
verdict
    buy otherwise
"""
LAMPS = "".join(f'ask lamp_{i}: yes/no\n    "Lamp {i}?"\n' for i in range(6))
CAUTIONS = "".join(
    f'caution dark_{i} when lamp_{i}\n    because "Lamp {i} is dark."\n    source common practice\n' for i in range(6)
)


@pytest.mark.parametrize(
    "answers",
    [{}, {"wet": True}, {"wet": False}, {"wet": True} | {f"lamp_{i}": True for i in range(6)}],
    ids=["nothing asked", "passed", "bought", "passed with many others"],
)
def test_it_stands_on_page_one_of_every_report(answers: dict[str, bool]) -> None:
    program, problems = checked(RULES.format(asked=LAMPS, cautions=CAUTIONS))
    assert program is not None
    assert not problems, [p.message for p in problems]
    document = compose(Judge(Readings(program)).judge(Answers("", None, dict(answers))))
    page_one = repr([s for s in document.sections if s.page == 1])
    assert page_one.count("This is no inspection by a mechanic.") == 1
    assert "(if it is as planned)" not in page_one.split("This is no inspection by a mechanic.")[1][:40]
    if len(answers) > 2:
        assert "3 more on page two." in page_one
