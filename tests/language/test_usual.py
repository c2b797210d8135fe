"""`usually` for numbers: what it keeps, what it plans, and how it is laid out."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

from advisor.language.answers import Answers
from advisor.language.formatting import formatted
from advisor.language.types import Estimate, Quantity
from advisor.language.wording import in_unit
from tests.programs import checked, judge_of, program_of

HINTS = """\
ask tread: in from 0 in to 1 in
    "Shallowest tread on any tire?"
    usually 2/32 in .. 6/32 in .. 10/32 in
ask frost: degC from -40 degC to 50 degC
    "How cold can the coolant get?"
    usually -40 degC .. -30 degC .. -10 degC
ask resale: money from $0 to $50,000
    "What will it bring?"
    usually $2,000 .. $4,500 .. $9,000
ask compression: 1 to 12 of psi
    "Compression?"
    usually 100 psi .. 150 psi .. 190 psi
ask keys: count from 0 to 6
    "How many keys?"
ask lamp: yes/no
    "Does it light?"
    usually yes 93%, no 7%
"""


def test_a_spread_is_kept_in_the_program() -> None:
    questions = program_of(HINTS).questions
    tread = questions["tread"]
    assert isinstance(tread.type, Quantity)
    assert tread.spread is not None
    ends = (tread.spread.low, tread.spread.likely, tread.spread.high)
    assert [in_unit(v, tread.type) for v in ends] == [Fraction(n, 32) for n in (2, 6, 10)]
    assert questions["frost"].spread == Estimate(Decimal(-40), Decimal(-22), Decimal(14))  # kept in degF
    assert questions["resale"].spread == Estimate(Decimal(2000), Decimal(4500), Decimal(9000))
    reading = questions["compression"].spread
    assert reading is not None
    assert reading.low < reading.likely < reading.high
    assert questions["keys"].spread is None
    assert questions["lamp"].spread is None
    assert tread.usually == ()


def test_a_spread_plans_nothing() -> None:
    rules = """\
ask tread: in from 0 in to 1 in
    "Shallowest tread?"
    usually 2/32 in .. 6/32 in .. 10/32 in
refuse bald when tread < 3/32 in
    because "It slides."
    source common practice
verdict
    buy otherwise
"""
    with_spread, without = (judge_of(text) for text in (rules, rules.replace("    usually", "    #")))
    for judge in (with_spread, without):
        judgment = judge.judge(Answers())
        assert judgment.verdict == "unsettled"
        assert not judgment.assuming
    assert not with_spread.program.questions["tread"].chance


def test_a_spread_is_about_a_whole_number_where_the_question_is() -> None:
    _, problems = checked('ask keys: count from 0 to 6\n    "Keys?"\n    usually 1 .. 1.5 .. 2\n')
    assert [p.kind.code for p in problems] == ["V01"]


def test_a_spread_is_laid_out_as_it_is_read() -> None:
    assert formatted(HINTS) == HINTS
    crowded = HINTS.replace("    usually", " usually  ").replace("-40 degC ..", "- 40 degC  ..")
    assert formatted(crowded) == HINTS
