"""Where a piece of text stands: the file it came from and the stretch of it that is meant.

The first stage. In: a file's name and text. Out: `Source` and `Span`, which every later stage carries along so
that each problem and each derivation can name file, line and column.
"""

from __future__ import annotations

from bisect import bisect_right
from functools import cached_property

from attrs import field, frozen

__all__ = ["Place", "Source", "Span", "spanned"]


@frozen
class Place:
    """A position as people count it: line and column, both from 1."""

    line: int
    column: int


@frozen(slots=False)
class Source:
    """One file: the name it is shown under and its whole text, with line ends as `\\n`."""

    name: str
    text: str = field(repr=False)

    @cached_property
    def _line_starts(self) -> list[int]:
        starts = [0]
        starts.extend(i + 1 for i, c in enumerate(self.text) if c == "\n")
        return starts

    def place(self, offset: int) -> Place:
        """Line and column of a character offset."""
        line = bisect_right(self._line_starts, offset)
        return Place(line, offset - self._line_starts[line - 1] + 1)

    def line(self, number: int) -> str:
        """The text of a line, counted from 1, without its line end."""
        start = self._line_starts[number - 1]
        end = self.text.find("\n", start)
        return self.text[start:] if end < 0 else self.text[start:end]

    def span(self, start: int, end: int) -> Span:
        """The stretch from `start` up to, not including, `end`."""
        return Span(self, start, end)


@frozen
class Span:
    """A stretch of a source, by character offsets; `end` is not part of it."""

    source: Source
    start: int
    end: int

    @property
    def text(self) -> str:
        """The characters themselves."""
        return self.source.text[self.start : self.end]

    @property
    def place(self) -> Place:
        """Where it begins."""
        return self.source.place(self.start)

    def to(self, other: Span) -> Span:
        """From the beginning of this stretch to the end of `other`, in the same source."""
        return Span(self.source, self.start, max(self.end, other.end))

    def __str__(self) -> str:
        return f"{self.source.name}:{self.place.line}"


def spanned() -> Span:
    """The field of a place in a class of values that are equal wherever they stand."""
    return field(eq=False, repr=False)  # type: ignore[no-any-return]  # attrs types field() as Any
