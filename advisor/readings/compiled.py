"""Generated readings as functions.

In: a `Program`, or code objects that were kept from an earlier run. Out: `Readings`, which binds the code to the
program's seasons and tables. Code objects can be kept: they depend on nothing but the program and on Python.
"""

from __future__ import annotations

import marshal
import pickle
from collections.abc import Callable
from functools import cached_property
from types import CodeType
from typing import TYPE_CHECKING, Any

from attrs import define, field

from advisor.language.program import Program

if TYPE_CHECKING:
    from advisor.readings.reach import Reach

__all__ = ["Readings", "generated"]

Situate = Callable[..., Any]
"""A generated function; its arguments and results are told in `exact.py` and `possible.py`."""

_NAMES = ("exact", "possible", "trace", "brief")


def generated(program: Program, name: str) -> str:
    """The Python of a reading. The generators are imported here, so that kept code starts without them."""
    from advisor.readings import exact, possible, pruned

    if name == "possible":
        return possible.source(program)
    if name == "brief":
        return possible.source(pruned.gates_and_refusals_alone(program))
    return exact.source(program, trace=name == "trace")


@define(slots=False)
class Readings:
    """The readings of one program, each compiled when it is first used."""

    program: Program
    _kept: dict[str, bytes] = field(factory=dict)
    _bound: dict[str, Situate] = field(factory=dict)

    @classmethod
    def from_bytes(cls, program: Program, kept: dict[str, bytes]) -> Readings:
        """Readings from what `to_bytes` gave."""
        return cls(program, kept)

    def to_bytes(self) -> dict[str, bytes]:
        """The code of every reading, and the reach, to be kept. Valid for this version of Python alone."""
        for name in _NAMES:
            self._kept.setdefault(name, marshal.dumps(self._code(name)))
        self._kept.setdefault("reach", pickle.dumps(self.reach, protocol=pickle.HIGHEST_PROTOCOL))
        return dict(self._kept)

    def _code(self, name: str) -> CodeType:
        if name in self._kept:
            found: CodeType = marshal.loads(self._kept[name])
            return found
        return compile(generated(self.program, name), f"<{name} reading>", "exec", dont_inherit=True)

    def _function(self, name: str) -> Situate:
        if name not in self._bound:
            from advisor.readings.arithmetic import entries, namespace

            tables = self.program.tables
            names = namespace() | {
                "seasons": self.program.seasons,
                "tables": tables,
                "entries": {name: entries(table) for name, table in tables.items()},
            }
            exec(self._code(name), names)
            self._bound[name] = names["situate"]  # type: ignore[assignment]  # what the generated module defines
        return self._bound[name]

    @cached_property
    def reach(self) -> Reach:
        """The questions behind each rule, fault and gate."""
        if "reach" in self._kept:
            kept: Reach = pickle.loads(self._kept["reach"])
            return kept
        from advisor.readings.reach import reach

        return reach(self.program)

    @property
    def exact(self) -> Situate:
        """The exact reading."""
        return self._function("exact")

    @property
    def possible(self) -> Situate:
        """The possible reading."""
        return self._function("possible")

    @property
    def brief(self) -> Situate:
        """The possible reading of gates and deal-breakers alone, for whoever tries many answers."""
        return self._function("brief")

    @property
    def trace(self) -> Situate:
        """The exact reading that keeps the value of every term."""
        return self._function("trace")
