"""The price: which repair plan at an offer, and the highest offer at which some plan meets every rule.

In: what the exact reading makes of a car's answers. Out: plans and ceilings, exact to the cent. A `require` never
gets easier as the offer rises (the checker has proved it), so that for one plan the highest offer is found by
halving. Across plans, each is first tried a cent above the best so far, which most of them fail at once.

With at most `EXHAUSTIVE` repairs that may be left, every plan is tried. With more, plans are improved one and two
repairs at a time from several starts, and `Bargain.proved` says that not every plan was tried.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from decimal import ROUND_FLOOR, Decimal
from typing import Any

from attrs import define, field, frozen

from advisor.judging.repairs import Repairs

__all__ = ["EXHAUSTIVE", "Bargain", "Ceiling"]

EXHAUSTIVE = 12
"""Up to this many repairs that may be left, all plans are tried."""

_CENT = Decimal("0.01")
Deal = Callable[[Decimal, Any], tuple[Decimal | None, tuple[bool, ...]]]


@frozen
class Ceiling:
    """The highest offer that some plan bears, and that plan; None if not even nothing is low enough."""

    offer: Decimal | None
    plan: int


@define
class Bargain:
    """One car at any price: `deal` is the exact reading's function of offer and plan figures."""

    deal: Deal
    repairs: Repairs
    highest: Decimal
    count: int
    """How many requires there are."""
    _deals: dict[tuple[Decimal, int], tuple[Decimal | None, tuple[bool, ...]]] = field(factory=dict)

    @property
    def proved(self) -> bool:
        """Whether every plan was tried."""
        return len(self.repairs.optional) <= EXHAUSTIVE

    def at(self, offer: Decimal, plan: int) -> tuple[Decimal | None, tuple[bool, ...]]:
        """Profit and requires at an offer under a plan."""
        key = offer, plan
        found = self._deals.get(key)
        if found is None:
            found = self._deals[key] = self.deal(offer, self.repairs.totals(plan))
        return found

    def _meets(self, offer: Decimal, plan: int, rules: tuple[int, ...]) -> bool:
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
            return self._meets(offer, plan, everything), profit or 0, -hours, _first_bits(plan)

        return max(self._plans(rank), key=rank)

    def _plans(self, rank: Callable[[int], Any]) -> Iterator[int]:
        """Every plan, or, where they are too many, the best that small changes lead to."""
        count = len(self.repairs.optional)
        if count <= EXHAUSTIVE:
            yield from range(1 << count)
            return
        for start in (0, (1 << count) - 1):
            yield _climbed(start, count, rank)

    # ---- the ceiling ----

    def ceiling(self, rules: tuple[int, ...] | None = None) -> Ceiling:
        """The highest offer at which some plan meets the rules (all of them by default)."""
        rules = tuple(range(self.count)) if rules is None else rules
        count = len(self.repairs.optional)
        best, best_plan = -1, 0
        top = self._top()

        def improve(plan: int) -> bool:
            nonlocal best, best_plan
            if best >= top or not self._meets((best + 1) * _CENT, plan, rules):
                return False
            best, best_plan = self._halve(plan, rules, best + 1, top), plan
            return True

        start = self.plan_at(Decimal(0))
        improve(start)
        if count > EXHAUSTIVE:
            self._climb_ceiling(count, start, improve)
        else:
            for plan in range(1 << count):
                improve(plan)
        return Ceiling(best * _CENT if best >= 0 else None, best_plan if best >= 0 else start)

    def _climb_ceiling(self, count: int, start: int, improve: Callable[[int], bool]) -> None:
        """Small changes to the best plan so far, as long as one of them helps."""
        for plan in (start, 0, (1 << count) - 1):
            improve(plan)
            current, better = plan, True
            while better:
                better = False
                for flipped in _neighbors(current, count):
                    if improve(flipped):
                        current, better = flipped, True
                        break

    def _top(self) -> int:
        return int((self.highest / _CENT).to_integral_value(rounding=ROUND_FLOOR))

    def _halve(self, plan: int, rules: tuple[int, ...], low: int, top: int) -> int:
        """The highest cents at which a plan meets the rules; it does at `low`."""
        if self._meets(top * _CENT, plan, rules):
            return top
        high = top
        while high - low > 1:
            middle = (low + high) // 2
            if self._meets(middle * _CENT, plan, rules):
                low = middle
            else:
                high = middle
        return low

    def own_ceilings(self, plan: int) -> list[Decimal | None]:
        """Each require's own ceiling under one plan; None where not even nothing is low enough."""
        found: list[Decimal | None] = []
        for rule in range(self.count):
            if not self._meets(Decimal(0), plan, (rule,)):
                found.append(None)
            else:
                found.append(self._halve(plan, (rule,), 0, self._top()) * _CENT)
        return found


def _first_bits(plan: int) -> tuple[int, ...]:
    """A key under which plans that fix earlier faults come out larger."""
    return tuple(plan >> i & 1 for i in range(max(plan.bit_length(), 1)))


def _neighbors(plan: int, count: int) -> Iterator[int]:
    """Plans that differ in one repair, then in two."""
    for i in range(count):
        yield plan ^ 1 << i
    for i in range(count):
        for j in range(i):
            yield plan ^ 1 << i ^ 1 << j


def _climbed(plan: int, count: int, rank: Callable[[int], Any]) -> int:
    best = rank(plan)
    better = True
    while better:
        better = False
        for flipped in _neighbors(plan, count):
            found = rank(flipped)
            if found > best:
                plan, best, better = flipped, found, True
                break
    return plan
