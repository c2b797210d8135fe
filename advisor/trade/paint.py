"""Paint thickness: which panels stand out from the rest of the same car.

In: one reading for each panel, in micrometers. Out: how many stand out, for rules; which ones, as a `Fact`. There is
no number that factory paint has, so the car is compared with its own median.
"""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal

from attrs import frozen

from advisor.trade.fact import Cited, Fact, Unanswerable
from advisor.trade.figures import counted, listed, number

__all__ = ["FEWEST_READINGS", "Spread", "paint_fact", "paint_standing_out", "spread"]

FEWEST_READINGS = 5
"""With fewer there is no middle to stand out from."""
_MAD_OF_NORMAL = Decimal("0.6745")
_OUTLIER = Decimal("3.5")
_LEAST_DEVIATION = Decimal(5)
"""Micrometers. What a gauge and a steady hand differ by: where the readings agree more closely than that, or are all
the same, a difference is measured against this and nothing is divided by zero."""
_MIL = Decimal("25.4")
_MOST = Decimal(5000)

_SCORE = Cited("modified z-score beyond 3.5, Iglewicz and Hoaglin, How to Detect and Handle Outliers, 1993", "quoted")
_FLOOR = Cited(f"{_LEAST_DEVIATION} um as the least spread, and {FEWEST_READINGS} readings at least", "house figure")
_NO_NUMBER = (
    "No standard says how thick factory paint is, and this says nothing about the car as a whole: if most of it was "
    "painted again, the panels that were not stand out."
)
_THICK = "Thick may be new paint, filler or a second coat from the factory: look at the edges, and ask."
_THIN = "Thin may be paint polished through, or a panel of another kind."
_METAL = "A gauge for steel reads no aluminum, and none reads plastic or fiberglass: leave those panels out."


@frozen
class Spread:
    """The middle of the readings, how far they stray from it, and a score for each."""

    median: Decimal
    deviation: Decimal
    """Median absolute deviation."""
    scores: tuple[Decimal, ...]
    floored: bool
    """Whether the least spread was used in place of theirs."""

    @property
    def high(self) -> tuple[int, ...]:
        """Which readings stand out above, counted from 1."""
        return tuple(i for i, z in enumerate(self.scores, 1) if z > _OUTLIER)

    @property
    def low(self) -> tuple[int, ...]:
        """Which stand out below."""
        return tuple(i for i, z in enumerate(self.scores, 1) if z < -_OUTLIER)


def spread(readings: Sequence[Decimal]) -> Spread:
    """Modified z-scores, 0.6745 (x - median) / MAD, of at least one reading in micrometers."""
    middle = _median(readings)
    mad = _median([abs(r - middle) for r in readings])
    least = _LEAST_DEVIATION * _MAD_OF_NORMAL
    scores = tuple(_MAD_OF_NORMAL * (r - middle) / max(mad, least) for r in readings)
    return Spread(middle, mad, scores, mad < least)


def _median(values: Sequence[Decimal]) -> Decimal:
    ordered = sorted(values)
    half = len(ordered) // 2
    return ordered[half] if len(ordered) % 2 else (ordered[half - 1] + ordered[half]) / 2


def paint_standing_out(readings: Sequence[Decimal]) -> Decimal | None:
    """How many readings stand out from the car's own median, high or low; None for fewer than five."""
    if len(readings) < FEWEST_READINGS:
        return None
    found = spread(readings)
    return Decimal(len(found.high) + len(found.low))


def paint_fact(readings: Sequence[Decimal]) -> Fact:
    """Which readings, in micrometers, stand out; raises `Unanswerable` for too few or for what is no paint."""
    if len(readings) < FEWEST_READINGS:
        raise Unanswerable(
            f"{counted(len(readings), 'reading')} cannot tell what is usual for this car: take one on each metal "
            f"panel, {FEWEST_READINGS} at least"
        )
    if not all(0 <= r <= _MOST for r in readings):
        raise Unanswerable("paint reads from 0 to 5,000 um (197 mil): check the gauge, and leave out panels of plastic")
    found = spread(readings)
    return Fact(
        _told(readings, found),
        {
            "standing_out": len(found.high) + len(found.low),
            "high": tuple(readings[i - 1] for i in found.high),
            "low": tuple(readings[i - 1] for i in found.low),
            "high_places": found.high,
            "low_places": found.low,
            "median_um": found.median,
            "deviation_um": found.deviation,
            "least_spread_used": found.floored,
            "scores": tuple(z.quantize(Decimal("0.01")) for z in found.scores),
        },
        (_SCORE, _FLOOR),
        (_NO_NUMBER, *[_THICK] * bool(found.high), *[_THIN] * bool(found.low), _METAL),
    )


def _told(readings: Sequence[Decimal], found: Spread) -> str:
    middle = f"this car's own median of {_thickness(found.median)}"
    if not found.high and not found.low:
        return f"None of {len(readings)} readings stands out from {middle}."
    count = len(found.high) + len(found.low)
    parts = []
    for places, word in ((found.high, "thick"), (found.low, "thin")):
        if places:
            shown = listed([f"{_thickness(readings[i - 1])} (reading {i})" for i in places])
            parts.append(f"{shown}, {word}")
    stand = "stands" if count == 1 else "stand"
    return f"{count} of {len(readings)} readings {stand} out from {middle}: {'; '.join(parts)}."


def _thickness(value: Decimal) -> str:
    return f"{number(value, 1)} um ({number(value / _MIL, 1)} mil)"
