"""Numbers and units as keyboards, gauges and hurried people write them, and as the language does.

In: a piece of text such as `1.2k`, `2.4 mm`, `195 °F`, `3/32"`, `141k miles`. Out: the same as a rule file would have
it: `1,200`, `3/32 in`. What it does not know it leaves as it is, for the reading of values to complain about.
"""

from __future__ import annotations

import re
from decimal import Decimal

from advisor.language.units import ALIASES, UNITS

__all__ = ["ELSEWHERE", "spelled"]

_SIGNS = {"°F": "degF", "°C": "degC", "µm": "um", "μm": "um", '"': "in", "″": "in"}

ELSEWHERE = {
    "inch": "in", "inches": "in", "foot": "in", "hour": "h", "hours": "h", "hr": "h", "hrs": "h", "minute": "min",
    "minutes": "min", "mins": "min", "d": "day", "wk": "week", "wks": "week", "yr": "year", "yrs": "year", "mile": "mi",
    "miles": "mi", "k": "mi", "kms": "km", "kilometers": "km", "kilometres": "km", "millimeters": "mm",
    "millimetres": "mm", "mils": "mil", "microns": "um", "volt": "V", "volts": "V", "v": "V", "f": "degF", "c": "degC",
    "liter": "l", "liters": "l", "litre": "l", "litres": "l", "gallon": "gal", "gallons": "gal",
}  # fmt: skip
"""How units are written elsewhere, in small letters, and here."""

_THOUSANDS = re.compile(r"(?<![\w.,/])(\d{1,6}(?:\.\d{1,3})?) ?[kK](?![\w/])", re.ASCII)
_UNIT = re.compile(r"(?<=[\d ])([A-Za-z]+)(?=\s*(?:\Z|,|;|\.\.))", re.ASCII)


def spelled(text: str) -> str:
    """The text with signs and words for units as the language spells them, and `k` as a thousand."""
    for sign, unit in _SIGNS.items():
        text = text.replace(sign, f" {unit}")
    text = _THOUSANDS.sub(lambda m: f"{(Decimal(m[1]) * 1000).normalize():,f}", text.replace("$ ", "$"))
    return _UNIT.sub(lambda m: _unit(m[1]), text)


def _unit(word: str) -> str:
    if word in UNITS or word in ALIASES:
        return word
    return ELSEWHERE.get(word.lower(), word) if word.lower() not in ("foot", "k") else word
