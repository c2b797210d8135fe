"""How rules differ from those that a walk began with.

In: a program. Out: a short hash for each of its parts by name, and in words what became of them.
"""

from __future__ import annotations

import hashlib

from advisor.language.program import Program

__all__ = ["changes", "fingerprint"]

_FEW = 6


def fingerprint(program: Program) -> dict[str, str]:
    """A short hash for each question, fault, rule and setting, by kind and name."""
    tables = (
        ("question", program.questions),
        ("fault", program.faults),
        ("rule", program.rules),
        ("setting", program.settings),
    )
    return {
        f"{kind} {name}": hashlib.sha256(repr(part).encode()).hexdigest()[:8]
        for kind, table in tables
        for name, part in table.items()
    }


def changes(before: dict[str, str] | None, now: dict[str, str]) -> list[str]:
    """What is new, gone and other, in a few lines."""
    if not before:
        return ["The rules are not those it was recorded by. What they ask anew is asked; every answer stays."]
    found = {
        "new": [n for n in now if n not in before],
        "other": [n for n, h in now.items() if before.get(n, h) != h],
        "gone": [n for n in before if n not in now],
    }
    lines = [f"{what}: {_few(names)}" for what, names in found.items() if names]
    if not lines:
        return ["The rules were laid out anew, and say the same."]
    return ["The rules have changed since. What they ask anew is asked; every answer stays.", *lines]


def _few(names: list[str]) -> str:
    more = f" and {len(names) - _FEW} more" if len(names) > _FEW else ""
    return ", ".join(n.replace("_", " ") for n in names[:_FEW]) + more
