"""A comparable on its way through the estimate.

In: comparables, this car and the market. Out: rows, which the stages of `comparables.py` fill in turn.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from datetime import date
from decimal import Decimal
from typing import Literal

from attrs import define

from advisor.trade.grid import Steps, is_bound, known_steps
from advisor.trade.market import Comparable, Market
from advisor.trade.samecar import same_cars

__all__ = ["NEAR_MILES", "NEAR_YEARS", "Row", "rows_of"]

NEAR_YEARS, NEAR_MILES = 2.0, 2.0
"""Model years and 10,000 miles within which cars are compared without a second thought: common practice. They
are the widths of the kernel by which near ones weigh more."""
_UNKNOWN = 1.0
"""How far apart two cars are taken to be, in those widths, where age or miles of one are not known."""


@define
class Row:
    """One comparable: where it stands from this car, in logs of the price, and what became of it.

    `older` and `more` are its model years and 10,000 miles beyond this car's, None where either is not known. `far` is
    the distance in the widths of `NEAR_YEARS` and `NEAR_MILES`. `log` is its price brought to a private sale, good
    condition and a clean title; `level` is that brought to this car's age and miles too. `share` is what it counts.
    """

    index: int
    comparable: Comparable
    twin: int | None
    sale: Steps
    car: Steps
    left_out: tuple[str, ...]
    bound: bool
    older: float | None
    more: float | None
    far: float
    log: float
    level: float = 0.0
    weight: float = 0.0
    share: float = 0.0
    outlier: bool = False

    @property
    def set_aside(self) -> Literal["", "outlier", "same car"]:
        """What took it out of the estimate, if anything did."""
        return "same car" if self.twin is not None else "outlier" if self.outlier else ""

    @property
    def near(self) -> bool:
        """Whether it is within both widths, as far as is known."""
        return abs(self.older or 0.0) <= NEAR_YEARS and abs(self.more or 0.0) <= NEAR_MILES

    @property
    def name(self) -> str:
        """How the reader finds it: by its line in the file, or by its place among the others."""
        return f"row {self.comparable.row}" if self.comparable.row else f"comparable {self.index + 1}"


def rows_of(
    comparables: Sequence[Comparable], year: int | None, miles: Decimal | None, on: date | None, market: Market
) -> list[Row]:
    """A row for each comparable that has a price, nearest first; their order in the file decides nothing."""
    priced = [i for i, c in enumerate(comparables) if c.price > 0]
    twins = {priced[i]: priced[j] for i, j in same_cars([comparables[i] for i in priced]).items()}
    rows = []
    for i in priced:
        c = comparables[i]
        sale, car, left_out = known_steps(c, on, market)
        older = float(year - c.year) if year is not None and c.year is not None else None
        more = float(c.miles - miles) / 10_000 if miles is not None and c.miles is not None else None
        left_out += ("year",) if year is not None and older is None else ()
        left_out += ("miles",) if miles is not None and more is None else ()
        far = math.hypot(_apart(older, NEAR_YEARS, year), _apart(more, NEAR_MILES, miles))
        log = math.log(c.price) + math.fsum(step for _, step in sale + car)
        rows.append(Row(i, c, twins.get(i), sale, car, left_out, is_bound(c, on, market), older, more, far, log))
    rows.sort(key=lambda r: (r.far, r.log, r.bound, r.comparable.note, r.comparable.row, r.index))
    return rows


def _apart(difference: float | None, width: float, this_car: object) -> float:
    """A difference in widths; nothing where this car has nothing to compare."""
    if this_car is None:
        return 0.0
    return _UNKNOWN if difference is None else abs(difference) / width
