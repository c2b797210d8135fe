"""How the sentences of a computed fact write figures: lengths in inches, shares, temperatures, lists.

In: exact decimals. Out: text in American English. A figure is never rounded so that it would seem to meet a limit that
it misses: shares that are compared are rounded down, and lengths keep three decimals.
"""

from __future__ import annotations

from collections.abc import Sequence
from decimal import ROUND_FLOOR, ROUND_HALF_EVEN, Decimal
from fractions import Fraction

__all__ = ["MM_PER_INCH", "celsius", "counted", "inches", "listed", "number", "percent", "thirty_seconds"]

MM_PER_INCH = Decimal("25.4")
"""Exact, by the international agreement of 1959."""
_FINEST = 64
"""Nobody reads a rule in smaller parts of an inch."""


def number(value: Decimal, places: int = 4) -> str:
    """A figure with as many decimals as it needs, `places` at most."""
    shown = value.quantize(Decimal(1).scaleb(-places), rounding=ROUND_HALF_EVEN)
    return f"{shown.normalize() + 0:,f}"


def percent(share: Decimal, places: int = 0) -> str:
    """A share of one as a percentage, rounded down."""
    return f"{number((share * 100).quantize(Decimal(1).scaleb(-places), rounding=ROUND_FLOOR), places)}%"


def inches(value: Decimal) -> str:
    """A length in inches: `2 1/4 in` where a rule has such a line, `2.1 in` where it has none."""
    whole, part = divmod(Fraction(value), 1)
    if value < 0 or part == 0 or _FINEST % part.denominator:
        return f"{number(value, 3)} in"
    return f"{whole} {part} in" if whole else f"{part} in"


def thirty_seconds(value: Decimal) -> str:
    """A length in inches as tread is told: `3/32 in`, `7.5/32 in`; rounded down."""
    return f"{number((value * 32).quantize(Decimal('0.01'), rounding=ROUND_FLOOR), 2)}/32 in"


def celsius(fahrenheit: Decimal) -> Decimal:
    """A temperature in degrees Celsius, to the degree."""
    return ((fahrenheit - 32) * 5 / 9).quantize(Decimal(1), rounding=ROUND_HALF_EVEN)


def counted(count: int, one: str, many: str = "") -> str:
    """`1 reading`, `7 readings`."""
    return f"{count} {one if count == 1 else many or one + 's'}"


def listed(words: Sequence[str], last: str = "and") -> str:
    """`150, 148, 152 and 110`."""
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} {last} {words[-1]}"
