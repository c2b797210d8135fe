"""Functions of the trade over arrays of outcomes.

In: a call, and the sampled reading's functions of its arguments. Out: such a function of the call: each outcome is
worked out by itself, without a value where the trade has none (a NaN, with which no comparison holds). A choice is the
place of its word, as everywhere in that reading.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import date
from decimal import Decimal
from typing import Any

import numpy as np

from advisor.language import core
from advisor.language.types import Choice, DateType, Type, Value, YesNo
from advisor.readings.called import trade

__all__ = ["as_stored", "traded"]

_DIGITS = 14
"""Of so many digits a float is sure; what is behind them is noise."""


def as_stored(value: Any, type_: Type) -> Value | None:
    """A value of the sampled reading as the exact one has it; None for what is missing, or without bounds."""
    match type_:
        case DateType():
            return date.fromordinal(int(value))
        case YesNo():
            return bool(value)
        case Choice(options):
            return value if isinstance(value, str) else options[int(value)]
    if isinstance(value, str | tuple):
        return value
    return Decimal(f"{float(value):.{_DIGITS}g}") if np.isfinite(value) else None


def traded(node: core.TradeCall, made: Sequence[Callable[[Any], Any]]) -> Callable[[Any], Any]:
    """The function of outcomes that a call is."""

    def one(values: Sequence[Any]) -> Any:
        stored = [as_stored(v, a.type) for v, a in zip(values, node.args, strict=True)]
        found = None if None in stored else trade(node.name, *stored)
        match node.type:
            case YesNo():
                return bool(found)
            case Choice(options) if found is not None:
                return float(options.index(str(found)))
        return float(found) if isinstance(found, Decimal) else float("nan")

    def over(outcome: Any) -> Any:
        values = [m(outcome) for m in made]
        arrays = [v for v in values if isinstance(v, np.ndarray)]
        if not arrays:
            return one(values)
        count = np.broadcast(*arrays).size
        columns = [v if isinstance(v, np.ndarray) else [v] * count for v in values]
        return np.array([one(row) for row in zip(*columns, strict=True)])

    return over
