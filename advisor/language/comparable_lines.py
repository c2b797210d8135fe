"""A comparable as one line of a recorded car.

In: what stands behind the word `comparable`, and the day of the car. Out: a `Comparable`. The price comes first; the
other parts follow in any order, with commas between, and are known by their shape:

    comparable $5,400, asked, private, 2026-03-20, 131,000 mi, 1991, good, 12 days, gone, title clean, "one owner"
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import date
from typing import Any

from advisor.language import catalogue
from advisor.language.cells import CellProblem, read_count, read_day, read_miles, read_price, read_year
from advisor.language.problems import Problem, nearest
from advisor.language.source import Span
from advisor.trade.comparables import Comparable
from advisor.trade.market import CONDITIONS

__all__ = ["UnreadablePart", "comparable_line", "read_comparable"]

_PART = re.compile(r'\s*((?:"[^"\n]*"|[^",]|,(?!\s))*)(,\s|$)')
_OPTION = re.compile(r", or say `--.*")
"""What a table's cure says of the command that reads it."""
_WORDS: dict[str, tuple[str, object]] = {
    "asked": ("kind", "asked"),
    "sold": ("kind", "sold"),
    "private": ("seller", "private"),
    "dealer": ("seller", "dealer"),
    "auction": ("seller", "auction"),
    "gone": ("gone", True),
    "still there": ("gone", False),
} | {word: ("condition", word) for word in CONDITIONS}
_EXAMPLE = "write for example `comparable $5,400, asked, private, 2026-03-20, 131,000 mi, 1991, good, 12 days`"


class UnreadablePart(Exception):
    """A part of the line that cannot be read: where it stands in the text, what is wrong, and what to do."""

    def __init__(self, start: int, text: str, why: str, cure: str) -> None:
        self.start, self.text, self.why, self.cure = start, text, why, cure
        super().__init__(why)

    def at(self, line: Span) -> Problem:
        """The problem that it is, for a text that stands at `line`."""
        start = line.start + self.start
        place = line.source.span(start, start + max(len(self.text), 1))
        return catalogue.COMPARABLE_PART.at(place, text=self.text or ",", why=self.why, cure=self.cure)


def read_comparable(text: str, on: date | None, currency: str, row: int) -> Comparable:
    """Read a comparable. `currency` is the code of the rules, such as `USD`; without a day, any day will do.

    Raises `UnreadablePart`.
    """
    day = on or date.max
    parts = list(_parts(text))
    found: dict[str, Any] = {}
    for i, (start, part) in enumerate(parts):
        try:
            name, value = ("price", _price(part, currency)) if i == 0 else _part(part, day)
        except CellProblem as problem:
            cure = _OPTION.sub("", problem.words["cure"])
            raise UnreadablePart(start, part, _why(problem), cure) from None
        except LookupError:
            guess = nearest(part.lower(), _WORDS)
            cure = f"did you mean `{guess}`?" if guess else _EXAMPLE
            raise UnreadablePart(start, part, "is no part of a comparable", cure) from None
        if name in found:
            raise UnreadablePart(start, part, f"tells the {_named(name)} again", "keep one of the two")
        found[name] = value
    return Comparable(**found, row=row)


def comparable_line(found: Comparable, sign: str) -> str:
    """The line of a comparable, which `read_comparable` reads back; `sign` is the sign of the currency."""
    parts = [
        f"comparable {sign}{found.price:,f}",
        found.kind,
        found.seller,
        found.day.isoformat() if found.day else "",
        f"{found.miles:,f} mi" if found.miles is not None else "",
        str(found.year or ""),
        found.condition,
        f"{found.days} days" if found.days is not None else "",
        {True: "gone", False: "still there", None: ""}[found.gone],
        f"title {found.title}" if found.title else "",
        f'"{found.note}"' if found.note else "",
    ]
    return ", ".join(p for p in parts if p)


def _parts(text: str) -> Iterator[tuple[int, str]]:
    """The parts between commas, and where each begins; the first word behind the price may do without its comma."""
    at = 0
    while at <= len(text):
        match = _PART.match(text, at)
        assert match is not None
        part, start = match[1].rstrip(), match.start(1)
        if at == 0 and " " in part:
            price, rest = part.split(None, 1)
            yield start, price
            yield start + part.index(rest, len(price)), rest
        else:
            yield start, part
        if not match[2]:
            return
        at = match.end()


def _price(part: str, currency: str) -> Any:
    if not re.match(r"[$£€\d-]", part):
        raise LookupError(part)
    return read_price(part, currency)


def _part(part: str, day: date) -> tuple[str, Any]:
    """What a part tells, and its value. Raises `LookupError` for a shape that nothing has."""
    word = " ".join(part.lower().split())
    if word in _WORDS:
        return _WORDS[word]
    if len(part) >= 2 and part[0] == part[-1] == '"':
        return "note", part[1:-1]
    if word.startswith("title "):
        return "title", part.split(None, 1)[1]
    if re.match(r"\d{4}-|\d{1,2}/\d", part):
        return "day", read_day(part, day, None)
    if re.search(r"\d\s*(?:mi|miles?|km)$|^\d+k$", word):
        return "miles", read_miles(part)
    if re.fullmatch(r"\d+ days?", word):
        return "days", read_count(part)
    if re.fullmatch(r"\d{4}", part):
        return "year", read_year(part, day)
    raise LookupError(part)


def _why(problem: CellProblem) -> str:
    if problem.kind is catalogue.UNREADABLE_CELL:
        return f"is no {problem.words['wanted']}"
    return problem.words.get("why", "can be read in two ways")


def _named(name: str) -> str:
    return {"kind": "kind of price", "gone": "car's being gone"}.get(name, name)
