"""A deal as the book keeps it: events in order, and what they come to.

In: events, or the text of a `.car` file. Out: a `Record`, or text again. Answers are kept as a file writes them, so
that no rules are needed to read the book, and none are believed. Nothing that was said is taken out: a later event goes
over an earlier one.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import Literal

from attrs import evolve, field, frozen

__all__ = ["Event", "Kind", "Record", "events_of", "fold", "record_text"]

Kind = Literal[
    "began",
    "dated",
    "ruled",
    "sketched",
    "answered",
    "cleared",
    "skipped",
    "stood",
    "noted",
    "told",
    "denied",
    "compared",
    "own",
    "judged",
    "decided",
]


@frozen
class Event:
    """Something that happened to a deal; `id` and `at` (UTC, ISO) are given by the book.

    began: text is the title. dated: text is the day. ruled: about are the rules as they were named, text their hash.
    answered: about is the question, text the answer. cleared, skipped: about is the question. noted: text. told,
    denied: about is a fault. compared: text is a comparable's line. own: about is a partner, text an amount. judged:
    about is the verdict, text the report. decided: about is what was decided, text the price. sketched: text says what
    the rules were, as whoever walks writes it. stood: about is the question jumped or gone back to, text the words of
    what was chosen: back, goes_on, pocket, quick.
    """

    kind: Kind
    about: str = ""
    text: str = ""
    id: int = field(default=0, eq=False)
    at: str = field(default="", eq=False)


@frozen
class Record:
    """What a deal's events come to. `trail` are the questions dealt with, in order, the latest last."""

    title: str = ""
    day: str = ""
    rules: tuple[str, ...] = ()
    """The hashes of all rules that asked, the latest last."""
    rules_named: str = field(default="", eq=False)
    values: dict[str, str] = field(factory=dict)
    skipped: tuple[str, ...] = ()
    trail: tuple[str, ...] = field(default=(), eq=False)
    notes: tuple[str, ...] = ()
    told: tuple[str, ...] = ()
    denied: tuple[str, ...] = ()
    comparables: tuple[str, ...] = ()
    own: dict[str, str] = field(factory=dict)
    decided: tuple[str, str] | None = None
    verdict: str = field(default="", eq=False)
    sketch: str = field(default="", eq=False)
    """What the rules were when it was walked last."""
    stood: tuple[str, str] = field(default=("", ""), eq=False)
    """Where the walk stands beyond what its answers tell: a question, and the words of what was chosen."""
    last: int = field(default=0, eq=False)
    """The number of the last event."""


def fold(events: Iterable[Event], record: Record | None = None) -> Record:
    """What events come to, after those that a record stands for."""
    found = record or Record()
    for event in events:
        found = evolve(_with(found, event), last=event.id)
        if event.kind in _MOVING:
            found = evolve(found, verdict="")
    return found


_MOVING = ("dated", "ruled", "answered", "cleared", "told", "denied", "compared")
"""Events after which an earlier verdict is no longer the car's."""


def _with(record: Record, event: Event) -> Record:
    about, text = event.about, event.text
    match event.kind:
        case "began":
            return evolve(record, title=text)
        case "dated":
            return evolve(record, day=text)
        case "ruled":
            return evolve(record, rules=(*(r for r in record.rules if r != text), text), rules_named=about)
        case "answered":
            skipped = tuple(n for n in record.skipped if n != about)
            return evolve(record, values={**record.values, about: text}, trail=_trail(record, about), skipped=skipped)
        case "cleared":
            values = {n: text for n, text in record.values.items() if n != about}
            return evolve(record, values=values, trail=tuple(n for n in record.trail if n != about))
        case "skipped":
            skipped = (*(n for n in record.skipped if n != about), about)
            return evolve(record, skipped=skipped, trail=_trail(record, about))
        case "stood":
            return evolve(record, stood=(about, text))
        case "noted":
            return evolve(record, notes=(*record.notes, text))
        case "told" | "denied":
            told, denied = (tuple(n for n in names if n != about) for names in (record.told, record.denied))
            if event.kind == "told":
                return evolve(record, told=(*told, about), denied=denied)
            return evolve(record, told=told, denied=(*denied, about))
        case "compared":
            return evolve(record, comparables=(*record.comparables, text))
        case "own":
            return evolve(record, own={**record.own, about: text})
        case "judged":
            return evolve(record, verdict=about)
        case "sketched":
            return evolve(record, sketch=text)
        case "decided":
            return evolve(record, decided=(about, text))
    raise AssertionError(event.kind)


def _trail(record: Record, name: str) -> tuple[str, ...]:
    """The trail with a question dealt with; one that was gone back to keeps its place."""
    if "back" in record.stood[1].split() and name in record.trail:
        return record.trail
    return (*(n for n in record.trail if n != name), name)


def record_text(record: Record) -> str:
    """The record as the text of a `.car` file."""
    lines = [f'car "{record.title}"']
    lines += [f"on {record.day}"] if record.day else []
    lines += ["rules" + "".join(f' "{hash_}"' for hash_ in record.rules)] if record.rules else []
    lines += [f"{name} = {value}" for name, value in record.values.items()]
    lines += [f"comparable {line}" for line in record.comparables]
    named = (("told", record.told), ("denied", record.denied), ("skipped", record.skipped))
    lines += [f"{word} {', '.join(names)}" for word, names in named if names]
    lines += [f'own "{who}" {amount}' for who, amount in record.own.items()]
    lines += [f'note "{note}"' for note in record.notes]
    if record.decided:
        what, price = record.decided
        lines.append(f"decided {what} at {price}" if price else f"decided {what}")
    return "\n".join(lines) + "\n"


_LINES: tuple[tuple[Kind, re.Pattern[str]], ...] = (
    ("began", re.compile(r'car[ \t]+"(?P<text>[^"\n]*)"')),
    ("dated", re.compile(r"on[ \t]+(?P<text>\S+)")),
    ("ruled", re.compile(r'rules(?P<each>(?:[ \t]+"[0-9a-f]*")+)')),
    ("compared", re.compile(r"comparable[ \t]+(?P<text>\S.*)")),
    ("told", re.compile(r"told[ \t]+(?P<names>\S.*)")),
    ("denied", re.compile(r"denied[ \t]+(?P<names>\S.*)")),
    ("skipped", re.compile(r"skipped[ \t]+(?P<names>\S.*)")),
    ("own", re.compile(r'own[ \t]+"(?P<about>[^"\n]*)"[ \t]+(?P<text>\S.*)')),
    ("noted", re.compile(r'note(?P<texts>(?:\s+"[^"\n]*")+)')),
    ("decided", re.compile(r"decided[ \t]+(?P<about>\w+)(?:[ \t]+at[ \t]+(?P<text>\S.*))?")),
    ("answered", re.compile(r"(?P<about>[A-Za-z_]\w*)[ \t]*=[ \t]*(?P<text>.*)", re.ASCII)),
)


def events_of(text: str) -> tuple[Event, ...]:
    """The events that a `.car` text stands for; the language has read it before, and found it right."""
    from advisor.language.blocks import cut  # only what comes in needs it; the book itself opens without
    from advisor.language.source import Source

    found: list[Event] = []
    for chunk in cut(Source("", text))[0]:
        line = _bare(chunk.text)
        for kind, pattern in _LINES:
            if match := pattern.fullmatch(line):
                found += _events(kind, match.groupdict())
                break
        else:  # nothing is left out in silence
            raise AssertionError(line)
    return tuple(found)


def _bare(text: str) -> str:
    """A line with what is indented below it, as the language reads it: without comments, a list in one line."""
    bare = re.sub(r'("[^"\n]*")|#[^\n]*', lambda m: m[1] or "", text).strip()
    return re.sub(r",[ \t]*\n\s*", ", ", bare)


def _events(kind: Kind, parts: dict[str, str | None]) -> list[Event]:
    if names := parts.get("names"):
        return [Event(kind, n.strip()) for n in names.split(",")]
    if each := parts.get("each"):
        return [Event(kind, text=hash_) for hash_ in re.findall(r'"([0-9a-f]*)"', each)]
    if texts := parts.get("texts"):
        return [Event(kind, text=" ".join(re.findall(r'"([^"\n]*)"', texts)))]
    return [Event(kind, (parts.get("about") or "").strip(), (parts.get("text") or "").strip())]
