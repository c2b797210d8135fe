"""What the tests of the report stand on: a small ruleset that shows every part of one, cars for it, the examples."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from functools import cache
from pathlib import Path

from attrs import evolve

from advisor.cli.rules import check_rules
from advisor.judging.judge import Judge
from advisor.judging.judgment import Argument, Judgment
from advisor.language.cars import read_car
from advisor.language.source import Source
from advisor.readings.compiled import Readings
from advisor.trade.comparables import Comparable, Market, estimate
from tests.programs import house

HERE = Path(__file__).resolve().parent
EXAMPLES = HERE.parents[1] / "examples"
NAMES = sorted(p.stem for p in EXAMPLES.glob("*.car"))
OUTSIDE = '\x1b[31m \x9b2J \u202eevil [red]x[/red] <script>alert(1)</script> & "quoted"'
"""What nobody should write into a car's title."""

_TITLE = "title_state = clean"
_ANSWERS = {
    "buy": (_TITLE, "rust_through = unsure", "brakes = worn", "other_hours = 12 h", "asking = $4,900"),
    "renegotiate": (_TITLE, "rust_through = yes", "brakes = worn", "other_hours = 14 h", "asking = $4,900"),
    "dear": (_TITLE, "rust_through = yes", "brakes = worn", "other_hours = 40 h", "asking = $6,900"),
    "broken": ("title_state = missing", "rust_through = unsure", "brakes = sound", "asking = $900"),
    "unsettled": ("rust_through = no", "brakes = sound", "other_hours = 12 h", "asking = $4,900"),
    "faultless": (_TITLE, "rust_through = no", "brakes = sound", "other_hours = unsure", "asking = $2,000"),
}
KINDS = tuple(_ANSWERS)
_MARKET = {
    "private": "0.93", "dealer": "0.85", "auction": "1.2", "stands": "45", "a_year": "0.05", "per_10k": "0.03",
    "rough": "0.7", "fair": "0.88", "excellent": "1.1", "branded": "0.7", "spread": "0.15",
}  # fmt: skip


@cache
def small() -> Judge:
    """A judge by the small ruleset."""
    checked, _ = check_rules(HERE / "small.tell")
    assert checked.program is not None, checked.problems
    return Judge(Readings(checked.program))


@cache
def judged(kind: str, title: str = "1990 Quail 1.6 hatch, red") -> Judgment:
    """A car of the small ruleset, judged."""
    lines = ["on 2026-04-11", *_ANSWERS[kind], "resale = $5,000 .. $6,000 .. $6,500", 'note "Ask about the radiator."']
    answers, problems = read_car(Source("some.car", "\n".join(lines) + "\n"), small().program)
    assert not problems, problems
    return small().judge(evolve(answers, title=title))


@cache
def example(name: str) -> Judgment:
    """A bundled example, judged by the bundled rules."""
    text = (EXAMPLES / f"{name}.car").read_text(encoding="utf-8")
    answers, problems = read_car(Source(f"{name}.car", text), house().program)
    assert not problems, problems
    return house().judge(answers)


def furnished(judgment: Judgment) -> Judgment:
    """The same with faults to argue and comparables, which a judgment has where the rules and the car tell them."""
    market = Market(**{name: Decimal(value) for name, value in _MARKET.items()})
    prices, day = (5900, 6400, 6900, 61000), date(2026, 4, 1)
    rows = [
        Comparable(Decimal(p), day=day, year=1990 + i, miles=Decimal(120_000 + 7_000 * i), row=i + 2)
        for i, p in enumerate(prices)
    ]
    return evolve(
        judgment,
        market=estimate(rows, 1991, Decimal(130_000), date(2026, 4, 11), market),
        arguments=tuple(
            Argument(f, Decimal(n), denied)
            for f, n, denied in zip(judgment.program.faults.values(), (740, 310), (True, False), strict=True)
        ),
    )
