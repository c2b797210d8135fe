"""What `judge` shows and what `why` says of it are one number: both are exact, whenever they are asked for."""

from __future__ import annotations

from decimal import Context, Decimal, localcontext
from pathlib import Path

import pytest

from advisor.cli.rules import load_rules
from advisor.judging.derivation import derive, worded
from advisor.judging.judge import Judge
from advisor.language.cars import read_car
from advisor.language.source import Source
from advisor.report.data import judgment_data

EXAMPLES = Path(__file__).parents[2] / "examples"


@pytest.fixture(scope="module")
def judge() -> Judge:
    return Judge(load_rules(None)[0])


@pytest.mark.parametrize("car", sorted(p.name for p in EXAMPLES.glob("*.car")))
def test_judge_and_why_say_the_same(judge: Judge, car: str) -> None:
    answers, problems = read_car(Source(car, (EXAMPLES / car).read_text(encoding="utf-8")), judge.program)
    assert not problems
    judgment = judge.judge(answers)
    shown = judgment_data(judgment)["show"]
    assert isinstance(shown, list)
    assert bool(shown) == (judgment.deal is not None)
    said: dict[str, str] = {}
    for line in shown[::4]:  # each derivation judges the car anew
        steps = derive(judge, answers, line["name"])
        assert steps[0].value == line["shown"]
        said |= {s.name: s.value for s in steps if s.kind == "let"}
    assert len(said) > 30 or judgment.deal is None
    for name, value in said.items():
        assert judgment.deal is not None
        assert value == worded(judgment.deal.values[name], judge.program.lets[name].type, judge.program.currency)


def test_a_deal_is_exact_in_any_context(judge: Judge) -> None:
    """Whoever asks a judgment for a figure later may compute in a coarse context; the figure does not care."""
    car = EXAMPLES / "brightwater-convertible.car"
    answers, _ = read_car(Source(car.name, car.read_text(encoding="utf-8")), judge.program)
    usual = judge.judge(answers).deal
    assert usual is not None
    with localcontext(Context(prec=6)):
        coarse = judge.judge(answers).deal
        assert coarse is not None
        assert coarse.values == usual.values
        assert (coarse.ceiling, coarse.plan, coarse.verdict) == (usual.ceiling, usual.plan, usual.verdict)
    assert any(isinstance(v, Decimal) and len(v.as_tuple().digits) > 28 for v in usual.values.values())
