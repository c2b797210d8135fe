"""The price: which repair plan at an offer, and the highest offer at which some plan meets every rule.

In: what the exact reading makes of a car's answers. Out: plans and ceilings, exact to the cent. A `require` never
gets easier as the offer rises (the checker has proved it), so that the highest offer is found by halving. All plans
are tried at once in floating point (`plans.py`), generously; those that are left are decided in decimals.

A rule that looks at a chance is not tried on all plans: its outcomes are drawn for the most profitable of those that
meet the others, up to `DRAWN` of them. `Bargain.proved` says whether every plan was tried.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from decimal import Decimal
from functools import cached_property
from itertools import islice
from typing import TYPE_CHECKING, Any

from attrs import define, field, frozen

from advisor.judging.repairs import Repairs

if TYPE_CHECKING:
    from advisor.judging.plans import Plans

__all__ = ["DRAWN", "EXHAUSTIVE", "Bargain", "Ceiling"]

EXHAUSTIVE = 20
"""Up to this many repairs that may be left, all plans are tried."""
DRAWN = 24
"""For this many plans outcomes are drawn where a rule looks at a chance."""

_CENT = Decimal("0.01")
_NEAR = 0.05
"""Plans within this of the best profit, in money, are compared in decimals."""
_TIED = 1e-6
"""Plans this close in floating point leave the same."""
_FEW = 8
"""So few plans are decided in decimals at once."""
_ROUNDS = 40
"""How often at most a plan is improved in turn where not every plan can be tried."""
_NEIGHBORS = 6
"""How many repairs a quick search tries both ways beside those that have changed."""

Draw = Callable[[int, Decimal], Decimal]
Deal = Callable[[Decimal, Any], tuple[Decimal | None, tuple[bool, ...]]]


@frozen(slots=False)
class Ceiling:
    """The highest offer that some plan bears; None if not even nothing is low enough."""

    offer: Decimal | None
    _plan: int | Callable[[], int] = field(eq=False, repr=False)

    @cached_property
    def plan(self) -> int:
        """The plan that bears it, or else one to speak of, which is looked for when it is first asked for."""
        return self._plan if isinstance(self._plan, int) else self._plan()


def _nothing_drawn(term: int, offer: Decimal) -> Decimal:
    return Decimal(0)


@define(slots=False)
class Bargain:
    """One car at any price.

    `deal` is the exact reading's function of offer and plan figures; `drawn` are the requires that look at a chance;
    `blocks` gives all ways to decide some repairs, the others as in a plan, and `listed` some plans, for trying at
    once; `draw` the function that a plan's chances come from.
    """

    deal: Deal
    repairs: Repairs
    highest: Decimal
    count: int
    """How many requires there are."""
    drawn: frozenset[int]
    blocks: Callable[[tuple[int, ...], int], Iterator[Plans]]
    listed: Callable[[list[int]], Plans]
    draw: Callable[[int], Draw]
    every_drawn_plan_tried: bool = True
    _deals: dict[tuple[Decimal, int, bool], tuple[Decimal | None, tuple[bool, ...]]] = field(factory=dict)
    _all: list[Plans] | None = None
    _near: dict[int, list[Plans]] = field(factory=dict)
    _own: dict[int, tuple[Decimal | None, ...]] = field(factory=dict)

    @cached_property
    def tried(self) -> tuple[int, ...]:
        """The repairs that are decided in every way: all of them, or those that were seen, as far as they go."""
        every = range(len(self.repairs.optional))
        if len(every) <= EXHAUSTIVE:
            return tuple(every)
        seen = [i for i in every if self.repairs.optional[i].chance == 1]
        return tuple(seen if len(seen) <= EXHAUSTIVE // 2 else [])

    @property
    def proved(self) -> bool:
        """Whether every plan was tried."""
        return len(self.tried) == len(self.repairs.optional) and self.every_drawn_plan_tried

    def figures(self, plan: int) -> tuple[Any, ...]:
        """The figures of a plan, and where its chances come from, as the exact reading takes them."""
        return (*self.repairs.totals(plan), self.draw(plan))

    def at(self, offer: Decimal, plan: int, *, drawing: bool = True) -> tuple[Decimal | None, tuple[bool, ...]]:
        """Profit and requires at an offer under a plan; without `drawing`, those that look at a chance mean nothing."""
        key = offer, plan, drawing or not self.drawn
        found = self._deals.get(key)
        if found is None:
            draw = self.draw(plan) if key[2] else _nothing_drawn
            found = self._deals[key] = self.deal(offer, (*self.repairs.totals(plan), draw))
        return found

    def profit(self, offer: Decimal, plan: int) -> Decimal:
        """What a plan leaves at an offer; nothing where the rules name no profit."""
        return self.at(offer, plan, drawing=False)[0] or Decimal(0)

    def meets(self, offer: Decimal, plan: int, rules: tuple[int, ...]) -> bool:
        """Whether a plan meets some of the requires at an offer."""
        held = self.at(offer, plan, drawing=False)[1]
        if not all(held[i] for i in rules if i not in self.drawn):
            return False
        if self.drawn.isdisjoint(rules):
            return True
        held = self.at(offer, plan)[1]
        return all(held[i] for i in rules)

    # ---- the plans at hand ----

    def _plans(self) -> list[Plans]:
        """Every plan, where all can be tried; kept, since several offers and rules are tried on them."""
        if self._all is None:
            self._all = []
            for block in self.blocks(self.tried, 0):
                block.trim()
                self._all.append(block)
        return self._all

    def _around(self, plan: int) -> list[Plans]:
        """The plans to try beside one: all of them; or those that differ in what is tried, or in up to two others."""
        if len(self.tried) == len(self.repairs.optional):
            return self._plans()
        if plan not in self._near:
            rest = [i for i in range(len(self.repairs.optional)) if i not in self.tried]
            near = [
                plan,
                *(plan ^ 1 << i for i in rest),
                *(plan ^ 1 << i ^ 1 << j for i in rest for j in rest if i < j),
            ]
            self._near[plan] = [*self.blocks(self.tried, plan), self.listed(near)]
        return self._near[plan]

    # ---- the plan at an offer ----

    def plan_at(self, offer: Decimal) -> int:
        """The most profitable plan that meets every require at an offer, else the most profitable.

        Ties go to fewer hours, then to what comes first in the file.
        """
        everything = tuple(range(self.count))
        best = 0
        if 1 << len(self.repairs.optional) <= _FEW:
            every = range(1 << len(self.repairs.optional))
            return max(every, key=lambda p: (self.meets(offer, p, everything), *self._rank(offer, p)))
        for _ in range(_ROUNDS):
            before = best
            blocks = self._around(best)
            found = self._most_profitable(blocks, offer, everything)
            best = self._most_profitable(blocks, offer, None) if found is None else found  # type: ignore[assignment]  # some plan is the most profitable
            if best == before or len(self.tried) == len(self.repairs.optional):
                break
        return best

    def _most_profitable(self, blocks: list[Plans], offer: Decimal, rules: tuple[int, ...] | None) -> int | None:
        """The most profitable plan that meets some rules; with None, of all plans."""
        best: tuple[Any, ...] | None = None
        found, tries = None, DRAWN
        tied = float("inf")
        for profit, block, at in _descending(blocks, offer, self._plain(rules or ())):
            if best is not None and profit < float(best[0]) - _NEAR:
                break
            if profit > tied - _TIED:
                continue  # of those that leave the same, the first has the fewest hours and mends what comes first
            plan = block.plan(at)
            rank = self._rank(offer, plan)
            if best is not None and rank <= best:
                continue
            if rules is not None and not self.meets(offer, plan, self._plain(rules)):
                continue
            if rules is not None and not self.drawn.isdisjoint(rules):
                tries -= 1
                if tries < 0:
                    self.every_drawn_plan_tried = False
                    break
                if not self.meets(offer, plan, rules):
                    continue
            best, found, tied = rank, plan, profit
        return found

    def _plain(self, rules: tuple[int, ...]) -> tuple[int, ...]:
        return tuple(i for i in rules if i not in self.drawn)

    def _rank(self, offer: Decimal, plan: int) -> tuple[Any, ...]:
        """By profit, then by fewer hours; of two equal plans the one that mends what comes first in the file."""
        return self.profit(offer, plan), -self.repairs.totals(plan)[2][1], _first_bits(plan, len(self.repairs.optional))

    # ---- the ceiling ----

    def ceiling(self, rules: tuple[int, ...] | None = None) -> Ceiling:
        """The highest offer at which some plan meets the rules (all of them by default)."""
        rules = tuple(range(self.count)) if rules is None else rules
        best, plan = -1, 0
        if 1 << len(self.repairs.optional) <= _FEW:
            for one in range(1 << len(self.repairs.optional)):
                if best < self.top and self.meets((best + 1) * _CENT, one, rules):
                    best, plan = self.halve(one, rules, best + 1), one
            return Ceiling(best * _CENT, plan) if best >= 0 else Ceiling(None, self._for_nothing)
        for _ in range(_ROUNDS):
            before = best
            best, plan = self._highest(self._around(plan), rules, best, plan)
            if best == before or len(self.tried) == len(self.repairs.optional):
                break
        if best < 0:
            return Ceiling(None, self._for_nothing)
        return Ceiling(best * _CENT, plan)

    def _highest(self, blocks: list[Plans], rules: tuple[int, ...], best: int, plan: int) -> tuple[int, int]:
        """The best ceiling in cents and its plan, if it is above the best so far.

        Floating point says where to look; from there on, as long as a plan bears a cent more, it is taken.
        """
        plain = self._plain(rules)
        found = None
        for block, at in self._halve_all(blocks, plain, best + 1):
            first = block.plan(at)
            if self.meets((best + 1) * _CENT, first, rules):
                found = first
                break
        if found is None:
            found = self._bears_more(blocks, rules, best)
        while found is not None:
            best, plan = self.halve(found, rules, best + 1), found
            found = self._bears_more(blocks, rules, best)
        return best, plan

    def _bears_more(self, blocks: list[Plans], rules: tuple[int, ...], best: int) -> int | None:
        """The most profitable plan that meets the rules a cent above the best so far."""
        if best >= self.top:
            return None
        offer = (best + 1) * _CENT
        left = [b for b in (_still(b, offer, self._plain(rules)) for b in blocks) if len(b)]
        return self._most_profitable(left, offer, rules) if left else None

    def _halve_all(self, blocks: list[Plans], rules: tuple[int, ...], start: int) -> Iterator[tuple[Plans, int]]:
        """A few of the plans that may meet the rules at the highest offer, from `start` cents up, the most profitable
        first."""

        def still(plans: list[Plans], cents: int) -> list[Plans]:
            return [b for b in (_still(b, cents * _CENT, rules) for b in plans) if len(b)]

        left = still(blocks, start) if start <= self.top else []
        low, high = start, self.top + 1
        while high - low > 1 and sum(map(len, left)) > _FEW:
            middle = (low + high) // 2
            if up := still(left, middle):
                low, left = middle, up
            else:
                high = middle
        return islice(((b, i) for _, b, i in _descending(left, low * _CENT, ())), _FEW)

    def borne(self, plan: int) -> Decimal | None:
        """The highest offer that one plan bears; None if not even nothing."""
        everything = tuple(range(self.count))
        return self.halve(plan, everything, 0) * _CENT if self.meets(Decimal(0), plan, everything) else None

    def ceiling_from(self, plan: int, undecided: Iterable[int]) -> Ceiling:
        """The highest offer near a plan: the undecided repairs are tried both ways, a few others too, one by one.

        Quicker than `ceiling`, and never above it.
        """
        everything = tuple(range(self.count))
        plain = self._plain(everything)
        order = [*undecided, *range(min(len(self.repairs.optional), _NEIGHBORS))]
        start, best, before = plan, -1, -2
        if self.meets(Decimal(0), plan, plain):
            best = self.halve(plan, plain, 0)
        while best != before:
            before = best
            for other in (plan ^ 1 << i for i in order):
                if best < self.top and self.meets((best + 1) * _CENT, other, plain):
                    best, plan = self.halve(other, plain, best + 1), other
        if best < 0 or not self.drawn:
            return Ceiling(best * _CENT if best >= 0 else None, plan)
        # What is drawn is asked of the plan that was reached, and of the one that was started from.
        reached = {
            p: self._halved(p, everything, 0, best) for p in (plan, start) if self.meets(Decimal(0), p, everything)
        }
        if not reached:
            return Ceiling(None, plan)
        plan = max(reached, key=lambda p: reached[p])
        return Ceiling(reached[plan] * _CENT, plan)

    def _for_nothing(self) -> int:
        """The plan to speak of where no price is low enough: the most profitable for nothing."""
        return self.plan_at(Decimal(0))

    @cached_property
    def top(self) -> int:
        """The setting `highest_offer` in cents."""
        return int(self.highest / _CENT)

    def halve(self, plan: int, rules: tuple[int, ...], low: int) -> int:
        """The highest cents at which a plan meets the rules; it does at `low`."""
        plain = self._plain(rules)
        if len(plain) < len(rules):  # what nothing is drawn for first: most often it decides
            high = self._halved(plan, plain, low, self.top)
            return self._halved(plan, rules, low, high)
        return self._halved(plan, rules, low, self.top)

    def _halved(self, plan: int, rules: tuple[int, ...], low: int, high: int) -> int:
        if self.meets(high * _CENT, plan, rules):
            return high
        while high - low > 1:
            middle = (low + high) // 2
            if self.meets(middle * _CENT, plan, rules):
                low = middle
            else:
                high = middle
        return low

    def own_ceilings(self, plan: int) -> tuple[Decimal | None, ...]:
        """Each require's own ceiling under one plan; None where not even nothing is low enough."""
        if plan not in self._own:
            self._own[plan] = tuple(
                self._halved(plan, (rule,), 0, self.top) * _CENT if self.meets(Decimal(0), plan, (rule,)) else None
                for rule in range(self.count)
            )
        return self._own[plan]


def _still(block: Plans, offer: Decimal, rules: tuple[int, ...]) -> Plans:
    """The plans of a block that may meet the rules at an offer."""
    held = block.meets(offer, rules)
    return block if held.all() else block.only(held.nonzero()[0])


def _descending(blocks: list[Plans], offer: Decimal, rules: tuple[int, ...]) -> Iterator[tuple[float, Plans, int]]:
    """The plans that may meet the rules at an offer, the most profitable first; of those that leave the same, the one
    of fewest hours, then the one that mends what comes first."""
    from heapq import merge

    def one(block: Plans) -> Iterator[tuple[tuple[float, float, float], Plans, int]]:
        left = _still(block, offer, rules) if rules else block
        for key, i in left.ranked(offer):
            yield key, left, i

    for key, block, i in merge(*map(one, blocks), key=lambda item: item[0]):
        yield -key[0], block, i


def _first_bits(plan: int, count: int) -> tuple[int, ...]:
    """A key under which plans that mend earlier faults come out larger."""
    return tuple(plan >> i & 1 for i in range(count))
