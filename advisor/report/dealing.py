"""The parts of the report about the deal: prices to name, faults to argue, the plan, comparables.

In: a `Judgment` and the writer of its figures. Out: sections.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from decimal import Decimal
from typing import Any

from advisor.judging.derivation import worded
from advisor.judging.judgment import Curve, Judgment
from advisor.language import core
from advisor.language.program import SectionDef, ShowDef
from advisor.language.types import MONEY
from advisor.readings.arithmetic import exact_arithmetic
from advisor.report.document import (
    Bar,
    Bars,
    Block,
    Bullet,
    Bullets,
    Calendar,
    Comparables,
    Day,
    Pair,
    Pairs,
    Paragraph,
    Section,
    Table,
)
from advisor.report.figures import Figures, planned
from advisor.trade.curb import curb_price

__all__ = ["arguments", "comparables", "curves", "leading", "named", "plan", "set_aside"]

PAID = "paid_day"
"""The quantity that a calendar is counted from; without it, the day of the report."""
_CENT = Decimal("0.01")
_LOOSE = "Figures, at the asking price"
Shown = tuple[ShowDef, Any]


# ---- the lines that the rules show -----------------------------------------------------------------------------------


def _grouped(shows: Iterable[Shown]) -> dict[SectionDef | None, list[Shown]]:
    """Shown lines by their section, in order."""
    found: dict[SectionDef | None, list[Shown]] = {}
    for show, value in shows:
        found.setdefault(show.section, []).append((show, value))
    return found


def leading(judgment: Judgment, figures: Figures, stop: Decimal | None = None) -> list[Section]:
    """The sections that stand right under the verdict; what is the ceiling, rounded, is shown as `stop`."""
    found = []
    for section, lines in _grouped(judgment.shows).items():
        if section is not None and section.leads:
            rows = (Pair(s.text, _price(s, v, judgment, figures, stop)) for s, v in lines)
            found.append(Section(section.title, (Pairs(tuple(rows)),)))
    return found


def _price(show: ShowDef, value: Any, judgment: Judgment, figures: Figures, stop: Decimal | None) -> str:
    let, ceiling = judgment.program.lets.get(show.name), judgment.ceiling
    names = {show.name} if let is None else {p.name for p in core.walk(let.value) if isinstance(p, core.Special)}
    if stop is None or ceiling is None or "ceiling" not in names or not isinstance(value, Decimal):
        return figures.leading(show.name, value)
    alike = curb_price(value) == curb_price(ceiling)
    return figures.whole(stop) if alike else figures.leading(show.name, value)


def plan(judgment: Judgment, figures: Figures) -> list[Section]:
    """The other sections, drawn figures with their count and seed; prices to name too, where the verdict is to pass."""
    found = []
    groups = _grouped(judgment.shows)
    for section, lines in groups.items():
        if section is None:
            continue
        leads = section.leads
        if leads and not judgment.hopeless:
            continue
        page = 2 if leads else section.page
        blocks = _blocks(section, lines, page, figures, judgment.answers.day)
        together = _together(lines, judgment, figures, page) if section.drawn else []
        found.append(Section(section.title, (*blocks, *together), page))
        if judgment.draws and any(figures.drawn(show.name) for show, _ in lines):
            drawn, seed = judgment.draws
            count = Paragraph(f"Chances from {drawn:,} outcomes, seed {seed}.")
            exact = [Pair(s.text, figures.shown(s.name, v, 2)) for s, v in lines if figures.drawn(s.name)]
            found.append(Section(f"{section.title}, drawn", (Pairs(tuple(exact)), count), 2))
    if None in groups:
        page = 2 if found else 1
        found.append(Section(_LOOSE, _blocks(None, groups[None], page, figures, None), page))
    return found


def _blocks(
    section: SectionDef | None, lines: list[Shown], page: int, figures: Figures, today: date | None
) -> tuple[Block, ...]:
    drawn = section is not None and section.drawn
    bars = [_bar(s, v, page, figures) for s, v in lines if drawn and isinstance(planned(v), Decimal)]
    days = [Day(s.text, v) for s, v in lines if drawn and isinstance(v, date)]
    rows = [
        Pair(s.text, figures.shown(s.name, v, page))
        for s, v in lines
        if not (drawn and (isinstance(planned(v), Decimal) or isinstance(v, date)))
    ]
    blocks: list[Block] = []
    blocks += [Bars(tuple(bars))] if bars else []
    paid = (v for s, v in lines if s.name == PAID and isinstance(v, date))
    blocks += [Calendar(tuple(days), next(paid, today or min(d.day for d in days)))] if days else []
    blocks += [Pairs(tuple(rows))] if rows else []
    return tuple(blocks)


def _together(lines: list[Shown], judgment: Judgment, figures: Figures, page: int) -> list[Block]:
    """What a section's amounts add up to, where that is another figure of the report."""
    amounts = [a for _, v in lines if isinstance(a := planned(v), Decimal)]
    if len(amounts) < 2:
        return []
    with exact_arithmetic():
        total = sum(amounts)
    for show, value in judgment.shows:
        other = planned(value)
        if isinstance(other, Decimal) and abs(other - total) < _CENT and judgment.program.type_of(show.name) == MONEY:
            return [Pairs((Pair(f"Together: {show.text}", figures.shown(show.name, value, page)),))]
    return []


def _bar(show: ShowDef, value: Any, page: int, figures: Figures) -> Bar:
    return Bar(show.text, figures.shown(show.name, value, page), planned(value))


# ---- arguments -------------------------------------------------------------------------------------------------------


def arguments(judgment: Judgment, figures: Figures) -> list[Section]:
    """At most three faults to argue with, at a shop's price."""
    if judgment.hopeless or not judgment.arguments:
        return []
    rows = tuple(
        Pair(f"{named(a.fault)}{', which the seller denies' if a.denied else ''}", figures.whole(a.quote))
        for a in judgment.arguments
    )
    return [Section(judgment.program.said("To argue, at a shop's price"), (Pairs(rows),))]


def named(fault: Any) -> str:
    """A fault as the report names it."""
    return str(fault.text or fault.name.replace("_", " "))


# ---- page two --------------------------------------------------------------------------------------------------------


def curves(judgment: Judgment, figures: Figures) -> list[Section]:
    """A setting tried over a range, the best point marked."""
    return [Section(c.definition.title, (_curve(c, judgment, figures),), 2) for c in judgment.curves]


def _curve(curve: Curve, judgment: Judgment, figures: Figures) -> Table:
    program = judgment.program
    setting = program.settings[curve.definition.setting]
    heads = (setting.text or setting.name, *(s.text for s in curve.definition.shows))
    rows = []
    for point in curve.points:
        first = worded(point.value, setting.type, program.currency)
        shown = (figures.shown(s.name, v, 2) for s, v in zip(curve.definition.shows, point.shown, strict=True))
        rows.append((first, *shown))
    return Table(heads, tuple(rows), curve.best, "best")


def set_aside(judgment: Judgment, figures: Figures) -> list[Section]:
    """Comparables that fit none of the others, on page one: a slip in one of them would be worth knowing of."""
    lines = judgment.market.lines if judgment.market else ()
    odd = [line for line in lines if line.set_aside == "outlier"]
    if not odd:
        return []
    rows = [f" (row {line.comparable.row})" if line.comparable.row else "" for line in odd]
    prices = [f"{figures.whole(line.comparable.price)} is {line.remark}" for line in odd]
    each = "; ".join(price + row for price, row in zip(prices, rows, strict=True))
    verb = "was" if len(odd) == 1 else "were"
    text = f"{len(odd)} of {len(lines)} comparables {verb} set aside: {each}."
    return [Section("Comparables", (Paragraph(text),))]


def comparables(judgment: Judgment, figures: Figures) -> list[Section]:
    """What others like it bring, each brought to this car."""
    market = judgment.market
    if market is None:
        return []
    blocks: list[Block] = []
    if market.low is not None and market.likely is not None and market.high is not None:
        low, likely, high = (figures.whole(v) for v in (market.low, market.likely, market.high))
        blocks.append(Paragraph(f"Most likely {likely}; eight in ten such sales bring {low} to {high}."))
    blocks.append(Comparables(market, figures.sign))
    if market.notes:
        blocks.append(Bullets(tuple(Bullet(n) for n in market.notes)))
    return [Section("What others like it bring", tuple(blocks), 2)]
