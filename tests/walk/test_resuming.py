"""A walk that was killed goes on where it stood: at the same question, with the same way back, as if nothing had been.

Whatever is typed, the walk that the events come to is the one that was walked.
"""

from __future__ import annotations

from datetime import date
from functools import cache

from attrs import evolve
from hypothesis import given
from hypothesis import strategies as st

from advisor.book.record import Event, Record, fold
from advisor.cli.reading import answers_of
from advisor.judging.asking import QuickOrder
from advisor.language.answers import Answers
from advisor.readings.compiled import Readings
from advisor.walk.responding import respond
from advisor.walk.session import FileOrder, Judging, Walk
from tests.programs import judge_of
from tests.short_walk import RULES

DAY = date(2026, 5, 2)
LINES = (
    "2,900", "3,200", "hatch", "convertible", "none", "surface", "holes", "3/32", "1/32", "torn", "sound", "?", "x",
    "s", "b", "b", "u", "", "p", "l 2", "l 4", "t 1", "m dusty", "rest ok", "rest skip", "3 none, rest ok", "nonsense",
    "told torn_top", "what if body is hatch", "body = convertible", "rust = none", "tread = 1/32",
)  # fmt: skip


@cache
def readings() -> Readings:
    return judge_of(RULES).readings


def begun(answers: Answers, quick: bool) -> Walk:
    order = QuickOrder(readings()) if quick else FileOrder(tuple(readings().program.questions))
    return Walk(Judging(readings()), order, answers)


def resumed(record: Record, quick: bool) -> Walk:
    """The walk of another process: nothing is remembered but what the book has."""
    answers, told = answers_of(record, readings().program)
    assert not told
    walk = evolve(begun(answers, quick), trail=record.trail, skipped=frozenset(record.skipped))
    return walk.stands(*record.stood)


@given(st.lists(st.sampled_from(LINES), max_size=25), st.booleans())
def test_it_goes_on_where_it_stood(lines: list[str], quick: bool) -> None:
    walk = begun(Answers(title="Red", day=DAY), quick)
    record = fold([Event("began", text="Red"), Event("dated", text=str(DAY))])
    for line in lines:
        step = respond(walk, line)
        changes = [*step.changes, *([step.walk.stood] if step.walk.stood != walk.stood else [])]
        record = fold([Event(c.kind, c.about, c.text) for c in changes], record)
        walk = step.walk.weighed()
        again = resumed(record, quick).weighed()
        assert again.question == walk.question
        assert (again.paused, again.pocket, again.put_off) == (walk.paused, walk.pocket, walk.put_off)
        assert (again.trail, again.at, again.back) == (walk.trail, walk.at, walk.back)
        assert (again.way, again.anew) == (walk.way, walk.anew)
        assert again.answers.values == walk.answers.values
