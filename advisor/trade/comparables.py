"""What a car brings, from others like it that were asked for or sold.

In: comparables as people write them down, this car's year and miles, and the figures of the market. Out: a
`Valuation`: low, likely and high as an 80 % range, and the grid of adjustments behind it.
"""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import Literal

from attrs import frozen

__all__ = ["Comparable", "Line", "Valuation"]


@frozen
class Comparable:
    """One car like this one. Money in the currency of the rules; `row` is its line in the file it was read from."""

    price: Decimal
    kind: Literal["asked", "sold"] = "asked"
    day: date | None = None
    miles: Decimal | None = None
    year: int | None = None
    condition: str = ""
    seller: Literal["private", "dealer", "auction", ""] = ""
    days: int | None = None
    gone: bool | None = None
    title: str = ""
    note: str = ""
    row: int = 0


@frozen
class Line:
    """One comparable in the grid: each adjustment by name in money, in order, and the price they lead to.

    `weight` is its share in the estimate; `used` is false where it was set aside, `remark` says why.
    """

    comparable: Comparable
    adjustments: tuple[tuple[str, Decimal], ...]
    adjusted: Decimal
    weight: Decimal
    used: bool
    bound: bool
    remark: str


@frozen
class Valuation:
    """Low, likely and high of what the car brings; None where no comparable can say. Low to high is an 80 % range."""

    low: Decimal | None
    likely: Decimal | None
    high: Decimal | None
    lines: tuple[Line, ...]
    notes: tuple[str, ...]
