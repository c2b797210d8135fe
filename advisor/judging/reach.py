"""Which questions a verdict can still hang on, while answers come in.

In: what rules stand on, and what the possible reading says of a car. Out: names of questions. A rule or fault that is
decided one way or the other hangs on nothing more.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from functools import cached_property

from attrs import define

from advisor.judging.footing import Footing
from advisor.judging.sheet import Sheet, each_value, weight
from advisor.language import core
from advisor.language.program import FaultDef, Question
from advisor.language.types import Value
from advisor.readings.compiled import Readings

__all__ = ["Reach", "ending"]

Sides = Iterable[tuple[bool, bool]]
"""For each of some rules or faults, whether it can hold and whether it can fail to."""


@define(slots=False)
class Reach:
    """The questions behind each rule and fault."""

    footing: Footing

    def mattering(self, facts: Sides, refuses: Sides) -> frozenset[str]:
        """The questions that the verdict can hang on."""
        found = set(self._price).union(*_open(self._refuses, refuses))
        for when, figures, (can, not_) in zip(self._whens, self._figures, facts, strict=True):
            if can:
                found |= figures | (when if not_ else frozenset())
        return frozenset(found)

    @cached_property
    def breaking(self) -> frozenset[str]:
        """The questions behind deal-breakers."""
        return frozenset[str]().union(*self._refuses)

    def breaking_with(self, name: str) -> tuple[str, ...]:
        """The questions behind the deal-breakers that a question is behind: with them its answer may end a deal."""
        return self._beside.get(name, ())

    @cached_property
    def _beside(self) -> dict[str, tuple[str, ...]]:
        found: dict[str, set[str]] = {}
        for names in self._refuses:
            for name in names:
                found.setdefault(name, set()).update(names)
        return {name: tuple(sorted(names)) for name, names in found.items()}

    def for_safety(self, cautions: Sides) -> frozenset[str]:
        """The questions behind cautions for safety that are not decided."""
        return frozenset[str]().union(*_open(self._warned, cautions))

    def for_bargaining(self, facts: Sides) -> frozenset[str]:
        """The questions that can still bring a fault to argue with."""
        return frozenset[str]().union(*_open(self._whens, facts))

    @cached_property
    def _refuses(self) -> tuple[frozenset[str], ...]:
        return tuple(self.footing.behind(r.condition) for r in self.footing.program.of_kind("refuse"))

    @cached_property
    def _warned(self) -> tuple[frozenset[str], ...]:
        return tuple(
            self.footing.behind(r.condition) if r.safety else frozenset()
            for r in self.footing.program.of_kind("caution")
        )

    @cached_property
    def _whens(self) -> tuple[frozenset[str], ...]:
        return tuple(self.footing.behind(f.when) for f in self.footing.program.faults.values())

    @cached_property
    def _figures(self) -> tuple[frozenset[str], ...]:
        return tuple(self._behind_all(_figures(f)) for f in self.footing.program.faults.values())

    @cached_property
    def _price(self) -> frozenset[str]:
        """What requires, ladder and counters look at, but for the faults in sums over all of them."""
        program = self.footing.program
        roots = [r.condition for r in program.of_kind("require")]
        roots += [r.condition for r in program.ladder if r.condition is not None]
        found = set(weight(program).counted)
        roots += program.gates_of(found)
        if roots and "profit" in program.lets:
            roots.append(program.lets["profit"].value)
        if any(isinstance(p, core.Special) and p.name == "offer" for r in roots for p in self.footing.parts(r)):
            found |= {"asking"} & program.questions.keys()
        return self._behind_all(roots) | found

    def _behind_all(self, roots: Iterable[core.Core]) -> frozenset[str]:
        return frozenset[str]().union(*map(self.footing.behind, roots))


def ending(readings: Readings, sheet: Sheet, question: Question) -> Iterator[Value]:
    """The answers of a choice with which a deal-breaker surely holds."""
    for value in each_value(question):
        _, _, refuses, *_ = readings.possible(*sheet.with_answers({question.name: value}).possible())
        if any(can and not not_ for can, not_ in refuses):
            yield value


def _open(behind: Iterable[frozenset[str]], sides: Sides) -> Iterable[frozenset[str]]:
    """The questions behind what is not decided."""
    return (names for names, (can, not_) in zip(behind, sides, strict=True) if can and not_)


def _figures(fault: FaultDef) -> list[core.Core]:
    return [end for figure in fault.figures if figure for end in figure]
