"""The whole report of a full car, and one what-if, against the exact reading of the same car in the same run."""

from __future__ import annotations

import time
from collections.abc import Callable
from decimal import Decimal
from pathlib import Path
from typing import Any

from advisor.cli.rules import load_rules
from advisor.judging.judge import Judge
from advisor.language.cars import read_car
from advisor.language.source import Source
from advisor.readings.arithmetic import exact_arithmetic
from advisor.report.lines import judgment_lines

HERE = Path(__file__).resolve().parents[2]


def best(work: Callable[[], Any], times: int = 7) -> float:
    """Seconds that something takes, the best of several."""
    found = []
    for _ in range(times):
        start = time.perf_counter()
        work()
        found.append(time.perf_counter() - start)
    return min(found)


def test_report(capsys: Any) -> None:
    judge = Judge(load_rules(None)[0])
    path = HERE / "examples" / "quail-hatch.car"
    answers, _ = read_car(Source(path.name, path.read_text(encoding="utf-8")), judge.program)
    found = judge.judge(answers)
    assert found.deal is not None
    deal = found.deal
    sheet = judge.sheet(answers, found.market)
    planned = judge.planned(sheet)
    arrays = deal.arrays
    rest = (arrays.unanswered, arrays.unsure, arrays.refused)

    def exact() -> None:
        with exact_arithmetic():
            *_, price, _, _ = judge.readings.exact(arrays.plan, arrays.low, arrays.high, sheet.today, *rest)
            price(deal.asking, deal.bargain.figures(deal.plan))

    def what_if() -> None:
        """The same repairs at another price asked: profit, rules, and chances drawn anew."""
        nonlocal asked
        asked += 1
        with exact_arithmetic():
            other = judge.deal(sheet.with_answers({"asking": asked}), planned)
            other.bargain.at(asked, deal.plan, drawing=False)
            deal.bargain.at(asked, deal.plan)

    asked = deal.asking
    base = best(exact)
    fresh = best(lambda: judgment_lines(Judge(judge.readings).judge(answers)), 3)
    again = best(lambda: judgment_lines(judge.judge(answers)))
    one = best(what_if)
    with capsys.disabled():
        print(f"\nexact reading of a full car: {base * 1000:.2f} ms")
        print(f"whole report, nothing drawn before: {fresh:.3f} s, {fresh / base:.0f} times (goal: 0.25 s)")
        print(f"whole report again: {again:.3f} s, {again / base:.0f} times")
        print(f"one what-if: {one * 1000:.2f} ms, {one / base:.1f} times (goal: 1 ms)")
    assert asked > Decimal(0)
