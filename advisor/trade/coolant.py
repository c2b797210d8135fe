"""Coolant: at what temperature a mix of water and ethylene glycol freezes.

In: the share of glycol by volume. Out: degrees Fahrenheit for rules, a `Fact` for people. Sources differ wildly above
60 %, where nothing is told.
"""

from __future__ import annotations

from decimal import ROUND_HALF_EVEN, Decimal

from advisor.trade.fact import Cited, Fact, Unanswerable
from advisor.trade.figures import celsius, number

__all__ = ["coolant_fact", "coolant_freezes"]

_MOST = Decimal("0.60")
_POINTS = ((Decimal(0), Decimal(32)), (Decimal("0.50"), Decimal(-34)), (Decimal("0.56"), Decimal(-50)))
"""Share of glycol and degrees Fahrenheit: water; half and half, where the sources agree; one maker's manual."""

_WATER = Cited("water freezes at 32 °F", "from memory")
_HALF = Cited("a maker's manual and others that agree: 50% freezes at -34 to -35 °F (-37 °C)", "quoted")
_MORE = Cited("a maker's manual: 56% freezes at -50 °F (-46 °C)", "quoted")
_CURVE = Cited("in between, the parabola through 0, 50 and 56%", "house figure")
_KIND = "It is for ethylene glycol, the common antifreeze; propylene glycol and coolants ready mixed have other tables."
_MAKER = "The mix that the engine's maker names comes first; half and half is the usual one, and water alone rusts it."
_TESTED = (
    "It tells when ice begins to form, not whether the coolant still keeps rust away or the system holds pressure."
)
_HOT = "Never open a hot radiator cap: it scalds. Antifreeze is sweet and poisonous; leave none where animals drink."


def coolant_freezes(glycol: Decimal) -> Decimal | None:
    """Degrees Fahrenheit, whole, at which a mix freezes; `glycol` is a share of one by volume.

    None above 60 %, where the sources differ, and below nothing. The curve is the parabola through the points that
    are published: freezing falls faster the more glycol there is, and a straight line would promise too much.
    """
    if not 0 <= glycol <= _MOST:
        return None
    (x0, y0), (x1, y1), (x2, y2) = _POINTS
    first, second = (y1 - y0) / (x1 - x0), (y2 - y1) / (x2 - x1)
    bend = (second - first) / (x2 - x0)
    at = y0 + first * (glycol - x0) + bend * (glycol - x0) * (glycol - x1)
    return at.quantize(Decimal(1), rounding=ROUND_HALF_EVEN)


def coolant_fact(glycol: Decimal) -> Fact:
    """When a mix freezes; `glycol` is a share of one. Raises `Unanswerable` outside 0 to 60 %."""
    if not 0 <= glycol <= 1:
        raise Unanswerable("give the share of antifreeze as a percentage, as `50%`")
    freezes = coolant_freezes(glycol)
    share = number(glycol * 100, 1)
    if freezes is None:
        raise Unanswerable(
            f"above 60% of antifreeze the sources differ, and {share}% has no figure: thin it with water until it is "
            "50 to 60%"
        )
    told = f"{share}% of ethylene glycol" if glycol else "Water alone"
    sources = {Decimal(0): (_WATER,), _POINTS[1][0]: (_HALF,), _POINTS[2][0]: (_MORE,)}
    return Fact(
        f"{told} freezes at about {freezes} °F ({celsius(freezes)} °C).",
        {"freezes_degF": freezes, "freezes_degC": celsius(freezes), "glycol_percent": (glycol * 100).normalize() + 0},
        sources.get(glycol, (_WATER, _HALF, _MORE, _CURVE)),
        (_KIND, _MAKER, _TESTED, _HOT),
    )
