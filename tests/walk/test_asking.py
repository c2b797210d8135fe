"""Whatever is typed, and in whatever order it is asked: an answer goes to the question that stands on the screen."""

from __future__ import annotations

from datetime import date

from hypothesis import example, given
from hypothesis import strategies as st

from advisor.cli.keeping import Keeper
from advisor.cli.screens import Screen
from advisor.cli.walking import ask_all
from advisor.judging.asking import QuickOrder
from advisor.language.answers import Answers
from advisor.language.program import Question
from advisor.walk.lines import Line
from advisor.walk.session import FileOrder, Judging, Walk
from tests.programs import judge_of
from tests.short_walk import RULES
from tests.walk.test_resuming import LINES

WATCHED = judge_of(
    RULES
    + """\
ask belt: yes/no
    "Are the belts torn?"
    fine   no
    unsure assume yes
ask bag: yes/no
    "Does the air bag's light stay on?"
    fine   no
    unsure assume yes
ask lap: yes/no
    "Is a lap belt loose?"
    fine   no
    unsure assume yes
caution belts when belt or bag
    because "Nobody drives it so."
    source common practice
    for safety
caution laps when lap
    because "Nobody sits there."
    source common practice
    for safety
"""
)


class Watching(Screen):
    """Types lines, and sees which question was shown last."""

    def __init__(self, lines: list[str]) -> None:
        self.lines = lines
        self.shown = ""

    def show(self, lines: list[Line]) -> None:
        for line in lines:
            self.shown = line.text if line.kind == "question" else self.shown

    def read(self, question: Question | None, what: str = "") -> str | None:
        if what:
            return "a note"
        if question is not None:
            number = list(WATCHED.program.questions).index(question.name) + 1
            assert self.shown == f"{number}. {question.text}"
        return self.lines.pop(0) if self.lines else None


@example(["2,900", "hatch", "holes", "", "3/32", "y", "n"], False)
@example(["2,900", "hatch", "holes", "b", "none", "3/32"], False)
@given(st.lists(st.sampled_from((*LINES, "y", "n", "y", "n", "")), max_size=25), st.booleans())
def test_an_answer_is_to_what_was_shown(lines: list[str], quick: bool) -> None:
    order = QuickOrder(WATCHED.readings) if quick else FileOrder(tuple(WATCHED.program.questions))
    walk = Walk(Judging(WATCHED.readings), order, Answers(title="Red", day=date(2026, 5, 2)))
    ask_all(walk, Watching(lines), Keeper(None, "red", None))
