"""A checklist as plain text: for a terminal of any width, or for a printer, in pages.

In: a `Checklist`. Out: text. A page has `PAGE_LINES` lines of `PAGE_COLUMNS` columns, which is letter and A4 paper with
margins of a quarter of an inch at 14 columns and 8 lines an inch; a form feed stands between two. No question is parted
by the end of a column, and a station's heading stays with its first question.
"""

from __future__ import annotations

from collections.abc import Iterator
from unicodedata import combining, east_asian_width

from attrs import frozen

from advisor.report.clean import clean
from advisor.report.sheet import LINE, MARKS, Answer, Blanks, Checklist, Item, Stop, Ticks
from advisor.report.wrapping import Page

__all__ = ["PAGE_COLUMNS", "PAGE_LINES", "sheet_lines", "sheet_pages"]

PAGE_LINES, PAGE_COLUMNS = 84, 108
_GAP = 2
_COLUMN = (PAGE_COLUMNS - _GAP) // 2
_TEXT = 4
"""Where a question's text begins, behind its number."""
_LEAST_LINE = 8


@frozen
class _Block:
    """Lines that stay together; `above` comes before them at the top of a column, `opens` where a station begins."""

    lines: tuple[str, ...]
    above: tuple[str, ...] = ()
    opens: bool = False

    def at(self, top: bool) -> tuple[str, ...]:
        """Its lines, at the top of a column or elsewhere."""
        return (*self.above, *self.lines) if top else self.lines


def sheet_lines(sheet: Checklist, width: int) -> str:
    """The whole sheet below one another, no line wider than the width, which is at least 20."""
    width = max(width, 20)
    lines = [*_wrapped(sheet.title, width), *_head(sheet, width)]
    for i, block in enumerate(_blocks(sheet, width)):
        lines += ["", *block.lines] if block.opens and i else block.lines
    return "\n".join(line.rstrip() for line in [*lines, *_foot(sheet, width)]) + "\n"


def sheet_pages(sheet: Checklist) -> str:
    """The sheet in two columns on pages, the last page balanced, a form feed between pages."""
    head, foot = _head(sheet, PAGE_COLUMNS), _foot(sheet, PAGE_COLUMNS)
    bodies = _flowed(list(_blocks(sheet, _COLUMN)), len(head), len(foot))
    pages = []
    for i, body in enumerate(bodies):
        number = f"page {i + 1} of {len(bodies)}"
        top = _wrapped(sheet.title, PAGE_COLUMNS - len(number) - 2)
        top[0] = _padded(top[0], PAGE_COLUMNS - len(number)) + number
        lines = [top[0], *(head if i == 0 else [""]), *body, *(foot if i == len(bodies) - 1 else ())]
        pages.append("\n".join(line.rstrip() for line in lines) + "\n")
    return "\f".join(pages)


# ---- pages ----


def _flowed(blocks: list[_Block], head: int, foot: int) -> list[list[str]]:
    """The body of each page: two columns beside each other."""
    pages: list[list[str]] = []
    while blocks or not pages:
        room = PAGE_LINES - 1 - (1 if pages else head)
        later: list[_Block] = []
        height = _balanced(blocks, room)
        if height is not None and height + foot > room:
            blocks, later = _before_the_last_station(blocks)
            height = _balanced(blocks, room) if later else height
        left, blocks = _filled(blocks, room if height is None else height)
        right, blocks = _filled(blocks, room if height is None else height)
        pages.append(_beside(left, right))
        blocks += later
    if len(pages[-1]) + foot > PAGE_LINES - 1 - (1 if len(pages) > 1 else head):
        pages.append([])
    return pages


def _balanced(blocks: list[_Block], room: int) -> int | None:
    """How high two columns have to be to hold everything; None if there is not so much room."""
    return next((h for h in range(room + 1) if _fits(blocks, h)), None)


def _before_the_last_station(blocks: list[_Block]) -> tuple[list[_Block], list[_Block]]:
    """What fills a page, and the last station, which goes to the next one with the foot, so that this is not alone."""
    last = max((i for i, block in enumerate(blocks) if block.opens), default=0)
    return (blocks[:last], blocks[last:]) if last else (blocks, [])


def _filled(blocks: list[_Block], height: int) -> tuple[list[str], list[_Block]]:
    """One column, and what is left; a block longer than a whole column is cut."""
    lines: list[str] = []
    for i, block in enumerate(blocks):
        more = block.at(top=not lines)
        if len(lines) + len(more) > height:
            if lines or height < PAGE_LINES // 2:
                return lines, blocks[i:]
            return list(more[:height]), [_Block(more[height:]), *blocks[i + 1 :]]
        lines += more
    return lines, []


def _fits(blocks: list[_Block], height: int) -> bool:
    """Whether two columns of this height hold everything."""
    for _ in range(2):
        if any(len(b.at(top=True)) > height for b in blocks):
            return not blocks
        blocks = _filled(blocks, height)[1]
    return not blocks


def _beside(left: list[str], right: list[str]) -> list[str]:
    rows = max(len(left), len(right))
    left, right = left + [""] * (rows - len(left)), right + [""] * (rows - len(right))
    return [_padded(a, _COLUMN + _GAP) + b for a, b in zip(left, right, strict=True)]


# ---- head and foot ----


def _head(sheet: Checklist, width: int) -> list[str]:
    """A blank line, the labels with room to write, and how to fill the sheet in."""
    return ["", *_labels(sheet.head, width), "", *_wrapped(" ".join(sheet.legend), width), ""]


def _foot(sheet: Checklist, width: int) -> list[str]:
    lines = [""]
    if sheet.closing:
        lines += _wrapped(sheet.closing, width)
    for row in sheet.foot:
        lines += ["", *_labels(row, width)]
    return lines


def _labels(labels: tuple[tuple[str, Blanks], ...], width: int) -> list[str]:
    """Labels with their blanks, as many to a line as there is room for; lines to write on are stretched to its end."""
    least = [f"{label} {' '.join(_tokens(blanks, _LEAST_LINE * 2))}" for label, blanks in labels]
    rows: list[list[int]] = []
    for i, text in enumerate(least):
        row = rows[-1] if rows else []
        if row and sum(len(least[j]) + 2 for j in row) + len(text) <= width:
            row.append(i)
        else:
            rows.append([i])
    lines = []
    for row in rows:
        free = width - sum(len(least[j]) + 2 for j in row) + 2
        stretched = [j for j in row if LINE in labels[j][1].room]
        extra = max(free, 0) // max(len(stretched), 1)
        parts = [
            f"{labels[j][0]} {' '.join(_tokens(labels[j][1], _LEAST_LINE * 2 + extra))}" if j in stretched else least[j]
            for j in row
        ]
        lines += ["  ".join(parts)] if len(row) > 1 or free >= 0 else _wrapped(least[row[0]], width)
    return lines


# ---- stations and questions ----


def _blocks(sheet: Checklist, width: int) -> Iterator[_Block]:
    for stop in sheet.stops:
        heading = _heading(stop, width)
        for group in stop.groups:
            alone = len(group.items) == 1
            gate = tuple(_wrapped(f"{group.gate}:", width, _TEXT)) if group.gate and not alone else ()
            for i, item in enumerate(group.items):
                lines = tuple(_item(item, width, 2 if gate and width >= 40 else 0, group.gate if alone else ""))
                before = (*heading, *(gate if i == 0 else ()))
                above = gate if i and not heading else ()
                yield _Block((*before, *lines), above, opens=bool(heading))
                heading = ()


def _heading(stop: Stop, width: int) -> tuple[str, ...]:
    dangers = [line for danger in stop.dangers for line in _wrapped(f"! {danger}", width, hang=2)]
    title = _wrapped(f"-- {stop.title} ", width, hang=3) if stop.title else []
    if title:
        title[-1] += " " + "-" * (width - _columns(title[-1]) - 1)
    return (*title, *dangers)


def _item(item: Item, width: int, inset: int, gate: str) -> list[str]:
    """A question, its answers below or, where that saves a line, behind it, and the marks at the right edge."""
    before = f"{gate[0].upper()}{gate[1:]}: " if gate else ""
    asked = _wrapped(f"{item.number:>3} {before}{item.text}{' (major)' if item.major else ''}", width, inset, _TEXT)
    indent, ticks = inset + _TEXT, isinstance(item.answer, Ticks)
    tokens = _tokens(item.answer, width - indent - len(" ".join(MARKS)) - 1)
    below = [_answered([*asked, " " * (indent - 1)], tokens, gap, width, indent) for gap in ("  ", " ")]
    behind = _answered(asked, tokens, " ", width, indent)
    return min((*below, behind) if ticks else (behind, *below), key=len)


def _answered(lines: list[str], tokens: list[str], gap: str, width: int, indent: int) -> list[str]:
    """Lines with answers behind them, in as many more as these need, and the marks at the end of the last."""
    rows, marks = list(lines), " ".join(MARKS)
    for token in tokens:
        between = gap if rows[-1].strip() else " "
        if _columns(rows[-1]) + len(between) + _columns(token) <= width:
            rows[-1] += between + token
        else:
            rows += _wrapped(token, width, indent, _TEXT)
    if _columns(rows[-1]) + 1 + len(marks) > width:
        rows.append("")
    rows[-1] = _padded(rows[-1], width - len(marks)) + marks
    return rows


def _tokens(answer: Answer, line: int) -> list[str]:
    """The parts of an answer that are not parted; `line` is how long a line to write on is."""
    if isinstance(answer, Ticks):
        return [f"[ ] {clean(o)}" for o in answer.options]
    blanks = ["_" * (room or max(line - len(answer.before) - len(answer.after), _LEAST_LINE)) for room in answer.room]
    if answer.between != " ":
        blanks = [answer.between.join(blanks)]
    return [*(answer.before + b for b in blanks[:-1]), f"{answer.before}{blanks[-1]}{answer.after}"]


def _wrapped(text: str, width: int, indent: int = 0, hang: int = 0) -> list[str]:
    page = Page(width)
    page.width = width  # a part of a line may be narrower than any page
    page.add(text, indent, hang)
    return page.lines


def _columns(text: str) -> int:
    """How many columns of a terminal a text takes."""
    return sum(0 if combining(c) else 2 if east_asian_width(c) in "WF" else 1 for c in text)


def _padded(text: str, width: int) -> str:
    return text + " " * max(width - _columns(text), 0)
