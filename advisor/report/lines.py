"""A document as plain lines, for any terminal from 20 columns up, and for a pipe.

In: a `Document` and the width. Out: text. No line is wider than the width; tables become labeled lines.
"""

from __future__ import annotations

from decimal import ROUND_HALF_UP, Decimal

from advisor.judging.judgment import Judgment
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
from advisor.report.wrapping import NARROWEST, Page

__all__ = ["document_lines", "hint", "judgment_lines", "page_two_head", "section_lines"]

_PHONE = 60
"""Below this nothing is drawn, and only pages are parted by blank lines."""


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
            inset = min(indent, page.width - NARROWEST)
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
