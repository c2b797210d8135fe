"""How rules differ from those that a walk began with.

In: a program. Out: a short hash for each of its parts by name, and in words what became of them.
"""

from __future__ import annotations

import hashlib
from collections.abc import Mapping

from advisor.language.program import Program

__all__ = ["changes", "fingerprint"]

_FEW = 6


def fingerprint(program: Program) -> str:
    """A line for each part of the rules that a car is asked or judged by: a short hash, its kind and its name."""
    tables: tuple[tuple[str, Mapping[str, object]], ...] = (
        ("question", {n: (q, program.gates.get(n)) for n, q in program.questions.items()}),
        ("station", {s.title: s for s in program.stations}),
        ("fault", program.faults),
        ("rule", program.rules),
        ("quantity", program.lets),
        ("setting", program.settings),
        ("season", program.seasons),
        ("table", program.tables),
        ("verdict", {r.verdict: r for r in program.ladder}),
        ("comparables", {"comparables": program.comparing}),
    )
    return "\n".join(
        f"{hashlib.sha256(repr(part).encode()).hexdigest()[:8]} {kind} {name}"
        for kind, table in tables
        for name, part in table.items()
    )


def changes(before: str, now: str) -> list[str]:
    """What is new, gone and other, in a few lines."""
    if not before:
        return ["The rules are not those it was recorded by. What they ask anew is asked; every answer stays."]
    old, new = _parts(before), _parts(now)
    found = {
        "new": [n for n in new if n not in old],
        "other": [n for n, h in new.items() if old.get(n, h) != h],
        "gone": [n for n in old if n not in new],
    }
    lines = [f"{what}: {_few(names)}" for what, names in found.items() if names]
    if not lines:
        return ["Something in the rules has changed that neither asks nor judges. Every answer stays."]
    return ["The rules have changed since. What they ask anew is asked; every answer stays.", *lines]


def _parts(prints: str) -> dict[str, str]:
    """The hash of each part by its kind and name."""
    return {name: hash_ for hash_, name in (line.split(" ", 1) for line in prints.splitlines())}


def _few(names: list[str]) -> str:
    more = f" and {len(names) - _FEW} more" if len(names) > _FEW else ""
    return ", ".join(n.replace("_", " ") for n in names[:_FEW]) + more
