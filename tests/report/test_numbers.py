"""No number on a screen that nothing computed: each one is a figure of the judgment, rounded, or stands in a text of
the rules or the car, or is worked out here a second time."""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import date
from decimal import ROUND_CEILING, ROUND_FLOOR, ROUND_HALF_EVEN, ROUND_HALF_UP, Decimal
from typing import Any

import attrs
import pytest

from advisor.judging.judgment import Judgment
from advisor.language.source import Source, Span
from advisor.report.composing import compose
from advisor.report.data import judgment_data
from advisor.report.document import Bars, Calendar, Document
from advisor.report.lines import document_lines
from advisor.report.terminal import terminal_text
from advisor.trade.curb import curb_price
from tests.report.cars import KINDS, NAMES, example, judged

DAY = re.compile(r"\d{4}-\d\d-\d\d")
NUMBER = re.compile(r"(?<![\w.])\d[\d,]*(?:\.\d+)?")


def numbers(text: str) -> list[Decimal]:
    """The numbers in a text, without signs and dates."""
    return [Decimal(n.replace(",", "")) for n in NUMBER.findall(DAY.sub(" ", text))]


def texts(value: Any) -> Iterator[str]:
    """Every text in a value, however deep, but for the source files themselves."""
    if isinstance(value, str):
        yield value
    elif isinstance(value, dict):
        for key, item in value.items():
            yield from texts(key)
            yield from texts(item)
    elif isinstance(value, tuple | list):
        for item in value:
            yield from texts(item)
    elif attrs.has(type(value)) and not isinstance(value, Span | Source):
        for name in (f.name for f in attrs.fields(type(value))):
            yield from texts(getattr(value, name, None))


def ways(value: Decimal) -> Iterator[Decimal]:
    """How a figure may be written: rounded, as a percentage, as a price is named at the car."""
    value = abs(value)
    for number in (value, value * 100) if value <= 10 else (value,):
        yield number
        for places in ("1", "0.1", "0.01"):
            for how in (ROUND_HALF_UP, ROUND_HALF_EVEN):
                yield number.quantize(Decimal(places), how)
    yield from (value.quantize(Decimal(1), how) for how in (ROUND_FLOOR, ROUND_CEILING))
    yield curb_price(value)


def figures(judgment: Judgment) -> Iterator[Decimal]:
    """Every figure of the data, and what is worked out from it."""
    data = judgment_data(judgment)
    del data["rules"]
    for leaf in _leaves(data):
        yield from numbers(leaf)
    yield from _derived(judgment)


def _leaves(value: Any) -> Iterator[str]:
    if isinstance(value, dict):
        for item in value.values():
            yield from _leaves(item)
    elif isinstance(value, list):
        for item in value:
            yield from _leaves(item)
    elif value is not None and not isinstance(value, bool):
        yield str(value)


def _derived(judgment: Judgment) -> Iterator[Decimal]:
    """What the report works out itself, worked out again."""
    for item in judgment.worth:
        yield from (item.gain * 60 / item.hours if item.hours else Decimal(0), item.hours / 60)
        yield (item.gain + item.cost) / item.cost if item.cost else Decimal(0)
        yield item.gain / item.days if item.days else Decimal(0)
    for assumed in judgment.assuming:
        for trial in assumed.trials:
            if trial.ceiling is not None and judgment.ceiling is not None:
                yield judgment.ceiling - trial.ceiling
    deal = judgment.deal
    if deal is None:
        return
    fixed = deal.bargain.repairs.fixed(deal.plan)
    for held in deal.bargain.repairs.held:
        yield from (held.parts[1] + held.shop[1], held.labor[1] / 60, held.labor[1] * held.chance / 60)
        yield (held.parts[1] + held.shop[1]) * held.chance
    yield sum(((h.parts[1] + h.shop[1]) * h.chance).quantize(Decimal(1)) for h in fixed) + Decimal(0)
    apart = sum(h.labor[1] * h.chance for h in fixed)
    yield (apart - deal.bargain.repairs.totals(deal.plan)[2][1]) / 60
    if deal.ceiling.offer is not None:
        yield from (deal.bargain.profit(p, deal.ceiling.plan) for p in (curb_price(deal.ceiling.offer),))


def counts(judgment: Judgment) -> set[Decimal]:
    """How many there are of what is counted."""
    held = judgment.deal.bargain.repairs.held if judgment.deal else ()
    longest = max(map(len, (judgment.own_ceilings, judgment.worth, judgment.cautions, held, "12")))
    open_ = [q for q in judgment.program.questions if judgment.answers.known(q) is None]
    moving = [a for a in judgment.assuming if len({(t.refused, t.ceiling, t.verdict) for t in a.trials}) > 1]
    exact = (len(open_), len(judgment.assuming), len(judgment.assuming) - len(moving), len(moving))
    return {Decimal(n) for n in (*range(longest + 1), *exact)}


def days(document: Document, judgment: Judgment) -> set[str]:
    """The days that the judgment tells."""
    shown = [v.isoformat() for _, v in judgment.shows if isinstance(v, date)]
    said = [day for text in texts(judgment.answers.notes) for day in DAY.findall(text)]
    return {*shown, *said, *([judgment.answers.day.isoformat()] if judgment.answers.day else [])}


def allowed(judgment: Judgment, document: Document) -> set[Decimal]:
    """Every number that may be on a screen."""
    found = {way for figure in figures(judgment) for way in ways(figure)} | counts(judgment)
    program = judgment.program
    said = (
        program.questions, program.settings, program.lets, program.faults, program.rules, program.shows,
        program.curves, judgment.answers.title, judgment.answers.notes, judgment.flips,
    )  # fmt: skip
    found |= {n for text in texts(said) for n in numbers(text)}
    if judgment.market:
        found |= {n for text in texts(judgment.market) for n in numbers(text)}
        for line in judgment.market.lines:  # their amounts add up in whole units: rounded one way or the other
            told = (line.comparable.miles, line.comparable.year, *(a for _, a in line.adjustments))
            whole = (ROUND_FLOOR, ROUND_CEILING)
            found |= {abs(Decimal(t)).quantize(Decimal(1), how) for t in told if t for how in whole}
    calendars = [b for s in document.sections for b in s.blocks if isinstance(b, Calendar)]
    every_day = [d.day for c in calendars for d in c.items]
    found |= {Decimal(abs((a - b).days)) for a in every_day for b in every_day}
    bars = [b for s in document.sections for b in s.blocks if isinstance(b, Bars)]
    assert all(abs(bar.amount).quantize(Decimal(1), ROUND_HALF_UP) in found for b in bars for bar in b.items)
    return found


def screens(document: Document) -> list[str]:
    """Both pages on a phone and on a desk, without the line that names day and rules, and without bars."""
    shown = document_lines(document, 40, True), terminal_text(document, 80, everything=True)
    return ["\n".join(text.split("\n")[2:]) for text in shown]


@pytest.mark.parametrize("name", [*KINDS, *NAMES])
def test_every_number_comes_from_the_judgment(name: str) -> None:
    judgment = judged(name) if name in KINDS else example(name)
    document = attrs.evolve(compose(judgment), subtitle="")
    known, known_days = allowed(judgment, document), days(document, judgment)
    for text in screens(document):
        strange = sorted({n for n in numbers(text) if n not in known})
        assert not strange
        assert set(DAY.findall(text)) <= known_days


@pytest.mark.parametrize("name", [n for n in NAMES if n not in ("quail-wagon", "brightwater-coupe")])
def test_a_wrong_number_would_be_seen(name: str) -> None:
    judgment = example(name)
    document = compose(judgment)
    known = allowed(judgment, document)
    large = {n for text in screens(document) for n in numbers(text) if n >= 100}
    slipped = [n for n in large if n + 7 in known]
    assert large
    assert len(slipped) <= len(large) / 5
