"""Functions of the trade over stored values, and over what they can be while something is open.

In: values in the stored grain, or for each argument what it can be: a `Reach`. Out: a stored value, or what can come
out: ends, whether a condition can hold and can fail, or a bit mask of a choice. Sound: where the results cannot be
told one by one or by their ends, everything that the signature allows can come out.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterable
from datetime import date, timedelta
from decimal import Decimal, localcontext
from functools import lru_cache
from math import prod
from typing import Any

from advisor.language.signatures import TRADE, Signature, factor_of
from advisor.language.stored import near, scaled
from advisor.language.types import EXACT, Choice, ListOf, Quantity, Type, Value, YesNo
from advisor.trade.called import CALLED

__all__ = ["Reach", "trade", "trade_mask", "trade_range", "trade_truth"]

Reach = tuple[Any, ...]
"""What an argument can be: ("ends", low, high) of a number or a day, ("whole", low, high) of a whole number, ("truth",
can hold, can fail), ("mask", options, mask), or ("value", value) of a code or a list, where None is any value."""
MaybePair = tuple[Decimal | None, Decimal | None]

_MOST = 64
"""So many combinations of arguments are tried one by one."""


@lru_cache(maxsize=4096)
def trade(name: str, *args: Value) -> Value | None:
    """A function of the trade, stored values in and out. None where there is none; a condition without one is no."""
    signature = TRADE[name]
    plain = [_plain(a, t) for a, t in zip(args, signature.types(len(args)), strict=True)]
    with localcontext(EXACT):
        found = CALLED[name](*plain)
    match signature.gives:
        case YesNo():
            return bool(found)
        case Choice():
            assert isinstance(found, str)
            return found
    return None if found is None else near(scaled(Decimal(found), factor_of(signature.gives)))


def _plain(value: Value, type_: Type) -> Any:
    """A stored value in the unit of a signature."""
    if isinstance(type_, ListOf):
        assert isinstance(value, tuple)
        return tuple(_plain(v, type_.item) for v in value)
    if isinstance(type_, Quantity):
        assert isinstance(value, Decimal)
        factor = factor_of(type_)
        return value if factor == 1 else near(scaled(value, 1 / factor))
    return value


def trade_range(name: str, *reaches: Reach) -> MaybePair:
    """The lowest and the highest number that can come out; (None, None) where there surely is none."""
    signature = TRADE[name]
    found, each = _results(name, signature, reaches)
    low, high = signature.ends
    if not found or (None in found and len(found) > 1):
        return low, high
    if None in found:
        return (None, None) if each else (low, high)
    slack = Decimal(0) if each else scaled(signature.slack, factor_of(signature.gives))
    return max(low, min(found) - slack), min(high, max(found) + slack)


def trade_truth(name: str, *reaches: Reach) -> tuple[bool, bool]:
    """Whether a condition can hold, and whether it can fail."""
    found, _ = _results(name, TRADE[name], reaches)
    return (True in found, False in found) if found else (True, True)


def trade_mask(name: str, *reaches: Reach) -> int:
    """The words of a choice that can come out, as a bit mask."""
    options = TRADE[name].gives.options  # type: ignore[union-attr]  # the caller has seen that it is a choice
    found, each = _results(name, TRADE[name], reaches)
    places = [options.index(word) for word in found] or [0, len(options) - 1]
    if not found or not each:  # what lies between can come too
        places = list(range(min(places), max(places) + 1))
    return sum(1 << place for place in set(places))


def _results(name: str, signature: Signature, reaches: Iterable[Reach]) -> tuple[set[Any], bool]:
    """What comes out of some arguments, and whether that is all: else whatever lies between. Nothing for anything."""
    reaches = list(reaches)
    values = [_values(r) for r in reaches]
    each = all(v is not None for v in values)
    if not each or prod(len(v) for v in values if v is not None) > _MOST:
        if not signature.orderly:
            return set(), False
        values, each = [_ends(r) for r in reaches], False
    tried = [v for v in values if v is not None]
    if len(tried) < len(values) or prod(map(len, tried)) > _MOST:
        return set(), False
    return {trade(name, *one) for one in itertools.product(*tried)}, each


def _values(reach: Reach) -> tuple[Any, ...] | None:
    """Every value that an argument can have; None for too many."""
    match reach:
        case ("ends" | "whole", low, high) if low == high:
            return (low,)
        case ("ends", date() as low, date() as high) if (high - low).days < _MOST:
            return tuple(low + timedelta(days=n) for n in range((high - low).days + 1))
        case ("whole", low, high) if high - low < _MOST:
            return tuple(Decimal(n) for n in range(int(low), int(high) + 1))
        case ("truth", can, fail):
            return tuple(v for v, there in ((True, can), (False, fail)) if there)
        case ("mask", options, mask):
            return tuple(o for i, o in enumerate(options) if mask >> i & 1)
        case ("value", value) if value is not None:
            return (value,)
    return None


def _ends(reach: Reach) -> tuple[Any, ...] | None:
    """The ends of what has an order; every word of a choice, which may have none."""
    match reach:
        case ("ends" | "whole", low, high):
            return (low,) if low == high else (low, high)
    return _values(reach)
