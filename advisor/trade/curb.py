"""Prices as they are named at the car."""

from __future__ import annotations

from decimal import ROUND_FLOOR, Decimal

__all__ = ["curb_price"]


def curb_price(value: Decimal) -> Decimal:
    """A ceiling as it is named at the car: rounded down to 50, or to 25 under 1,500. House figures."""
    step = Decimal(25) if value < 1500 else Decimal(50)
    return (value / step).to_integral_value(rounding=ROUND_FLOOR) * step
