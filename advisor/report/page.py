"""A document as one page of HTML that needs nothing else: no script, no font, no file beside it.

In: a `Document`. Out: text. It reads on a phone, in the light and in the dark, and prints in columns on letter or
A4. Every text from outside is escaped.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from decimal import Decimal
from html import escape

from advisor.report import document as doc
from advisor.report.clean import clean
from advisor.report.grid import grid_table
from advisor.report.styling import HEAD, STYLE

__all__ = ["html_page"]


_ACROSS = 8
"""With more columns than this, a table is printed across the sheet."""


def html_page(document: doc.Document) -> str:
    """The whole report, both sheets."""
    verdict = document.verdict
    return "".join([
        HEAD.format(title=_safe(document.title), style=STYLE),
        '<main class="sheet">\n<header>\n',
        f"<h1>{_safe(document.title)}</h1>\n<p class=\"by\">{_safe(document.subtitle)}</p>\n",
        f'<p class="verdict {_safe(verdict.word)}"><strong>{_safe(verdict.shown)}</strong>'
        f"{_safe(verdict.sentence)}</p>\n",
        *(f"<p>{_safe(d)}</p>\n" for d in verdict.details),
        '</header>\n<div class="parts">\n',
        *(_section(s) for s in document.on(1)),
        f'</div>\n<footer>{_safe(document.closing)}</footer>\n</main>\n',
        *_second(document),
        "</body>\n</html>\n",
    ])  # fmt: skip


def _second(document: doc.Document) -> Iterator[str]:
    sections = document.on(2)
    if sections:
        yield f'<div class="sheet two">\n<h1>Page two: {_safe(document.title)}</h1>\n<div class="parts">\n'
        yield from (_section(s) for s in sections)
        yield "</div>\n</div>\n"


def _safe(text: str) -> str:
    return escape(clean(text))


def _section(section: doc.Section) -> str:
    title = f"<h2>{_safe(section.title)}</h2>\n" if section.title else ""
    inside = "".join(map(_block, section.blocks))
    if section.printed:
        inside = f'<div class="screen">\n{inside}</div>\n<p class="print">{_safe(section.printed)}</p>\n'
    return f"<section>\n{title}{inside}</section>\n"


def _block(block: doc.Block) -> str:
    match block:
        case doc.Paragraph():
            return f"<p>{_safe(block.text)}</p>\n"
        case doc.Pairs():
            return _pairs((_safe(p.label), _safe(p.value)) for p in block.rows)
        case doc.Bullets():
            return f"<ul>\n{''.join(map(_bullet, block.items))}</ul>\n"
        case doc.Table():
            return _table(block)
        case doc.Bars():
            return _drawn((b.label, b.value, _bar(block, b)) for b in block.items)
        case doc.Calendar():
            return _drawn((d.label, block.told(d), _mark(block.share(d))) for d in block.items)
        case doc.Comparables():
            return _table(grid_table(block.valuation))


def _pairs(rows: Iterable[tuple[str, str]]) -> str:
    return f"<dl>\n{''.join(f'<div><dt>{label}</dt><dd>{value}</dd></div>{chr(10)}' for label, value in rows)}</dl>\n"


def _bullet(item: doc.Bullet) -> str:
    more = "".join(f"<br><small>{_safe(m)}</small>" for m in item.more)
    return f"<li>{_safe(item.text)}{more}</li>\n"


def _table(table: doc.Table) -> str:
    """A table that scrolls sideways by itself on a narrow screen."""
    heads = "".join(f'<th scope="col">{_safe(h)}</th>' for h in table.heads)
    rows = []
    for i, row in enumerate(table.rows):
        marked = i == table.marked
        name = _safe(row[0]) + (f" ({_safe(table.mark)})" if marked else "")
        cells = "".join(f"<td>{_safe(c)}</td>" for c in row[1:])
        rows.append(f'<tr{" class=marked" if marked else ""}><th scope="row">{name}</th>{cells}</tr>\n')
    inside = f"<thead><tr>{heads}</tr></thead>\n<tbody>\n{''.join(rows)}</tbody>"
    across = " across" if len(table.heads) > _ACROSS else ""
    return f'<div class="wide{across}"><table>\n{inside}\n</table></div>\n'


def _drawn(rows: Iterable[tuple[str, str, str]]) -> str:
    """Labels and figures with a drawing below each."""
    items = "".join(
        f"<div><dt>{_safe(label)}</dt><dd>{_safe(value)}</dd>{drawing}</div>\n" for label, value, drawing in rows
    )
    return f'<dl class="drawn">\n{items}</dl>\n'


def _percent(share: Decimal) -> str:
    return f"{share * 100:.1f}%"


def _bar(bars: doc.Bars, bar: doc.Bar) -> str:
    kind = "bar below" if bar.amount < 0 else "bar"
    style = f"width:{_percent(bars.share(bar))}"
    return f'<dd class="track" aria-hidden="true"><span class="{kind}" style="{style}"></span></dd>'


def _mark(share: Decimal) -> str:
    return f'<dd class="track line" aria-hidden="true"><span class="mark" style="left:{_percent(share)}"></span></dd>'
