"""What the judging itself asks of a ruleset.

In: a `Draft` and the `Program` made of it. Out: problems: an asking price, a highest offer or a profit that is not
there, settings that nothing can be drawn by, a profit that waits for what is drawn.
"""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal

from attrs import evolve

from advisor.language import catalogue, core
from advisor.language.draft import Draft
from advisor.language.mending import RATE, SHOP_RATE
from advisor.language.program import Program
from advisor.language.types import BROKEN, MONEY, NUMBER, Estimate, Value

__all__ = ["drawn", "needed", "quoted"]


def drawn(draft: Draft, program: Program) -> None:
    """What drawing outcomes asks of a ruleset: settings that it can use, a profit that does not wait for it."""
    fit: dict[str, tuple[Callable[[Value], bool], str, str]] = {
        "draws": (lambda v: _whole(v) and 64 <= v <= 65_536, "a whole number from 64 to 65,536", "4,096"),  # type: ignore[operator]  # a number
        "seed": (lambda v: _whole(v) and v >= 0, "a whole number", "1"),  # type: ignore[operator]  # a number
        "misjudgment": (
            lambda v: isinstance(v, Estimate) and v.planned > 0,
            "an estimate in percent",
            "70% .. 95% .. 150%",
        ),
    }
    for name, (fits, wanted, example) in fit.items():
        setting = draft.settings.get(name)
        if setting is not None and not (setting.type == NUMBER and fits(setting.value)):
            line = f"setting {name} = {example}"
            draft.say(catalogue.UNUSABLE_SETTING, setting.span, name=name, wanted=wanted, line=line)
    for expression in program.expressions():
        for part in core.walk(expression):
            if isinstance(part, core.Chance | core.Percentile) and draft.stage(part) == "report":
                draft.say(catalogue.CEILING_DRAWN, part.span, text=part.span.text)
    if "profit" in program.lets:
        found = _first_drawn(program, program.lets["profit"].value)
        if found is not None:
            draft.say(catalogue.PROFIT_DRAWN, found.span, text=found.span.text)


def quoted(draft: Draft, program: Program) -> Program:
    """The program, its faults with their quotes only if something looks at them."""
    rate = draft.settings.get(SHOP_RATE)
    if rate is not None and rate.type not in (RATE, BROKEN):
        line = f"setting {SHOP_RATE} = {program.currency}95/h"
        draft.say(catalogue.UNUSABLE_SETTING, rate.span, name=SHOP_RATE, wanted="money for an hour", line=line)
    if any(
        isinstance(p, core.PlanFigure) and p.figure == "argued" for e in program.expressions() for p in core.walk(e)
    ):
        return program
    return evolve(program, faults={n: evolve(f, quote=None) for n, f in program.faults.items()})


def _whole(value: Value) -> bool:
    return isinstance(value, Decimal) and value == value.to_integral_value()


def _first_drawn(program: Program, node: core.Core) -> core.Core | None:
    """The first chance or percentile that an expression stands on."""
    seen: set[str] = set()
    pending = [node]
    while pending:
        for part in core.walk(pending.pop(0)):
            if isinstance(part, core.Chance | core.Percentile):
                return part
            if isinstance(part, core.Ref) and part.kind == "let" and part.name not in seen:
                seen.add(part.name)
                pending.append(program.lets[part.name].value)
    return None


def needed(draft: Draft, program: Program) -> None:
    """What the judging itself asks of a ruleset: an asking price, a highest offer, a profit."""
    if draft.linked.incomplete:
        return
    first = next((r for r in program.of_kind("require")), None)
    span = first.span if first else draft.ladder.span if draft.ladder else None
    uses_ceiling = first is not None or any(
        isinstance(p, core.Special) and p.name in ("ceiling", "offer")
        for e in program.expressions()
        for p in core.walk(e)
    )
    if span is None or not uses_ceiling:
        return
    wanted = {
        "asking": ("ask asking: money from $0 to $100,000", draft.questions),
        "highest_offer": ("setting highest_offer = $50,000", draft.settings),
    }
    if any(not f.must for f in program.faults.values()):
        wanted["profit"] = ("let profit = ...", draft.lets)
    for name, (line, table) in wanted.items():
        if name in draft.scope.broken:
            continue
        found = table.get(name)  # type: ignore[attr-defined]  # three dictionaries by name
        if found is None:
            draft.say(catalogue.NEEDED, span, name=name, line=line)
        elif found.type != MONEY and found.type != BROKEN:
            draft.say(catalogue.NEEDED, found.span, name=name, line=line)
