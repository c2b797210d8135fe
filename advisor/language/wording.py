"""Writing values the way people write them: the reverse of `values.py`."""

from __future__ import annotations

from datetime import date
from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction

from advisor.language.types import (
    EXACT,
    MONEY,
    Estimate,
    ListOf,
    MonthDay,
    Quantity,
    Type,
    Value,
)
from advisor.language.units import (
    DIMENSIONS,
    UNITS,
    grain,
    temperature_from_fahrenheit,
)
from advisor.language.values import MONTHS

__all__ = ["format_value", "in_unit"]


def format_value(value: Value | None, type_: Type, currency: str = "$", *, places: int | None = None) -> str:
    """A value as people write it; `places` fixes the decimals of a number."""
    match value:
        case None:
            return "none"
        case bool():
            return "yes" if value else "no"
        case str():
            return value or "not read"
        case date():
            return value.isoformat()
        case MonthDay():
            return f"{MONTHS[value.month - 1]} {value.day}"
        case Estimate():
            return " .. ".join(format_value(v, type_, currency) for v in (value.low, value.likely, value.high))
        case tuple():
            item = type_.item if isinstance(type_, ListOf) else type_
            return ", ".join(format_value(v, item, currency) for v in value)
        case Decimal():
            assert isinstance(type_, Quantity)
            return _format_quantity(value, type_, currency, places)


def in_unit(value: Decimal, type_: Quantity) -> Fraction:
    """A stored value as a number of the type's own unit (percentages as shares of one)."""
    number = Fraction(value)
    if type_.unit in ("degF", "degC"):
        return temperature_from_fahrenheit(number, type_.unit)
    size = Fraction(1)
    for unit, exponent in zip(type_.units, type_.dims, strict=True):
        if exponent:
            size *= UNITS[unit].size ** exponent
    return number * grain(type_.dims) / size


def _format_quantity(value: Decimal, type_: Quantity, currency: str, places: int | None) -> str:
    number = in_unit(value, type_)
    if type_.plain:
        if not type_.percent:
            text = _digits(number, places if places is not None else 4)
            return text.replace(",", "") if abs(number) < 10_000 else text  # a year reads badly as 1,991
        return f"{_digits(number * 100, places if places is not None else 2)}%"
    if type_ == MONEY:
        return _money(number, currency, places)
    unit = type_.unit
    if unit.startswith("$"):
        below = unit[1:]
        if places is None:
            places = 4 if 0 < abs(number) < 1 else 0 if number.denominator == 1 else 2
        text = f"{_rounded(abs(number), places):,.{places}f}"
        text = text.rstrip("0") if places == 4 else text
        return f"{'-' if number < 0 else ''}{currency}{text}{below}"
    if unit.startswith("1/"):
        return f"{_digits(number * 100, places if places is not None else 2)}%{unit[1:]}"
    if unit == "in" and (number * 64).denominator == 1 and number.denominator != 1:
        return f"{'-' if number < 0 else ''}{_inches(abs(number))} in"
    text = _digits(number, places if places is not None else 2 if abs(number) >= 10 else 4)
    if type_.units[DIMENSIONS.index("calendar")] == unit and UNITS[unit].plural and text not in ("1", "-1"):
        unit = UNITS[unit].plural
    return f"{text} {unit}"


def _inches(number: Fraction) -> str:
    """A fraction as rulers have it; below an inch in 32nds where these do, as gauges for tires have them."""
    whole, part = divmod(number, 1)
    if whole:
        return f"{int(whole)} {part}"
    return f"{int(number * 32)}/32" if (number * 32).denominator == 1 else str(part)


def _money(number: Fraction, currency: str, places: int | None) -> str:
    if places is None:
        places = 0 if (number * 100) % 100 == 0 else 2
    text = f"{_rounded(abs(number), places):,.{places}f}"
    negative = number < 0 and any(c not in "0.," for c in text)
    return f"{'-' if negative else ''}{currency}{text}"


def _digits(number: Fraction, places: int) -> str:
    text = f"{_rounded(number, places):,.{places}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def _rounded(number: Fraction, places: int) -> Decimal:
    return EXACT.divide(Decimal(number.numerator), Decimal(number.denominator)).quantize(
        Decimal(1).scaleb(-places), rounding=ROUND_HALF_UP, context=EXACT
    )
