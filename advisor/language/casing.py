"""The cars and cases inside a ruleset.

In: a `Draft` and the program made of it. Out: cases with the answers of the cars they are like, and what each expects.
"""

from __future__ import annotations

from datetime import date

from attrs import define, evolve, field

from advisor.language import catalogue, nodes
from advisor.language.answers import read_answer
from advisor.language.blocks import DEEPEST, MOST_PROBLEMS
from advisor.language.claims import Claims
from advisor.language.comparable_lines import UnreadablePart, read_comparable
from advisor.language.draft import Draft
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
from advisor.trade.market import Comparable

__all__ = ["cases"]


@define
class _Seen:
    """A car while it is read, on top of the one it is like."""

    day: date | None = None
    values: dict[str, Value | Unanswered] = field(factory=dict)
    comparables: tuple[Comparable, ...] = ()
    told: tuple[str, ...] = ()
    denied: tuple[str, ...] = ()
    depth: int = 0
    """How many cars it is like, one through another."""


def cases(draft: Draft, program: Program) -> tuple[CaseDef, ...]:
    """Every case of the main file; the cars of all files are checked on the way."""
    made: list[CaseDef] = []
    known: dict[str, _Seen] = {}
    for block in () if draft.scope.mixed_money else draft.linked.blocks:
        if isinstance(block, nodes.Case) and block.span.source != draft.linked.main:
            continue  # a used file's cases are about that file, before `set` and `without`
        if isinstance(block, nodes.Case):
            seen = _car(draft, block.car, program, [], known)
            expected = tuple(e for g in block.gives if (e := _expected(draft, g, program)))
            if not block.gives:
                draft.say(
                    catalogue.EMPTY, block.span, what="case", wanted="a `gives` line that says what must come out"
                )
            made.append(
                CaseDef(
                    block.title, seen.day, seen.values, expected, block.span, seen.comparables, seen.told, seen.denied
                )
            )
        elif isinstance(block, nodes.Car):
            _car(draft, block, program, [block.name.text] if block.name else [], known)
    return tuple(made)


def _car(draft: Draft, car: nodes.Car, program: Program, path: list[str], known: dict[str, _Seen]) -> _Seen:
    """The day and the answers of a car, on top of those of the car it is like; `known` keeps named cars."""
    name = car.name.text if car.name and draft.named.get(car.name.text) is car else ""
    if name in known:
        return known[name]
    base = _like(draft, car.like, program, path, known) if car.like else None
    seen = evolve(base, values=dict(base.values), depth=base.depth + 1) if base else _Seen()
    _read(draft, car, program, seen)
    if name:
        known[name] = seen
    return seen


def _read(draft: Draft, car: nodes.Car, program: Program, seen: _Seen) -> None:
    """Read a car's own lines into what it has of another."""
    if car.day:
        try:
            seen.day = read_date(car.day.text)
        except Unreadable as error:
            draft.say(error.kind, car.day.span, **error.words)
    _answers(draft, car, program, seen)
    if len(draft.problems) <= MOST_PROBLEMS:
        if car.comparables:
            _comparables(draft, car, program, seen)
        if car.claims:
            _claims(draft, car, program, seen)


def _like(draft: Draft, like: nodes.Name, program: Program, path: list[str], known: dict[str, _Seen]) -> _Seen | None:
    """The car that another one is like, if there is one."""
    name = like.text
    base = draft.named.get(name)
    if name in path:
        _car_circle(draft, like, [*path[path.index(name) :], name])
    elif len(path) >= DEEPEST or (name in known and known[name].depth >= DEEPEST):
        if not any(p.kind is catalogue.TOO_DEEP and p.span.text in draft.named for p in draft.problems):
            draft.say(catalogue.TOO_DEEP, like.span, most=DEEPEST)
    elif isinstance(base, nodes.Car):
        return _car(draft, base, program, [*path, name], known)
    elif name in draft.scope.kinds:
        draft.say(catalogue.WRONG_KIND_OF_NAME, like.span, name=name, kind=draft.scope.kinds[name])
    elif name not in draft.scope.broken and not draft.linked.incomplete:
        draft.elab.miss(name, like.span, f"write a block `car {name}` with its answers")
    return None


def _answers(draft: Draft, car: nodes.Car, program: Program, into: _Seen) -> None:
    seen: dict[str, Span] = {}
    for name_node, text in car.answers:
        name = name_node.text
        question = program.questions.get(name)
        used = name in draft.dropped and car.span.source != draft.linked.main
        if used and question is None:
            continue  # a used file's car still answers what this file does not ask
        if question is None or question.type == BROKEN:
            if name not in draft.scope.broken and name not in draft.questions and not draft.linked.incomplete:
                draft.unasked.setdefault(name, []).append(name_node.span)
            continue
        if name in seen:
            draft.say(catalogue.ANSWERED_TWICE, name_node.span, name=name, notes=[(seen[name], "here first")])
        seen[name] = name_node.span
        try:
            into.values[name] = read_answer(text.text, question, program.currency)
        except Unreadable as error:
            if not used:  # what it answers may be no answer to the question that this file asks instead
                draft.say(error.kind, text.span, **error.words)


def _comparables(draft: Draft, car: nodes.Car, program: Program, into: _Seen) -> None:
    """A car with comparables of its own has those alone."""
    found = []
    for line in car.comparables:
        try:
            found.append(read_comparable(line.exact, into.day, program.currency_code, line.span.place.line))
        except UnreadablePart as error:
            draft.problems.append(error.at(line.span))
    used = "comparables" in draft.dropped and car.span.source != draft.linked.main
    told = any(p.kind is catalogue.NO_COMPARING for p in draft.problems)
    if not (draft.comparables or draft.linked.incomplete or used or told):
        draft.problems.append(catalogue.NO_COMPARING.at(car.comparables[0].span))
    into.comparables = tuple(found)


def _claims(draft: Draft, car: nodes.Car, program: Program, into: _Seen) -> None:
    """A car with a `told` or `denied` of its own has what these say alone."""
    claims, kinds = Claims(), draft.scope.kinds
    used = car.span.source != draft.linked.main

    def is_fault(name: str) -> bool:
        # A used file's car still names what this file dropped.
        return kinds.get(name) == "fault" or name in draft.scope.broken or (used and name in draft.dropped)

    for word, names in car.claims:
        known = [n for n in names if n.text in kinds or not draft.linked.incomplete]
        draft.problems += claims.add(word, known, is_fault, kinds)
    if any(word == "told" for word, _ in car.claims):
        into.told = tuple(n for n in claims.told if n in program.faults)
    if any(word == "denied" for word, _ in car.claims):
        into.denied = tuple(n for n in claims.denied if n in program.faults)


def _car_circle(draft: Draft, at: nodes.Name, path: list[str]) -> None:
    """Cars that are like each other, told once for each circle."""
    if frozenset(path) not in draft.circles:
        draft.circles.add(frozenset(path))
        draft.say(catalogue.CYCLE, at.span, path=" -> ".join(path))


def _listed(names: tuple[str, ...]) -> str:
    """`a`, `b` and `c`."""
    return f"{', '.join(f'`{n}`' for n in names[:-1])} and `{names[-1]}`"


def _expected(draft: Draft, gives: nodes.Gives, program: Program) -> Expected | None:
    name = gives.name.text
    if gives.value is None:
        known = (*program.verdicts, "unsettled")
        if name not in known and draft.linked.no_verdict:
            return None  # it may be a word of the ladder that could not be read
        if name not in known:
            guess = nearest(name, known)
            cure = f"did you mean `{guess}`?" if guess else f"verdicts are {_listed(known)}"
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
