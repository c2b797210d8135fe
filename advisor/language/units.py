"""Units and dimensions, and the exact grain in which quantities are stored.

Every quantity is stored as a decimal in a grain that its dimensions alone decide, never the way it was written:
for a dimension above the line the largest grain of which every unit is a whole multiple (a tenth of a micrometer
for lengths), for one below the line the smallest in which every unit is a whole number (seven years for calendar
time). So `$50/h`, `4/32 in`, `15 min` and `30 days` are all stored without rounding, and a comparison of two
quantities is a comparison of two exact decimals.

Labor and calendar time are two dimensions: `h` and `min` measure a person's work, `day`, `week`, `month` and
`year` the calendar. A year in a rate is 365 days; a month is a twelfth of it and converts to years only.

Sources: the yard is 0.9144 m and the pound 0.453 592 37 kg exactly (Federal Register 24 FR 5445, 1959, from
memory); the US gallon is 231 cubic inches; standard gravity is 9.806 65 m/s2 (from memory). The tests compare
every conversion with pint.
"""

from __future__ import annotations

from fractions import Fraction
from functools import cache
from math import gcd, lcm

from attrs import field, frozen

__all__ = [
    "ALIASES",
    "CURRENCIES",
    "DIMENSIONS",
    "UNITS",
    "Dims",
    "Unit",
    "describe_dims",
    "grain",
    "parse_unit",
    "temperature_from_fahrenheit",
    "temperature_to_fahrenheit",
    "unit_factor",
]

DIMENSIONS = ("money", "labor", "calendar", "length", "pressure", "voltage", "temperature", "volume")

Dims = tuple[int, ...]
"""Exponents in the order of `DIMENSIONS`; all zero is a plain number."""


@frozen
class Unit:
    """A named unit: its dimension and its size in the dimension's base unit."""

    name: str
    dimension: str
    size: Fraction
    plural: str = field(default="")


_INCH = Fraction(254, 10)
_PSI = Fraction("0.45359237") * Fraction("9.80665") / Fraction("0.0254") ** 2 / 1000
_YEAR = Fraction(365)

UNITS: dict[str, Unit] = {
    u.name: u
    for u in (
        Unit("$", "money", Fraction(1)),
        Unit("h", "labor", Fraction(60)),
        Unit("min", "labor", Fraction(1)),
        Unit("day", "calendar", Fraction(1), "days"),
        Unit("week", "calendar", Fraction(7), "weeks"),
        Unit("month", "calendar", _YEAR / 12, "months"),
        Unit("year", "calendar", _YEAR, "years"),
        Unit("mi", "length", _INCH * 63360),
        Unit("km", "length", Fraction(1_000_000)),
        Unit("in", "length", _INCH),
        Unit("mm", "length", Fraction(1)),
        Unit("mil", "length", _INCH / 1000),
        Unit("um", "length", Fraction(1, 1000)),
        Unit("psi", "pressure", _PSI),
        Unit("kPa", "pressure", Fraction(1)),
        Unit("bar", "pressure", Fraction(100)),
        Unit("V", "voltage", Fraction(1)),
        Unit("degF", "temperature", Fraction(1)),
        Unit("degC", "temperature", Fraction(1)),
        Unit("l", "volume", Fraction(1)),
        Unit("gal", "volume", Fraction("3.785411784")),
    )
}

ALIASES = {u.plural: u.name for u in UNITS.values() if u.plural} | {"hours": "h", "minutes": "min", "miles": "mi"}
CURRENCIES = {"USD": "$", "GBP": "£", "EUR": "€", "CAD": "$", "AUD": "$", "NZD": "$"}
"""Currencies a file may name, each with the sign its amounts are written with."""


_MOST_PARTS = 4
"""The most dimensions below the line of a unit as it is written."""


def parse_unit(text: str) -> tuple[str, ...] | None:
    """The parts of `mi/year` or `$/h` as canonical unit names, or None if one of them is no unit.

    The first part stands above the line, the others below it; money of any currency is `$`.
    """
    parts = []
    if text.count("/") > _MOST_PARTS:
        return None
    for part in text.split("/"):
        name = "$" if part in set(CURRENCIES.values()) else ALIASES.get(part, part)
        if name not in UNITS:
            return None
        parts.append(name)
    return tuple(parts)


def unit_dims(parts: tuple[str, ...]) -> Dims:
    """The dimensions of a parsed unit."""
    exponents = [0] * len(DIMENSIONS)
    for i, part in enumerate(parts):
        exponents[DIMENSIONS.index(UNITS[part].dimension)] += 1 if i == 0 else -1
    return tuple(exponents)


@cache
def _grains(dimension: str) -> tuple[Fraction, Fraction]:
    """The grain of a dimension above and below the line, in its base unit."""
    sizes = [u.size for u in UNITS.values() if u.dimension == dimension]
    if dimension == "money":
        return Fraction(1), Fraction(1)
    above = Fraction(gcd(*(s.numerator for s in sizes)), lcm(*(s.denominator for s in sizes)))
    below = Fraction(lcm(*(s.numerator for s in sizes)), gcd(*(s.denominator for s in sizes)))
    return above, below


@cache
def grain(dims: Dims) -> Fraction:
    """How large the number 1 is in base units when a quantity of these dimensions is stored."""
    size = Fraction(1)
    for dimension, exponent in zip(DIMENSIONS, dims, strict=True):
        above, below = _grains(dimension)
        if exponent > 0:
            size *= above**exponent
        elif exponent < 0:
            size /= below**-exponent
    return size


@cache
def unit_factor(parts: tuple[str, ...]) -> Fraction:
    """What a number in this unit is multiplied by to be stored. Not for temperatures, which are offset."""
    size = Fraction(1)
    for i, part in enumerate(parts):
        size = size * UNITS[part].size if i == 0 else size / UNITS[part].size
    return size / grain(unit_dims(parts))


def temperature_to_fahrenheit(value: Fraction, unit: str) -> Fraction:
    """A reading in `degF` or `degC` as degrees Fahrenheit, in which temperatures are stored."""
    return value * Fraction(9, 5) + 32 if unit == "degC" else value


def temperature_from_fahrenheit(value: Fraction, unit: str) -> Fraction:
    """The reverse of `temperature_to_fahrenheit`."""
    return (value - 32) * Fraction(5, 9) if unit == "degC" else value


_NAMES = {"calendar": "calendar time", "labor": "labor time"}


def describe_dims(dims: Dims) -> str:
    """The dimensions in words, such as `money per labor time`; `a plain number` for none."""
    above = [_power(d, e) for d, e in zip(DIMENSIONS, dims, strict=True) if e > 0]
    below = [_power(d, -e) for d, e in zip(DIMENSIONS, dims, strict=True) if e < 0]
    if not above and not below:
        return "a plain number"
    return " ".join(filter(None, [" times ".join(above), "".join(f"per {b} " for b in below).strip()]))


def _power(dimension: str, exponent: int) -> str:
    name = _NAMES.get(dimension, dimension)
    return name if exponent == 1 else f"{name}^{exponent}"
