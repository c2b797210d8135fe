"""A checklist as one page of HTML that needs nothing else: no script, no font, no file beside it.

In: a `Checklist`. Out: text. It prints in two columns on letter or A4, in type of 8.5 points and more; no question is
parted by the end of a column, and a station's heading stays with its first question. Every text from outside is
escaped.
"""

from __future__ import annotations

from collections.abc import Iterator
from html import escape

from advisor.report.clean import clean
from advisor.report.sheet import LINE, MARKS, Answer, Blanks, Checklist, Group, Item, Stop, Ticks
from advisor.report.styling import HEAD

__all__ = ["SHEET_STYLE", "sheet_page"]

SHEET_STYLE = """\
:root { --ink: #1a1a1a; --soft: #595959; --paper: #fff; --rule: #767676; }
@media (prefers-color-scheme: dark) {
  :root { --ink: #ececec; --soft: #ababab; --paper: #161616; --rule: #8a8a8a; }
}
* { box-sizing: border-box; }
body { margin: 0; background: var(--paper); color: var(--ink); font: 16px/1.4 system-ui, sans-serif; }
main { max-width: 62rem; margin: 0 auto; padding: 1rem; overflow-wrap: break-word; }
h1 { font-size: 1.2rem; margin: 0 0 .4rem; }
h2 { font-size: 1rem; margin: 0; border-bottom: 1px solid var(--rule); break-after: avoid; }
p { margin: .2rem 0; }
.row { display: flex; flex-wrap: wrap; gap: .6rem 1rem; margin: .6rem 0; }
.row > span { display: flex; flex: 1 0 auto; align-items: flex-end; min-width: 9rem; }
.row > .fixed { flex-grow: 0; min-width: 0; }
.stops { columns: 26rem; column-gap: 1.5rem; }
.keep { break-inside: avoid; }
.stop { padding-top: .8rem; }
.danger { padding-left: .9rem; text-indent: -.9rem; break-after: avoid; }
.danger b { display: inline-block; width: .9rem; text-indent: 0; }
.gate { font-style: italic; margin-left: 2rem; break-after: avoid; }
.ask { padding: .1rem 0 .2rem 2rem; position: relative; }
.gated { margin-left: .8rem; }
.ask::after { content: ""; display: block; clear: both; }
.ask p { margin: 0; }
.number { position: absolute; left: 0; width: 1.7rem; text-align: right; color: var(--soft); white-space: nowrap; }
.major { font-variant: small-caps; }
.marks { float: right; margin-left: .6rem; word-spacing: .5rem; }
.tick { display: inline-block; margin-right: .7rem; }
.box { display: inline-block; width: .8em; height: .8em; margin-right: .3em; border: 1px solid var(--ink); }
.blank { display: inline-block; height: 1em; border-bottom: 1px solid var(--ink); }
.room { white-space: nowrap; }
.sign { width: 1em; }
.short { width: 3.4em; }
.long { width: 7em; }
.line { width: 70%; flex: 1 0 5em; margin-left: .3em; }
footer { margin-top: 1rem; break-inside: avoid; }
@media print {
  @page { margin: 7mm 7mm 10mm;
    @bottom-right { content: counter(page) " of " counter(pages); font: 8.5pt Arial, Helvetica, sans-serif; } }
  :root { --ink: #000; --soft: #333; --paper: #fff; --rule: #777; }
  body { font: 8.5pt/1.1 Arial, Helvetica, "Liberation Sans", "DejaVu Sans Condensed", sans-serif; }
  main { max-width: none; padding: 0; }
  h1 { font-size: 11pt; margin: 0 0 1mm; }
  h2 { font-size: 8.5pt; }
  p { margin: .1mm 0; }
  .row { gap: 1.5mm 4mm; margin: 1mm 0; }
  .row > span { min-width: 28mm; }
  .stops { columns: 2; column-gap: 5mm; }
  .stop { padding-top: 1mm; }
  .danger { padding-left: 3mm; text-indent: -3mm; }
  .danger b { width: 3mm; }
  .ask { padding: 0 0 .2mm 7mm; }
  .gate { margin-left: 7mm; }
  .gated { margin-left: 3mm; }
  .number { width: 6mm; }
  .marks { margin-left: 2mm; word-spacing: 1mm; }
  .tick { margin-right: 1.5mm; }
  .box { width: 2.2mm; height: 2.2mm; margin-right: .8mm; }
  footer { margin-top: 2mm; }
}
"""
"""Print sets everything in two columns; nothing is colored, and nothing but words and boxes carries a meaning."""

_TOGETHER = 4
"""Up to so many questions under one condition stay together."""
_PRINTED = 60
"""About how many signs a printed line of a column has."""


def sheet_page(sheet: Checklist) -> str:
    """The whole sheet."""
    closing = f"<p>{_safe(sheet.closing)}</p>\n" if sheet.closing else ""
    return "".join([
        HEAD.format(title=_safe(sheet.title), style=SHEET_STYLE),
        f"<main>\n<header>\n<h1>{_safe(sheet.title)}</h1>\n{_row(sheet.head)}",
        f"<p>{_safe(' '.join(sheet.legend))}</p>\n</header>\n",
        '<div class="stops">\n',
        *map(_stop, sheet.stops),
        f"</div>\n<footer>\n{closing}{''.join(map(_row, sheet.foot))}</footer>\n</main>\n</body>\n</html>\n",
    ])  # fmt: skip


def _safe(text: str) -> str:
    return escape(clean(text))


def _row(labels: tuple[tuple[str, Blanks], ...]) -> str:
    """Labels with room to write behind them."""
    parts = []
    for label, blanks in labels:
        kind = "" if LINE in blanks.room else ' class="fixed"'
        parts.append(f"<span{kind}>{_safe(label)}&nbsp;{_blanks(blanks)}</span>\n")
    return f'<div class="row">\n{"".join(parts)}</div>\n'


def _stop(stop: Stop) -> str:
    """A station: its heading in one piece with what comes first."""
    title = f"<h2>{_safe(stop.title)}</h2>\n" if stop.title else ""
    dangers = "".join(f'<p class="danger"><b>!</b>{_safe(d)}</p>\n' for d in stop.dangers)
    parts, above = [], title + dangers
    for piece in (piece for group in stop.groups for piece in _pieces(group)):
        parts.append(f'<div class="keep">\n{above}{piece}</div>\n')
        above = ""
    return f'<section class="stop">\n{"".join(parts)}</section>\n'


def _pieces(group: Group) -> Iterator[str]:
    """What of a group stays together: all of it if it is small, else its condition and its first question."""
    if len(group.items) == 1:
        yield _item(group.items[0], f"{group.gate[0].upper()}{group.gate[1:]}: " if group.gate else "")
        return
    gate = f'<p class="gate">{_safe(group.gate)}:</p>\n' if group.gate else ""
    items = [_item(item, gated=bool(gate)) for item in group.items]
    if gate and len(items) <= _TOGETHER:
        yield gate + "".join(items)
    else:
        yield gate + items[0]
        yield from items[1:]


def _item(item: Item, gate: str = "", *, gated: bool = False) -> str:
    """A question, its answers below or, where that takes fewer lines, behind it."""
    major = ' <b class="major">(major)</b>' if item.major else ""
    marks = f'<span class="marks">{" ".join(map(_safe, MARKS))}</span>'
    asked, answers = len(gate + item.text) + (8 if major else 0), _length(item.answer)
    behind = _lines(asked + answers) < _lines(asked) + _lines(answers)
    between, after = (" ", marks) if behind else (f"</p>\n<p>{marks}", "")
    return (
        f'<div class="ask{" gated" if gated else ""}"><span class="number">{item.number}</span>'
        f"<p>{f'<i>{_safe(gate)}</i>' if gate else ''}{_safe(item.text)}{major}{between}{_answer(item.answer)}{after}"
        "</p></div>\n"
    )


def _length(answer: Answer) -> int:
    """How many signs of a line an answer and its marks take, roughly."""
    if isinstance(answer, Ticks):
        return sum(len(option) + 3 for option in answer.options) + 6
    if LINE in answer.room:
        return _PRINTED
    return sum(room + 2 for room in answer.room) + len(answer.before) + len(answer.after) + 6


def _lines(signs: int) -> int:
    return -(-signs // _PRINTED)


def _answer(answer: Answer) -> str:
    if isinstance(answer, Ticks):
        return " ".join(f'<span class="tick"><span class="box"></span>{_safe(o)}</span>' for o in answer.options)
    return _blanks(answer)


def _blanks(blanks: Blanks) -> str:
    between = f" {_safe(blanks.between)} " if blanks.between.strip() else " "
    before = _safe(blanks.before)
    each = between.join(f'{before}<span class="blank {_kind(room)}"></span>' for room in blanks.room)
    if len(blanks.room) > 1:
        return f"{each}{_safe(blanks.after)}"
    return each if LINE in blanks.room else f'<span class="room">{each}{_safe(blanks.after)}</span>'


def _kind(room: int) -> str:
    return "line" if room == LINE else "sign" if room == 1 else "short" if room <= 5 else "long"
