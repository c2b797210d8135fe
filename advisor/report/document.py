"""The report of one car as a document: what is said, in which order, on which page; not yet how it looks.

Made by `composing.py`, drawn by `lines.py`, `terminal.py` and `page.py`. Texts are as they came, not yet made safe for
a terminal or a browser: whoever draws a text does that.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from decimal import Decimal
from typing import Literal

from attrs import field, frozen

from advisor.trade.comparables import Valuation

__all__ = [
    "Bar",
    "Bars",
    "Block",
    "Bullet",
    "Bullets",
    "Calendar",
    "Comparables",
    "Day",
    "Document",
    "Pair",
    "Pairs",
    "Paragraph",
    "Section",
    "Table",
    "Verdict",
]


@frozen
class Verdict:
    """The verdict in one word, the sentence that goes with it, and what else belongs right beside it."""

    word: str
    sentence: str
    details: tuple[str, ...]

    @property
    def shown(self) -> str:
        """The word as it is shown."""
        return self.word.replace("_", " ").upper()

    @property
    def line(self) -> str:
        """Word and sentence as one."""
        return f"{self.shown}{self.sentence}"


@frozen
class Paragraph:
    """Running text."""

    text: str


@frozen
class Pair:
    """A label and its value."""

    label: str
    value: str


@frozen
class Pairs:
    """Labels and values, one below the other."""

    rows: tuple[Pair, ...]


@frozen
class Bullet:
    """One point of a list, with what belongs below it."""

    text: str
    more: tuple[str, ...] = ()


@frozen
class Bullets:
    """A list."""

    items: tuple[Bullet, ...]


@frozen
class Table:
    """Rows under heads; the first column is text, the others are figures. `marked` is the row to point out; `short`
    has the rows as text, for a page with no room for columns."""

    heads: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    marked: int | None = None
    mark: str = ""
    short: tuple[str, ...] = ()


@frozen
class Bar:
    """An amount to be drawn, and how it is written; below zero it is drawn otherwise."""

    label: str
    value: str
    amount: Decimal


@frozen
class Bars:
    """Amounts drawn to one scale."""

    items: tuple[Bar, ...]

    def share(self, bar: Bar) -> Decimal:
        """The length of a bar, as a share of the longest."""
        longest = max((abs(b.amount) for b in self.items), default=Decimal(0))
        return abs(bar.amount) / longest if longest else Decimal(0)


@frozen
class Day:
    """A day with what happens on it."""

    label: str
    day: date


def _in_order(days: Iterable[Day]) -> tuple[Day, ...]:
    return tuple(sorted(days, key=lambda d: d.day))


@frozen
class Calendar:
    """Days along a line, the first one first, counted from `start`: the day of the payment, if that is told."""

    items: tuple[Day, ...] = field(converter=_in_order)
    start: date

    def after(self, day: Day) -> int:
        """Days from the start; below zero before it."""
        return (day.day - self.start).days

    def share(self, day: Day) -> Decimal:
        """Where a day stands between the first and the last one, from 0 to 1."""
        first, last = self.items[0].day, self.items[-1].day
        return Decimal((day.day - first).days) / max(1, (last - first).days)

    def told(self, day: Day) -> str:
        """The date, and how long after the start it is; nothing more where it is not."""
        after = self.after(day)
        return f"{day.day.isoformat()}{f' (+{after} d)' if after > 0 else ''}"


@frozen
class Comparables:
    """What other cars say, with the sign of the currency."""

    valuation: Valuation
    sign: str


Block = Paragraph | Pairs | Bullets | Table | Bars | Calendar | Comparables


@frozen
class Section:
    """Some blocks under a heading; without a heading they follow what is above."""

    title: str
    blocks: tuple[Block, ...]
    page: Literal[1, 2] = 1
    can_wait: bool = False
    """Whether a phone shows it on page two."""
    printed: str = ""
    """What is printed instead, where there is no room on the second sheet."""


@frozen
class Document:
    """The whole report."""

    title: str
    subtitle: str
    verdict: Verdict
    sections: tuple[Section, ...]
    closing: str
    """What the report does not say, at the end of page one."""

    def on(self, page: Literal[1, 2]) -> tuple[Section, ...]:
        """The sections of a page."""
        return tuple(s for s in self.sections if s.page == page)
