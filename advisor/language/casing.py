"""The cars and cases inside a ruleset.

In: a `Draft` and the program made of it. Out: cases with the answers of the cars they are like, and what each expects.
"""

from __future__ import annotations

from datetime import date

from attrs import evolve

from advisor.language import catalogue, nodes
from advisor.language.blocks import DEEPEST
from advisor.language.cars import read_answer
from advisor.language.draft import VERDICTS, Draft
from advisor.language.functions import SPECIAL
from advisor.language.problems import nearest
from advisor.language.program import (
    CaseDef,
    Expected,
    Program,
    Unanswered,
)
from advisor.language.source import Span
from advisor.language.types import (
    BROKEN,
    Quantity,
    Value,
)
from advisor.language.values import Unreadable, read_date

__all__ = ["cases"]


def cases(draft: Draft, program: Program) -> tuple[CaseDef, ...]:
    made: list[CaseDef] = []
    for block in () if draft.scope.mixed_money else draft.linked.blocks:
        if isinstance(block, nodes.Case) and block.span.source != draft.linked.main:
            continue  # a used file's cases are about that file, before `set` and `without`
        if isinstance(block, nodes.Case):
            day, values = _car(draft, block.car, program, [])
            expected = tuple(e for g in block.gives if (e := _expected(draft, g, program)))
            if not block.gives:
                draft.say(
                    catalogue.EMPTY, block.span, what="case", wanted="a `gives` line that says what must come out"
                )
            made.append(CaseDef(block.title, day, values, expected, block.span))
        elif isinstance(block, nodes.Car):
            _car(draft, block, program, [block.name.text] if block.name else [])
    return tuple(made)


def _car(
    draft: Draft, car: nodes.Car, program: Program, path: list[str]
) -> tuple[date | None, dict[str, Value | Unanswered]]:
    """The day and the answers of a car, on top of those of the car it is like."""
    day: date | None = None
    values: dict[str, Value | Unanswered] = {}
    if car.like:
        name = car.like.text
        base = draft.named.get(name)
        if name in path:
            _car_circle(draft, car.like, [*path[path.index(name) :], name])
        elif len(path) >= DEEPEST:
            if not any(p.kind is catalogue.TOO_DEEP and p.span.text in draft.named for p in draft.problems):
                draft.say(catalogue.TOO_DEEP, car.like.span, most=DEEPEST)
        elif isinstance(base, nodes.Car):
            day, values = _car(draft, base, program, [*path, name])
        elif name in draft.scope.kinds:
            draft.say(catalogue.WRONG_KIND_OF_NAME, car.like.span, name=name, kind=draft.scope.kinds[name])
        elif name not in draft.scope.broken and not draft.linked.incomplete:
            draft.elab.miss(name, car.like.span, f"write a block `car {name}` with its answers")
    if car.day:
        try:
            day = read_date(car.day.text)
        except Unreadable as error:
            draft.say(error.kind, car.day.span, **error.words)
    seen: dict[str, Span] = {}
    for name_node, text in car.answers:
        name = name_node.text
        question = program.questions.get(name)
        if name in draft.dropped and car.span.source != draft.linked.main:
            continue  # a used file's car still answers what this file does not ask
        if question is None or question.type == BROKEN:
            if name not in draft.scope.broken and name not in draft.questions and not draft.linked.incomplete:
                draft.unasked.setdefault(name, []).append(name_node.span)
            continue
        if name in seen:
            draft.say(catalogue.ANSWERED_TWICE, name_node.span, name=name, notes=[(seen[name], "here first")])
        seen[name] = name_node.span
        try:
            values[name] = read_answer(text.text, question, program.currency)
        except Unreadable as error:
            draft.say(error.kind, text.span, **error.words)
    return day, values


def _car_circle(draft: Draft, at: nodes.Name, path: list[str]) -> None:
    """Cars that are like each other, told once for each circle."""
    if frozenset(path) not in draft.circles:
        draft.circles.add(frozenset(path))
        draft.say(catalogue.CYCLE, at.span, path=" -> ".join(path))


def _expected(draft: Draft, gives: nodes.Gives, program: Program) -> Expected | None:
    name = gives.name.text
    if gives.value is None:
        if name not in (*VERDICTS, "unsettled"):
            guess = nearest(name, (*VERDICTS, "unsettled"))
            cure = f"did you mean `{guess}`?" if guess else "verdicts are `buy`, `renegotiate`, `pass` and `unsettled`"
            draft.say(catalogue.UNKNOWN_VERDICT, gives.name.span, text=name, cure=cure)
            return None
        for rule in gives.because:
            kind = draft.scope.kinds.get(rule.text)
            if rule.text in draft.scope.broken or kind in ("refuse", "require"):
                continue
            if kind:
                draft.say(catalogue.WRONG_KIND_OF_NAME, rule.span, name=rule.text, kind=kind)
            else:
                draft.elab.miss(rule.text, rule.span, "name a `refuse` or a `require`")
        return Expected(name, tuple(r.text for r in gives.because), None, gives.span)
    type_ = SPECIAL.get(name) or program.type_of(name)
    if type_ is None:
        kind = draft.scope.kinds.get(name)
        if kind and kind not in ("question", "setting", "let") and name not in draft.scope.broken:
            draft.say(catalogue.WRONG_KIND_OF_NAME, gives.name.span, name=name, kind=kind)
        elif not kind and name not in draft.scope.broken:
            draft.elab.miss(name, gives.name.span, "name a quantity of the rules")
        return None
    if type_ == BROKEN:
        return None
    if gives.value.text == "none" and (name == "ceiling" or _may_be_none(draft, name)):
        return Expected(name, (), None, gives.span)
    if isinstance(type_, Quantity) and type_.plain and "%" in gives.value.text:
        type_ = evolve(type_, percent=True)
    value = draft.declare.value(gives.value, type_, name)
    return Expected(name, (), value, gives.span) if value is not None else None


def _may_be_none(draft: Draft, name: str) -> bool:
    """Whether a quantity can be without a value."""
    value = draft.scope.values.get(name)
    return value is not None and draft.elab.lacking(value) is not None
