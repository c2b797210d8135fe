"""Which rows are one car: listed twice, listed again at another price, or first asked for and then sold.

In: comparables. Out: for each that does not count, the one that counts in its place. Row numbers decide nothing.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Sequence
from datetime import date

from attrs import evolve

from advisor.trade.market import Comparable

__all__ = ["same_cars"]


def same_cars(comparables: Sequence[Comparable]) -> dict[int, int]:
    """By index: each comparable that is the same car as another, and the one that counts.

    Rows are one car if they say exactly the same; or if year, miles and note agree; or if year, miles and price do
    and at most one of them has a note. A sale counts before an asking price, and a later word before an earlier one.
    """
    leader = list(range(len(comparables)))

    def first(i: int) -> int:
        while leader[i] != i:
            i = leader[i]
        return i

    for group in _groups(comparables):
        for i in group[1:]:
            leader[first(i)] = first(group[0])
    cars: dict[int, list[int]] = {}
    for i in range(len(comparables)):
        cars.setdefault(first(i), []).append(i)
    found: dict[int, int] = {}
    for car in cars.values():
        if len(car) > 1:
            counts = max(car, key=lambda j: _last_word(comparables[j]))
            found |= {i: counts for i in car if i != counts}
    return found


def _groups(comparables: Sequence[Comparable]) -> Iterable[list[int]]:
    """Sets of rows that agree in one of the three ways."""
    by_words: dict[Hashable, list[int]] = {}
    by_price: dict[Hashable, list[int]] = {}
    for i, c in enumerate(comparables):
        by_words.setdefault(evolve(c, row=0), []).append(i)
        if c.year is None or c.miles is None:
            continue
        if c.note:
            by_words.setdefault((c.year, c.miles, c.note.casefold()), []).append(i)
        by_price.setdefault((c.year, c.miles, c.price), []).append(i)
    yield from by_words.values()
    for group in by_price.values():
        if len({comparables[i].note.casefold() for i in group} - {""}) <= 1:
            yield group


def _last_word(c: Comparable) -> tuple[bool, date, int, bool, float, str]:
    """What is the later state of one car sorts higher."""
    return (c.kind == "sold", c.day or date.min, c.days or 0, bool(c.gone), -float(c.price), repr(evolve(c, row=0)))
