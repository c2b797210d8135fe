"""The repair plan: what is fixed, what is left, and what both come to.

In: the faults that hold, with their figures. Out: the figures of a plan in the order of `FIGURES`, each as (low,
planned, high), or as ranges of those for the possible reading. Fixed, a fault brings its parts, shop work, labor
and wait; left, its effects. Repairs done together share labor: the largest counts whole, the others 30 %.
"""

from __future__ import annotations

from collections.abc import Sequence, Set
from decimal import Decimal
from functools import cached_property
from typing import Any

from attrs import define, evolve, field, frozen

from advisor.language.program import FaultDef

__all__ = ["ARGUED", "SHARED", "Held", "Repairs", "Said", "Triple", "possible_totals"]

SHARED = Decimal("0.30")
"""What the labor of a second job done together still takes. House figure."""

ARGUED = 3
"""How many faults are argued with: more of them sound like haggling for its own sake. Common practice."""

_ZERO, _ONE = Decimal(0), Decimal(1)
Triple = tuple[Decimal, Decimal, Decimal]
_NOTHING: Triple = (_ZERO, _ZERO, _ZERO)


@frozen
class Held:
    """A fault that holds: its chance (1 where it was seen) and its figures."""

    fault: FaultDef
    index: int
    chance: Decimal
    parts: Triple
    shop: Triple
    labor: Triple
    wait: Triple
    quote: Triple

    @property
    def optional(self) -> bool:
        """Whether it may be left."""
        return not self.fault.must

    @property
    def weighted(self) -> Held:
        """The same with its figures times its chance: what it comes to on average."""
        parts, shop, labor, wait = (self._times(f) for f in (self.parts, self.shop, self.labor, self.wait))
        return evolve(self, parts=parts, shop=shop, labor=labor, wait=wait)

    def _times(self, figure: Triple) -> Triple:
        return figure[0] * self.chance, figure[1] * self.chance, figure[2] * self.chance


@frozen
class Said:
    """What the advertisement told and what the seller denied, by the names of faults."""

    told: tuple[str, ...] = ()
    denied: tuple[str, ...] = ()

    def weight(self, name: str) -> int:
        """How often a fault's quote counts in the argument."""
        return 0 if name in self.told else 2 if name in self.denied else 1


@define(slots=False)
class Repairs:
    """The faults of one car, and the figures of any plan for them. A plan is a bit mask over `optional`."""

    held: tuple[Held, ...]
    said: Said = Said()
    optional: tuple[Held, ...] = field(init=False)
    _totals: dict[int, tuple[Triple, ...]] = field(factory=dict)
    weighted: tuple[Held, ...] = field(init=False)
    """The faults with their figures times their chance."""
    partners: list[list[int]] = field(init=False)
    """For each fault, by its place in `held`, those that it is mended together with."""

    def __attrs_post_init__(self) -> None:
        self.optional = tuple(h for h in self.held if h.optional)
        at = {h.fault.name: i for i, h in enumerate(self.held)}
        self.weighted = tuple(h.weighted for h in self.held)
        self.partners = [[at[n] for n in h.fault.together if n in at] for h in self.held]
        for i, partners in enumerate(self.partners):
            for j in partners:
                if i not in self.partners[j]:
                    self.partners[j].append(i)

    def fixed(self, plan: int) -> tuple[Held, ...]:
        """The faults that a plan fixes."""
        chosen = {h.index for i, h in enumerate(self.optional) if plan >> i & 1}
        return tuple(h for h in self.held if not h.optional or h.index in chosen)

    def totals(self, plan: int) -> tuple[Triple, ...]:
        """The figures of a plan."""
        found = self._totals.get(plan)
        if found is None:
            found = self._totals[plan] = self._compute(plan)
        return found

    def _compute(self, plan: int) -> tuple[Triple, ...]:
        fixed: list[int] = []
        left: list[int] = []
        at = 0
        for i, held in enumerate(self.held):
            if held.optional:
                (fixed if plan >> at & 1 else left).append(i)
                at += 1
            else:
                fixed.append(i)
        parts = shop = wait = _NOTHING
        for i in fixed:
            held = self.weighted[i]
            parts, shop, wait = _plus(parts, held.parts), _plus(shop, held.shop), _larger(wait, held.wait)
        kept, drop, days, buyers = _ONE, _ZERO, _ZERO, _ONE
        for i in left:
            held = self.held[i]
            kept *= _ONE - held.chance * held.fault.falls
            drop += held.chance * held.fault.drop
            days += held.chance * held.fault.days
            buyers *= _ONE - held.chance * held.fault.buyers
        labor = self._labor(fixed)
        argued = sum((quote for _, quote in self.arguments), _ZERO)
        return parts, shop, labor, wait, (kept,) * 3, (drop,) * 3, (days,) * 3, (buyers,) * 3, (argued,) * 3

    @cached_property
    def arguments(self) -> tuple[tuple[Held, Decimal], ...]:
        """The faults to argue with, the dearest first, and what each is worth in the argument: those that were seen
        and not told of, three at most; a fault that the seller denied counts twice."""
        found = [(h, self.said.weight(h.fault.name) * h.quote[1]) for h in self.held if h.chance == 1]
        found = [(h, quote) for h, quote in found if quote > 0]
        return tuple(sorted(found, key=lambda a: -a[1])[:ARGUED])

    def _labor(self, fixed: list[int]) -> Triple:
        """The labor of what is fixed, shared inside each group of jobs done together."""
        total = _NOTHING
        for group in self.working_together(set(fixed)):
            hours = [self.weighted[i].labor for i in group]
            most, whole = _maxima(hours), _sums(hours)
            total = _plus(total, tuple(m + SHARED * (s - m) for m, s in zip(most, whole, strict=True)))  # type: ignore[arg-type]  # three of them
        return total

    def working_together(self, chosen: Set[int]) -> list[list[int]]:
        """Jobs, by their places in `held`, in groups that share their labor; most stand alone."""
        found: list[list[int]] = []
        seen: set[int] = set()
        for i in sorted(chosen):
            if i in seen:
                continue
            group, pending = [], [i]
            while pending:
                j = pending.pop()
                if j not in seen:
                    seen.add(j)
                    group.append(j)
                    pending.extend(k for k in self.partners[j] if k in chosen)
            found.append(group)
        return found

    @cached_property
    def groups(self) -> list[list[int]]:
        """All faults, in the groups that share labor if everything is mended."""
        return self.working_together(set(range(len(self.held))))


def _plus(total: Triple, figure: Triple) -> Triple:
    return total[0] + figure[0], total[1] + figure[1], total[2] + figure[2]


def _larger(total: Triple, figure: Triple) -> Triple:
    return max(total[0], figure[0]), max(total[1], figure[1]), max(total[2], figure[2])


def possible_totals(
    faults: Sequence[FaultDef],
    facts: Sequence[tuple[bool, bool]],
    figures: Sequence[Sequence[Any]],
    decided: dict[str, bool],
    said: Said = Said(),
) -> tuple[Any, ...]:
    """Ranges of a plan's figures where it is not known which faults hold, or what is done about them.

    `facts` says for each fault whether it can hold and whether it can fail, `decided` whether it is fixed (True)
    or left (False) if it holds; a fault that is not named may be either, unless it must be fixed.
    """
    fixed_surely, fixed_maybe, left_surely, left_maybe = [], [], [], []
    for i, fault in enumerate(faults):
        can_hold, can_fail = facts[i]
        if not can_hold:
            continue
        choice = True if fault.must else decided.get(fault.name)
        if choice is not False:
            fixed_maybe.append(i)
        if choice is not True:
            left_maybe.append(i)
        if not can_fail and choice is True:
            fixed_surely.append(i)
        if not can_fail and choice is False:
            left_surely.append(i)

    def ends(kind: int, chosen: list[int], side: int) -> list[Triple]:
        return [tuple(p[side] for p in figures[i][kind]) for i in chosen if figures[i][kind] is not None]

    parts, shop = (_ranged(_sums(ends(k, fixed_surely, 0)), _sums(ends(k, fixed_maybe, 1))) for k in (0, 1))
    wait = _ranged(_maxima(ends(3, fixed_surely, 0)), _maxima(ends(3, fixed_maybe, 1)))
    # Sharing only ever saves: no plan takes more than all labor, none less than the largest job and 30 % of the rest.
    surely, maybe = ends(2, fixed_surely, 0), ends(2, fixed_maybe, 1)
    least = _maxima(surely), _sums(surely)
    labor = _ranged(tuple(m + SHARED * (s - m) for m, s in zip(*least, strict=True)), _sums(maybe))
    kept = _shares([faults[i].falls for i in left_maybe]), _shares([faults[i].falls for i in left_surely])
    buyers = _shares([faults[i].buyers for i in left_maybe]), _shares([faults[i].buyers for i in left_surely])
    drop = tuple(sum((faults[i].drop for i in c), _ZERO) for c in (left_surely, left_maybe))
    days = tuple(sum((faults[i].days for i in c), _ZERO) for c in (left_surely, left_maybe))
    quotes: tuple[list[Decimal], list[Decimal]] = [], []
    for i, fault in enumerate(faults):
        if facts[i][0] and figures[i][4] is not None:
            low, high = (said.weight(fault.name) * end for end in figures[i][4][1])
            quotes[1].append(high)
            quotes[0].extend([] if facts[i][1] else [low])
    argued = tuple(sum(sorted(q, reverse=True)[:ARGUED], _ZERO) for q in quotes)
    return parts, shop, labor, wait, (kept,) * 3, (drop,) * 3, (days,) * 3, (buyers,) * 3, (argued,) * 3


def _ranged(low: Sequence[Decimal], high: Sequence[Decimal]) -> tuple[tuple[Decimal, Decimal], ...]:
    return tuple(zip(low, high, strict=True))


def _sums(figures: list[Triple]) -> Triple:
    total = _NOTHING
    for figure in figures:
        total = _plus(total, figure)
    return total


def _maxima(figures: list[Triple]) -> Triple:
    total = _NOTHING
    for figure in figures:
        total = _larger(total, figure)
    return total


def _shares(falls: list[Decimal]) -> Decimal:
    kept = _ONE
    for fall in falls:
        kept *= _ONE - fall
    return kept
