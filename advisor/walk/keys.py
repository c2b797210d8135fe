"""What a typed line asks for: a key, an answer, a station's answers, or something to be tried.

In: a line and the question that is being asked. Out: an act; what it means is decided elsewhere. A letter alone is a
key, and no key is `y` or `n`, so that every question of yes or no keeps its answers; a choice is typed by its number or
by two letters and more.
"""

from __future__ import annotations

import re
from datetime import date

from attrs import frozen

from advisor.language.program import Program, Question
from advisor.language.types import YesNo
from advisor.walk.typed import UNSURE, Mistake, read_typed

__all__ = ["KEYS", "Act", "Key", "Named", "Said", "Several", "WhatIf", "read_line"]

KEYS = {
    "b": "back",
    "u": "take an answer back: this one, or the last",
    "s": "skip it for now",
    "?": "can't tell",
    "x": "not allowed to look",
    "m": "make a note, as: m rust by the jack",
    "w": "why it is asked",
    "h": "how it is checked",
    "v": "verdict so far",
    "i": "what if, as: i asking 2,900",
    "l": "list and jump, as: l, l open, l 12",
    "t": "another station, as: t, t 5",
    "p": "pocket: no money on the screen, or again",
    "q": "stop; everything is kept",
}
"""The letters, each with what it does. Enter alone keeps an answer that is there."""

_WORDS = {
    "back": "b", "undo": "u", "skip": "s", "note": "m", "why": "w", "how": "h", "verdict": "v", "list": "l",
    "stations": "t", "pocket": "p", "quit": "q", "stop": "q", "exit": "q", "help": "k", "keys": "k",
}  # fmt: skip
"""Words that people type for a key."""
_TAKING = "milt"
"""The keys that take more words."""
_NAMED = re.compile(r"([A-Za-z_]\w*)\s*=\s*(\S.*)", re.ASCII)
_IF = re.compile(r"(?:what\s+)?if\s+(\S.*)", re.IGNORECASE)
_PART = re.compile(r"(?:(\d{1,3})|(rest))\s+(\S.*)", re.ASCII | re.IGNORECASE)
_CLAIM = re.compile(r"(told|denied)(?:\s+([A-Za-z_][\w ]*))?", re.ASCII)


@frozen
class Key:
    """A key, and what was typed behind it."""

    letter: str
    rest: str = ""


@frozen
class Said:
    """An answer to the question."""

    text: str


@frozen
class Named:
    """An answer to a question by its name."""

    name: str
    text: str


@frozen
class Several:
    """Answers to several questions of a station by their numbers; None stands for all the rest."""

    parts: tuple[tuple[int | None, str], ...]


@frozen
class WhatIf:
    """Something to be tried and not kept."""

    text: str


@frozen
class Claim:
    """A fault that the seller told of, or denied; no name for the one found last."""

    kind: str
    fault: str


Act = Key | Said | Named | Several | WhatIf | Claim


def read_line(line: str, question: Question | None, program: Program, today: date | None) -> Act:
    """What a line asks for; `today` is the car's day."""
    text = line.strip()
    letter, _, rest = text.partition(" ")
    if not text:
        return Key("")
    if text.lower() in KEYS or text.lower() == "k":
        return Key(text.lower())
    if text.lower() in _WORDS and not _is_answer(text, question, program, today):
        return Key(_WORDS[text.lower()])
    if letter.lower() in _TAKING and rest and text.lower() not in UNSURE:
        return Key(letter.lower(), rest.strip())
    if found := _CLAIM.fullmatch(text):
        return Claim(found[1], "_".join((found[2] or "").lower().split()))
    if found := _IF.fullmatch(text):
        return WhatIf(found[1])
    if (found := _NAMED.fullmatch(text)) and found[1] in program.questions:
        return Named(found[1], found[2])
    several = _several(text)
    if several and not _is_answer(text, question, program, today):
        return several
    return Said(text)


def _several(text: str) -> Several | None:
    """The parts of `7 ok, 9 holed, rest ok`."""
    parts: list[tuple[int | None, str]] = []
    for piece in re.split(r"\s*(?:;|(?<!\d),|,(?!\d{3}(?!\d)))\s*(?=\d+\s+\S|rest\s)", text):
        found = _PART.fullmatch(piece)
        if not found:
            return None
        parts.append((int(found[1]) if found[1] else None, found[3].strip()))
    return Several(tuple(parts))


def _is_answer(text: str, question: Question | None, program: Program, today: date | None) -> bool:
    """Whether the question itself takes the line: three readings, two words of a text, a day and a month, a choice
    with its number."""
    if question is None or isinstance(question.type, YesNo):
        return False
    try:
        read_typed(text, question, program, today)
    except Mistake:
        return False
    return True
