"""Which rules are the reason for a verdict.

A rule is a reason if, for some set of other rules, taking that set away leaves the verdict and taking this one too
changes it. Deal-breakers and requires are rules in this sense. Under a ladder that climbs with the price, taking rules
away can only move a verdict along it toward a purchase, so that the smallest sets of rules that uphold the verdict by
themselves name every reason: single rules first, then pairs and so on among those that do not do it alone.
"""

from __future__ import annotations

from collections.abc import Callable
from itertools import combinations
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from advisor.judging.deal import Deal

__all__ = ["reasons"]

_MOST_SETS = 400
"""How many sets of rules are tried; sets of more rules than that reaches are seldom what decides."""


def reasons(deal: Deal) -> tuple[str, ...]:
    """The names of the rules that are reasons, in file order."""
    program = deal.program
    refuses = [r.name for r, holds in zip(program.of_kind("refuse"), deal.refuses, strict=True) if holds]
    requires = [r.name for r in program.of_kind("require")]
    index = {name: i for i, name in enumerate(requires)}
    known: dict[frozenset[str], str] = {}

    def verdict(kept: frozenset[str]) -> str:
        """The verdict under these rules alone."""
        found = known.get(kept)
        if found is None:
            rules = tuple(sorted(index[n] for n in kept if n in index))
            refused = any(n in kept for n in refuses)
            ceiling = None if refused else deal.bargain.ceiling(rules).offer
            found = known[kept] = deal.verdict_under(refused, ceiling)
        return found

    own = dict(zip(requires, deal.bargain.own_ceilings(deal.ceiling.plan), strict=True))

    def alone(name: str) -> bool:
        """Whether a rule upholds the verdict by itself."""
        # With more room under the plan at hand than the verdict allows, no other plan needs to be tried.
        if name in own and deal.verdict_under(False, own[name]) != deal.verdict:
            return False
        return verdict(frozenset({name})) == deal.verdict

    everything = frozenset([*refuses, *requires])
    known[everything] = deal.verdict
    if not deal.ladder_climbs and 2 ** len(everything) <= _MOST_SETS:
        found = _each_way(everything, verdict, deal.verdict)
        return tuple(n for n in program.rules if n in found)
    if verdict(frozenset()) == deal.verdict:
        return ()
    found = {n for n in everything if alone(n)}
    rest = sorted(everything - found)
    tried = 0
    smallest: list[frozenset[str]] = []
    if rest and verdict(frozenset(rest)) == deal.verdict:
        for size in range(2, len(rest) + 1):
            for names in combinations(rest, size):
                kept = frozenset(names)
                tried += 1
                if tried > _MOST_SETS:
                    break
                if any(s <= kept for s in smallest):
                    continue
                if verdict(kept) == deal.verdict:
                    smallest.append(kept)
                    found |= kept
    return tuple(n for n in program.rules if n in found)


def _each_way(everything: frozenset[str], verdict: Callable[[frozenset[str]], str], said: str) -> set[str]:
    """The reasons by the definition: with every set of rules that leaves the verdict, those without which it changes.

    Where more room for the price can make a verdict worse, as a ladder may have it, nothing shorter is right.
    """
    found: set[str] = set()
    for size in range(len(everything) + 1):
        for names in combinations(sorted(everything), size):
            kept = frozenset(names)
            if verdict(kept) == said:
                found |= {n for n in kept - found if verdict(kept - {n}) != said}
    return found
