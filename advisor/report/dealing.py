"""The parts of the report about the deal: prices to name, faults to argue, the plan, repairs, comparables.

In: a `Judgment` and the writer of its figures. Out: sections.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from decimal import Decimal
from typing import Any

from attrs import evolve

from advisor.judging.derivation import worded
from advisor.judging.judgment import Curve, Judgment, Worth
from advisor.judging.repairs import Held
from advisor.language.program import SectionDef, ShowDef
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

__all__ = ["arguments", "comparables", "curves", "every_fault", "leading", "plan", "repairs"]

_LOOSE = "Figures, at the asking price"
Shown = tuple[ShowDef, Any]


# ---- the lines that the rules show -----------------------------------------------------------------------------------


def _grouped(shows: Iterable[Shown]) -> dict[SectionDef | None, list[Shown]]:
    """Shown lines by their section, in order."""
    found: dict[SectionDef | None, list[Shown]] = {}
    for show, value in shows:
        found.setdefault(show.section, []).append((show, value))
    return found


def leading(judgment: Judgment, figures: Figures) -> list[Section]:
    """The sections that stand right under the verdict."""
    return [
        Section(section.title, (Pairs(tuple(Pair(s.text, figures.leading(s.name, v)) for s, v in lines)),))
        for section, lines in _grouped(judgment.shows).items()
        if section is not None and section.leads
    ]


def plan(judgment: Judgment, figures: Figures) -> list[Section]:
    """The other sections, drawn figures with their count and seed; prices to name too, where the verdict is to pass."""
    found = []
    groups = _grouped(judgment.shows)
    for section, lines in groups.items():
        if section is None:
            continue
        leads = section.leads
        if leads and judgment.verdict != "pass":
            continue
        page = 2 if leads else section.page
        blocks = _blocks(section, lines, page, figures, judgment.answers.day)
        if judgment.draws and any(figures.drawn(show.name) for show, _ in lines):
            drawn, seed = judgment.draws
            blocks = (*blocks, Paragraph(f"Chances from {drawn:,} outcomes, seed {seed}."))
        found.append(Section(section.title, blocks, page))
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
    blocks += [Calendar(tuple(days), today or min(d.day for d in days))] if days else []
    blocks += [Pairs(tuple(rows))] if rows else []
    return tuple(blocks)


def _bar(show: ShowDef, value: Any, page: int, figures: Figures) -> Bar:
    return Bar(show.text, figures.shown(show.name, value, page), planned(value))


# ---- arguments -------------------------------------------------------------------------------------------------------


def arguments(judgment: Judgment, figures: Figures) -> list[Section]:
    """At most three faults to argue with, at a shop's price."""
    if judgment.verdict == "pass" or not judgment.arguments:
        return []
    rows = tuple(
        Pair(f"{_named(a.fault)}{', which the seller denies' if a.denied else ''}", figures.whole(a.quote))
        for a in judgment.arguments
    )
    return [Section("To argue, at a shop's price", (Pairs(rows),))]


def _named(fault: Any) -> str:
    return str(fault.text or fault.name.replace("_", " "))


# ---- repairs ---------------------------------------------------------------------------------------------------------


def repairs(judgment: Judgment, figures: Figures) -> list[Section]:
    """What must be fixed, what to fix and to leave, and what all of it comes to; little of it where nobody buys."""
    deal = judgment.deal
    if deal is None or not deal.bargain.repairs.held:
        return []
    if judgment.verdict == "pass":
        pays = _paying(judgment.worth)
        return [Section("Fix or leave", (_worth_table(pays, figures),), 2)] if pays else []
    fixed = deal.bargain.repairs.fixed(deal.plan)
    must = [h for h in fixed if h.fault.must]
    chosen = [h for h in fixed if not h.fault.must]
    left = [h for h in deal.bargain.repairs.held if h not in fixed]
    found: list[Section] = []
    if must:
        found.append(Section("Must be fixed", (_jobs(must, figures),)))
    if judgment.worth:
        found += _fix_or_leave(judgment.worth, figures)
    elif chosen or left:
        jobs = [*(_job("fix: ", h, figures) for h in chosen), *(_job("leave: ", h, figures) for h in left)]
        found.append(Section("Fix or leave", (Pairs(tuple(jobs)),)))
    last = max(i for i, s in enumerate(found) if s.page == 1)
    total = Paragraph(_sum(judgment, fixed, figures))
    return [evolve(s, blocks=(*s.blocks, total)) if i == last else s for i, s in enumerate(found)]


def _paying(worth: Iterable[Worth]) -> list[Worth]:
    """The repairs that are made, and those that would bring back more than they take."""
    return [w for w in worth if w.fixed or w.gain > 0]


def _fix_or_leave(worth: tuple[Worth, ...], figures: Figures) -> list[Section]:
    """On page one what is fixed or would pay; all of it on page two."""
    pays = _paying(worth)
    rest = len(worth) - len(pays)
    blocks: list[Block] = [_worth_table(pays, figures)] if pays else []
    if rest:
        left = "is left, and does" if rest == 1 else "are left, and do"
        blocks.append(Paragraph(f"{rest} {'more ' if pays else ''}{left} not bring back what fixing takes: page two."))
    found = [Section("Fix or leave", tuple(blocks))]
    return [*found, Section("Fix or leave, all of it", (_worth_table(worth, figures),), 2)] if rest else found


def _cost(held: Held) -> Decimal:
    """What a repair takes in money, at its chance, in whole units, so that a list adds up."""
    return ((held.parts[1] + held.shop[1]) * held.chance).quantize(Decimal(1))


def _jobs(jobs: Iterable[Held], figures: Figures) -> Pairs:
    return Pairs(tuple(_job("", h, figures) for h in jobs))


def _job(word: str, held: Held, figures: Figures) -> Pair:
    label = word + _named(held.fault)
    if held.chance < 1:
        label += f" ({figures.share(held.chance)} chance of {figures.whole(held.parts[1] + held.shop[1])})"
    return Pair(label, f"{figures.whole(_cost(held))}, {figures.hours(held.labor[1] * held.chance)}")


def _sum(judgment: Judgment, fixed: Iterable[Held], figures: Figures) -> str:
    """What is fixed, added up as it stands in the list."""
    deal = judgment.deal
    assert deal is not None
    money = sum((_cost(h) for h in fixed), Decimal(0))
    apart = sum((h.labor[1] * h.chance for h in fixed), Decimal(0))
    together = deal.bargain.repairs.totals(deal.plan)[2][1]
    saved = f" ({figures.hours(apart - together)} saved by doing jobs together)" if apart - together >= 6 else ""
    return (
        f"What is to be fixed comes to {figures.whole(money)} and {figures.hours(together)}{saved}. "
        "Overruns, first service and small stuff come on top."
    )


def _worth_table(worth: Iterable[Worth], figures: Figures) -> Table:
    """Each repair that may be left, and what mending it brings back per dollar, hour and day put into it."""
    heads = ("", "adds", "costs", "hours", "days", f"back per {figures.sign}1", "per hour", "per day")
    return Table(heads, tuple(_worth_row(w, figures) for w in worth))


def _worth_row(item: Worth, figures: Figures) -> tuple[str, ...]:
    hours = item.hours / 60
    back = _tenth((item.gain + item.cost) / item.cost) if item.cost > 0 else "-"
    return (
        f"{'fix' if item.fixed else 'leave'}: {_named(item.held.fault)}",
        figures.whole(item.gain),
        figures.whole(item.cost.quantize(Decimal(1))),
        _tenth(hours),
        _tenth(item.days),
        back,
        figures.whole(item.gain / hours) if hours > 0 else "-",
        figures.whole(item.gain / item.days) if item.days > 0 else "-",
    )


def _tenth(value: Decimal) -> str:
    """A number to a tenth, never `-0.0`."""
    return f"{value:.1f}".replace("-0.0", "0.0") if abs(value) < Decimal("0.05") else f"{value:.1f}"


def every_fault(judgment: Judgment, figures: Figures) -> list[Section]:
    """Every fault with its figures: parts and shop in money, own labor, waiting."""
    deal = judgment.deal
    if deal is None or not deal.bargain.repairs.held:
        return []
    plan_fixes = deal.bargain.repairs.fixed(deal.plan)
    fixed = {h.index for h in plan_fixes}
    rows = []
    for held in deal.bargain.repairs.held:
        what = "must fix" if held.fault.must else "fix" if held.index in fixed else "leave"
        chance = figures.share(held.chance) if held.chance < 1 else "seen"
        rows.append((
            f"{what}: {_named(held.fault)}", chance, figures.exact(held.parts[1].quantize(Decimal("0.01"))),
            figures.exact(held.shop[1].quantize(Decimal("0.01"))), f"{held.labor[1] / 60:.1f}",
            _tenth(held.wait[1] / 12),
        ))  # fmt: skip
    table = Table(("", "chance", "parts", "shop", "hours", "days"), tuple(rows))
    return [Section("Every fault", (table, Paragraph(_sum(judgment, plan_fixes, figures))), 2)]


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
