"""What is drawn for a car while answers are open: the bounds of its chances.

In: what the possible reading says of a car, and which repairs are mended. Out: a function that bounds a `chance(...)`
or `percentile(...)` at an offer, as the possible reading's `deal` takes it.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from decimal import Decimal
from typing import Any

import numpy as np

from advisor.judging.drawing import Drawing
from advisor.judging.repairs import SHARED
from advisor.judging.sheet import Sheet
from advisor.language.program import Question
from advisor.language.types import Choice, Code, Estimate, ListOf, YesNo
from advisor.readings.emitting import FIGURES
from advisor.readings.enclosing import Enclosed, Enclosing
from advisor.readings.sampled import as_plain

__all__ = ["bounds_of_chances"]

Two = tuple[Any, Any]
Totals = tuple[tuple[tuple[Decimal, Decimal], ...], ...]


def bounds_of_chances(
    drawing: Drawing,
    sheet: Sheet,
    possible: tuple[Any, ...],
    facts: tuple[tuple[bool, bool], ...],
    figures: tuple[Any, ...],
    mended: Mapping[str, bool],
    totals: Totals,
) -> Callable[[int, Decimal], tuple[Decimal, Decimal]]:
    """Bounds by the number of a term and the offer. `possible` are the arguments of the possible reading, `facts` and
    `figures` what it says of the faults, `mended` which are mended if they are there, `totals` what that comes to."""
    cars: list[Enclosed] = []

    def bounds(term: int, offer: Decimal) -> tuple[Decimal, Decimal]:
        if not cars:
            cars.append(_car(drawing, sheet, possible, facts, figures, mended, totals))
        node, where = drawing.nodes[term]
        least, most = Enclosing(drawing.sampled).drawn(node, cars[0].at(float(offer)), where, drawing.columns.count)
        return least, most

    return bounds


def _car(
    drawing: Drawing,
    sheet: Sheet,
    possible: tuple[Any, ...],
    facts: tuple[tuple[bool, bool], ...],
    figures: tuple[Any, ...],
    mended: Mapping[str, bool],
    totals: Totals,
) -> Enclosed:
    low, high, (low_ends, high_ends), today, _ = possible
    cells: dict[Any, Any] = {}
    for i, (name, question) in enumerate(sheet.program.questions.items()):
        answer = sheet.cell(name)
        for end, pair in (("plan", (low[i], high[i])), ("low", low_ends[i]), ("high", high_ends[i])):
            cells[name, end] = _cell(question, pair)
        if isinstance(answer, Estimate):
            column = drawing.columns.estimate(f"answer {name}", answer)
            cells[name, "plan"] = (column, column)
    faults = sheet.program.faults.values()
    plan: dict[Any, Two] = {}
    for figure, ends in zip(FIGURES, totals, strict=True):
        for end, (a, b) in zip(("low", "plan", "high"), ends, strict=True):
            plan[figure, end] = float(a), float(b)
    for figure, drawn in _drawn(drawing, facts, figures, mended).items():
        plan[figure, "plan"] = drawn
    held = {f.name: fact for f, fact in zip(faults, facts, strict=True)}
    return Enclosed(cells, held, plan, today, drawing.columns.estimate)


def _cell(question: Question, pair: Any) -> Any:
    """A question's range as the enclosing reading takes it."""
    match question.type:
        case YesNo():
            return pair
        case Choice(options):
            return frozenset(o for i, o in enumerate(options) if pair[0] >> i & 1)
        case ListOf() | Code():
            return pair[0]
    return as_plain(pair[0]), as_plain(pair[1])


def _drawn(
    drawing: Drawing, facts: tuple[tuple[bool, bool], ...], figures: tuple[Any, ...], mended: Mapping[str, bool]
) -> dict[str, Two]:
    """Parts, shop work, labor and wait of what is mended, drawn: of what is surely there, and of what may be."""
    low: dict[str, Any] = dict.fromkeys(("parts", "shop", "labor", "wait"), 0.0)
    high: dict[str, Any] = dict(low)
    largest: Any = 0.0
    for i, fault in enumerate(drawing.sampled.program.faults.values()):
        can, fail = facts[i]
        if not can or not (fault.must or mended.get(fault.name, True)):
            continue
        for kind, figure in zip(("parts", "shop", "labor", "wait"), figures[i], strict=False):
            if figure is None:
                continue
            least, most = _column(drawing, f"fault {fault.name} {kind}", figure)
            if kind == "wait":
                high[kind] = np.maximum(high[kind], most)
                low[kind] = low[kind] if fail else np.maximum(low[kind], least)
                continue
            high[kind] = high[kind] + most
            if not fail:
                low[kind] = low[kind] + least
                largest = np.maximum(largest, least) if kind == "labor" else largest
    # Sharing only ever saves: never less than the largest job and the share of the others.
    low["labor"] = largest + float(SHARED) * (low["labor"] - largest)
    amiss = drawing.misjudgment
    return {k: (low[k], high[k]) if k == "wait" else (low[k] * amiss, high[k] * amiss) for k in low}


def _column(drawing: Drawing, name: str, figure: Any) -> Two:
    """What a figure comes to in each outcome; between its ends where they hang on open answers."""
    (a, b), (c, d), (e, f) = figure
    if a != b or c != d or e != f:
        return float(min(a, c)), float(max(d, f))
    if a == e:
        return float(c), float(c)
    column = drawing.columns.estimate(name, Estimate(a, min(max((6 * c - a - e) / 4, a), e), e))
    return column, column
