"""Curves: each point against the same rules with that value of the setting written in, judged from the beginning."""

from __future__ import annotations

from decimal import Decimal

import pytest

from advisor.judging.judgment import Judgment
from advisor.language.cars import read_car
from advisor.language.source import Source
from tests.programs import judge_of

RULES = """
setting highest_offer = $25,000
    source house figure

setting markup = 100%
    "what we ask, over what it brings"
    source house figure

setting draws = 512
    source house figure

ask asking: money from $0 to $50,000
    "What does the seller ask?"

ask resale: money from $0 to $50,000
    "What will it bring?"

ask rust: yes/no
    "Rust?"
    usually no 75%, yes 25%

fault rusty when rust
    parts $100 .. $200 .. $900
    labor 5 h .. 10 h .. 40 h
    must be fixed
    source house figure

fault dull when asking > $0
    parts markup * $100
    if left resale falls $150
    source house figure

let days = rounded_up(30 days * power(markup, 10), 1 day)
let profit = to_cent(resale * markup - lost(resale) - sum(parts) - offer - $4/day * days)
let loses = chance(profit < $0)
let tenth = percentile(10%, profit)
let safe_part = to_cent(profit - tenth)
let sold_on = today + days

require enough: profit >= $500

verdict
    buy  when ceiling >= asking
    pass otherwise

curve "Asking more"
    over markup from 80% to 120% by 10%
    shows markup, days, profit, loses, tenth, safe_part, sold_on, asking
    most profit
"""
SHOWN = ("markup", "days", "profit", "loses", "tenth", "safe_part", "sold_on", "asking")
CAR = "on 2026-04-11\nasking = $3,000\nresale = $3,000 .. $4,200 .. $5,000\nrust = {rust}\n"


def judged(rust: str, markup: str = "100%") -> Judgment:
    judge = judge_of(RULES.replace("markup = 100%", f"markup = {markup}"))
    car, problems = read_car(Source("car", CAR.format(rust=rust)), judge.program)
    assert not problems
    return judge.judge(car)


@pytest.mark.parametrize("rust", ["no", "yes", "unsure"])
def test_each_point_is_what_rules_with_that_setting_say(rust: str) -> None:
    found = judged(rust)
    (curve,) = found.curves
    assert [p.value for p in curve.points] == [Decimal(n) / 10 for n in (8, 9, 10, 11, 12)]
    for point in curve.points:
        other = judged(rust, f"{point.value * 100:.0f}%")
        assert other.deal is not None
        values = other.deal.values | {"markup": point.value, "asking": Decimal(3000)}
        for name, shown in zip(SHOWN, point.shown, strict=True):
            assert shown == values[name] or abs(shown - values[name]) <= Decimal("0.01"), (name, point.value)


def test_the_best_point_has_the_most() -> None:
    (curve,) = judged("no").curves
    profits = [p.shown[SHOWN.index("profit")] for p in curve.points]
    assert curve.best == profits.index(max(profits))


def test_the_setting_as_it_stands_gives_the_deal_as_it_stands() -> None:
    found = judged("yes")
    assert found.deal is not None
    (curve,) = found.curves
    assert curve.points[2].shown[SHOWN.index("profit")] == found.deal.values["profit"]
    assert abs(curve.points[2].shown[SHOWN.index("loses")] - found.deal.values["loses"]) < Decimal("0.000001")
