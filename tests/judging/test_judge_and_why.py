"""What `judge` shows and what `why` says of it are one number: both are exact, whenever they are asked for."""

from __future__ import annotations

from decimal import Context, Decimal, localcontext

import pytest

from advisor.judging.derivation import derive, worded
from advisor.report.data import judgment_data
from tests.report.cars import NAMES, example, house


@pytest.mark.parametrize("name", NAMES)
def test_judge_and_why_say_the_same(name: str) -> None:
    judge, judgment = house(), example(name)
    shown = judgment_data(judgment)["show"]
    assert isinstance(shown, list)
    assert bool(shown) == (judgment.deal is not None)
    said: dict[str, str] = {}
    for line in shown[::4]:  # each derivation judges the car anew
        steps = derive(judge, judgment.answers, line["name"])
        assert steps[0].value == line["shown"]
        said |= {s.name: s.value for s in steps if s.kind == "let"}
    assert len(said) > 30 or judgment.deal is None
    for let, value in said.items():
        assert judgment.deal is not None
        assert value == worded(judgment.deal.values[let], judge.program.lets[let].type, judge.program.currency)


def test_a_deal_is_exact_in_any_context() -> None:
    """Whoever asks a judgment for a figure later may compute in a coarse context; the figure does not care."""
    judgment = example("brightwater-convertible")
    usual = judgment.deal
    assert usual is not None
    with localcontext(Context(prec=6)):
        coarse = house().judge(judgment.answers, thorough=False).deal
        assert coarse is not None
        assert coarse.values == usual.values
        assert (coarse.ceiling, coarse.plan, coarse.verdict) == (usual.ceiling, usual.plan, usual.verdict)
    assert any(isinstance(v, Decimal) and len(v.as_tuple().digits) > 28 for v in usual.values.values())
