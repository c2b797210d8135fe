"""Settings, questions, quantities and faults, each after what it needs.

In: the names of a `Draft`. Out: its definitions, with types, units and ranges, and the order in which they can be
computed.
"""

from __future__ import annotations

from decimal import Decimal

from attrs import evolve

from advisor.language import catalogue, core, graph, nodes
from advisor.language.core import Core
from advisor.language.coverage import first_uncovered
from advisor.language.curves import tried
from advisor.language.draft import Draft
from advisor.language.functions import SPECIAL
from advisor.language.intervals import Interval, domain_range, value_range
from advisor.language.problems import nearest
from advisor.language.program import (
    LetDef,
)
from advisor.language.ranges import plan_ranges
from advisor.language.ruling import clashes
from advisor.language.types import (
    BROKEN,
    YES_NO,
    Choice,
    Code,
    Estimate,
    ListOf,
    Quantity,
)
from advisor.language.values import estimable
from advisor.language.wording import format_value

__all__ = ["definitions", "settings"]


def settings(draft: Draft) -> None:
    for name, block in draft.named.items():
        if isinstance(block, nodes.Setting):
            made = draft.declare.setting(block)
            if made is None:
                draft.scope.broken.add(name)
                continue
            draft.settings[name] = made
    for set_to in draft.linked.blocks:
        if isinstance(set_to, nodes.SetTo):
            _set(draft, set_to)
    for name, made in draft.settings.items():
        draft.scope.types[name] = made.type
        draft.elab.ranges.names[name] = value_range(made.value)
        if isinstance(made.value, Estimate):
            draft.elab.ends.estimates.add(name)
    tried(draft)
    highest = draft.settings.get("highest_offer")
    bounds = draft.elab.ranges.names.get("highest_offer")
    if highest and isinstance(bounds, Interval):
        draft.elab.ranges.highest_offer = max(bounds.high, Decimal(0))
        if bounds.low < 0:
            draft.say(catalogue.NEGATIVE_OFFER, highest.span)


def _set(draft: Draft, node: nodes.SetTo) -> None:
    name = node.name.text
    made, declared = draft.settings.get(name), draft.named.get(name)
    own = declared is not None and declared.span.source == node.span.source
    if made is None or own:
        if name in draft.scope.broken or draft.linked.incomplete:
            return
        guess = nearest(name, (n for n, s in draft.settings.items() if s.span.source != node.span.source))
        cure = f"did you mean `{guess}`?" if guess else "`set` changes a setting that a used file declares"
        if own:
            cure = "it is declared in this very file: change the `setting` itself"
        elif draft.scope.kinds.get(name) == "question":
            cure = f"it is a question; answer it in a car: `{name} = {node.value.text}`"
        elif name in draft.scope.kinds:
            cure = f"it is a {draft.scope.kinds[name]}; drop it by `without {name}`, and define it anew"
        draft.say(catalogue.NOT_A_SETTING, node.name.span, name=name, cure=cure)
        return
    if (first := draft.set_at.get((node.span.source.name, name))) is not None:
        draft.say(catalogue.SAID_TWICE, node.name.span, what=f"set {name}", notes=[(first, "here first")])
    draft.set_at[node.span.source.name, name] = node.name.span
    value = draft.declare.value(node.value, made.type, name)
    if value is not None:
        made = evolve(made, value=value, cited=node.source or made.cited, span=node.name.span)
        draft.settings[name] = draft.declare.believed(made, node.value, node.domain)


def _edges(draft: Draft) -> dict[str, list[str]]:
    edges: dict[str, list[str]] = {}
    faults = [n for n, b in draft.named.items() if isinstance(b, nodes.Fault)]
    requires = [n for n, b in draft.named.items() if isinstance(b, nodes.Require)]
    choices = graph.choices(draft.named) | dict.fromkeys(SPECIAL, frozenset())
    for name, block in draft.named.items():
        edges[name] = graph.needs(block, choices)
    for counter in ("unverified_majors", "cannot_tell", "refused_looks"):
        edges[counter] = [n for n, b in draft.named.items() if isinstance(b, nodes.Ask)]
    edges["offer"] = ["asking"]
    edges[graph.PLAN] = faults
    edges[graph.CEILING] = [*requires, "profit"]
    return edges


def definitions(draft: Draft) -> list[str]:
    order, circles = graph.arrange(_edges(draft))
    for circle in circles:
        words = [w.removeprefix("#") for w in circle]
        named = next((draft.named[w] for w in circle if w in draft.named), None)
        if named is None or named.name is None or any(w in draft.scope.broken for w in circle):
            continue
        draft.say(catalogue.CYCLE, named.name.span, path=" -> ".join(words))
        draft.scope.broken.update(w for w in circle if w in draft.named)
    for name in order:
        block = draft.named.get(name)
        if name == graph.PLAN:
            draft.elab.ranges.plan = plan_ranges(draft.faults.values(), draft.elab.ranges)
        elif name in draft.scope.broken:
            continue
        elif isinstance(block, nodes.Season):
            if season := draft.declare.season(block):
                draft.scope.seasons[name] = season
            else:
                draft.scope.broken.add(name)
        elif isinstance(block, nodes.Table):
            _table(draft, block)
        elif isinstance(block, nodes.Ask):
            _question(draft, block)
        elif isinstance(block, nodes.Let):
            _let(draft, block)
        elif isinstance(block, nodes.Fault):
            _fault(draft, block)
    return [n for n in order if n in draft.questions or n in draft.lets or n in draft.faults]


def _table(draft: Draft, node: nodes.Table) -> None:
    by = None if node.by.text == "month" else draft.scope.types.get(node.by.text)
    if node.by.text != "month" and not isinstance(by, Choice):
        if node.by.text not in draft.scope.broken:
            draft.say(catalogue.TABLE_BY, node.by.span, text=node.by.text)
        draft.scope.broken.add(node.name.text)
        return
    made = draft.declare.table(node, by)
    if made:
        draft.scope.tables[node.name.text] = made
    else:
        draft.scope.broken.add(node.name.text)


def _question(draft: Draft, node: nodes.Ask) -> None:
    name = node.name.text
    gate = draft.elab.condition(node.gate) if node.gate else None
    if gate is not None and gate.type == BROKEN:
        gate = None
    if gate is not None:
        draft.no_price(gate, f"`only when` of `{name}`")
    station = draft.station_of.get(name, -1)
    made = draft.asker.question(node, gate, station if station >= 0 else None)
    if gate is not None:
        draft.gates[name] = gate
    draft.questions[name] = made
    if name == "asking" and isinstance(made.high, Decimal):
        draft.elab.ranges.highest_offer = max(draft.elab.ranges.highest_offer, made.high)
    draft.scope.types[name] = made.type
    draft.elab.ranges.names[name] = domain_range(made.type, made.low, made.high)
    if estimable(made.type):
        draft.elab.ends.estimates.add(name)


def _let(draft: Draft, node: nodes.Let) -> None:
    name = node.name.text
    value = _branches(draft, node, node.value) if isinstance(node.value, tuple) else draft.elab.expr(node.value)
    if value.type == BROKEN:
        draft.scope.broken.add(name)
        return
    draft.stages[name] = draft.stage(value)
    draft.scope.values[name] = value
    draft.scope.types[name] = value.type
    draft.elab.ranges.names[name] = draft.elab.ranges.of(value)
    if isinstance(value, core.Const) and isinstance(value.value, Estimate):
        draft.elab.ends.estimates.add(name)
    draft.elab.ends.note(name)
    draft.lets[name] = LetDef(
        name, value.type, value, node.text, draft.stages[name], None, None, node.source, node.name.span
    )


def _branches(draft: Draft, node: nodes.Let, branches: tuple[nodes.Branch, ...]) -> Core:
    """`value when condition` lines: one type, and nothing left uncovered."""
    pairs: list[tuple[Core | None, Core]] = []
    broken = False
    for i, branch in enumerate(branches):
        condition = draft.elab.condition(branch.condition) if branch.condition else None
        value = draft.elab.expr(branch.value)
        if isinstance(value.type, Quantity):
            value = draft.elab.valued(value)
        broken = broken or value.type == BROKEN or (condition is not None and condition.type == BROKEN)
        if condition is None and i + 1 < len(branches):
            draft.say(catalogue.AFTER_OTHERWISE, branches[i + 1].span)
            return draft.elab.broken(node.span)
        if isinstance(value.type, ListOf | Code):
            text = branch.value.span.text
            return draft.elab.report(catalogue.NO_CHOOSING, branch.value.span, text=text, found=value.type)
        first = pairs[0][1] if pairs else value
        if not broken and value.type != first.type:
            draft.say(
                catalogue.BRANCHES_DISAGREE, branch.value.span, text=branch.value.span.text, found=value.type,
                first=branches[0].value.span.text, first_is=first.type,
            )  # fmt: skip
            broken = True
        pairs.append((condition, value))
    if broken:
        return draft.elab.broken(node.span)
    *conditional, (last_condition, otherwise) = pairs
    if last_condition is not None and not _covered(draft, node, [c for c, _ in pairs if c is not None]):
        return draft.elab.broken(node.span)
    done = tuple((c, v) for c, v in conditional if c is not None)
    return core.Select(pairs[0][1].type, node.span, draft.elab.term(), done, otherwise)


def _covered(draft: Draft, node: nodes.Let, conditions: list[Core]) -> bool:
    missed = first_uncovered(conditions, draft.elab.ranges, dict(draft.scope.types))
    if missed is True:
        return True
    if missed is None or missed is False:
        draft.say(catalogue.NO_OTHERWISE, node.name.span, name=node.name.text, last="...")
        return False
    name, value, alone = missed
    shown = format_value(value, draft.scope.types[name], draft.scope.currency)
    cure = "use `>=` or `<=` at the edge, or end with `otherwise`"
    if isinstance(value, str):
        what, cure = f"`{name} is {value}`", "add a branch for it, or end with `otherwise`"
    else:
        what = f"exactly {shown}" if alone else f"`{name}` at {shown}, for one,"
    draft.say(catalogue.GAP, node.name.span, what=what, name=node.name.text, cure=cure)
    return False


def _fault(draft: Draft, node: nodes.Fault) -> None:
    name = node.name.text
    when = draft.elab.condition(node.when)
    clashes(draft, when)
    if when.type != BROKEN:
        draft.no_price(when, f"`fault {name}`")
    made = draft.mender.fault(node, when)
    for kind in ("parts", "shop", "labor", "wait", "quote"):
        figure = getattr(made, kind)
        if figure is not None:
            draft.no_price(figure, f"the figures of `{name}`")
    draft.faults[name] = made
    draft.scope.types[name] = YES_NO if when.type != BROKEN else BROKEN
    draft.elab.ranges.names[name] = draft.elab.ranges.truth(when)
