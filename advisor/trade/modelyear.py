"""Which model years can be meant, and how several are told.

In: a number somebody named as a model year. Out: the same number, or `Unanswerable`.
"""

from __future__ import annotations

from collections.abc import Iterable

from advisor.trade.fact import Unanswerable

__all__ = ["a_model_year", "either"]

_FIRST, _LAST = 1886, 2099
"""From the first cars to the end of this century: outside of it a year is a slip of the finger."""


def a_model_year(year: int) -> int:
    """The model year, if a car can have it; else raises `Unanswerable`."""
    if not _FIRST <= year <= _LAST:
        raise Unanswerable(f"`{year}` is no model year: write all four digits, such as 1989")
    return year


def either(told: Iterable[object]) -> str:
    """Several possibilities as a reader would say them: `1979, 1989 or 1999`."""
    *rest, last = map(str, told)
    return f"{', '.join(rest)} or {last}" if rest else last
