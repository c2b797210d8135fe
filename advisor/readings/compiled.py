"""Generated readings as functions.

In: a `Program`, or code objects that were kept from an earlier run. Out: `Readings`, which binds the code to the
program's seasons and tables. Code objects can be kept: they depend on nothing but the program and on Python.
"""

from __future__ import annotations

import marshal
from collections.abc import Callable
from types import CodeType
from typing import Any

from attrs import define, field

from advisor.language.program import Program

__all__ = ["Readings", "generated"]

Situate = Callable[..., Any]
"""A generated function; its arguments and results are told in `exact.py` and `possible.py`."""

_NAMES = ("exact", "possible", "trace")


def generated(program: Program, name: str) -> str:
    """The Python of a reading. The generators are imported here, so that kept code starts without them."""
    from advisor.readings import exact, possible

    if name == "possible":
        return possible.source(program)
    return exact.source(program, trace=name == "trace")


@define
class Readings:
    """The readings of one program, each compiled when it is first used."""

    program: Program
    _codes: dict[str, CodeType] = field(factory=dict)
    _bound: dict[str, Situate] = field(factory=dict)

    @classmethod
    def from_bytes(cls, program: Program, kept: dict[str, bytes]) -> Readings:
        """Readings from code that `to_bytes` gave."""
        return cls(program, {name: marshal.loads(data) for name, data in kept.items()})

    def to_bytes(self) -> dict[str, bytes]:
        """The code of every reading, to be kept. Valid for this version of Python alone."""
        return {name: marshal.dumps(self._code(name)) for name in _NAMES}

    def _code(self, name: str) -> CodeType:
        if name not in self._codes:
            self._codes[name] = compile(generated(self.program, name), f"<{name} reading>", "exec", dont_inherit=True)
        return self._codes[name]

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

    @property
    def exact(self) -> Situate:
        """The exact reading."""
        return self._function("exact")

    @property
    def possible(self) -> Situate:
        """The possible reading."""
        return self._function("possible")

    @property
    def trace(self) -> Situate:
        """The exact reading that keeps the value of every term."""
        return self._function("trace")
