"""Random answers and random cars for a program, often at the ends of ranges and at what the rules compare with."""

from __future__ import annotations

from datetime import date, timedelta
from decimal import Decimal
from random import Random
from typing import Any

from advisor.language import core
from advisor.language.answers import Answers
from advisor.language.program import Program, Question, Unanswered
from advisor.language.types import Choice, Code, DateType, Estimate, ListOf, Quantity, Value, YesNo
from advisor.language.values import estimable
from tests.formulas import CODES, FIRST, LAST


def thresholds(program: Program) -> dict[str, list[Any]]:
    """The written values that each question is compared with."""
    found: dict[str, list[Any]] = {}
    parts = [*program.gates.values()] + [v.value for v in program.lets.values()]
    parts += [f.when for f in program.faults.values()] + [r.condition for r in program.rules.values()]
    for node in (n for p in parts if p is not None for n in core.walk(p)):
        if isinstance(node, core.Compare):
            for this, that in ((node.left, node.right), (node.right, node.left)):
                if isinstance(this, core.Ref) and this.kind == "question" and isinstance(that, core.Const):
                    found.setdefault(this.name, []).append(that.value)
    return found


def random_answer(random: Random, question: Question, cuts: list[Any], *, estimates: bool = True) -> Value:
    """An answer inside a question's domain: often at its ends or at a value that rules compare it with."""
    match question.type:
        case YesNo():
            return random.random() < 0.5
        case Choice(options):
            return random.choice(options)
        case DateType():
            low, high = question.low or FIRST, question.high or LAST
            assert isinstance(low, date)
            assert isinstance(high, date)
            inside = [c for c in cuts if isinstance(c, date) and low <= c <= high]
            if random.random() < 0.3:
                return random.choice([low, high, *inside])
            return low + timedelta(days=random.randint(0, (high - low).days))
        case Code(shortest=shortest, longest=longest):
            return random.choice([c for c in CODES if shortest <= len(c) <= longest] or ["X" * shortest])
        case ListOf(fewest=fewest, most=most):
            return tuple(_reading(random, question, cuts) for _ in range(random.randint(fewest, most)))
    if estimates and estimable(question.type) and random.random() < 0.25:
        return Estimate(*sorted(_reading(random, question, cuts) for _ in range(3)))
    return _reading(random, question, cuts)


def _reading(random: Random, question: Question, cuts: list[Any]) -> Decimal:
    low, high = question.low, question.high
    assert isinstance(low, Decimal)
    assert isinstance(high, Decimal)
    inside = [c for c in cuts if isinstance(c, Decimal) and low <= c <= high]
    if random.random() < 0.35:
        return random.choice([low, high, *inside, *inside])
    type_ = question.type.item if isinstance(question.type, ListOf) else question.type
    assert isinstance(type_, Quantity)
    if type_.whole:
        return Decimal(random.randint(int(low), int(high)))
    return low + (high - low) * Decimal(random.randint(0, 1000)) / 1000


def random_car(random: Random, program: Program, answered: float, *, estimates: bool = True) -> Answers:
    """A car on which a share of the questions is answered; the others are unsure, refused or not asked."""
    cuts = thresholds(program)
    values: dict[str, Value | Unanswered] = {}
    for name, question in program.questions.items():
        if random.random() < answered:
            values[name] = random_answer(random, question, cuts.get(name, []), estimates=estimates)
        elif random.random() < 0.6:
            values[name] = Unanswered(random.choice(("unsure", "refused")))
    day = FIRST + timedelta(days=random.randint(0, 12000))
    told, denied = random_claims(Random(f"{program.digest} {day}"), program)
    return Answers("", day, values, told=told, denied=denied)


def random_claims(random: Random, program: Program) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Some faults that were told, and some that were denied."""
    said = {name: random.choice(("", "", "told", "denied")) for name in program.faults}
    return tuple(n for n, s in said.items() if s == "told"), tuple(n for n, s in said.items() if s == "denied")
