"""What somebody types behind a command, read as the rules and the tables read it.

In: words of a command line, such as `12.4 V`, `3/32`, `150, 148 psi`, `34,500 mi`. Out: decimals in the unit that was
asked for, whole numbers, days. A number without a unit is in the unit asked for. Raises `Mistyped`, which says what to
write.
"""

from __future__ import annotations

import re
from datetime import date
from decimal import Decimal
from fractions import Fraction

from advisor.language.cells import CellProblem, read_miles, read_year
from advisor.language.source import Source
from advisor.language.spelling import spelled
from advisor.language.types import NUMBER, PERCENT, Quantity, decimal, quantity
from advisor.language.units import UNITS, unit_factor
from advisor.language.values import Unreadable, as_percentage, check_fits, read_date, read_literal, with_unit

__all__ = [
    "Mistyped",
    "a_day",
    "a_year",
    "inches_in_mm",
    "leaks",
    "measured",
    "miles",
    "paint_readings",
    "readings",
    "share",
    "whole",
]

_MILS_BELOW = 40
"""No car has every panel as thin as this in micrometers, and hardly one as thick in mils."""


class Mistyped(ValueError):
    """A text that is no value; says what to write, in lower case, without a full stop."""


def measured(text: str, unit: str, name: str) -> Decimal:
    """A quantity, in `unit`."""
    type_ = quantity(**{UNITS[unit].dimension: unit})
    return decimal(Fraction(_read(text, type_, name)) / unit_factor((unit,)))


def readings(text: str, unit: str, name: str) -> list[Decimal]:
    """Several quantities, in `unit`; a unit behind the last one is that of all that have none."""
    pieces = _pieces(text)
    own = re.search(r"[A-Za-zµμ]+\Z", pieces[-1]) if pieces else None
    if own and all(p[-1].isdigit() for p in pieces[:-1]):
        pieces = [*(f"{p} {own[0]}" for p in pieces[:-1]), pieces[-1]]
    return [measured(piece, unit, name) for piece in pieces]


def share(text: str, name: str) -> Decimal:
    """A percentage as a share of one; `12` and `12%` are the same, and `0.12` is refused: it could be either."""
    value = _read(text, PERCENT, name)
    if "%" not in text and 0 < abs(value) * 100 < 1:
        raise Mistyped(f"`{text}` has no `%`; write `{as_percentage(value * 100)}`")
    return value


def leaks(text: str, name: str) -> list[Decimal]:
    """Several shares lost: percentages, or what a leak-down gauge shows, as `72/80`, which has lost a tenth."""
    found = []
    for piece in _pieces(text):
        gauge = re.fullmatch(r"(\d{1,4}(?:\.\d{1,4})?)/(\d{1,4})(?: ?psi)?", piece, re.ASCII)
        if gauge and int(gauge[2]):
            found.append(1 - Decimal(gauge[1]) / int(gauge[2]))
        else:
            found.append(share(piece, name))
    return found


def _pieces(text: str) -> list[str]:
    """Each number with the unit behind it."""
    found: list[str] = []
    for word in re.split(r"\s+|,(?=\s|\Z)", text.strip()):
        if found and re.fullmatch(r"[A-Za-zµμ°%]+", word):
            found[-1] += f" {word}"
        elif word:
            found.append(word)
    return found


def _read(text: str, type_: Quantity, name: str) -> Decimal:
    """A value in the stored grain; a bare number is in the unit of the type."""
    usual = spelled(text)
    try:
        literal = read_literal(usual)
        if literal.type.plain and not literal.type.percent:
            literal = read_literal(with_unit(usual, type_))
        check_fits(literal, type_, name, text)
    except Unreadable as error:
        raise _mistyped(error) from None
    return literal.value


def _mistyped(error: Unreadable) -> Mistyped:
    problem = error.at(Source("", "").span(0, 0))
    return Mistyped(f"{problem.message}; {problem.cure}")


def whole(text: str, name: str, unit: str = "") -> int:
    """A whole number of things, from nothing up; the word `unit` may stand behind it."""
    bare = text.strip().removesuffix(unit).strip()
    try:
        literal = read_literal(bare)
        check_fits(literal, NUMBER, name, bare)
    except Unreadable as error:
        raise _mistyped(error) from None
    if literal.value < 0 or literal.value != literal.value.to_integral_value():
        raise Mistyped(f"`{text}` is no whole number; write how many, as `5`")
    return int(literal.value)


def miles(text: str) -> Decimal:
    """A reading of an odometer, in miles."""
    try:
        return read_miles(" ".join(text.split()))
    except CellProblem as error:
        raise Mistyped(f"`{text}` cannot be read as a mileage; {error.words['cure']}") from None


def a_year(text: str, on: date) -> int:
    """A model year of four digits."""
    try:
        return read_year(text.strip(), on)
    except CellProblem as error:
        raise Mistyped(f"`{text}` cannot be read as a model year; {error.words['cure']}") from None


def a_day(text: str) -> date:
    """A day, written as year, month and day."""
    try:
        return read_date(text)
    except Unreadable as error:
        raise _mistyped(error) from None


def inches_in_mm(text: str, name: str) -> Decimal:
    """A length as millimeters, in which inches are exact; a number without a unit is in inches."""
    unit = "" if re.search(r'[A-Za-z"″]', text) else " in"
    return measured(f"{text}{unit}", "mm", name)


def paint_readings(text: str) -> list[Decimal]:
    """Thicknesses of paint, in micrometers; figures that can only be mils have to say so."""
    found = readings(text, "um", "readings")
    if not re.search("[A-Za-zµμ]", text) and found and max(found) < _MILS_BELOW:
        raise Mistyped(f"{text.split()[0]} is too thin for micrometers; if the gauge shows mils, write `mil` behind it")
    return found
