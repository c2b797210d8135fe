"""What is not wrong and still worth saying: a rule without a reason, a figure without a source, an idle question.

In: a checked program. Out: advice, as problems that stop nothing. Also the question which answers may be planned
at their chance, because they decide nothing but faults.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from advisor.language import catalogue, core
from advisor.language.core import Core
from advisor.language.linking import Linked
from advisor.language.problems import Problem, nearest
from advisor.language.program import Program
from advisor.language.types import Code, Text

__all__ = ["advice", "chance_questions", "weighed_questions"]

_NAME = re.compile(r"[A-Za-z_]\w*")
_SELF_EVIDENT = ("asking", "profit", "highest_offer", "draws", "seed", "misjudgment", "shop_rate")


def names_in(*nodes: Core | None) -> set[str]:
    """The names that expressions refer to, tables' keys and seasons aside."""
    return {p.name for n in nodes if n is not None for p in core.walk(n) if isinstance(p, core.Ref)}


def chance_questions(program: Program) -> set[str]:
    """The questions with shares that flow into nothing but faults, gates of such questions, and cautions."""
    settled = set()
    for rung in program.ladder:
        settled |= names_in(rung.condition)
    for rule in program.rules.values():
        if rule.kind != "caution":
            settled |= names_in(rule.condition)
    for fault in program.faults.values():
        settled |= names_in(fault.parts, fault.shop, fault.labor, fault.wait)
    settled |= _shown(program)
    live_lets = _reached(program, settled)
    tainted = set(settled) | live_lets
    # A question whose gate hangs on chance has no certain value either.
    for name in program.order:
        if name in program.lets and name in tainted:
            tainted |= names_in(program.lets[name].value)
    changed = True
    while changed:
        before = len(tainted)
        for name, question in program.questions.items():
            if question.gated and (name in tainted or not question.usually):
                tainted |= names_in(program.gates[name])
        for name in list(tainted):
            if name in program.lets:
                tainted |= names_in(program.lets[name].value)
            elif name in program.faults:
                tainted |= names_in(program.faults[name].when)
        changed = len(tainted) != before
    return {n for n, q in program.questions.items() if q.usually and n not in tainted}


def weighed_questions(program: Program) -> set[str]:
    """All questions but those that only cautions look at: not to know an answer that decides anything is a risk, and
    it is none where somebody is only told to take care."""
    cautions, others = _looked_at(program, cautions=True), _looked_at(program, cautions=False)
    return program.questions.keys() - (cautions - others)


def _looked_at(program: Program, *, cautions: bool) -> set[str]:
    """The questions that cautions look at, through whatever else; or else what all the rest does."""
    pending: list[Core | None] = [r.condition for r in program.rules.values() if (r.kind == "caution") is cautions]
    names: set[str] = set()
    if not cautions:
        pending += [r.condition for r in program.ladder]
        names = _shown(program) | program.faults.keys() | {"profit"}
    found: set[str] = set()
    while pending or names - found:
        names |= names_in(*pending)
        pending = []
        for name in names - found:
            pending += _behind(program, name)
            found.add(name)
    return found & program.questions.keys()


def _behind(program: Program, name: str) -> list[Core | None]:
    """The expressions that a name stands on."""
    if name in program.lets:
        let = program.lets[name]
        return [let.value, let.low, let.high]
    if name in program.faults:
        fault = program.faults[name]
        return [fault.when, fault.parts, fault.shop, fault.labor, fault.wait, fault.quote]
    return [*program.gates_of([name])]


def _shown(program: Program) -> set[str]:
    """What the report and the comparables name: lines, curves with the settings they try, the market's figures."""
    found = {show.name for show in program.shows}
    for curve in program.curves:
        found |= {show.name for show in curve.shows} | {curve.setting} | ({curve.most} if curve.most else set())
    if program.comparing:
        found |= {n for n in (program.comparing.year, program.comparing.miles) if n}
        found |= {f for f in program.comparing.figures.values() if isinstance(f, str)}
    return found


def _reached(program: Program, names: set[str]) -> set[str]:
    """The lets that the judging computes because of the price: whatever profit and the requires stand on."""
    found: set[str] = set()
    pending = [*names, "profit"]
    while pending:
        name = pending.pop()
        if name in program.lets and name not in found:
            found.add(name)
            pending.extend(names_in(program.lets[name].value))
    return found


def advice(program: Program, linked: Linked, unknown: set[str]) -> list[Problem]:
    """Everything worth saying about a program."""
    found: list[Problem] = []
    for rule in program.rules.values():
        if not rule.because:
            found.append(catalogue.NO_BECAUSE.at(rule.span, kind=rule.kind, name=rule.name))
        if not rule.cited:
            found.append(catalogue.NO_SOURCE.at(rule.span, name=rule.name))
    for setting in program.settings.values():
        if not setting.cited:
            found.append(catalogue.NO_SOURCE.at(setting.span, name=setting.name))
    for fault in program.faults.values():
        if not fault.cited:
            found.append(catalogue.NO_SOURCE.at(fault.span, name=fault.name))
    if program.ladder:
        found.extend(_idle(program, unknown))
    return found


def _idle(program: Program, unknown: set[str]) -> Iterator[Problem]:
    """Questions, quantities and settings that nothing uses. Only a whole ruleset, with a verdict, can tell."""
    used = set(_SELF_EVIDENT)
    for expression in program.expressions():
        used |= names_in(expression)
        used |= {
            t.by for p in core.walk(expression) if isinstance(p, core.Lookup) and (t := program.tables[p.table]).by
        }
    # A quotient that is compared is multiplied out, so that its name stands in the text alone.
    used |= {name for rule in program.rules.values() for name in _NAME.findall(rule.condition.span.text)}
    used |= _shown(program)
    used |= {e.name for case in program.cases for e in case.expected}
    for table, kind in (
        (program.questions, catalogue.IDLE_QUESTION),
        (program.lets, catalogue.IDLE_LET),
        (program.settings, catalogue.IDLE_SETTING),
    ):
        for name, made in table.items():
            if name in used or isinstance(made.type, Text | Code) or nearest(name, unknown):
                continue
            yield kind.at(made.span, name=name)
