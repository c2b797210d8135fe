"""The price: which repair plan at an offer, and the highest offer at which some plan meets every rule.

In: what the exact reading makes of a car's answers. Out: plans and ceilings, exact to the cent. A `require` never
gets easier as the offer rises (the checker has proved it), so that for one plan the highest offer is found by
halving. Across plans, each is first tried a cent above the best so far, which most of them fail at once.

Every plan is tried for up to `EXHAUSTIVE` faults that may be left; with more, those that were seen are tried in every
way, if they are no more than that, and those that are only a chance are decided one at a time. `Bargain.proved` says
whether every plan was tried.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from decimal import Decimal
from functools import cached_property
from typing import Any

from attrs import define, field, frozen

from advisor.judging.repairs import Repairs

__all__ = ["EXHAUSTIVE", "Bargain", "Ceiling"]

EXHAUSTIVE = 10
"""Up to this many repairs that may be left, all plans are tried."""

_CENT = Decimal("0.01")
_ROUNDS = 4
"""How often a plan is improved in turn where not every plan can be tried."""
Deal = Callable[[Decimal, Any], tuple[Decimal | None, tuple[bool, ...]]]


@frozen
class Ceiling:
    """The highest offer that some plan bears, and that plan; None if not even nothing is low enough."""

    offer: Decimal | None
    plan: int


@define(slots=False)
class Bargain:
    """One car at any price: `deal` is the exact reading's function of offer and plan figures."""

    deal: Deal
    repairs: Repairs
    highest: Decimal
    count: int
    """How many requires there are."""
    _deals: dict[tuple[Decimal, int], tuple[Decimal | None, tuple[bool, ...]]] = field(factory=dict)

    _tried: tuple[int, ...] = field(init=False)
    """The repairs that are decided in every way."""
    _rest: tuple[int, ...] = field(init=False)
    """The others, which are improved one by one."""

    def __attrs_post_init__(self) -> None:
        every = range(len(self.repairs.optional))
        seen = [i for i in every if self.repairs.optional[i].chance == 1]
        tried = every if len(every) <= EXHAUSTIVE else seen if len(seen) <= EXHAUSTIVE else ()
        self._tried = tuple(tried)
        self._rest = tuple(i for i in every if i not in tried)

    @property
    def proved(self) -> bool:
        """Whether every plan was tried."""
        return not self._rest

    def at(self, offer: Decimal, plan: int) -> tuple[Decimal | None, tuple[bool, ...]]:
        """Profit and requires at an offer under a plan."""
        key = offer, plan
        found = self._deals.get(key)
        if found is None:
            found = self._deals[key] = self.deal(offer, self.repairs.totals(plan))
        return found

    def meets(self, offer: Decimal, plan: int, rules: tuple[int, ...]) -> bool:
        """Whether a plan meets some of the requires at an offer."""
        held = self.at(offer, plan)[1]
        return all(held[i] for i in rules)

    # ---- the plan at an offer ----

    def plan_at(self, offer: Decimal) -> int:
        """The most profitable plan that meets every require at an offer, else the most profitable.

        Ties go to fewer hours, then to what comes first in the file.
        """
        everything = tuple(range(self.count))

        def rank(plan: int) -> tuple[Any, ...]:
            profit, _ = self.at(offer, plan)
            hours = self.repairs.totals(plan)[2][1]
            # Of two equal plans the one that fixes what comes first is written with the lower bits set.
            return self.meets(offer, plan, everything), profit or 0, -hours, _first_bits(plan)

        best, best_rank = 0, rank(0)
        for _ in range(_ROUNDS):
            before = best
            for plan in self._around(best):
                found = rank(plan)
                if found > best_rank:
                    best, best_rank = plan, found
            best, best_rank = self._climbed(best, best_rank, rank)
            if best == before or not self._rest:
                break
        return best

    def _around(self, plan: int) -> Iterator[int]:
        """Every way to decide the repairs that are tried in every way, the others as in `plan`."""
        rest = plan & ~sum(1 << i for i in self._tried)
        for bits in range(1 << len(self._tried)):
            yield rest | sum(1 << i for at, i in enumerate(self._tried) if bits >> at & 1)

    def _climbed(self, plan: int, best: Any, rank: Callable[[int], Any]) -> tuple[int, Any]:
        """The plan after every single change that helps."""
        better = True
        while better:
            better = False
            for i in self._rest:
                found = rank(plan ^ 1 << i)
                if found > best:
                    plan, best, better = plan ^ 1 << i, found, True
        return plan, best

    # ---- the ceiling ----

    def ceiling(self, rules: tuple[int, ...] | None = None) -> Ceiling:
        """The highest offer at which some plan meets the rules (all of them by default)."""
        rules = tuple(range(self.count)) if rules is None else rules
        search = _Search(self, rules, 0)
        search.improve((1 << len(self.repairs.optional)) - 1)
        for _ in range(_ROUNDS):
            before = search.best
            for plan in self._around(search.plan):
                search.improve(plan)
            for i in self._rest:
                search.improve(search.plan ^ 1 << i)
            if search.best == before or not self._rest:
                break
        if search.best < 0:
            search.plan = self._for_nothing
        return search.found

    def ceiling_from(self, plan: int, undecided: Iterable[int]) -> Ceiling:
        """The highest offer near a plan: the undecided repairs are tried both ways, a few others too, one by one.

        Quicker than `ceiling`, and never above it.
        """
        search = _Search(self, tuple(range(self.count)), plan)
        search.improve(plan)
        order = [*undecided, *range(min(len(self.repairs.optional), EXHAUSTIVE))]
        before = -2
        while search.best != before:
            before = search.best
            for i in order:
                search.improve(search.plan ^ 1 << i)
        return search.found

    @cached_property
    def _for_nothing(self) -> int:
        """The plan to speak of where no price is low enough: the most profitable for nothing."""
        return self.plan_at(Decimal(0))

    @cached_property
    def top(self) -> int:
        """The setting `highest_offer` in cents."""
        return int(self.highest / _CENT)

    def halve(self, plan: int, rules: tuple[int, ...], low: int) -> int:
        """The highest cents at which a plan meets the rules; it does at `low`."""
        high = self.top
        if self.meets(high * _CENT, plan, rules):
            return high
        while high - low > 1:
            middle = (low + high) // 2
            if self.meets(middle * _CENT, plan, rules):
                low = middle
            else:
                high = middle
        return low

    def own_ceilings(self, plan: int) -> list[Decimal | None]:
        """Each require's own ceiling under one plan; None where not even nothing is low enough."""
        found: list[Decimal | None] = []
        for rule in range(self.count):
            if not self.meets(Decimal(0), plan, (rule,)):
                found.append(None)
            else:
                found.append(self.halve(plan, (rule,), 0) * _CENT)
        return found


@define
class _Search:
    """The best ceiling so far, in cents, and its plan; -1 while no plan meets the rules even for nothing."""

    bargain: Bargain
    rules: tuple[int, ...]
    plan: int
    best: int = -1

    def improve(self, plan: int) -> None:
        """Take a plan if it bears a cent more than the best so far."""
        top = self.bargain.top
        if self.best < top and self.bargain.meets((self.best + 1) * _CENT, plan, self.rules):
            self.best, self.plan = self.bargain.halve(plan, self.rules, self.best + 1), plan

    @property
    def found(self) -> Ceiling:
        """What came out."""
        return Ceiling(self.best * _CENT if self.best >= 0 else None, self.plan)


def _first_bits(plan: int) -> tuple[int, ...]:
    """A key under which plans that fix earlier faults come out larger."""
    return tuple(plan >> i & 1 for i in range(max(plan.bit_length(), 1)))
