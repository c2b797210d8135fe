"""What conditions cover: pairs that clash, and edges that nothing matches.

Both look at conditions on one question or quantity against written values only; anything else is left alone, so
nothing right is ever called wrong.
"""

from __future__ import annotations

from decimal import Decimal
from itertools import pairwise

from attrs import frozen

from advisor.language import core
from advisor.language.core import Core
from advisor.language.intervals import Interval, Options, compare_ranges
from advisor.language.ranges import Ranges
from advisor.language.types import Choice, YesNo

__all__ = ["clash", "first_uncovered"]


_MOST_TERMS = 32
"""Conditions side by side that are compared two by two; a longer chain is read to here."""
_MOST_LOOKS = 100_000
"""Values times conditions that are tried; beyond it the branches must end with `otherwise`."""


@frozen
class Test:
    """A condition on one name: the values it lets through."""

    name: str
    node: Core

    def holds(self, value: Decimal | str | bool) -> bool:
        """Whether the condition holds at a value of the name."""
        return _holds(self.node, value)


def _holds(node: Core, value: Decimal | str | bool) -> bool:
    match node:
        case core.Compare(op=op, left=core.Ref(), right=core.Const(value=Decimal() as bound)):
            return compare_ranges(op, _at(value), _at(bound)).can_hold
        case core.Compare(op=op, left=core.Const(value=Decimal() as bound), right=core.Ref()):
            return compare_ranges(op, _at(bound), _at(value)).can_hold
        case core.OneOf(options=options):
            return value in options
        case core.Ref():
            return value is True
        case core.Not(operand=operand):
            return not _holds(operand, value)
        case core.All(args=args):
            return all(_holds(a, value) for a in args)
        case core.Any(args=args):
            return any(_holds(a, value) for a in args)
    raise AssertionError(node)


def _at(value: Decimal | str | bool) -> Interval:
    assert isinstance(value, Decimal)
    return Interval(value, value)


def _test(node: Core) -> Test | None:
    """The condition as a test of one name, if it is one."""
    names = set()
    for part in core.walk(node):
        match part:
            case core.Compare(left=core.Ref(name=name), right=core.Const(value=Decimal())):
                names.add(name)
            case core.Compare(left=core.Const(value=Decimal()), right=core.Ref(name=name)):
                names.add(name)
            case core.OneOf(operand=core.Ref(name=name)):
                names.add(name)
            case core.Ref(type=YesNo(), name=name):
                names.add(name)
            case core.Not() | core.All() | core.Any() | core.Ref() | core.Const():
                if isinstance(part, core.Ref) and part.name not in names:
                    return None
            case _:
                return None
    return Test(names.pop(), node) if len(names) == 1 else None


def _points(name: str, tests: list[Core], ranges: Ranges, type_: object) -> list[Decimal | str | bool]:
    """Values that stand for all: every option, or every threshold with a value on either side of it."""
    if isinstance(type_, YesNo):
        return [True, False]
    if isinstance(type_, Choice):
        found = ranges.names.get(name)
        return [o for o in type_.options if not isinstance(found, Options) or o in found.open]
    domain = ranges.names.get(name)
    if not isinstance(domain, Interval):
        return []
    edges = {domain.low, domain.high}
    for test in tests:
        for part in core.walk(test):
            if isinstance(part, core.Const) and isinstance(part.value, Decimal):
                edges.add(part.value)
    inside = sorted(e for e in edges if domain.low <= e <= domain.high)
    between = [(a + b) / 2 for a, b in pairwise(inside)]
    return sorted([*inside, *between])


def clash(terms: tuple[Core, ...], ranges: Ranges, types: dict[str, object]) -> tuple[Core, Core] | None:
    """The first two of several conditions that can never hold together."""
    tests = [t for t in map(_test, terms[:_MOST_TERMS]) if t]
    held = [0] * len(tests)  # for each condition, the points where it holds, as bits
    for name in {t.name for t in tests}:
        group = [i for i, t in enumerate(tests) if t.name == name]
        points = _points(name, [tests[i].node for i in group], ranges, types.get(name)) if len(group) > 1 else []
        if len(points) * len(group) <= _MOST_LOOKS:
            for i in group:
                held[i] = sum(1 << k for k, p in enumerate(points) if tests[i].holds(p))
    for i, first in enumerate(tests):
        for j, second in enumerate(tests[i + 1 :], i + 1):
            if first.name == second.name and held[i] and held[j] and not held[i] & held[j]:
                return first.node, second.node
    return None


def first_uncovered(
    conditions: list[Core], ranges: Ranges, types: dict[str, object]
) -> tuple[str, Decimal | str | bool, bool] | bool | None:
    """What no condition matches: the name, a value, and whether it is a single edge.

    True if the conditions cover everything, None if that cannot be told.
    """
    tests = [_test(c) for c in conditions]
    known = [t for t in tests if t]
    if len(known) != len(tests) or len({t.name for t in known}) != 1:
        return None
    name = known[0].name
    points = _points(name, conditions, ranges, types.get(name))
    if not points:
        return None
    if len(points) * len(known) > _MOST_LOOKS:
        return None
    missed = [i for i, p in enumerate(points) if not any(t.holds(p) for t in known)]
    if not missed:
        return True
    at = missed[0]
    alone = isinstance(points[at], Decimal) and (at - 1 not in missed and at + 1 not in missed)
    return name, points[at], alone
