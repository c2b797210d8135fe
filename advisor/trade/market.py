"""What is said of cars like this one, what the market does to their prices, and what comes of it: the values only.

In: nothing. Out: the classes `Comparable`, `Market`, `Line` and `Valuation`, which `comparables.py` fills.
"""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import Literal

from attrs import Attribute, field, frozen

__all__ = ["CONDITIONS", "Comparable", "Line", "Market", "Valuation"]

CONDITIONS = ("rough", "fair", "good", "excellent")
"""The words for the condition of a comparable, from worst to best; prices are brought to `good`."""


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


def _above_zero(_: object, attribute: Attribute[Decimal], value: Decimal) -> None:
    if not value > 0:
        raise ValueError(f"{attribute.name} must be above zero")


def _below_one(_: object, attribute: Attribute[Decimal], value: Decimal) -> None:
    if not -1 < value < 1:
        raise ValueError(f"{attribute.name} must lie between -100 % and 100 %")


@frozen
class Market:
    """The figures of the estimate, all of them the caller's: shares as numbers (93 % is 0.93), `stands` in days.

    `private` and `dealer` are what is really paid of a price asked by one; `auction` is what a private sale brings
    for each dollar an auction brought. `a_year` and `per_10k` are the shares of the price that a model year and
    10,000 miles take; the comparables correct them. `rough`, `fair` and `excellent` are shares of the price of a
    good one, `branded` that of a clean title. `spread` is how far like cars stray, one standard deviation as a
    share. `drift` is the share by which prices rise in a month.
    """

    private: Decimal = field(validator=_above_zero)
    dealer: Decimal = field(validator=_above_zero)
    auction: Decimal = field(validator=_above_zero)
    stands: Decimal
    a_year: Decimal = field(validator=_below_one)
    per_10k: Decimal = field(validator=_below_one)
    rough: Decimal = field(validator=_above_zero)
    fair: Decimal = field(validator=_above_zero)
    excellent: Decimal = field(validator=_above_zero)
    branded: Decimal = field(validator=_above_zero)
    spread: Decimal = field(validator=_above_zero)
    drift: Decimal = field(default=Decimal(0), validator=_below_one)


@frozen
class Line:
    """One comparable in the grid: each adjustment by name in money, in order, and the price they lead to.

    The price and all adjustments add up to `adjusted`, to the cent. `weight` is its share in the estimate; `used` is
    false where it says nothing about this car, and `remark` says why. `bound` is true for an asking price that has
    stood so long that it only says what the car does not bring. `set_aside` says what took it out of the estimate:
    a price that fits none of the others, the same car in another row, or no price to speak of.
    """

    comparable: Comparable
    adjustments: tuple[tuple[str, Decimal], ...]
    adjusted: Decimal
    weight: Decimal
    used: bool
    bound: bool
    remark: str
    set_aside: Literal["", "outlier", "same car", "no price"] = ""

    @property
    def net(self) -> Decimal:
        """The sum of the adjustments as a share of the price: an appraiser's net adjustment."""
        return sum((amount for _, amount in self.adjustments), Decimal(0)) / self.comparable.price

    @property
    def gross(self) -> Decimal:
        """The sum of their sizes, whatever their signs, as a share of the price: the gross adjustment."""
        return sum((abs(amount) for _, amount in self.adjustments), Decimal(0)) / self.comparable.price


@frozen
class Valuation:
    """Low, likely and high of what the car brings; None where no comparable can say. Low to high is an 80 % range.

    `lines` has one for each comparable, in the order they came in; `notes` are sentences for the reader.
    """

    low: Decimal | None
    likely: Decimal | None
    high: Decimal | None
    lines: tuple[Line, ...]
    notes: tuple[str, ...]
