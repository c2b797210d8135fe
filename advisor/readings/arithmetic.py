"""The operations that generated code calls instead of spelling out.

Each has an exact form over values and, where it needs one, a form over closed ranges. Ranges stay sound because
rounding to 34 digits never changes the order of two numbers: what holds at the ends holds between them.
"""

from __future__ import annotations

import operator
from collections.abc import Callable, Sequence
from contextlib import AbstractContextManager
from datetime import date, timedelta
from decimal import Context, Decimal, localcontext
from functools import lru_cache

from advisor.language.intervals import Interval, compare_ranges
from advisor.language.program import SeasonDef, TableDef
from advisor.language.stored import DAY, day_gap, near, next_day, powered, rounded, shifted
from advisor.language.types import EXACT, MonthDay
from advisor.readings.called import trade, trade_mask, trade_range, trade_truth

__all__ = ["NUMBERS", "exact_arithmetic", "namespace"]


class _Numbers(dict[int, Decimal]):
    def __missing__(self, count: int) -> Decimal:
        found = self[count] = Decimal(count)
        return found


_COMPARISONS = {
    ">=": operator.ge, "<=": operator.le, ">": operator.gt, "<": operator.lt, "is": operator.eq,
}  # fmt: skip
NUMBERS = _Numbers()
"""Counts as decimals, each made once."""


def exact_arithmetic() -> AbstractContextManager[Context]:
    """The context in which generated code must run: 34 digits, half to even."""
    return localcontext(EXACT)


def median(readings: Sequence[Decimal]) -> Decimal:
    """The middle reading, or the mean of the two in the middle."""
    ordered = sorted(readings)
    middle = len(ordered) // 2
    if len(ordered) % 2:
        return ordered[middle]
    return (ordered[middle - 1] + ordered[middle]) / 2


def month_of(day: date) -> Decimal:
    """1 to 12."""
    return NUMBERS[day.month]


def in_window(day: date, window: tuple[MonthDay, MonthDay]) -> bool:
    """Whether a day lies in a window of the year, ends included; one that ends before it starts wraps round."""
    at, first, last = (day.month, day.day), (window[0].month, window[0].day), (window[1].month, window[1].day)
    return first <= at <= last if first <= last else at >= first or at <= last


@lru_cache(maxsize=4096)
def in_season(day: date, season: SeasonDef) -> bool:
    """Whether a day lies in any window of a season."""
    return any(in_window(day, w) for w in season.windows)


@lru_cache(maxsize=4096)
def days_to(edge: str, season: SeasonDef, day: date) -> Decimal:
    """Days until the season opens (0 while open), or until it has closed (0 while closed), in the stored grain."""
    wanted = edge == "open"
    for count in range(367):
        if day > date.max - timedelta(days=count) or in_season(day + timedelta(days=count), season) is wanted:
            return Decimal(count * DAY)
    return Decimal(366 * DAY)


def entries(table: TableDef) -> dict[str | int, Decimal]:
    """A table's entries by choice, or by the number of the month."""
    if table.by is None:
        return {i + 1: value for i, (_, value) in enumerate(table.entries)}
    return dict(table.entries)


# ---- over ranges -------------------------------------------------------------------------------------------------

Pair = tuple[Decimal, Decimal]
MaybePair = tuple[Decimal | None, Decimal | None]
"""The ends of a quantity that may be without a value, None where it surely is."""
Truth = tuple[bool, bool]


def corners(operation: Callable[[Decimal, Decimal], Decimal], a: Decimal, b: Decimal, c: Decimal, d: Decimal) -> Pair:
    """The range of an operation over [a, b] and [c, d] that is monotone in each."""
    ends = (operation(a, c), operation(a, d), operation(b, c), operation(b, d))
    return min(ends), max(ends)


def product(x: Decimal, y: Decimal) -> Decimal:
    """x * y."""
    return x * y


def quotient(x: Decimal, y: Decimal) -> Decimal:
    """x / y."""
    return x / y


def reduce_range(
    how: str, readings: Sequence[Decimal] | None, low: Decimal, high: Decimal, few: int, many: int
) -> Pair:
    """A list's lowest, highest, median or count: known readings, or none yet."""
    if readings is None:
        return (NUMBERS[few], NUMBERS[many]) if how == "count" else (low, high)
    value = {"lowest": min, "highest": max, "median": median, "count": lambda r: NUMBERS[len(r)]}[how](readings)  # type: ignore[operator]  # one of four
    return value, value


def look_up_mask(table: TableDef, options: Sequence[str], mask: int) -> Pair:
    """The range of a table over the choices still open."""
    known = dict(table.entries)
    values = [known[o] for i, o in enumerate(options) if mask >> i & 1]
    return min(values), max(values)


def months_between(first: date, last: date) -> set[int]:
    """The months that a range of days touches."""
    count = min((last.year - first.year) * 12 + last.month - first.month, 11)
    return {(first.month - 1 + i) % 12 + 1 for i in range(count + 1)}


def look_up_days(table: TableDef, first: date, last: date) -> Pair:
    """The range of a table by month over a range of days."""
    values = [table.entries[m - 1][1] for m in months_between(first, last)]
    return min(values), max(values)


def month_range(first: date, last: date) -> Pair:
    """The months of a range of days."""
    months = months_between(first, last)
    return NUMBERS[min(months)], NUMBERS[max(months)]


@lru_cache(maxsize=4096)
def season_range(season: SeasonDef, first: date, last: date) -> Truth:
    """Whether some day of a range can lie in a season, and some outside."""
    inside = outside = False
    for count in range(min((last - first).days, 366) + 1):
        if in_season(first + timedelta(days=count), season):
            inside = True
        else:
            outside = True
        if inside and outside:
            break
    return inside, outside


def days_to_range(edge: str, season: SeasonDef, first: date, last: date) -> Pair:
    """The days to a season's edge over a range of days."""
    if first == last:
        value = days_to(edge, season, first)
        return value, value
    return Decimal(0), Decimal(366 * DAY)


def compared(op: str, left: Decimal | None, right: Decimal | None) -> bool:
    """A comparison of two values, one of which may be missing: then it is no."""
    if left is None or right is None:
        return False
    return bool(_COMPARISONS[op](left, right))


def compared_ranges(op: str, left: MaybePair, right: MaybePair, lacking: tuple[bool, bool]) -> Truth:
    """The same over ranges. What may lack a value is (None, None) where it surely does, and may where it is open."""
    al, ah = left
    bl, bh = right
    if al is None or ah is None or bl is None or bh is None:
        return False, True
    found = compare_ranges(op, Interval(al, ah), Interval(bl, bh))
    return found.can_hold, found.can_fail or (lacking[0] and al != ah) or (lacking[1] and bl != bh)


def namespace() -> dict[str, object]:
    """The names that generated code may use."""
    return {
        "MonthDay": MonthDay,
        "next_day": next_day,
        "Decimal": Decimal, "date": date, "N": NUMBERS, "median": median, "month_of": month_of, "in_season": in_season,
        "near": near,
        "days_to": days_to, "rounded": rounded, "powered": powered, "day_gap": day_gap, "shifted": shifted,
        "corners": corners, "product": product, "quotient": quotient, "reduce_range": reduce_range,
        "look_up_mask": look_up_mask, "look_up_days": look_up_days, "month_range": month_range,
        "season_range": season_range, "days_to_range": days_to_range,
        "compared": compared, "compared_ranges": compared_ranges, "trade": trade, "trade_range": trade_range,
        "trade_truth": trade_truth, "trade_mask": trade_mask,
        "__builtins__": {"min": min, "max": max, "len": len},
    }  # fmt: skip
