"""What a car brings, from the comparables that are recorded with it.

In: a program that says how (`comparables for resale`), and a car's answers. Out: the `Valuation`, and the estimate that
stands in for the answer. Low and high of a valuation are an 80 % range; the estimate is the PERT whose tenth and
ninetieth percentiles are that range.
"""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

from attrs import evolve

from advisor.judging.sheet import Sheet
from advisor.language.answers import Answers
from advisor.language.program import ComparingDef, Program
from advisor.language.stored import DAY
from advisor.language.types import Estimate, decimal, end_of
from advisor.language.units import unit_factor
from advisor.trade.comparables import Market, Valuation, estimate
from advisor.trade.pert import widened

__all__ = ["estimated", "known_subject", "market_of", "valuation", "valued_sheet"]


def market_of(program: Program, comparing: ComparingDef) -> Market:
    """The figures of the market, from the settings that the rules name."""
    found: dict[str, Decimal] = {}
    for name, figure in comparing.figures.items():
        value = end_of(program.settings[figure].value, "plan") if isinstance(figure, str) else figure
        assert isinstance(value, Decimal)
        found[name] = value / DAY if name == "stands" else value
    return Market(**found)


def known_subject(program: Program, answers: Answers) -> bool:
    """Whether everything that the valuation looks at has an answer, so that no further answer can change it."""
    comparing = program.comparing
    return comparing is not None and all(
        answers.known(n) is not None for n in (comparing.year, comparing.miles) if n is not None
    )


def valuation(program: Program, answers: Answers) -> Valuation | None:
    """What the comparables say of a car; None where the rules do not ask for any, or the car has none."""
    comparing = program.comparing
    if comparing is None or not answers.comparables:
        return None
    year, miles = (_number(program, answers, name) for name in (comparing.year, comparing.miles))
    return estimate(
        answers.comparables,
        int(year) if year is not None else None,
        miles / decimal(Fraction(unit_factor(("mi",)))) if miles is not None else None,
        answers.day,
        market_of(program, comparing),
    )


def valued_sheet(program: Program, answers: Answers, found: Valuation | None) -> Sheet:
    """A car's answers, with what its comparables come to where that was not answered.

    While something is open that they are adjusted to, their estimate is only what is planned with.
    """
    comparing = program.comparing
    value = estimated(program, found) if found is not None else None
    if comparing is None or value is None or answers.known(comparing.question) is not None:
        return Sheet(program, answers)
    if not known_subject(program, answers):
        return Sheet(program, answers, {comparing.question: value})
    return Sheet(program, evolve(answers, values=answers.values | {comparing.question: value}))


def _number(program: Program, answers: Answers, name: str | None) -> Decimal | None:
    """The answer to a question, or what is planned with, if either is known."""
    if name is None:
        return None
    value = answers.known(name)
    value = program.questions[name].unsure if value is None else value
    return value if isinstance(value, Decimal) else None


def estimated(program: Program, found: Valuation) -> Estimate | None:
    """The estimate that a valuation comes to, inside the range of the question that it answers."""
    if program.comparing is None or found.low is None or found.likely is None or found.high is None:
        return None
    question = program.questions[program.comparing.question]
    assert isinstance(question.low, Decimal)
    assert isinstance(question.high, Decimal)
    ends = (min(max(v, question.low), question.high) for v in widened(found.low, found.likely, found.high))
    return Estimate(*ends)
