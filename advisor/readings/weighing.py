"""What the verdict of a program can depend on, whatever the answers.

In: a program. Out: names of questions, and what its ladder and its rules look at.
"""

from __future__ import annotations

from decimal import Decimal

from attrs import field, frozen

from advisor.language import core
from advisor.language.program import Program, Question, Unanswered

__all__ = ["Weight", "climbs", "drawn_rules", "looks_at_plan", "weight"]


@frozen
class Weight:
    """The questions that the verdict can depend on.

    `weighty` by their answers: through deal-breakers, requires, the ladder, profit or faults. `counted` by whether
    they are answered at all: through the `counters`, such as `cannot_tell`, that the verdict can depend on.
    """

    weighty: frozenset[str]
    counted: frozenset[str]
    counters: frozenset[str]
    thresholds: dict[str, tuple[Decimal, ...]] = field(factory=dict)
    """The numbers that rules compare a question with, in order."""

    def ways_open(self, question: Question) -> tuple[Unanswered | None, ...]:
        """The ways in which a question can stay without an answer that some counter tells apart."""
        major = question.major and "unverified_majors" in self.counters
        unsure = [Unanswered("unsure")] if "cannot_tell" in self.counters else []
        refused = [Unanswered("refused")] if "refused_looks" in self.counters else []
        return (*unsure, *refused, *([None] if major else []))


def weight(program: Program) -> Weight:
    """What the verdict of a program can depend on."""
    questions = program.questions
    found: set[str] = set()
    counted: set[str] = set()
    counters: set[str] = set()
    pending: list[core.Core] = [r.condition for r in program.rules.values() if r.kind != "caution"]
    pending += [r.condition for r in program.ladder if r.condition is not None]
    names: set[str] = set()
    if program.of_kind("require") or "profit" in program.lets:
        names |= {"profit", "asking", *program.faults}
    while pending or names:
        gates: list[core.Core] = []
        for part in (p for node in pending for p in core.walk(node)):
            match part:
                case core.Ref(name=name):
                    names.add(name)
                case core.PlanFigure():
                    names |= set(program.faults)
                case core.Special(name="offer"):
                    names.add("asking")
                case core.Special(name="unverified_majors"):
                    majors = {q.name for q in questions.values() if q.major}
                    names |= majors
                    counted |= majors
                    counters.add("unverified_majors")
                case core.Special(name="cannot_tell" | "refused_looks" as counter):
                    if counter not in counters:  # what is not asked of this car is not counted
                        gates += program.gates_of(q.name for q in questions.values() if q.weighed)
                    counted |= {q.name for q in questions.values() if q.weighed}
                    counters.add(counter)
        pending = gates
        for name in names - found:
            pending += _stands_on(program, name)
        found |= names
        names = set()
    return Weight(frozenset(found & set(questions)), frozenset(counted), frozenset(counters), _thresholds(program))


def _thresholds(program: Program) -> dict[str, tuple[Decimal, ...]]:
    """The numbers that each name is compared with."""
    found: dict[str, set[Decimal]] = {}
    for expression in program.expressions():
        for part in core.walk(expression):
            match part:
                case core.Compare(left=core.Ref(name=name), right=core.Const(value=Decimal() as cut)):
                    found.setdefault(name, set()).add(cut)
                case core.Compare(left=core.Const(value=Decimal() as cut), right=core.Ref(name=name)):
                    found.setdefault(name, set()).add(cut)
    return {name: tuple(sorted(cuts)) for name, cuts in found.items()}


def _stands_on(program: Program, name: str) -> list[core.Core]:
    """The expressions that decide a name."""
    if name in program.lets:
        let = program.lets[name]
        return [v for v in (let.value, let.low, let.high) if v is not None]
    if name in program.faults:
        fault = program.faults[name]
        return [v for v in (fault.when, fault.parts, fault.shop, fault.labor, fault.wait, fault.quote) if v is not None]
    return program.gates_of([name])


def looks_at_plan(program: Program) -> bool:
    """Whether the verdict ladder looks at anything that the repair plan decides, the ceiling aside."""
    seen: set[str] = set()
    pending = [r.condition for r in program.ladder if r.condition is not None]
    while pending:
        for part in core.walk(pending.pop()):
            if isinstance(part, core.PlanFigure) and part.figure != "argued":
                return True
            if isinstance(part, core.Ref) and part.kind == "let" and part.name not in seen:
                seen.add(part.name)
                pending.append(program.lets[part.name].value)
    return False


def climbs(program: Program) -> bool:
    """Whether a higher ceiling only leads to an earlier rung: each looks at it as `ceiling >= ...`, or not at all."""
    lets = {n for n, let in program.lets.items() if let.stage == "report"}

    def looks(node: core.Core) -> bool:
        return any(
            (isinstance(p, core.Special) and p.name == "ceiling") or (isinstance(p, core.Ref) and p.name in lets)
            for p in core.walk(node)
        )

    for condition in (r.condition for r in program.ladder if r.condition is not None):
        match condition:
            case core.Compare(op=">=" | ">", left=core.Special(name="ceiling"), right=right) if not looks(right):
                continue
        if looks(condition):
            return False
    return True


def drawn_rules(program: Program) -> frozenset[int]:
    """Which requires, by their place, look at a chance or a percentile."""
    lets: set[str] = set()

    def draws(node: core.Core) -> bool:
        return any(
            isinstance(p, core.Chance | core.Percentile) or (isinstance(p, core.Ref) and p.name in lets)
            for p in core.walk(node)
        )

    for name in program.order:
        if name in program.lets and draws(program.lets[name].value):
            lets.add(name)
    return frozenset(i for i, r in enumerate(program.of_kind("require")) if draws(r.condition))
