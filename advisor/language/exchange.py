"""Currencies between files: amounts of used files, brought into the currency of the file that is judged by.

In: the linked blocks, with `currency` and `rate` as their files say. Out: the same blocks, in which every amount of a
file in another currency has been multiplied by the rate, exactly, and stands under the sign of the main file; or the
problem that a rate is missing. Everything after this knows one currency.

A file that names no currency is in that of the file that uses it first. The rates of a used file count too, if they
lead to the same currency; where two say something else, the file that is judged by is right.
"""

from __future__ import annotations

from decimal import Context, Decimal
from typing import Any

import attrs
from attrs import evolve

from advisor.language import catalogue, nodes
from advisor.language.converting import AMOUNT, Exchange, number_of
from advisor.language.draft import Draft
from advisor.language.linking import Linked
from advisor.language.problems import Problem
from advisor.language.units import CURRENCIES

__all__ = ["exchange"]

_DOLLARS = "USD"
_MOST_DIGITS = 6
"""Of a rate, leading zeros apart: times an amount of nine, such as $1,234,567.89, they make a number short enough."""
_OF = {"parts": ("parts",), "shop": ("shop", "quote")}
"""The figures of a fault that a rate of its own is for; what a shop would ask is its price too."""

Rates = dict[tuple[str, str], Decimal]
"""What one of a currency's sign comes to: of `parts`, of `shop`, or of everything else, the empty word. A sign
is enough: no two currencies of used files share one, see `_alike`."""


def exchange(draft: Draft) -> None:
    """Bring every amount into the main file's currency."""
    linked = draft.linked
    heads = [b for b in linked.blocks if isinstance(b, nodes.Ruleset)]
    named = {b.currency.span.source.name: b.currency for b in reversed(heads) if b.currency}
    for currency in (b.currency for b in heads if b.currency):
        if currency.text not in CURRENCIES:
            known = ", ".join(CURRENCIES)
            draft.problems.append(catalogue.UNKNOWN_CURRENCY.at(currency.span, text=currency.text, known=known))
            draft.scope.mixed_money = True
    draft.scope.mixed_money = draft.scope.mixed_money or linked.no_currency
    if draft.scope.mixed_money:
        return
    main = named.get(linked.main.name)
    own = main.text if main else _DOLLARS
    draft.scope.currency, draft.currency_code = CURRENCIES[own], own
    codes = {source.name: _code(source.name, linked, named, own) for source in linked.sources}
    rates = _rates(draft, heads, codes, own)
    foreign = {name: code for name, code in codes.items() if code != own}
    if alike := _alike(foreign, named):
        draft.scope.mixed_money = True
        draft.problems.append(_one_sign(*alike, own))
        return
    lacking = next((n for n, code in foreign.items() if (CURRENCIES[code], "") not in rates and n in named), None)
    if lacking is None:
        _unneeded(draft, heads, {CURRENCIES[code] for code in foreign.values()})
        found = draft.exchanges = _exchanges(foreign, rates, draft.scope.currency)
        blocks = [_within(b, found[n]) if (n := b.span.source.name) in found else b for b in linked.blocks]
        draft.linked = evolve(linked, blocks=blocks)
    elif main is not None:
        draft.scope.mixed_money = True
        if not _told(draft):
            draft.problems.append(_no_rate(main, named[lacking]))


def _code(name: str, linked: Linked, named: dict[str, nodes.Name], own: str) -> str:
    """The currency of a file: its own, or that of the file that uses it."""
    while name not in named and name in linked.users:
        name = linked.users[name]
    return named[name].text if name in named else own


def _alike(foreign: dict[str, str], named: dict[str, nodes.Name]) -> tuple[nodes.Name, nodes.Name] | None:
    """Two currencies of used files that are written with one sign, which no rate can tell apart."""
    first: dict[str, nodes.Name] = {}
    for currency in (named[name] for name in foreign if name in named):
        before = first.setdefault(CURRENCIES[currency.text], currency)
        if before.text != currency.text:
            return before, currency
    return None


def _one_sign(before: nodes.Name, currency: nodes.Name, own: str) -> Problem:
    """Two used files whose amounts look the same and are not."""
    problem = catalogue.OTHER_CURRENCY.at(
        currency.span, notes=[(before.span, "another used file names this one")], found=currency.text, wanted=own
    )
    sign = CURRENCIES[currency.text]
    cure = f"write the amounts of this file in {own}: a rate of `{sign}` cannot tell {currency.text} from {before.text}"
    return evolve(problem, cure=cure)


def _no_rate(main: nodes.Name, other: nodes.Name) -> Problem:
    """Another currency in a used file, and nothing said of what it comes to."""
    signs = [CURRENCIES[c.text] for c in (other, main)]
    found, wanted = signs if signs[0] != signs[1] else (other.text, main.text)
    problem = catalogue.OTHER_CURRENCY.at(
        main.span, notes=[(other.span, "a used file names another")], found=found, wanted=wanted
    )
    line = f"rate {signs[0]}1 = {signs[1]}0.80"
    return evolve(problem, cure=f"say under `ruleset` what {signs[0]}1 of that file comes to, such as `{line}`")


# ---- rates ----------------------------------------------------------------------------------------------------------


def _rates(draft: Draft, heads: list[nodes.Ruleset], codes: dict[str, str], own: str) -> Rates:
    """Every rate that leads to the main file's currency; the main file's last, so that it is right."""
    found: Rates = {}
    for head in sorted(heads, key=lambda b: b.span.source == draft.linked.main):
        seen: dict[tuple[str, str], nodes.Rate] = {}
        for rate in head.rates if codes[head.span.source.name] == own else ():
            key, value = _read(draft, rate, CURRENCIES[own])
            if key is None:
                continue
            if key in seen:
                notes = [(seen[key].span, "here first")]
                draft.problems.append(catalogue.SAID_TWICE.at(rate.span, what=f"rate {key[0]}1", notes=notes))
                continue
            seen[key] = rate
            found[key] = value
    return found


def _read(draft: Draft, rate: nodes.Rate, sign: str) -> tuple[tuple[str, str] | None, Decimal]:
    """What one rate is of, and what it comes to; a problem if it cannot be used."""
    left, right = (AMOUNT.fullmatch(side.text) for side in (rate.left, rate.right))
    of = rate.of.text if rate.of else ""
    other = rate.left.text[0]
    if left is None or number_of(left) != 1:
        return _bad(draft, rate, rate.left, "it does not begin with one", f"write `rate {other}1 = {sign}0.80`")
    if rate.of and of not in _OF:
        return _bad(draft, rate, rate.of, "there are rates of parts and of shop", "write `of parts` or `of shop`")
    if right is None or right[1] != sign:
        cure = f"write what it comes to in `{sign}`, the currency of these rules"
        return _bad(draft, rate, rate.right, "it leads to another currency", cure)
    if number_of(right) == 0:
        return _bad(draft, rate, rate.right, "nothing is worth nothing", "write what it comes to")
    if len(number_of(right).normalize().as_tuple().digits) > _MOST_DIGITS:
        near = Context(prec=_MOST_DIGITS).create_decimal(number_of(right))
        why = f"it has more than {_MOST_DIGITS} digits"
        return _bad(draft, rate, rate.right, why, f"round it: `rate {other}1 = {sign}{near:f}`")
    return (other, of), number_of(right)


def _bad(draft: Draft, rate: nodes.Rate, part: nodes.Literal | nodes.Name, why: str, cure: str) -> tuple[None, Decimal]:
    text = " ".join(rate.span.text.split())
    draft.problems.append(catalogue.BAD_RATE.at(part.span, text=text, why=why, cure=cure))
    return None, Decimal(0)


def _told(draft: Draft) -> bool:
    """Whether a rate was complained about: what it should have said is no second mistake."""
    return any(p.kind is catalogue.BAD_RATE for p in draft.problems)


def _unneeded(draft: Draft, heads: list[nodes.Ruleset], signs: set[str]) -> None:
    """Rates of the main file for a currency that no used file is in."""
    if draft.linked.incomplete or _told(draft):
        return
    for head in heads:
        for rate in head.rates if head.span.source == draft.linked.main else ():
            sign = rate.left.text[0]
            if sign not in signs:
                why = f"no file that is used is in `{sign}`"
                _bad(draft, rate, rate.left, why, "take the line out, or name the currency that the used file is in")


# ---- amounts --------------------------------------------------------------------------------------------------------


def _exchanges(foreign: dict[str, str], rates: Rates, into: str) -> dict[str, Exchange]:
    """For each file in another currency, what brings its amounts into that of the main file."""
    found = {}
    for name, sign in ((name, CURRENCIES[code]) for name, code in foreign.items()):
        if (sign, "") in rates:
            own = {part: rates[sign, of] for of, parts in _OF.items() if (sign, of) in rates for part in parts}
            found[name] = Exchange(sign, rates[sign, ""], into, own)
    return found


def _within(node: Any, change: Exchange) -> Any:
    """A part of a block with its amounts changed, the same object if it has none."""
    match node:
        case nodes.Cited() | nodes.Ruleset():
            return node
        case nodes.Literal() | nodes.ValueText() | nodes.Unit():
            text = change.value(node.text)
            return node if text == node.text else evolve(node, text=text)
        case nodes.PlainType():
            return evolve(node, name=change.value(node.name))
        case nodes.ComparableLine():
            return evolve(node, exact=change.value(node.exact), text=change.value(node.text))
        case str():
            return change.prose(node)
        case tuple():
            changed = tuple(_within(part, change) for part in node)
            return changed if any(a is not b for a, b in zip(changed, node, strict=True)) else node
    if not attrs.has(type(node)):
        return node
    kept = {"span"} | ({"title", "notes"} if isinstance(node, nodes.Car | nodes.Case) else set())
    found = {}
    for name in (part.name for part in attrs.fields(type(node)) if part.name not in kept):
        before = getattr(node, name)
        after = _within(before, change.of(name) if isinstance(node, nodes.Fault) else change)
        if after is not before:
            found[name] = after
    return evolve(node, **found) if found else node
