"""A document as plain lines, for any terminal from 20 columns up, and for a pipe.

In: a `Document` and the width. Out: text. No line is wider than the width; tables become labeled lines.
"""

from __future__ import annotations

import textwrap
from decimal import ROUND_HALF_UP, Decimal
from unicodedata import east_asian_width

from attrs import define, field

from advisor.judging.judgment import Judgment
from advisor.report.clean import clean
from advisor.report.composing import compose
from advisor.report.document import (
    Bars,
    Block,
    Bullet,
    Bullets,
    Calendar,
    Comparables,
    Document,
    Pairs,
    Paragraph,
    Section,
    Table,
)
from advisor.report.grid import grid_lines

__all__ = ["Page", "document_lines", "hint", "judgment_lines", "page_two_head", "section_lines"]

_NARROWEST = 20
_PHONE = 60
"""Below this nothing is drawn, and only pages are parted by blank lines."""
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
        self.width = max(self.width, _NARROWEST)

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


def judgment_lines(judgment: Judgment, width: int = 80, everything: bool = False) -> str:
    """The report of one car; `everything` takes page two in."""
    return document_lines(compose(judgment, brief=not everything), width, everything)


def document_lines(document: Document, width: int = 80, everything: bool = False) -> str:
    """A document's first page, or both."""
    page = Page(width)
    page.add(document.title)
    page.add(document.subtitle)
    page.lines.append("")
    page.add(document.verdict.line, hang=0)
    for text in document.verdict.details:
        page.add(text)
    waiting = tuple(s for s in document.on(1) if s.can_wait and page.width < _PHONE)
    for section in document.on(1):
        if section not in waiting:
            _section(page, section)
    page.lines.append("")
    page.add(document.closing, hang=0)
    second = waiting + document.on(2)
    if not everything:
        names = "".join(f"{s.title.lower()}, " for s in waiting)
        page.add(hint(names), hang=0)
    elif second:
        page.lines.append("")
        page.add(page_two_head(document), hang=0)
        for section in second:
            _section(page, section)
    return page.text


def hint(more: str = "") -> str:
    """How to see page two, with what `more` names."""
    return f"Page two has {more}every fault and figure: add --all."


def page_two_head(document: Document) -> str:
    """What page two begins with."""
    return f"Page two: {document.title}"


def section_lines(section: Section, width: int) -> list[str]:
    """A section's blocks as lines, without its heading."""
    page = Page(width)
    for block in section.blocks:
        _block(page, block, 0)
    return page.lines


def _section(page: Page, section: Section) -> None:
    if page.width >= _PHONE or not section.title:
        page.lines.append("")
    if section.title:
        page.add(section.title)
    for block in section.blocks:
        _block(page, block, 2 if section.title else 0)


def _block(page: Page, block: Block, indent: int) -> None:
    match block:
        case Paragraph():
            page.add(block.text, indent, 0)
        case Pairs():
            for pair in block.rows:
                page.pair(pair.label, pair.value, indent)
        case Bullets():
            for item in block.items:
                _bullet(page, item, indent)
        case Table():
            _table(page, block, indent)
        case Bars():
            _bars(page, block, indent)
        case Calendar():
            for day in block.items:
                page.pair(day.label, block.told(day), indent)
        case Comparables():
            inset = min(indent, page.width - _NARROWEST)
            grid = grid_lines(block.valuation, block.sign, page.width - inset)
            page.lines += [" " * inset + line for line in grid]


def _bullet(page: Page, item: Bullet, indent: int) -> None:
    page.add(f"- {item.text}", indent)
    for text in item.more:
        page.add(text, indent + 2)


def _table(page: Page, table: Table, indent: int) -> None:
    """Each row as its name and then its figures with their heads; what is not there is left out."""
    for text in table.short:
        page.add(text, indent)
    for i, row in enumerate(table.rows if not table.short else ()):
        mark = f" ({table.mark})" if i == table.marked else ""
        first = f"{table.heads[0]} {row[0]}" if table.heads[0] else row[0]
        page.add(f"{first}{mark}", indent)
        figures = [f"{head} {cell}" for head, cell in zip(table.heads[1:], row[1:], strict=True) if cell != "-"]
        page.add(", ".join(figures), indent + 4, 0)


def _bars(page: Page, bars: Bars, indent: int) -> None:
    """Each amount with a bar below it."""
    room = max(page.width - indent - 2, 8)
    for bar in bars.items:
        page.pair(bar.label, bar.value, indent)
        length = int((bars.share(bar) * room).quantize(Decimal(1), ROUND_HALF_UP))
        if length and page.width >= _PHONE:
            page.lines.append(" " * (indent + 2) + ("-" if bar.amount < 0 else "#") * length)
