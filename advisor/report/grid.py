"""What the comparables say, as plain lines and as data.

In: a `Valuation`, the sign of its currency, and the width of the page. Out: text or plain data. From 60 columns the
grid is a table, with a column for each adjustment that any comparable needs; below, each comparable has its own lines.
Amounts are shown in whole units that still add up: each is the step between two rounded sums.
"""

from __future__ import annotations

import textwrap
from collections.abc import Iterable
from decimal import ROUND_HALF_EVEN, Decimal
from typing import Any

from advisor.report.clean import clean
from advisor.report.document import Table
from advisor.trade.comparables import Line, Valuation

__all__ = ["grid_data", "grid_lines", "grid_table", "valuation_data", "valuation_lines"]

_TABLE_FROM = 60
_HEADS = {"sold": "sale", "condition": "state"}
_FORMS = ((True, True, 2), (True, True, 1), (False, True, 2), (False, True, 1), (False, False, 2), (False, False, 1))
"""How much a table shows, the fullest first: the cars, net and gross adjustment, blanks between the columns."""
_STEPS = {
    "sold": "brought to sold",
    "date": "to this day",
    "age": "to this age",
    "miles": "to these miles",
    "condition": "to good condition",
    "title": "to a clean title",
}


def valuation_lines(valuation: Valuation, sign: str, width: int = 80) -> list[str]:
    """The range, the grid behind it, and the notes."""
    lines = []
    if valuation.likely is None or valuation.low is None or valuation.high is None:
        lines.append("No figure.")
    else:
        low, likely, high = (_money(v, sign) for v in (valuation.low, valuation.likely, valuation.high))
        if valuation.likely == valuation.high:  # nothing but upper bounds
            lines += _wrapped(f"It brings {high} at most, and perhaps as little as {low}.", width)
        else:
            lines += _wrapped(f"It brings {likely} most likely.", width)
            lines += _wrapped(f"Eight in ten such sales: {low} to {high}.", width)
    if valuation.lines:
        lines += ["", *grid_lines(valuation, sign, width)]
    if valuation.notes:
        lines += ["", "Notes"]
        for note in valuation.notes:
            lines += _wrapped(f"  - {note}", width, 4)
    return lines


def grid_lines(valuation: Valuation, sign: str, width: int = 80) -> list[str]:
    """Each comparable brought to this car, step by step."""
    if width >= _TABLE_FROM:
        shown = list(dict.fromkeys(n for line in valuation.lines for n, a in line.adjustments if a))
        for cars, shares, gap in _FORMS:
            table = _table(valuation.lines, shown, cars, shares, gap)
            if max(map(len, table)) <= width:
                return _with_remarks(table, valuation.lines, width)
    return [text for i, line in enumerate(valuation.lines) for text in _block(line, i, sign, width)]


def grid_table(valuation: Valuation) -> Table:
    """The same as a table of a document, with what is odd about a comparable beside its row."""
    shown = list(dict.fromkeys(n for line in valuation.lines for n, a in line.adjustments if a))
    rows = []
    for i, line in enumerate(valuation.lines):
        name, price, *moved, worth, share = _cells(line, i, shown)
        remark = f": {line.remark}" if line.remark and (line.set_aside or line.bound) else ""
        told = f"{name}, {_car(line)}{remark}"
        rows.append((told, price, *moved, worth, _percent(line.net), f"{line.gross:.0%}", share))
    heads = ("row", "price", *(_HEADS.get(n, n) for n in shown), "worth", "net", "gross", "share")
    return Table(heads, tuple(rows))


# ---- the table -------------------------------------------------------------------------------------------------


def _table(lines: tuple[Line, ...], shown: list[str], cars: bool, shares: bool, gap: int) -> list[str]:
    """The head and one row for each comparable."""
    head = ["row", "price", *(_HEADS.get(n, n) for n in shown), "worth", "share"]
    rows = [_cells(line, i, shown) for i, line in enumerate(lines)]
    if shares:
        head[-1:-1] = ["net", "gross"]
        for row, line in zip(rows, lines, strict=True):
            row[-1:-1] = [_percent(line.net), f"{line.gross:.0%}"]
    if cars:
        head[1:1] = ["what"]
        for row, line in zip(rows, lines, strict=True):
            row[1:1] = [_car(line)]
    widths = [max(len(row[i]) for row in [head, *rows]) for i in range(len(head))]
    return [(" " * gap).join(c.rjust(w) for c, w in zip(row, widths, strict=True)) for row in [head, *rows]]


def _cells(line: Line, index: int, shown: list[str]) -> list[str]:
    price, steps, adjusted = _whole(line)
    given = dict(steps)
    moved = ["?" if _missing(line, name) else _signed(given.get(name, 0)) for name in shown]
    return [_row_name(line, index), f"{price:,}", *moved, f"{adjusted:,}", f"{line.weight:.0%}" if line.used else "-"]


def _car(line: Line) -> str:
    c = line.comparable
    miles = f"{_rounded(c.miles / 1000)}k" if c.miles is not None else "?"
    return f"{c.kind if c.seller in ('', 'private') else f'{c.seller} {c.kind}'} {c.year or '?'} {miles}"


def _with_remarks(table: list[str], lines: tuple[Line, ...], width: int) -> list[str]:
    """The table with what is odd about a comparable below its row."""
    found = [table[0]]
    for text, line in zip(table[1:], lines, strict=True):
        found.append(text)
        if line.set_aside or line.bound:
            found += _wrapped(f"     {line.remark}", width, 5)
    return found


# ---- one comparable after another --------------------------------------------------------------------------------


def _block(line: Line, index: int, sign: str, width: int) -> Iterable[str]:
    c = line.comparable
    price, steps, adjusted = _whole(line)
    told = [f"{c.kind} {sign}{price:,}", str(c.year or ""), f"{c.miles:,} mi" if c.miles is not None else "", c.seller]
    yield from _wrapped(f"row {_row_name(line, index)}: {', '.join(filter(None, told))}", width, 2)
    for name, amount in steps:
        if amount or _missing(line, name):
            yield from _pair(_STEPS.get(name, name), "?" if _missing(line, name) else _signed(amount), width)
    yield from _pair("comes to", f"{adjusted:,}", width)
    yield from _pair("net and gross", f"{_percent(line.net)}, {line.gross:.0%}", width)
    yield from _pair("share in the estimate", f"{line.weight:.0%}" if line.used else "none", width)
    if line.set_aside or line.bound:
        yield from _wrapped(f"  {line.remark}", width, 2)


def _pair(label: str, value: str, width: int) -> list[str]:
    """A label and a value at the two ends of a short line, or below each other."""
    room = min(width, 48) - 2
    dots = room - len(label) - len(value) - 2
    if dots >= 0:
        return [f"  {label} {'.' * dots} {value}"]
    return [*_wrapped(f"  {label}", width, 4), value.rjust(min(width, 48))]


# ---- words and figures --------------------------------------------------------------------------------------------


def _row_name(line: Line, index: int) -> str:
    return str(line.comparable.row or index + 1)


def _missing(line: Line, name: str) -> bool:
    """Whether an adjustment could not be made because the comparable does not tell what it needs."""
    c = line.comparable
    untold = {"age": c.year is None, "miles": c.miles is None, "condition": not c.condition, "date": c.day is None}
    return untold.get(name, False)


def _whole(line: Line) -> tuple[int, list[tuple[str, int]], int]:
    """Price, steps and result in whole units that add up."""
    at = line.comparable.price
    before = first = _rounded(at)
    steps = []
    for name, amount in line.adjustments:
        at += amount
        after = _rounded(at)
        steps.append((name, after - before))
        before = after
    return first, steps, before


def _signed(amount: int) -> str:
    return f"{amount:+,}" if amount else "0"


def _rounded(value: Decimal) -> int:
    return int(value.to_integral_value(rounding=ROUND_HALF_EVEN))


def _money(value: Decimal, sign: str) -> str:
    return f"{sign}{_rounded(value):,}"


def _percent(share: Decimal) -> str:
    return f"{share:+.0%}"


def _wrapped(text: str, width: int, hang: int = 0) -> list[str]:
    return textwrap.wrap(clean(text), max(width, 20), subsequent_indent=" " * hang, break_on_hyphens=False)


# ---- data ----------------------------------------------------------------------------------------------------------


def valuation_data(valuation: Valuation) -> dict[str, Any]:
    """The range, the rows that count and those that are set aside, the notes and the grid; money as strings."""
    return {
        "low": _amount(valuation.low),
        "likely": _amount(valuation.likely),
        "high": _amount(valuation.high),
        "used": [n.comparable.row for n in valuation.lines if n.used],
        "flagged": [n.comparable.row for n in valuation.lines if n.set_aside == "outlier"],
        "same_car": [n.comparable.row for n in valuation.lines if n.set_aside == "same car"],
        "notes": list(valuation.notes),
        "grid": grid_data(valuation),
    }


def grid_data(valuation: Valuation) -> list[dict[str, Any]]:
    """Each comparable with its adjustments, exact to the cent."""
    return [
        {
            "row": n.comparable.row,
            "kind": n.comparable.kind,
            "price": _amount(n.comparable.price),
            "adjustments": [{"name": name, "amount": _amount(amount)} for name, amount in n.adjustments],
            "adjusted": _amount(n.adjusted),
            "net_percent": f"{n.net * 100:.1f}",
            "gross_percent": f"{n.gross * 100:.1f}",
            "weight": str(n.weight),
            "used": n.used,
            "bound": n.bound,
            "set_aside": n.set_aside or None,
            "remark": n.remark,
        }
        for n in valuation.lines
    ]


def _amount(value: Decimal | None) -> str | None:
    return None if value is None else f"{value:.2f}"
