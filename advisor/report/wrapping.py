"""Lines of at most a width, for any terminal from 20 columns up.

In: texts, labels and values. Out: lines. Signs that take two columns are counted as two, and none of anybody's text is
taken for a command of the terminal.
"""

from __future__ import annotations

import textwrap
from unicodedata import east_asian_width

from attrs import define, field

from advisor.report.clean import clean

__all__ = ["NARROWEST", "Page"]

NARROWEST = 20
_FILL = "\0"


def _columns(text: str) -> int:
    """How many columns of a terminal a text takes."""
    return len(text) + sum(east_asian_width(c) in "WF" for c in text)


@define
class Page:
    """Lines as they are filled."""

    width: int
    lines: list[str] = field(factory=list)

    def __attrs_post_init__(self) -> None:
        self.width = max(self.width, NARROWEST)

    def add(self, text: str, indent: int = 0, hang: int = 2) -> None:
        """Wrapped text. A sign that takes two columns is filled up with one that is taken out again."""
        wide = "".join(c + _FILL if east_asian_width(c) in "WF" else c for c in clean(text))
        lines = textwrap.wrap(
            wide,
            self.width - (_FILL in wide),  # a long word may be cut between a sign and its filling
            initial_indent=" " * indent,
            subsequent_indent=" " * (indent + hang),
            break_on_hyphens=False,
        )
        self.lines += [line.replace(_FILL, "") for line in lines] or [""]

    def pair(self, label: str, value: str, indent: int = 2) -> None:
        """A label and, at the other end of its last line, a value; on a line of its own if there is no room."""
        value = clean(value)
        self.add(label, indent)
        last = self.lines[-1]
        dots = self.width - _columns(last) - _columns(value) - 2
        if dots >= 0:
            self.lines[-1] = f"{last} {'.' * dots} {value}"
        elif indent + 2 + _columns(value) <= self.width:
            self.lines.append(" " * (self.width - _columns(value)) + value)
        else:
            self.add(value, indent + 2)

    @property
    def text(self) -> str:
        """All of it."""
        return "\n".join(line.rstrip() for line in self.lines) + "\n"
