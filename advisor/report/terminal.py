"""A document on a terminal of 60 columns and more, in color where there is one.

In: a `Document`, the width, and what the terminal can show. Out: text, with the terminal's color codes if asked for.
Words and signs carry the meaning; color repeats it. The only module that knows rich; imported when it is needed.
"""

from __future__ import annotations

import io
from decimal import ROUND_HALF_UP, Decimal

from attrs import define, field
from rich.cells import cell_len
from rich.console import Console
from rich.padding import Padding
from rich.table import Column, Table
from rich.text import Text

from advisor.report import document as doc
from advisor.report.clean import clean
from advisor.report.grid import grid_lines
from advisor.report.lines import hint, page_two_head, section_lines

__all__ = ["FROM", "terminal_text"]

FROM = 60
"""From this width on there are tables; below, lines are read more easily."""
_COLORS = {"buy": "#56B4E9", "renegotiate": "#E69F00", "pass": "#D55E00", "unsettled": "#CC79A7"}
"""Colors that color-blind people tell apart, and no traffic light: M. Okabe and K. Ito, Color Universal Design, 2008
(from memory)."""
_NAMES = 22
"""The least room for a table's first column; with less, its rows are told as lines."""
_SIGNS = {True: ("█", "░", "●", "·", "─"), False: ("#", "-", "o", ".", "-")}


def terminal_text(
    document: doc.Document, width: int, *, everything: bool = False, color: bool = False, signs: bool = True
) -> str:
    """A document's first page, or both; `signs` allows for signs beyond ASCII."""
    drawing = _Drawing(width, color, signs)
    drawing.head(document)
    for section in document.on(1):
        drawing.section(section)
    drawing.line("")
    drawing.text(document.closing)
    second = document.on(2)
    if not everything:
        drawing.text(hint(), "dim")
    elif second:
        drawing.line("")
        drawing.text(page_two_head(document), "bold")
        for section in second:
            drawing.section(section)
    return drawing.written


@define
class _Drawing:
    width: int
    color: bool
    signs: bool
    file: io.StringIO = field(factory=io.StringIO)
    console: Console = field(init=False)

    def __attrs_post_init__(self) -> None:
        self.console = Console(
            file=self.file, width=self.width, height=25, force_terminal=self.color, legacy_windows=False,
            color_system="auto" if self.color else None, highlight=False, markup=False, emoji=False,
        )  # fmt: skip

    @property
    def written(self) -> str:
        """What was drawn so far; blanks at the ends of lines are left out where nothing is colored."""
        text = self.file.getvalue()
        return text if self.color else "\n".join(line.rstrip() for line in text.split("\n"))

    def line(self, text: str, style: str = "") -> None:
        """One line as it is."""
        self.console.print(Text(text, style=style), soft_wrap=True)

    def text(self, text: str, style: str = "", indent: int = 0, hang: int = 0, sign: str = "") -> None:
        """Wrapped text, with a sign before its first line."""
        words = Text(clean(text), style=style, overflow="fold")
        if not sign:
            self.console.print(Padding(words, (0, 0, 0, indent)))
            return
        grid = Table.grid(Column(width=hang), Column(overflow="fold"))
        grid.add_row(Text(sign), words)
        self.console.print(Padding(grid, (0, 0, 0, indent)))

    def head(self, document: doc.Document) -> None:
        """The car, the rules, and the verdict."""
        self.text(document.title, "bold")
        self.text(document.subtitle, "dim")
        self.line("")
        verdict = document.verdict
        words = Text(overflow="fold")
        words.append(clean(verdict.shown), f"bold {_COLORS.get(verdict.word, '')}".strip())
        words.append(clean(verdict.sentence), "bold")
        self.console.print(words)
        for text in verdict.details:
            self.text(text)

    def section(self, section: doc.Section) -> None:
        """A section under a heading that runs across the page."""
        self.line("")
        if section.title:
            title = Text(clean(section.title), "bold", overflow="fold")
            room = self.width - cell_len(title.plain) - 1
            if room > 0:
                title.append(" " + _SIGNS[self.signs][4] * room, "dim")
            self.console.print(title)
        indent = 2 if section.title else 0
        for block in section.blocks:
            self.block(block, indent)

    def block(self, block: doc.Block, indent: int) -> None:
        """A block of a section."""
        match block:
            case doc.Paragraph():
                self.text(block.text, indent=indent)
            case doc.Pairs():
                for pair in block.rows:
                    self.pair(pair, indent)
            case doc.Bullets():
                for item in block.items:
                    self.text(item.text, indent=indent, hang=2, sign="-")
                    for more in item.more:
                        self.text(more, "dim", indent + 2)
            case doc.Table():
                self.table(block, indent)
            case doc.Bars():
                self.bars(block, indent)
            case doc.Calendar():
                self.calendar(block, indent)
            case doc.Comparables():
                for line in grid_lines(block.valuation, block.sign, self.width - indent):
                    self.line(" " * indent + line)

    def pair(self, pair: doc.Pair, indent: int) -> None:
        """A label and its value at the two ends of a line."""
        label, value = clean(pair.label), clean(pair.value)
        dots = self.width - indent - cell_len(label) - cell_len(value) - 2
        if dots < 0:
            for line in section_lines(doc.Section("", (doc.Pairs((pair,)),)), self.width - indent):
                self.line(" " * indent + line)
            return
        words = Text(" " * indent + label + " ").append("." * dots, "dim").append(" " + value, "bold")
        self.console.print(words, soft_wrap=True)

    def table(self, table: doc.Table, indent: int) -> None:
        """Columns, the figures to the right; rows as lines where the names would have too little room."""
        figures = [[clean(row[i]) for row in (table.heads, *table.rows)] for i in range(1, len(table.heads))]
        words = [max((w for w in column[0].split()), key=cell_len, default="") for column in figures]
        widths = [max(map(cell_len, [w, *column[1:]])) for w, column in zip(words, figures, strict=True)]
        names = [clean(row[0]) + self._mark(table, i) for i, row in enumerate(table.rows)]
        room = self.width - indent - sum(widths) - 2 * len(widths)
        if room < min(_NAMES, max(map(cell_len, [clean(table.heads[0]), *names]), default=0)):
            for line in section_lines(doc.Section("", (table,)), self.width - indent):
                self.line(" " * indent + line)
            return
        drawn = Table(box=None, padding=(0, 0, 0, 2), pad_edge=False, header_style="dim")
        drawn.add_column(Text(clean(table.heads[0])), overflow="fold", max_width=room)
        for column, width in zip(figures, widths, strict=True):
            drawn.add_column(Text(column[0]), justify="right", vertical="top", width=width, overflow="fold")
        for i, (name, row) in enumerate(zip(names, table.rows, strict=True)):
            cells = [Text(name), *(Text(clean(c)) for c in row[1:])]
            drawn.add_row(*cells, style="bold" if i == table.marked else None)
        self.console.print(Padding(drawn, (0, 0, 0, indent)))

    def _mark(self, table: doc.Table, row: int) -> str:
        return f" ({clean(table.mark)})" if row == table.marked else ""

    def bars(self, bars: doc.Bars, indent: int) -> None:
        """Amounts drawn to one scale, between their labels and their figures."""
        full, below, *_ = _SIGNS[self.signs]
        rows = []
        for bar in bars.items:
            rows.append((bar.label, bar.value, bars.share(bar), below if bar.amount < 0 else full))
        self._drawn(rows, indent)

    def _drawn(self, rows: list[tuple[str, str, Decimal, str]], indent: int) -> None:
        labels = max((cell_len(clean(r[0])) for r in rows), default=0)
        values = max((cell_len(clean(r[1])) for r in rows), default=0)
        labels = min(labels, self.width // 2)
        room = max(self.width - indent - labels - values - 4, 4)
        grid = Table.grid(
            Column(width=labels, overflow="fold"), Column(width=room), Column(width=values, justify="right"),
            padding=(0, 2, 0, 0), pad_edge=False,
        )  # fmt: skip
        for label, value, share, sign in rows:
            length = int((share * room).quantize(Decimal(1), ROUND_HALF_UP))
            grid.add_row(Text(clean(label)), Text(sign * length, "#0072B2"), Text(clean(value), "bold"))
        self.console.print(Padding(grid, (0, 0, 0, indent)))

    def calendar(self, calendar: doc.Calendar, indent: int) -> None:
        """Each day on a line of its own, further to the right the later it is."""
        _, _, dot, between, _ = _SIGNS[self.signs]
        labels = min(max(cell_len(clean(d.label)) for d in calendar.items), self.width // 2)
        values = max(len(calendar.told(d)) for d in calendar.items)
        room = max(self.width - indent - labels - values - 4, 4)
        grid = Table.grid(
            Column(width=labels, overflow="fold"), Column(width=room), Column(width=values, justify="right"),
            padding=(0, 2, 0, 0), pad_edge=False,
        )  # fmt: skip
        for day in calendar.items:
            at = int(calendar.share(day) * (room - 1))
            line = Text(between * at, "dim").append(dot, "#0072B2").append(between * (room - 1 - at), "dim")
            grid.add_row(Text(clean(day.label)), line, Text(calendar.told(day), "bold"))
        self.console.print(Padding(grid, (0, 0, 0, indent)))
