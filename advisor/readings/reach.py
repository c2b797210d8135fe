"""Which questions a verdict can still hang on, while answers come in.

In: a program, once; then what the possible reading says of a car. Out: names of questions. A rule or fault that is
decided one way or the other hangs on nothing more. It holds names alone, so that it can be kept beside the readings.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import cached_property
from typing import TYPE_CHECKING

from attrs import frozen

if TYPE_CHECKING:
    from advisor.language.program import Program

__all__ = ["Reach", "reach"]

Sides = Sequence[tuple[bool, bool]]
"""For each of some rules or faults, whether it can hold and whether it can fail to."""
Behind = tuple[frozenset[str], ...]
"""The questions behind each of some rules or faults, in file order."""


@frozen(slots=False)
class Reach:
    """The questions behind deal-breakers, cautions for safety, the conditions and the figures of faults, and gates;
    and those that requires, ladder and counters look at, but for the faults in sums over all of them."""

    refuses: Behind
    warned: Behind
    whens: Behind
    figures: Behind
    price: frozenset[str]
    gates: dict[str, frozenset[str]]

    def mattering(self, facts: Sides, refuses: Sides) -> frozenset[str]:
        """The questions that the verdict can hang on."""
        found = set(self.price).union(*_open(self.refuses, refuses))
        for when, figures, (can, not_) in zip(self.whens, self.figures, facts, strict=True):
            if can:
                found |= figures | (when if not_ else frozenset())
        return frozenset(found)

    def for_safety(self, cautions: Sides) -> frozenset[str]:
        """The questions behind cautions for safety that are not decided."""
        return frozenset[str]().union(*_open(self.warned, cautions))

    def for_bargaining(self, facts: Sides) -> frozenset[str]:
        """The questions that can still bring a fault to argue with."""
        return frozenset[str]().union(*_open(self.whens, facts))

    @cached_property
    def breaking_with(self) -> dict[str, tuple[str, ...]]:
        """For each question behind a deal-breaker, those behind the same: with them its answer may end a deal."""
        found: dict[str, set[str]] = {}
        for names in self.refuses:
            for name in names:
                found.setdefault(name, set()).update(names)
        return {name: tuple(sorted(names)) for name, names in found.items()}


def reach(program: Program) -> Reach:
    """The reach of a program's rules."""
    from advisor.language import core
    from advisor.readings.footing import Footing
    from advisor.readings.weighing import weight

    footing = Footing(program)

    def behind(roots: Iterable[core.Core]) -> frozenset[str]:
        return frozenset[str]().union(*map(footing.behind, roots))

    counted = weight(program).counted

    def breaking(condition: core.Core) -> frozenset[str]:
        """What a deal-breaker looks at; where it looks at a count, all that is counted."""
        counts = any(isinstance(p, core.Special) and p.name != "today" for p in footing.parts(condition))
        return footing.behind(condition) | (counted if counts else frozenset())

    requires = [r.condition for r in program.of_kind("require")]
    rungs = [r.condition for r in program.ladder if r.condition is not None]
    roots = requires + rungs + program.gates_of(counted)
    if roots and "profit" in program.lets:
        roots.append(program.lets["profit"].value)
    offered = any(isinstance(p, core.Special) and p.name == "offer" for r in roots for p in footing.parts(r))
    faults = program.faults.values()
    return Reach(
        refuses=tuple(breaking(r.condition) for r in program.of_kind("refuse")),
        warned=tuple(footing.behind(r.condition) if r.safety else frozenset[str]() for r in program.of_kind("caution")),
        whens=tuple(footing.behind(f.when) for f in faults),
        figures=tuple(behind(end for figure in f.figures if figure for end in figure) for f in faults),
        price=behind(roots) | counted | ({"asking"} & program.questions.keys() if offered else set[str]()),
        gates={name: footing.behind(gate) for name, gate in program.gates.items()},
    )


def _open(behind: Behind, sides: Sides) -> Iterable[frozenset[str]]:
    """The questions behind what is not decided."""
    return (names for names, (can, not_) in zip(behind, sides, strict=True) if can and not_)
