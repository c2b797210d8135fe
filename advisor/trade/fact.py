"""What a computed fact of the trade says: an answer in a sentence, where it comes from, and what it does not say.

Every module of computed facts gives plain values to the rules, and a `Fact` to people who ask for one by itself.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from decimal import Decimal
from typing import Literal

from attrs import field, frozen

__all__ = ["Cited", "Fact", "Standing", "Unanswerable", "Value"]

Standing = Literal["published", "quoted", "from memory", "common practice", "house figure"]
"""How far a source was read: in its own text, in a text that quotes it, recalled and not read, not there to read, or
our own figure."""

Value = str | bool | int | Decimal | date | None
"""A value that is told as data."""


@frozen
class Cited:
    """A source: what it is called, such as `49 CFR 570.9`, and how far it was read.

    A source that is recalled or that nobody published says so wherever it is shown.
    """

    text: str
    standing: Standing

    def __str__(self) -> str:
        shown = {"published": self.text, "quoted": f"{self.text}, as quoted elsewhere"}.get(self.standing)
        if shown:
            return shown
        return f"{self.standing}: {self.text}" if self.text else self.standing


@frozen
class Fact:
    """An answer: a sentence, its values by name, its sources, and what it leaves open."""

    sentence: str
    values: Mapping[str, Value | tuple[Value, ...]]
    sources: tuple[Cited, ...]
    limits: tuple[str, ...] = field(default=())
    """What somebody might think it says and it does not, each a sentence."""


class Unanswerable(ValueError):
    """Input that cannot be read as what was asked about; the text says what to do, in lower case, without a stop."""
