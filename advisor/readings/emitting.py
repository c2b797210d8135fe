"""What the generated readings share: names, constants, and the order in which things are computed.

A generated module defines one function, `situate`. It computes what the answers alone decide and returns, with
it, functions for the rest: `deal`, what an offer and a repair plan decide, and `report`, what stands on the
ceiling. Names of the rules keep a prefix in the generated code (`q_` questions, `s_` settings, `l_` lets, `f_`
faults), so that nothing a rule file says can become Python.
"""

from __future__ import annotations

from datetime import date
from decimal import Decimal

from attrs import define, field

from advisor.language import core
from advisor.language.core import Core
from advisor.language.program import LetDef, Program
from advisor.language.signatures import TRADE
from advisor.language.types import MonthDay, Value, YesNo

__all__ = [
    "FIGURES",
    "Chosen",
    "Constants",
    "Hollow",
    "Wanted",
    "indented",
    "may_lack",
    "suffix",
    "value_at",
    "wanted",
]

FIGURES = ("parts", "shop", "labor", "wait", "kept_resale", "lost_resale", "added_days", "kept_buyers", "argued")
"""The figures of a repair plan, in the order in which readings pass them."""


@define
class Constants:
    """The constants of a generated module, each defined once."""

    names: dict[str, str] = field(factory=dict)

    def of(self, value: Value) -> str:
        """An expression for a constant; decimals and dates become module-level names."""
        match value:
            case bool():
                return repr(value)
            case str():
                return repr(value)
            case Decimal():
                return self._name(f"Decimal({str(value)!r})")
            case date():
                return self._name(f"date({value.year}, {value.month}, {value.day})")
            case MonthDay():
                return self._name(f"MonthDay({value.month}, {value.day})")
            case tuple():
                return "(" + "".join(f"{self.of(v)}, " for v in value) + ")"
        raise AssertionError(value)

    def _name(self, text: str) -> str:
        return self.names.setdefault(text, f"K{len(self.names)}")

    def lines(self) -> list[str]:
        """The definitions."""
        return [f"{name} = {text}" for text, name in self.names.items()]


Chosen = list[tuple[LetDef, core.End]]
"""Lets, each at one end of its estimates."""


@define
class Wanted:
    """Which lets, and which of their ends, each stage computes."""

    situation: Chosen
    deal: Chosen
    ladder: Chosen
    report: Chosen


def wanted(program: Program) -> Wanted:
    """The lets by stage, in order; `deal` holds only what the requires and the profit stand on, `ladder` what the
    verdict does."""
    ends: dict[str, list[core.End]] = {
        name: [e for e, v in (("plan", let.value), ("low", let.low), ("high", let.high)) if v is not None]  # type: ignore[misc]  # the ends are literals
        for name, let in program.lets.items()
    }
    profit = [program.lets["profit"].value] if "profit" in program.lets else []
    deal = _behind(program, [*(r.condition for r in program.of_kind("require")), *profit])
    deal |= {"profit"} if profit else set()
    ladder = _behind(program, [r.condition for r in program.ladder if r.condition is not None])
    found = Wanted([], [], [], [])
    for name in program.order:
        if name not in program.lets:
            continue
        let = program.lets[name]
        for end in ends[name]:
            if let.stage == "situation":
                found.situation.append((let, end))
                continue
            found.report.append((let, end))
            found.ladder.extend([(let, end)] if name in ladder else [])
            found.deal.extend([(let, end)] if name in deal and let.stage == "deal" else [])
    return found


def _behind(program: Program, nodes: list[Core]) -> set[str]:
    """The lets that expressions stand on."""
    found: set[str] = set()
    pending = list(nodes)
    while pending:
        for part in core.walk(pending.pop()):
            if isinstance(part, core.Ref) and part.kind == "let" and part.name not in found:
                found.add(part.name)
                let = program.lets[part.name]
                pending.extend(v for v in (let.value, let.low, let.high) if v is not None)
    return found


def value_at(let: LetDef, end: core.End) -> Core:
    """The expression of a let at an end of its estimates."""
    found = {"plan": let.value, "low": let.low, "high": let.high}[end]
    assert found is not None
    return found


def suffix(end: core.End) -> str:
    """What is added to a name in generated code for an end."""
    return "" if end == "plan" else f"_{end}"


def indented(lines: list[str], depth: int = 1) -> list[str]:
    """Lines moved to the right by four blanks a level."""
    return ["    " * depth + line for line in lines]


def may_lack(program: Program, node: Core) -> bool:
    """Whether a quantity is the result of a function of the trade, by this or another name, and so may be missing."""
    while isinstance(node, core.Ref) and node.kind == "let":
        node = program.lets[node.name].value
    return isinstance(node, core.TradeCall) and bool(TRADE[node.name].lacking)


@define
class Hollow:
    """Which values are missing where there is no ceiling: those that stand on it, by whatever names."""

    lets: set[str] = field(factory=set)

    @classmethod
    def of(cls, program: Program) -> Hollow:
        """The lets of a program that can be without a value."""
        found = cls()
        for name in program.order:
            if name in program.lets and found.holds(program.lets[name].value):
                found.lets.add(name)
        return found

    def holds(self, node: Core) -> bool:
        """Whether a value can be missing where there is no ceiling."""
        match node:
            case core.Special(name="ceiling"):
                return True
            case core.Ref(kind="let", name=name):
                return name in self.lets
            case core.Select(branches=branches, otherwise=otherwise):
                return any(self.holds(v) for v in [*(v for _, v in branches), otherwise])
        if isinstance(node.type, YesNo):
            return False
        return any(self.holds(c) for c in core.children(node))
