"""Which definition needs which, before anything has a type.

In: the blocks that define names. Out: an order in which each comes after what it needs, and the circles that make
one impossible. Two things without a block take part: `#plan`, the repair plan, which needs every fault, and
`#ceiling`, which needs every `require`.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from advisor.language import nodes
from advisor.language.functions import PLAN_FIGURES
from advisor.language.signatures import TRADE
from advisor.language.types import Choice

__all__ = ["CEILING", "PLAN", "Choices", "arrange", "choices", "needs", "used_names"]

PLAN, CEILING = "#plan", "#ceiling"


_LONGEST_CHAIN = 8
"""How many names a choice may be handed through, each a `let` of the next."""

Choices = dict[str, frozenset[str]]
"""The words that may stand after `is`, by name: in `x is clean`, `clean` is an answer and not a name.

A name that nobody defined is not in it: what stands after its `is` is not looked up either.
"""


def choices(named: Mapping[str, nodes.Named]) -> Choices:
    """The answers of each choice and of each `let` that is one; none for every other name."""
    found = {
        name: frozenset(o.text for o in block.type.options)
        if isinstance(block, nodes.Ask) and isinstance(block.type, nodes.ChoiceOf)
        else frozenset()
        for name, block in named.items()
    }
    lets = {name: block for name, block in named.items() if isinstance(block, nodes.Let)}
    for _ in range(_LONGEST_CHAIN):
        before = dict(found)
        for name, block in lets.items():
            values = [b.value for b in block.value] if isinstance(block.value, tuple) else [block.value]
            for value in values:
                if isinstance(value, nodes.Name):
                    found[name] |= found.get(value.text, frozenset())
        if found == before:
            break
    return found


def used_names(expr: nodes.Expr | None, choices: Choices) -> Iterator[str]:
    """The names in an expression, with `#plan` and `#ceiling` for what stands on them."""
    pending: list[nodes.Expr | None] = [expr]
    while pending:
        match pending.pop():
            case nodes.Name(text=text):
                yield CEILING if text == "ceiling" else text
            case nodes.Call(function=function, args=args):
                first = args[0].text if len(args) == 1 and isinstance(args[0], nodes.Name) else ""
                if (function.text, first) in PLAN_FIGURES:
                    yield PLAN
                else:
                    yield function.text
                    words = _words_of(function.text)
                    pending.extend(a for a in args if not (isinstance(a, nodes.Name) and a.text in words))
            case nodes.Extreme(args=args) | nodes.Chain(terms=args):
                pending.extend(args)
            case nodes.Negative(operand=operand) | nodes.Not(operand=operand):
                pending.append(operand)
            case nodes.Binary(left=left, right=right) | nodes.Compare(left=left, right=right):
                pending.extend((left, right))
            case nodes.Is(left=left, options=options):
                pending.append(left)
                if isinstance(left, nodes.Name) and left.text not in choices:
                    continue
                words = choices[left.text] if isinstance(left, nodes.Name) else frozenset()
                pending.extend(o for o in options if not (isinstance(o, nodes.Name) and o.text in words))
            case nodes.InSeason(left=left, season=season):
                pending.extend((left, season))


def _words_of(function: str) -> frozenset[str]:
    """The words that a function takes as they are, and that are no names among its arguments."""
    takes = TRADE[function].takes if function in TRADE else ()
    return frozenset(w for _, type_ in takes if isinstance(type_, Choice) for w in type_.options)


def needs(block: nodes.Named, choices: Choices) -> list[str]:
    """The names that a definition needs, in order."""
    match block:
        case nodes.Ask():
            return list(used_names(block.gate, choices))
        case nodes.Let(value=tuple() as branches):
            return [n for b in branches for e in (b.value, b.condition) for n in used_names(e, choices)]
        case nodes.Let():
            return list(used_names(block.value, choices))  # type: ignore[arg-type]  # the tuple is matched above
        case nodes.Fault():
            parts = (block.when, block.parts, block.shop, block.labor, block.wait, block.quote)
            return [n for e in parts for n in used_names(e, choices)]
        case nodes.Refuse() | nodes.Caution():
            return list(used_names(block.when, choices))
        case nodes.Require():
            return list(used_names(block.condition, choices))
        case nodes.Table():
            return [block.by.text]
    return []


def arrange(edges: dict[str, list[str]]) -> tuple[list[str], list[list[str]]]:
    """An order with needs first, and each circle found on the way as a path that ends where it began."""
    order: list[str] = []
    circles: list[list[str]] = []
    done: set[str] = set()
    for root in edges:
        path: list[str] = []
        on_path: dict[str, int] = {}
        pending: list[tuple[str, bool]] = [(root, False)]
        while pending:
            name, leaving = pending.pop()
            if leaving:
                path.pop()
                del on_path[name]
                done.add(name)
                order.append(name)
                continue
            if name in done or name not in edges:
                continue
            if name in on_path:
                circles.append([*path[on_path[name] :], name])
                continue
            on_path[name] = len(path)
            path.append(name)
            pending.append((name, True))
            pending.extend((n, False) for n in reversed(edges[name]))
    return order, circles
