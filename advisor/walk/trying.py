"""What if: the verdict with some answers changed, without recording it.

In: a `Walk` and words such as `asking were 2,900`, `rust is only surface and tread 3/32`. Out: lines. Raises `Mistake`.
"""

from __future__ import annotations

import re

from attrs import evolve

from advisor.language.program import Question, Unanswered
from advisor.language.types import Choice, Value
from advisor.walk.lines import Line
from advisor.walk.naming import question_named
from advisor.walk.session import Walk
from advisor.walk.telling import WIDE, brought, moved, shown_answer, verdict_lines
from advisor.walk.typed import Mistake, in_words

__all__ = ["tried"]

_SPLIT = re.compile(r"\s*(?:=|\b(?:were|was|is|are|at)\b)\s*(?:only\s+|just\s+)?", re.IGNORECASE)


def tried(walk: Walk, words: str) -> list[Line]:
    """The verdict if it were so."""
    given: dict[str, Value | Unanswered] = {}
    for part in re.split(r"\s+and\s+", words.strip().rstrip("?.")):
        question, text = _meant(walk, part)
        given[question.name] = walk.read(question, walk.written(question, text))
    now = walk if walk.standing is not None else walk.weighed()
    after = evolve(now.answered(given).weighed(), goes_on=True)
    program = walk.program
    told = ", ".join(f"{in_words(n)} {shown_answer(walk, program.questions[n], v)}" for n, v in given.items())
    return [
        Line("now", f"if {told}:"),
        *(_word(after) if walk.pocket else verdict_lines(after, WIDE)),
        *brought(now, after),
        *moved(after, now.standing, "that"),
        Line("told", "(not recorded)"),
    ]


def _word(walk: Walk) -> list[Line]:
    """The verdict without a price."""
    word = walk.standing.on_plan if walk.standing is not None else None
    return [Line("verdict", f"on the plan: {in_words(word).upper()}" if word else "no verdict yet")]


def _meant(walk: Walk, part: str) -> tuple[Question, str]:
    """A question and an answer to it, from a few words."""
    words = re.sub(r"^the\s+", "", part.strip(), flags=re.IGNORECASE)
    if len(pieces := _SPLIT.split(words, maxsplit=1)) == 2 and all(pieces):
        return question_named(walk, pieces[0]), pieces[1]
    tokens = words.split()
    for cut in range(len(tokens) - 1, 0, -1):  # `asking 2,900`: the longest name that is one
        name = "_".join(tokens[:cut]).lower()
        if name in walk.program.questions:
            return walk.program.questions[name], " ".join(tokens[cut:])
    if fits := _by_answer(walk, words):
        return fits
    raise Mistake(f"`{part}` names no question and answer; say it as: i asking 2,900")


def _by_answer(walk: Walk, words: str) -> tuple[Question, str] | None:
    """A question of which both a word of the name and an answer stand in the words."""
    said_ = words.lower()
    found = [
        (question, option)
        for question in walk.program.questions.values()
        if isinstance(question.type, Choice) and any(w in said_.split() for w in question.name.split("_"))
        for option in question.type.options
        if in_words(option) in said_
    ]
    return found[0] if len(found) == 1 else None
