"""A program cut down to some conditions, for whoever tries many answers to a few questions.

In: a program, and names of faults; or its gates and deal-breakers. Out: a program of the same questions, in the same
order, whose readings compute those conditions and what they stand on, and nothing else.
"""

from __future__ import annotations

from collections.abc import Iterable

from attrs import evolve

from advisor.language import core
from advisor.language.program import Program, Rule

__all__ = ["conditions_alone", "gates_and_refusals_alone"]


def conditions_alone(program: Program, faults: Iterable[str]) -> Program:
    """The program of these faults' conditions; faults that they name come along, in file order."""
    faults = tuple(faults)
    return _pruned(program, {*faults, *_stood_on(program, [program.faults[n].when for n in faults])}, {})


def gates_and_refusals_alone(program: Program) -> Program:
    """The program of which questions apply, and of the deal-breakers."""
    refuses = program.of_kind("refuse")
    kept = _stood_on(program, [*program.gates.values(), *(r.condition for r in refuses)])
    return _pruned(program, kept | program.gates.keys(), {r.name: r for r in refuses})


def _pruned(program: Program, kept: set[str], rules: dict[str, Rule]) -> Program:
    """The program of these names and rules."""
    return evolve(
        program.ungated(program.gates.keys() - kept),
        lets={n: let for n, let in program.lets.items() if n in kept},
        faults={
            n: evolve(f, parts=None, shop=None, labor=None, wait=None, quote=None, ends={})
            for n, f in program.faults.items()
            if n in kept
        },
        rules=rules,
        ladder=(),
        shows=(),
        promises=(),
        cases=(),
        curves=(),
        comparing=None,
        order=tuple(n for n in program.order if n in kept or n in program.questions),
    )


def _stood_on(program: Program, pending: list[core.Core]) -> set[str]:
    """The names that conditions stand on, through quantities, gates and faults."""
    found: set[str] = set()
    while pending:
        for part in core.walk(pending.pop()):
            if not isinstance(part, core.Ref) or part.name in found:
                continue
            found.add(part.name)
            if part.kind == "let":
                let = program.lets[part.name]
                pending += [v for v in (let.value, let.low, let.high) if v is not None]
            elif part.kind == "fault":
                pending.append(program.faults[part.name].when)
            elif part.kind == "question" and (gate := program.gates.get(part.name)) is not None:
                pending.append(gate)
    return found
