"""Tables of comparables, as a spreadsheet saves them.

In: the text of a CSV file and the day the car is judged. Out: `Adverts`: comparables, every problem of the file, and
notes on what was ignored or how it was read. The first line names the columns; only `price` has to be there.
"""

from __future__ import annotations

import csv
import re
from collections.abc import Callable, Iterator
from datetime import date
from typing import Any

from attrs import define, field, frozen

from advisor.language import catalogue
from advisor.language.blocks import LARGEST, MOST_PROBLEMS
from advisor.language.cells import (
    CellProblem,
    DayOrder,
    read_count,
    read_day,
    read_miles,
    read_price,
    read_word,
    read_year,
    slashed,
)
from advisor.language.problems import Problem, in_order, nearest
from advisor.language.source import Source, Span
from advisor.trade.market import CONDITIONS, Comparable

__all__ = ["COLUMNS", "Adverts", "read_adverts"]

COLUMNS = ("price", "kind", "date", "miles", "year", "condition", "seller", "days", "gone", "title", "note")
"""The columns of a table of comparables, in the order in which they are named where all are."""
_FIELDS = {"date": "day"}
"""Columns whose field in a `Comparable` has another name."""
_KINDS = {"asked": "asked", "ask": "asked", "asking": "asked", "sold": "sold", "sale": "sold"}
_SELLERS = {w: w for w in ("private", "dealer", "auction")}
_YES = dict.fromkeys(("yes", "y", "true", "t", "1"), "yes") | dict.fromkeys(("no", "n", "false", "f", "0"), "no")
_TITLES = {w: w for w in ("clean", "rebuilt", "salvage", "branded", "flood", "lemon", "junk")}


@frozen
class Adverts:
    """What a table says. Where there are problems, `comparables` are the rows that could be read all the same."""

    comparables: tuple[Comparable, ...]
    problems: tuple[Problem, ...]
    notes: tuple[str, ...]


@frozen
class _Record:
    """A row of the table: its cells, the line on which it begins and its place in the text."""

    cells: list[str]
    line: int
    span: Span


def read_adverts(source: Source, on: date, currency: str = "USD") -> Adverts:
    """Read a table of comparables; amounts are in `currency`, a code such as `USD`."""
    if len(source.text) > LARGEST:
        return Adverts((), (catalogue.FILE_TOO_LARGE.at(source.span(0, 0), most="1 MiB"),), ())
    table = _Table(source, on, currency)
    table.read()
    found = in_order(table.problems)
    if len(found) > MOST_PROBLEMS:
        rest = catalogue.TOO_MANY_PROBLEMS.at(found[MOST_PROBLEMS].span, most=MOST_PROBLEMS)
        found = (*found[:MOST_PROBLEMS], rest)
    return Adverts(tuple(table.comparables), found, tuple(table.notes))


@define
class _Table:
    """A table being read."""

    source: Source
    on: date
    currency: str
    order: DayOrder | None = None
    problems: list[Problem] = field(factory=list)
    notes: list[str] = field(factory=list)
    comparables: list[Comparable] = field(factory=list)

    def read(self) -> None:
        lines = re.findall(r"[^\n]*\n|[^\n]+", self.source.text)
        sign, first = _sign(lines)
        records = [r for r in self._records(lines, sign, first) if any(c.strip() for c in r.cells)]
        columns = self._columns(records[0] if records else None)
        if "price" not in columns:
            return
        rows = records[1:]
        if "date" in columns:
            self.order = self._order(rows, columns.index("date"))
        for record in rows:
            if len(self.problems) > MOST_PROBLEMS:
                break
            self._row(record, columns, sign)

    def _records(self, lines: list[str], sign: str, first: int) -> Iterator[_Record]:
        """The rows of the table, each with its place; a row whose quotes do not fit is told and passed over."""
        starts = [0]
        for line in lines:
            starts.append(starts[-1] + len(line))
        while first < len(lines) and len(self.problems) <= MOST_PROBLEMS:
            reader = csv.reader(
                (lines[i] for i in range(first, len(lines))), delimiter=sign, strict=True, skipinitialspace=True
            )
            done = 0
            try:
                for cells in reader:
                    begin, done = done, reader.line_num
                    span = self.source.span(starts[first + begin], starts[first + done])
                    yield _Record([" ".join(c.split()) for c in cells], first + begin + 1, span)
                return
            except csv.Error:
                place = first + done
                whole = self.source.span(starts[place], starts[place] + len(lines[place].rstrip("\n")))
                self.problems.append(catalogue.BROKEN_ROW.at(whole))
                first = place + 1

    def _columns(self, head: _Record | None) -> list[str]:
        """The column of each cell; empty for one that is not used."""
        names = [c.lower().lstrip("\ufeff") for c in head.cells] if head else []
        if head is None or "price" not in names:
            guess = next((n for n in names if nearest(n, ["price"])), None)
            cure = f"did you mean `price` by `{guess}`?" if guess else f"begin with `{','.join(COLUMNS)}`"
            span = self.source.span(head.span.start, head.span.start + len(head.span.text.rstrip())) if head else None
            self.problems.append(catalogue.NO_PRICE_COLUMN.at(span or self.source.span(0, 0), cure=cure))
            return []
        columns = []
        for i, name in enumerate(names):
            if name in COLUMNS and name in columns:
                self.problems.append(catalogue.SAID_TWICE.at(self._cell(head, i), what=name))
            elif name and name not in COLUMNS:
                guess = nearest(name, COLUMNS)
                hint = f"; if it is `{guess}`, name it so" if guess else ""
                self.notes.append(f"The column `{name}` is not used{hint}.")
            columns.append(name if name in COLUMNS and name not in columns else "")
        return columns

    def _order(self, rows: list[_Record], at: int) -> DayOrder | None:
        """Whether months or days come first in dates such as 4/11/2026, where another row of the file tells."""
        dated = [(r, found) for r in rows if at < len(r.cells) and (found := slashed(r.cells[at]))]
        day_first = [r for r, (one, other) in dated if one > 12 >= other]
        month_first = [r for r, (one, other) in dated if other > 12 >= one]
        if bool(day_first) == bool(month_first):
            return None
        witness, order = (day_first or month_first)[0], "day first" if day_first else "month first"
        unsure = [r.cells[at] for r, (one, other) in dated if one <= 12 and other <= 12 and one != other]
        if unsure:
            way = "day/month" if day_first else "month/day"
            self.notes.append(
                f"Dates such as {unsure[0]} are read as {way}, as {witness.cells[at]} in row {witness.line} must be."
            )
        return "day first" if order == "day first" else "month first"

    def _row(self, record: _Record, columns: list[str], sign: str) -> None:
        """Read one row; tells each cell that is wrong."""
        cells = record.cells
        while len(cells) > len(columns) and not cells[-1]:
            cells = cells[:-1]
        if len(cells) > len(columns):
            self._too_many(record, len(cells), len(columns), sign)
            return
        before = len(self.problems)
        values: dict[str, Any] = {"row": record.line}
        for i, (column, text) in enumerate(zip(columns, cells, strict=False)):
            if not column or not text:
                continue
            try:
                values[_FIELDS.get(column, column)] = self._value(column, text)
            except CellProblem as error:
                words = error.words | {"text": text, "column": column}
                self.problems.append(error.kind.at(self._cell(record, i), **words))  # type: ignore[arg-type]  # notes are never among the words
        if len(self.problems) > before:
            return
        if "price" not in values:
            self.problems.append(catalogue.NO_PRICE.at(self._whole(record)))
            return
        self.comparables.append(Comparable(**values))

    def _value(self, column: str, text: str) -> object:
        """The value of one cell. Raises `CellProblem`."""
        read: dict[str, Callable[[str], object]] = {
            "price": lambda t: read_price(t, self.currency),
            "kind": lambda t: read_word(t, _KINDS, "kind of price"),
            "date": lambda t: read_day(t, self.on, self.order),
            "miles": read_miles,
            "year": lambda t: read_year(t, self.on),
            "condition": lambda t: read_word(t, {c: c for c in CONDITIONS}, "condition known here"),
            "seller": lambda t: read_word(t, _SELLERS, "kind of seller"),
            "days": read_count,
            "gone": lambda t: read_word(t, _YES, "yes or no") == "yes",
            "title": lambda t: read_word(t, _TITLES, "title known here"),
            "note": lambda t: t,
        }
        return read[column](text)

    def _too_many(self, record: _Record, count: int, columns: int, sign: str) -> None:
        grouped = re.search(r"\d{1,3},\d{3}\b", record.span.text)
        guess = f'`"{grouped[0]}"`' if grouped and sign == "," else f'`"red{sign} one owner"`'
        shown = "tab" if sign == "\t" else sign
        self.problems.append(
            catalogue.TOO_MANY_CELLS.at(self._whole(record), count=count, columns=columns, sign=shown, guess=guess)
        )

    def _whole(self, record: _Record) -> Span:
        return self.source.span(record.span.start, record.span.start + len(record.span.text.rstrip()))

    def _cell(self, record: _Record, index: int) -> Span:
        """Where a cell stands: found behind the cells before it; the whole row where quotes inside hide it."""
        at, text = 0, record.span.text
        for i, cell in enumerate(record.cells[: index + 1]):
            found = text.find(cell, at)
            if found < 0:
                return self._whole(record)
            if i == index:
                return self.source.span(record.span.start + found, record.span.start + found + len(cell))
            at = found + len(cell)
        return self._whole(record)


def _sign(lines: list[str]) -> tuple[str, int]:
    """What parts the cells, and the line of the head: the sign by which most columns are known ones."""
    if lines and (found := re.fullmatch(r"\ufeff?sep=([,;\t|:])\s*", lines[0])):
        return found[1], 1
    head = next((line for line in lines if line.strip()), "")

    def known(sign: str) -> int:
        return sum(c.strip(' "\n\ufeff').lower() in COLUMNS for c in head.split(sign))

    return max(",;\t", key=known), 0
