"""What the tests of the estimate share: a market, and cars to judge by."""

from __future__ import annotations

from decimal import Decimal

from advisor.trade.comparables import Comparable, Market

D = Decimal

MARKET = Market(
    private=D("0.93"),
    dealer=D("0.83"),
    auction=D("1.20"),
    stands=D(45),
    a_year=D("0.06"),
    per_10k=D("0.03"),
    rough=D("0.70"),
    fair=D("0.88"),
    excellent=D("1.10"),
    branded=D("0.70"),
    spread=D("0.15"),
)
"""Figures as a user might set them."""


def asked(price: object, year: int | None = 1993, miles: int | None = 141_000, **more: object) -> Comparable:
    """An asking price of a private seller."""
    return Comparable(D(str(price)), year=year, miles=None if miles is None else D(miles), **more)  # type: ignore[arg-type]  # the tests give each field its type
