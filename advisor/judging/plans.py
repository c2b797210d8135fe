"""Many repair plans at once, so that the best of a million is found without judging each.

In: the repairs of a car and the sampled reading of its answers at their planning values. Out: which plans can meet
the rules at an offer, and what each leaves, in floating point: a filter, whose survivors `bargain.py` decides exactly.
A plan is a column of yes and no, one for each repair that may be left.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from decimal import Decimal
from functools import cached_property
from typing import Any

import numpy as np
from attrs import define, field

from advisor.judging.repairs import SHARED, Repairs
from advisor.language import core
from advisor.readings.emitting import FIGURES
from advisor.readings.sampled import Outcome, Sampled, needed, stands_on_offer

__all__ = ["Plans", "Rules", "every_plan", "plans_of"]

_CHUNK = 16
"""Repairs decided inside one block of columns; more of them make more blocks."""
_BEST = 64
"""So many plans are sorted first; with fewer, all."""
_SLACK = 1e-9
"""How far, as a share of its sides, a comparison may fail in floating point and still be decided exactly."""
_ENDS: tuple[core.End, ...] = ("low", "plan", "high")


@define(slots=False)
class Rules:
    """What plans are tried against: the sampled reading, the requires to meet, and the profit."""

    sampled: Sampled
    conditions: tuple[core.Core, ...]
    """The requires, in file order; `tried` are those that look at no chance."""
    tried: tuple[int, ...]
    profit: core.Core | None

    @cached_property
    def stand_on_offer(self) -> frozenset[int]:
        """The rules that another offer may decide another way."""
        lets = self.sampled.stand_on_offer
        return frozenset(i for i, c in enumerate(self.conditions) if stands_on_offer(c, lets))

    @cached_property
    def frontier(self) -> frozenset[tuple[str, core.End]]:
        """The lets that must be kept so that another offer needs nothing else: those that what stands on the offer,
        the rules and the profit look at directly."""
        lets = self.sampled.program.lets
        nodes = [*(self.conditions[i] for i in self.tried), *([self.profit] if self.profit is not None else [])]
        for name, end in needed(self.sampled.program, nodes):
            if name in self.sampled.stand_on_offer:
                let = lets[name]
                nodes.append({"plan": let.value, "low": let.low, "high": let.high}[end])  # type: ignore[arg-type]  # an end that is asked for is there
        return frozenset(
            (p.name, p.end) for n in nodes for p in core.walk(n) if isinstance(p, core.Ref) and p.kind == "let"
        )


@define(slots=False)
class Plans:
    """A block of plans and everything that the rules say of them."""

    rules: Rules
    outcome: Outcome
    columns: Any
    """Which repairs each plan mends: one row for each repair that may be left, one column for each plan."""
    _decided: dict[int, Any] = field(factory=dict)
    """Which plans meet the rules that do not stand on the offer, once tried."""

    def __len__(self) -> int:
        return int(self.columns.shape[1])

    def plan(self, at: int) -> int:
        """A plan as a bit mask."""
        return sum(1 << i for i, mended in enumerate(self.columns[:, at]) if mended)

    def meets(self, offer: Decimal, rules: Sequence[int]) -> Any:
        """Which plans may meet some of the rules at an offer; true too where floating point cannot tell."""
        priced = self.outcome.at(float(offer))
        found = np.ones(len(self), dtype=bool)
        for i in rules:
            held = self._decided.get(i)
            if held is None:
                held = _margin(self.rules.sampled, self.rules.conditions[i], priced) >= -_SLACK
                if i not in self.rules.stand_on_offer:
                    self._decided[i] = held
            found &= held
        return found

    def profit(self, offer: Decimal) -> Any:
        """What each plan leaves at an offer."""
        if self.rules.profit is None:
            return np.zeros(len(self))
        return np.broadcast_to(self.rules.sampled.value(self.rules.profit, self.outcome.at(float(offer))), len(self))

    def ranked(self, offer: Decimal) -> Iterator[tuple[tuple[float, float, float], int]]:
        """The plans in the order in which they are to be preferred at an offer, each with what it is ordered by."""
        losses = np.round(-self.profit(offer), 6)
        if len(self) <= _BEST:
            yield from self._sorted(losses, np.arange(len(self)))
            return
        # Most often the best are enough: only they are sorted, until somebody asks for more.
        best = losses <= np.partition(losses, _BEST)[_BEST]
        yield from self._sorted(losses, best.nonzero()[0])
        yield from self._sorted(losses, (~best).nonzero()[0])

    def _sorted(self, losses: Any, places: Any) -> Iterator[tuple[tuple[float, float, float], int]]:
        count = self.columns.shape[0]
        hours = np.round(np.broadcast_to(self.outcome.figures["labor", "plan"], len(self))[places], 6)
        mends = 2.0 ** np.arange(count - 1, -1, -1) @ self.columns[:, places] if count else np.zeros(len(places))
        keys = losses[places], hours, -mends
        for i in np.lexsort(keys[::-1]):
            yield (float(keys[0][i]), float(keys[1][i]), float(keys[2][i])), int(places[i])

    def only(self, places: Any) -> Plans:
        """The plans at some places; what was computed for them is kept."""
        outcome = self.outcome.under(_Kept(self.outcome.figures, places, len(self)))
        for key, value in self.outcome.kept.items():
            if not _is_column(value, len(self)):
                outcome.kept[key] = value
            elif key in self.rules.frontier:
                outcome.kept[key] = value[places]
        decided = {i: v[places] if _is_column(v, len(self)) else v for i, v in self._decided.items()}
        return Plans(self.rules, outcome, self.columns[:, places], decided)

    def trim(self) -> None:
        """Compute what the rules and the profit need at any offer, and forget the rest."""
        self.meets(Decimal(0), self.rules.tried)
        self.profit(Decimal(0))
        kept = self.outcome.kept
        self.outcome.kept = {k: v for k, v in kept.items() if k in self.rules.frontier or not _is_column(v, len(self))}


def every_plan(
    rules: Rules, outcome: Outcome, repairs: Repairs, tried: Sequence[int], base: int = 0
) -> Iterator[Plans]:
    """All ways to decide the repairs in `tried`, the others as in `base`, block by block."""
    inner, outer = tried[:_CHUNK], tried[_CHUNK:]
    numbers = np.arange(1 << len(inner), dtype=np.int64)
    for high in range(1 << len(outer)):
        columns = np.empty((len(repairs.optional), len(numbers)), dtype=bool)
        columns[:] = np.array([bool(base >> i & 1) for i in range(len(repairs.optional))], dtype=bool)[:, None]
        for at, i in enumerate(inner):
            columns[i] = numbers >> at & 1
        for at, i in enumerate(outer):
            columns[i] = bool(high >> at & 1)
        yield _block(rules, outcome, repairs, columns)


def plans_of(rules: Rules, outcome: Outcome, repairs: Repairs, plans: Sequence[int]) -> Plans:
    """The plans of a list."""
    columns = np.array([[bool(p >> i & 1) for p in plans] for i in range(len(repairs.optional))], dtype=bool)
    return _block(rules, outcome, repairs, columns.reshape(len(repairs.optional), len(plans)))


def _block(rules: Rules, outcome: Outcome, repairs: Repairs, columns: Any) -> Plans:
    return Plans(rules, outcome.under(_Figures(repairs, columns)), columns)


def _is_column(value: Any, count: int) -> bool:
    return isinstance(value, np.ndarray) and value.shape == (count,)


class _Kept(dict[tuple[str, core.End], Any]):
    """Some columns of other figures."""

    def __init__(self, whole: dict[tuple[str, core.End], Any], places: Any, count: int) -> None:
        super().__init__()
        self._whole, self._places, self._count = whole, places, count

    def __missing__(self, key: tuple[str, core.End]) -> Any:
        value = self._whole[key]
        found = self[key] = value[self._places] if _is_column(value, self._count) else value
        return found


class _Figures(dict[tuple[str, core.End], Any]):
    """The figures of a block of plans, each computed when it is first asked for."""

    def __init__(self, repairs: Repairs, columns: Any) -> None:
        super().__init__()
        self._repairs, self._columns = repairs, columns
        self._row = {h.index: i for i, h in enumerate(repairs.optional)}

    def __missing__(self, key: tuple[str, core.End]) -> Any:
        figure, end = key
        found = self[key] = self._make(figure, _ENDS.index(end))
        return found

    def _make(self, figure: str, end: int) -> Any:
        match figure:
            case "parts" | "shop":
                return self._sum(lambda h: getattr(h, figure)[end], mended=True)
            case "labor":
                return self._labor(end)
            case "wait":
                return self._longest(end)
            case "kept_resale":
                return self._share(lambda h: h.fault.falls)
            case "kept_buyers":
                return self._share(lambda h: h.fault.buyers)
            case "lost_resale":
                return self._sum(lambda h: h.fault.drop * h.chance, mended=False)
            case "added_days":
                return self._sum(lambda h: h.fault.days * h.chance, mended=False)
        # Any other figure does not stand on what is mended.
        return float(self._repairs.totals(0)[FIGURES.index(figure)][end])

    @property
    def _count(self) -> int:
        return int(self._columns.shape[1])

    def _sum(self, value: Callable[[Any], Decimal], *, mended: bool) -> Any:
        total = np.zeros(self._count)
        for held in self._repairs.weighted:
            amount = float(value(held))
            if not amount:
                continue
            if held.optional:
                row = self._columns[self._row[held.index]]
                total += amount * (row if mended else ~row)
            elif mended:
                total += amount
        return total

    def _longest(self, end: int) -> Any:
        longest = np.zeros(self._count)
        for held in self._repairs.weighted:
            days = float(held.wait[end])
            if days:
                row = self._columns[self._row[held.index]] if held.optional else True
                np.maximum(longest, days * row, out=longest)
        return longest

    def _share(self, fall: Callable[[Any], Decimal]) -> Any:
        kept = np.ones(self._count)
        for held in self._repairs.optional:
            by = float(fall(held) * held.chance)
            if by:
                kept *= np.where(self._columns[self._row[held.index]], 1.0, 1.0 - by)
        return kept

    def _labor(self, end: int) -> Any:
        total = np.zeros(self._count)
        for group in self._repairs.groups:
            hours = [float(self._repairs.weighted[i].labor[end]) for i in group]
            rows = [self._mended(i) for i in group]
            if len(group) == 1:
                total += hours[0] * rows[0]
            elif all(j in self._repairs.partners[i] for i in group for j in group if i != j):
                total += _shared(hours, rows)
            else:
                total += self._linked(group, hours, rows)
        return total

    def _mended(self, at: int) -> Any:
        held = self._repairs.held[at]
        return self._columns[self._row[held.index]] if held.optional else np.ones(self._count, dtype=bool)

    def _linked(self, group: Sequence[int], hours: list[float], rows: list[Any]) -> Any:
        """Labor where jobs hang together through others: those that a plan mends fall into parts by themselves."""
        parts = [np.where(row, i, -1) for i, row in enumerate(rows)]
        links = [
            (a, b) for a, i in enumerate(group) for b, j in enumerate(group) if a < b and j in self._repairs.partners[i]
        ]
        for _ in group:
            before = [p.copy() for p in parts]
            for a, b in links:
                both, least = rows[a] & rows[b], np.minimum(parts[a], parts[b])
                parts[a], parts[b] = np.where(both, least, parts[a]), np.where(both, least, parts[b])
            if all(np.array_equal(x, y) for x, y in zip(before, parts, strict=True)):
                break
        total = np.zeros(self._count)
        for part in range(len(group)):
            total += _shared(hours, [p == part for p in parts])
        return total


def _shared(hours: list[float], rows: list[Any]) -> Any:
    """The labor of jobs done together: the largest whole, the others at their share."""
    worked = [h * row for h, row in zip(hours, rows, strict=True)]
    total, most = worked[0].copy(), worked[0].copy()
    for one in worked[1:]:
        total += one
        np.maximum(most, one, out=most)
    return most + float(SHARED) * (total - most)


def _margin(sampled: Sampled, node: core.Core, outcome: Outcome) -> Any:
    """By how much a condition holds, as a share of its sides; negative where it fails."""
    match node:
        case core.Compare(op=op, left=left, right=right) if op != "is":
            a, b = sampled.value(left, outcome), sampled.value(right, outcome)
            gap = (a - b if op in (">=", ">") else b - a) / (1.0 + np.abs(a) + np.abs(b))
            return np.where(np.isnan(gap), -np.inf, gap)
        case core.All(args=args) | core.Any(args=args):
            margins = np.broadcast_arrays(*(_margin(sampled, a, outcome) for a in args))
            return (np.minimum if isinstance(node, core.All) else np.maximum).reduce(margins)
        case core.Not(operand=operand):
            return -_margin(sampled, operand, outcome)
        case core.Ref(kind="let", name=name, end="plan"):
            return _margin(sampled, sampled.program.lets[name].value, outcome)
    return np.where(sampled.value(node, outcome), np.inf, -np.inf)
