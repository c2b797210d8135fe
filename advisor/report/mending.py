"""The part of the report about repairs: what must be fixed, what to fix and to leave, and what each would bring.

In: a `Judgment` and the writer of its figures. Out: sections.
"""

from __future__ import annotations

from collections.abc import Iterable
from decimal import Decimal

from attrs import evolve

from advisor.judging.judgment import Judgment, Worth
from advisor.judging.repairs import Held
from advisor.readings.arithmetic import exact_arithmetic
from advisor.report.dealing import named
from advisor.report.document import Block, Pair, Pairs, Paragraph, Section, Table
from advisor.report.figures import Figures

__all__ = ["every_fault", "repairs"]

_PRINTED = 24
"""With more faults than this, the list has no room on paper."""
_NET = "Net: after its cost, before our hours."


def repairs(judgment: Judgment, figures: Figures) -> list[Section]:
    """What must be fixed, what to fix and to leave, and what all of it comes to; little of it where nobody buys."""
    deal = judgment.deal
    if deal is None or not deal.bargain.repairs.held:
        return []
    if judgment.hopeless:
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
        found += _fix_or_leave(judgment, figures)
    elif chosen or left:
        jobs = [*(_job("fix: ", h, figures) for h in chosen), *(_job("leave: ", h, figures) for h in left)]
        found.append(Section("Fix or leave", (Pairs(tuple(jobs)),)))
    last = max(i for i, s in enumerate(found) if s.page == 1)
    total = Paragraph(_sum(judgment, fixed, figures))
    return [evolve(s, blocks=(*s.blocks, total)) if i == last else s for i, s in enumerate(found)]


def _paying(worth: Iterable[Worth]) -> list[Worth]:
    """The repairs that are made, and those that would bring back more than they take."""
    return [w for w in worth if w.fixed or w.gain > 0]


def _fix_or_leave(judgment: Judgment, figures: Figures) -> list[Section]:
    """On page one what is fixed or would pay; all of it on page two."""
    worth = judgment.worth
    pays = _paying(worth)
    rest = len(worth) - len(pays)
    blocks: list[Block] = [_worth_table(pays, figures, brief=True)] if pays else []
    said = [_NET, *_sooner(pays)] if pays else []
    refused = [w for w in pays if not w.fixed]
    said += [_left_because(judgment, refused)] if refused else []
    if rest:
        left = "is left, and does" if rest == 1 else "are left, and do"
        said.append(f"{rest} {'more ' if pays else ''}{left} not bring back what fixing takes: page two.")
    blocks.append(Paragraph(" ".join(said)))
    found = [Section("Fix or leave", tuple(blocks))]
    all_of_it = (_worth_table(worth, figures), Paragraph(" ".join([_NET, *_sooner(worth)])))
    printed = "The screen lists what mending each brings per dollar, hour and day."
    return [*found, Section("Fix or leave, all of it", all_of_it, 2, printed=printed)] if worth else found


def _sooner(worth: Iterable[Worth]) -> list[str]:
    """Which repairs bring the sale forward."""
    found = [f"{named(w.held.fault)} ({_tenth(-w.days).removesuffix('.0')} d)" for w in worth if w.days < 0]
    return [f"Sold sooner with it: {', '.join(found)}."] if found else []


def _left_because(judgment: Judgment, left: list[Worth]) -> str:
    """Why repairs that would add money are left: the rules that would no longer be met with them."""
    deal = judgment.deal
    assert deal is not None
    bargain, requires = deal.bargain, judgment.program.of_kind("require")
    place = {h.index: i for i, h in enumerate(bargain.repairs.optional)}
    broken: dict[str, None] = {}
    with exact_arithmetic():
        kept = bargain.at(deal.asking, deal.plan)[1]
        for item in left:
            held = bargain.at(deal.asking, deal.plan | 1 << place[item.held.index])[1]
            broken |= dict.fromkeys(r.name for r, was, is_ in zip(requires, kept, held, strict=True) if was and not is_)
    one = len(left) == 1
    who = f"{len(left)} {'is' if one else 'are'} left although {'it' if one else 'they'} would add"
    if not broken:
        return f"{who}: no better plan was found, and not every plan was tried."
    return f"{who}: with {'it' if one else 'them'} this price would no longer meet {', '.join(broken)}."


def _cost(held: Held) -> Decimal:
    """What a repair takes in money, at its chance, in whole units, so that a list adds up."""
    return ((held.parts[1] + held.shop[1]) * held.chance).quantize(Decimal(1))


def _jobs(jobs: Iterable[Held], figures: Figures) -> Pairs:
    return Pairs(tuple(_job("", h, figures) for h in jobs))


def _job(word: str, held: Held, figures: Figures) -> Pair:
    label = word + named(held.fault)
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


def _worth_table(worth: Iterable[Worth], figures: Figures, *, brief: bool = False) -> Table:
    """Each repair that may be left, and what mending it brings back per dollar, hour and day put into it."""
    heads = ("", "net gain", "costs", "hours", "days", f"back per {figures.sign}1", "per hour", "per day")
    short = tuple(_worth_line(w, figures) for w in worth) if brief else ()
    return Table(heads, tuple(_worth_row(w, figures) for w in worth), short=short)


def _worth_line(item: Worth, figures: Figures) -> str:
    """The same for a narrow page."""
    cost, hours = figures.whole(item.cost.quantize(Decimal(1))), f"{_tenth(item.hours / 60)} h"
    what = f"{'fix' if item.fixed else 'leave'} {named(item.held.fault).partition(':')[0]}"
    return f"{what}: net {figures.whole(item.gain)} for {cost} and {hours}"


def _worth_row(item: Worth, figures: Figures) -> tuple[str, ...]:
    hours = item.hours / 60
    back = _tenth((item.gain + item.cost) / item.cost) if item.cost > 0 else "-"
    return (
        f"{'fix' if item.fixed else 'leave'}: {named(item.held.fault)}",
        figures.whole(item.gain),
        figures.whole(item.cost.quantize(Decimal(1))),
        _tenth(hours),
        _tenth(item.days) if item.days >= 0 else "-",
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
            f"{what}: {named(held.fault)}", chance, figures.exact(held.parts[1].quantize(Decimal("0.01"))),
            figures.exact(held.shop[1].quantize(Decimal("0.01"))), f"{held.labor[1] / 60:.1f}",
            _tenth(held.wait[1] / 12),
        ))  # fmt: skip
    table = Table(("", "chance", "parts", judgment.program.said("shop"), "hours", "days"), tuple(rows))
    total = _sum(judgment, plan_fixes, figures)
    printed = f"{len(rows)} faults, seen or suspected; the screen lists them. {total}" if len(rows) > _PRINTED else ""
    return [Section("Every fault", (table, Paragraph(total)), 2, printed=printed)]
