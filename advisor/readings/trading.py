"""Functions of the trade over arrays of outcomes.

In: a call, and the sampled reading's functions of its arguments. Out: such a function of the call: each outcome is
worked out by itself, without a value where the trade has none (a NaN, with which no comparison holds).
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import date
from decimal import Decimal
from typing import Any

import numpy as np

from advisor.language import core
from advisor.language.types import DateType
from advisor.readings.arithmetic import trade
from advisor.readings.emitting import called_factors

__all__ = ["traded"]


def traded(node: core.TradeCall, made: Sequence[Callable[[Any], Any]]) -> Callable[[Any], Any]:
    """The function of outcomes that a call is."""
    dated = [isinstance(a.type, DateType) for a in node.args]
    factors = [float(f) for f in called_factors(node)]

    def one(values: Sequence[Any]) -> float:
        plain = [
            date.fromordinal(int(v)) if d else Decimal(repr(float(v) * f))
            for v, d, f in zip(values, dated, factors, strict=True)
        ]
        found = trade(node.name, *plain)
        return float(found) if isinstance(found, Decimal) else float("nan")

    def over(outcome: Any) -> Any:
        values = [m(outcome) for m in made]
        if not any(isinstance(v, np.ndarray) for v in values):
            return one(values)
        return np.array([one(row) for row in zip(*np.broadcast_arrays(*values), strict=True)])

    return over
