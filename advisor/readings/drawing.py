"""Columns of outcomes: what an estimate comes to in each of N cases.

In: a seed, how many outcomes, and named estimates. Out: arrays. Each column holds the N midpoints of equal shares of
its distribution, one in each share, in an order of its own that depends on nothing but the seed and its name: so each
estimate alone is drawn with the least discrepancy there is, and a fault that is added reshuffles no other column.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import cached_property
from hashlib import blake2b
from typing import Any

import numpy as np
from attrs import define, field

from advisor.language.types import Estimate

__all__ = ["Columns"]

_GRID = 1025
"""Places at which the distribution function of a PERT is worked out; its inverse is then good to 1e-5 of its range."""


@define(slots=False)
class Columns:
    """The drawn columns of one seed; each is made when it is first asked for."""

    count: int
    seed: int
    _orders: dict[str, Any] = field(factory=dict)
    _shapes: dict[float, Any] = field(factory=dict)
    _drawn: dict[tuple[str, Estimate], Any] = field(factory=dict)
    _options: dict[tuple[str, tuple[float, ...]], Any] = field(factory=dict)

    def estimate(self, name: str, value: Estimate) -> Any:
        """The outcomes of an estimate, in the stored grain of its kind."""
        found = self._drawn.get((name, value))
        if found is None:
            low, likely, high = float(value.low), float(value.likely), float(value.high)
            if high <= low:
                found = np.full(self.count, low)
            else:
                found = low + (high - low) * self._shape((likely - low) / (high - low))[self._order(name)]
            self._drawn[name, value] = found
        return found

    def option(self, name: str, shares: Sequence[float]) -> Any:
        """The place of the answer that each outcome takes, where the answers come in these shares."""
        key = name, tuple(shares)
        if key not in self._options:
            edges = np.cumsum(np.asarray(shares, dtype=float))[:-1]
            self._options[key] = np.searchsorted(edges, (self._order(name) + 0.5) / self.count, side="right")
        return self._options[key]

    def _order(self, name: str) -> Any:
        """Which share of its distribution each outcome falls into: a shuffle of 0..N-1."""
        found = self._orders.get(name)
        if found is None:
            key = int.from_bytes(blake2b(f"{self.seed}/{name}".encode(), digest_size=8).digest(), "little")
            found = self._orders[name] = np.argsort(_scattered(np.uint64(key) + self._counter), kind="stable")
        return found

    @cached_property
    def _counter(self) -> Any:
        with np.errstate(over="ignore"):
            return np.arange(1, self.count + 1, dtype=np.uint64) * np.uint64(0x9E3779B97F4A7C15)

    def _shape(self, mode: float) -> Any:
        """The midpoints of N equal shares of a PERT on 0..1 with this mode, in order.

        A beta distribution with a = 1 + 4 mode and b = 1 + 4 (1 - mode); its function is summed over a grid that is
        dense at both ends, where the density rises steeply.
        """
        found = self._shapes.get(mode)
        if found is None:
            x = (1 - np.cos(np.linspace(0, np.pi, _GRID))) / 2
            middle = (x[1:] + x[:-1]) / 2
            mass = middle ** (4 * mode) * (1 - middle) ** (4 - 4 * mode) * np.diff(x)
            share = np.concatenate(([0.0], np.cumsum(mass)))
            found = np.interp((np.arange(self.count) + 0.5) / self.count, share / share[-1], x)
            # To a millionth of the range: what processors differ in lies far below it.
            found = self._shapes[mode] = np.round(found, 6)
        return found


def _scattered(keys: Any) -> Any:
    """Numbers of 64 bits, scattered (SplitMix64: Steele, Lea and Flood, OOPSLA 2014; constants from memory)."""
    with np.errstate(over="ignore"):
        keys = (keys ^ (keys >> np.uint64(30))) * np.uint64(0xBF58476D1CE4E5B9)
        keys = (keys ^ (keys >> np.uint64(27))) * np.uint64(0x94D049BB133111EB)
        return keys ^ (keys >> np.uint64(31))
