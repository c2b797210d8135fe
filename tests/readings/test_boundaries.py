"""Decimal boundaries: what is equal counts as equal, however it was computed."""

from __future__ import annotations

from decimal import Decimal, localcontext
from fractions import Fraction
from random import Random
from typing import Any

import pytest

from advisor.judging.judge import Judge
from advisor.judging.sheet import Sheet
from advisor.language.answers import Answers
from advisor.language.types import EXACT
from advisor.readings.arithmetic import exact_arithmetic
from tests.programs import judge_of

QUOTIENTS = 100_000

RATIO = """ruleset "Ratio"
    currency USD
ask left: money from $0 to $1,000,000,000
    "What is left?"
ask work: h from 0 h to 100,000 h
    "How many hours?"
ask rate: $/h from $0/h to $100,000/h
    "What must an hour earn?"
ask bound: number from 0 to 1,000,000,000
    "Which bound?"
ask over: number from 0 to 1,000,000,000
    "Divided by what?"
let hourly = left / work
let ratio = left / $1 / (over + 1)
refuse fair when hourly >= rate
    because "So."
refuse more when hourly > rate
    because "So."
refuse less when hourly < rate
    because "So."
refuse fair_turned when rate <= hourly
    because "So."
refuse same when hourly is rate
    because "So."
refuse wide when left / $1 / over >= bound
    because "So."
verdict
    pass otherwise
"""


class Ratio:
    """One compiled program for all the quotients."""

    def __init__(self) -> None:
        self.judge = judge_of(RATIO)
        self.names = list(self.judge.program.questions)
        none = (False,) * len(self.names)
        self.rest = (Sheet(self.judge.program, Answers()).today, none, none, none)

    def refuses(self, **values: Decimal) -> tuple[bool, ...]:
        v = tuple(values.get(n, Decimal(0)) for n in self.names)
        return self.judge.readings.exact(v, v, v, *self.rest)[2]  # type: ignore[no-any-return]  # generated code


def test_a_quotient_equal_to_its_bound_counts_as_equal() -> None:
    """`left / work >= rate` where left is exactly rate * work: holds, however the quotient itself would round; and
    neither a cent less nor the last of 15 digits less."""
    ratio, random = Ratio(), Random("quotients")
    met = (True, False, False, True, True)
    with exact_arithmetic():
        for _ in range(QUOTIENTS):
            # Money per hour is stored as such, labor in minutes; of these, thirds of an hour have decimal pay.
            minutes, rate = Decimal(3 * random.randint(1, 2_000_000)), Decimal(random.randint(1, 10**7)) / 100
            left = rate * minutes / 60
            assert ratio.refuses(left=left, work=minutes, rate=rate)[:5] == met
            unit = Decimal(1).scaleb(left.adjusted() - 14)
            assert ratio.refuses(left=left - unit, work=minutes, rate=rate)[:5] == (
                False,
                False,
                True,
                False,
                False,
            )
            assert ratio.refuses(left=left + unit, work=minutes, rate=rate)[:5] == (
                True,
                True,
                False,
                True,
                False,
            )


def test_quotients_that_have_no_end_are_compared_exactly() -> None:
    """1 / 3, 2 / 7 and their like never equal a decimal; the comparison agrees with whole fractions all the same."""
    ratio, random = Ratio(), Random("fractions")
    with exact_arithmetic():
        for _ in range(5_000):
            above, below = Decimal(random.randint(1, 10**9)), Decimal(random.randint(1, 10**6))
            with localcontext(EXACT):
                near = above / below
            for bound in (near, near.next_minus(EXACT), near.next_plus(EXACT)):
                if len(bound.as_tuple().digits) + len(below.as_tuple().digits) > 34:
                    bound = bound.quantize(Decimal("1e-15"))
                wanted = Fraction(above) / Fraction(below) >= Fraction(bound)
                assert ratio.refuses(left=above, over=below, bound=bound)[5] is wanted


def test_no_hours_ask_for_no_loss() -> None:
    ratio = Ratio()
    with exact_arithmetic():
        assert ratio.refuses(left=Decimal(0), work=Decimal(0), rate=Decimal(5))[0]
        assert ratio.refuses(left=Decimal(1), work=Decimal(0), rate=Decimal(5))[0]


SHARES = """ruleset "Shares"
    currency USD
setting highest_offer = $20,000
ask asking: money from $0 to $20,000
    "What is asked?"
ask resale: money from $0 to $100,000
    "What will it bring?"
let share = 30% of resale
require at_most: offer <= share
require below: offer < $7,000.01
verdict
    buy  when ceiling >= asking
    pass otherwise
"""


@pytest.mark.parametrize(
    ("resale", "asking", "verdict"),
    [
        ("10000", "3000.00", "buy"),
        ("10000", "3000.01", "pass"),
        ("0.10", "0.03", "buy"),  # in binary, 0.3 * 0.1 is not 0.03
        ("0.10", "0.04", "pass"),
        ("100000", "7000.00", "buy"),
        ("100000", "7000.01", "pass"),
    ],
)
def test_thirty_percent_is_thirty_percent(resale: str, asking: str, verdict: str) -> None:
    found = judge_of(SHARES).judge(Answers("", None, {"asking": Decimal(asking), "resale": Decimal(resale)}))
    assert found.verdict == verdict
    assert found.deal is not None
    assert found.deal.values["share"] == Decimal(resale) * 3 / 10


def test_thirty_percent_of_ten_thousand_dollars_is_exactly_three_thousand() -> None:
    found = judge_of(SHARES).judge(Answers("", None, {"asking": Decimal(1), "resale": Decimal(10_000)}))
    assert found.deal is not None
    assert found.deal.values["share"] == Decimal("3000.00")
    assert found.ceiling == Decimal("3000.00")
    assert found.binding == "at_most"


ROUNDED = """ruleset "Rounded"
    currency USD
ask amount: money from $0 to $1,000
    "How much?"
let cent = to_cent(amount)
let back = to_cent(-amount)
let down = rounded_down(amount, $50)
let up = rounded_up(amount, $50)
let quarter = rounded_up(amount, $0.25)
show cent "cent"
verdict
    pass otherwise
"""


@pytest.mark.parametrize(
    ("amount", "cent", "down", "up", "quarter"),
    [
        ("0.005", "0.01", 0, 50, "0.25"),
        ("0.015", "0.02", 0, 50, "0.25"),
        ("0.00499999999", "0", 0, 50, "0.25"),
        ("50", "50", 50, 50, "50"),
        ("50.0001", "50", 50, 100, "50.25"),
        ("99.995", "100", 50, 100, "100"),
    ],
)
def test_rounding_half_up_and_to_steps(amount: str, cent: str, down: int, up: int, quarter: str) -> None:
    found = judge_of(ROUNDED).judge(Answers("", None, {"amount": Decimal(amount)}))
    assert found.deal is not None
    values: dict[str, Any] = found.deal.values
    assert (values["cent"], values["down"], values["up"]) == (Decimal(cent), down, up)
    # Half goes away from zero on both sides.
    assert values["back"] == -Decimal(cent)
    assert values["quarter"] == Decimal(quarter)


THIRDS = """ruleset "Thirds"
    currency USD
let screws = $0 .. $0 .. $0.03
let clips = $0 .. $0.01 .. $0.02
let half = to_cent(screws / 3 + screws / 3 + screws / 3)
let exact = to_cent(third + third + third)
let down = rounded_down(third + third + third, $1)
let hours = rounded_down(job + job + job, 15 min)
let up = rounded_up((third + third + third) * 50, $50)
let third = $0 .. $0.25 .. $1
let job = 0 min .. 1 min .. 11 min
show half "half a cent"
verdict
    pass otherwise
"""


def test_three_thirds_are_a_whole_when_it_is_rounded() -> None:
    # Each mean ends in sixes or threes without end, so that three of them come to a little more or less than they are.
    values = judge_of(THIRDS).judge(Answers("", None, {})).deal.values  # type: ignore[union-attr]  # nothing is asked
    assert values["half"] == Decimal("0.01")  # three sixths of a cent
    assert (values["exact"], values["down"], values["up"]) == (1, 1, 50)
    assert values["hours"] == 0  # 7.5 minutes


def test_the_judge_reads_no_float() -> None:
    """Every number of a judged car is a decimal."""
    judge: Judge = judge_of(SHARES)
    found = judge.judge(Answers("", None, {"asking": Decimal(1), "resale": Decimal("0.1")}))
    assert found.deal is not None
    assert not any(isinstance(v, float) for v in found.deal.values.values())
