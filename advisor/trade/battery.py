"""A 12-volt lead-acid battery: how full it is, told from its voltage at rest.

In: the rested voltage and the battery's temperature. Out: a share of one for rules, a `Fact` for people.
"""

from __future__ import annotations

from decimal import ROUND_HALF_EVEN, Decimal
from itertools import pairwise

from advisor.trade.fact import Cited, Fact, Unanswerable
from advisor.trade.figures import celsius, number, percent

__all__ = ["battery_charge", "battery_fact"]

_TABLE = (
    (Decimal("11.7"), Decimal(0)),
    (Decimal("12.0"), Decimal("0.25")),
    (Decimal("12.2"), Decimal("0.50")),
    (Decimal("12.4"), Decimal("0.75")),
    (Decimal("12.6"), Decimal(1)),
)
"""Rested volts and charge. Army TM 5-3805-262-20, page 5-142; between its rows we draw a straight line."""
_RESTED_AT_MOST = Decimal(13)
"""No battery of this kind stands above it at rest: it is being charged, or was a moment ago (common practice)."""
_USUAL_DEGREES = Decimal(80)
_CELLS = 6
_WEIGHT_PER_DEGREE = Decimal("0.0004")
"""Specific gravity for each degree Fahrenheit from 80: 0.004 for 10 (a generator's manual)."""
_VOLTS_PER_DEGREE = _CELLS * _WEIGHT_PER_DEGREE
"""By V = 6 x (specific gravity + 0.845), which is recalled: 0.024 V for 10 degrees."""
_STEP = Decimal("0.0001")
_COLDEST, _HOTTEST = Decimal(-40), Decimal(160)
_MOST_CHARGING = Decimal("15.5")
_MOST_VOLTS = Decimal(18)

_ROWS = Cited("Army TM 5-3805-262-20, page 5-142", "published")
_LINE = Cited("between the table's rows a straight line", "house figure")
_OVER = Cited("above 13 V a battery is charging or has not rested", "common practice")
_RUNNING = Cited("13.8 to 14.7 V while the engine runs", "common practice")
_CEILING = Cited("a tractor's manual: no more than 15.5 V while charging", "quoted")
_WEIGHT = Cited("a generator's manual: 0.004 of specific gravity for 10 °F from 80 °F", "quoted")
_CARRIED = Cited("carried over to volts, 0.024 V for 10 °F, by V = 6 x (specific gravity + 0.845)", "from memory")
_RESTED = (
    "It holds for a battery at rest: engine off, headlights on for 15 seconds, off again, wait 3 minutes, then read at "
    "the posts."
)
_NO_LOAD = (
    "Charge is not health: a full battery may still fail to crank. Below 12.4 V charge it, then have it load-tested."
)
_KINDS = "It is a table for 12-volt batteries with liquid acid, not for sealed mats (AGM) or gel."
_GAS = "A battery gives off gas that explodes: no flame, no cigarette, goggles on, and take the clamps off with care."
_COOL = "The correction was made for a hydrometer, and volts may move less with cold: the figure is surest near 80 °F."


def battery_charge(volts: Decimal, fahrenheit: Decimal = _USUAL_DEGREES) -> Decimal | None:
    """How full the battery is, a share of one to 0.01 %, from rested volts and degrees Fahrenheit.

    None above 13 V as read, where nothing can be told: it is charging or has not rested.
    """
    if volts > _RESTED_AT_MOST:
        return None
    at = _at_usual_degrees(volts, fahrenheit)
    if at <= _TABLE[0][0]:
        return Decimal(0)
    for (low, below), (high, above) in pairwise(_TABLE):
        if at <= high:
            return (below + (above - below) * (at - low) / (high - low)).quantize(_STEP, rounding=ROUND_HALF_EVEN)
    return Decimal(1)


def _at_usual_degrees(volts: Decimal, fahrenheit: Decimal) -> Decimal:
    """What it would read at 80 °F: less if it is colder now, more if it is hotter."""
    return volts + _VOLTS_PER_DEGREE * (fahrenheit - _USUAL_DEGREES)


def battery_fact(volts: Decimal, fahrenheit: Decimal = _USUAL_DEGREES) -> Fact:
    """How full a battery is; raises `Unanswerable` for what no 12-volt battery in a car shows."""
    if not 0 <= volts <= _MOST_VOLTS:
        raise Unanswerable("a 12-volt battery reads from 0 to 18 V: set the meter to DC volts and read at the posts")
    if not _COLDEST <= fahrenheit <= _HOTTEST:
        raise Unanswerable("give the battery's temperature in degrees Fahrenheit, from -40 to 160 degF")
    charge, warmed = battery_charge(volts, fahrenheit), _at_usual_degrees(volts, fahrenheit)
    away = fahrenheit != _USUAL_DEGREES
    between = warmed not in dict(_TABLE) and _TABLE[0][0] < warmed < _TABLE[-1][0]
    return Fact(
        _told(volts, fahrenheit, charge, warmed),
        {
            "charge_percent": None if charge is None else (charge * 100).normalize() + 0,
            "volts": volts,
            "temperature_degF": fahrenheit,
            "volts_at_80_degF": None if charge is None else warmed,
            "state": _state(volts, charge),
        },
        ((_OVER, _RUNNING, _CEILING) if charge is None else (_ROWS, *[_LINE] * between, *[_WEIGHT, _CARRIED] * away)),
        (_RESTED, *[_COOL] * (away and charge is not None), _NO_LOAD, _KINDS, _GAS),
    )


def _state(volts: Decimal, charge: Decimal | None) -> str:
    if charge is None:
        return "not rested"
    return "empty" if charge == 0 else "full" if charge == 1 else "part charged"


def _told(volts: Decimal, fahrenheit: Decimal, charge: Decimal | None, warmed: Decimal) -> str:
    read = f"{number(volts, 2)} V"
    if charge is None:
        return (
            f"{read} tells no charge: above 13 V a battery is charging or has not rested. Switch the engine or "
            "charger off, rest it as told below, and read again. While the engine runs 13.8 to 14.7 V is usual"
            + ("; this is too much, and boils the battery." if volts > _MOST_CHARGING else ".")
        )
    if fahrenheit != _USUAL_DEGREES:
        read += f" at {number(fahrenheit, 0)} °F ({celsius(fahrenheit)} °C), which is {number(warmed, 3)} V at 80 °F,"
    if charge == 0:
        return f"{read} at rest means empty: charge it before you judge it, and ask why it ran down."
    if charge == 1:
        return f"{read} at rest means full."
    return f"{read} at rest means about {percent(charge)} charged."
