"""The grid of an appraiser: one comparable brought step by step to the car in question, in money.

In: a price and what each step multiplies it by. Out: adjustments to the cent that add up. Where the comparable is
worse than the car, money is added; where it is better, money is taken off.
"""

from __future__ import annotations

import math
from datetime import date
from decimal import ROUND_HALF_EVEN, Context, Decimal

from advisor.trade.market import Comparable, Market

__all__ = ["Steps", "cents", "in_money", "is_bound", "known_steps"]

Steps = tuple[tuple[str, float], ...]
"""Adjustments by name, in logs of the price."""

_CENT = Decimal("0.01")
_WIDE = Context(prec=60, rounding=ROUND_HALF_EVEN)
_FARTHEST = 30.0
"""The largest log of an adjusted price; beyond ten million million nothing is a price, and floats stay finite."""
_MONTH = 365.2425 / 12
"""Days in a mean Gregorian month."""


def cents(log: float) -> Decimal:
    """A log price as money."""
    return Decimal(math.exp(max(-_FARTHEST, min(_FARTHEST, log)))).quantize(_CENT, context=_WIDE)


def in_money(price: Decimal, steps: Steps) -> tuple[tuple[tuple[str, Decimal], ...], Decimal]:
    """Steps in logs, one after another, as money; and where they lead."""
    at, before = math.log(price), price
    found = []
    for name, log in steps:
        at += log
        # A step that does nothing leaves the price as it is written, whatever rounding a log brings.
        after = cents(at) if log else before
        found.append((name, after - before))
        before = after
    return tuple(found), before


def known_steps(c: Comparable, on: date | None, market: Market) -> tuple[Steps, Steps, tuple[str, ...]]:
    """The steps that the market's figures tell without any other comparable: those of the sale, those of the car, and
    what had to be left out because it is not known."""
    left_out = []
    sale = [("sold", math.log(_paid(c, market)))]
    if market.drift:
        known = c.day is not None and on is not None
        left_out += [] if known else ["date"]
        months = (on - c.day).days / _MONTH if c.day and on else 0.0
        sale.append(("date", months * math.log1p(float(market.drift))))
    worth = {"rough": market.rough, "fair": market.fair, "good": Decimal(1), "excellent": market.excellent}
    left_out += [] if c.condition in worth else ["condition"]
    car = [
        ("condition", -math.log(worth.get(c.condition, Decimal(1)))),
        ("title", -math.log(market.branded) if c.title not in ("", "clean") else 0.0),
    ]
    return tuple(sale), tuple(car), tuple(left_out)


def _paid(c: Comparable, market: Market) -> Decimal:
    """What a private sale brings for each dollar of this price."""
    if c.kind == "sold":
        # A dealer's buyer talks him down as far as a private seller's does; what is left is the dealer's own part.
        return {"auction": market.auction, "dealer": market.dealer / market.private}.get(c.seller, Decimal(1))
    return market.dealer if c.seller == "dealer" else market.private


def is_bound(c: Comparable, on: date | None, market: Market) -> bool:
    """Whether it is an asking price that has stood so long that nobody pays it."""
    if c.kind == "sold" or c.gone:
        return False
    days = c.days
    if days is None and c.gone is False and c.day and on:
        days = (on - c.day).days  # it is still there, so it has stood since then at least
    return days is not None and days > market.stands
