"""What an expression stands on: the questions behind it, through the quantities, faults and gates that it names.

In: a program and its expressions. Out: names of questions, parts of expressions.
"""

from __future__ import annotations

from collections.abc import Iterator

from attrs import define, field

from advisor.language import core
from advisor.language.program import Program

__all__ = ["Footing"]


@define
class Footing:
    """Looks behind the expressions of one program."""

    program: Program
    _kept: dict[int, frozenset[str]] = field(factory=dict)

    def behind(self, node: core.Core) -> frozenset[str]:
        """The questions that an expression stands on."""
        kept = self._kept.get(node.term)
        if kept is None:
            parts = self.parts(node)
            kept = frozenset(p.name for p in parts if isinstance(p, core.Ref) and p.kind == "question")
            self._kept[node.term] = kept
        return kept

    def parts(self, node: core.Core) -> Iterator[core.Core]:
        """Every part of an expression, of the gates and quantities in it, and of the faults it names."""
        seen: set[str] = set()
        pending = [node]
        while pending:
            for part in core.walk(pending.pop()):
                yield part
                if not isinstance(part, core.Ref) or part.name in seen:
                    continue
                seen.add(part.name)
                if part.kind == "question":
                    pending += self.program.gates_of([part.name])
                elif part.kind == "let":
                    let = self.program.lets[part.name]
                    pending += [v for v in (let.value, let.low, let.high) if v is not None]
                elif part.kind == "fault":
                    pending.append(self.program.faults[part.name].when)
