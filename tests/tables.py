"""Functions of the trade, plain and slow: the oracle for what rules compute by them.

In: a name and stored values. Out: a stored value, or None. Written from what each function is said to do, in whole
fractions, with no code of `advisor/trade` or `advisor/readings`.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, timedelta
from decimal import Decimal
from fractions import Fraction
from typing import Any

from advisor.language.units import unit_factor
from tests import rates

LETTERS = {c: n for row in ("ABCDEFGH", "JKLMN") for n, c in enumerate(row, start=1)}
LETTERS |= {c: n for n, c in enumerate("STUVWXYZ", start=2)} | {"P": 7, "R": 9}
"""What a letter of a VIN counts; S begins at 2."""
LEAST_SPREAD = 5 * Fraction(6745, 10_000)
"""Of paint, in micrometers, as a standard deviation."""
WHOLE = (12, 13)
"""Symbols of a tire's whole number."""
YEARS = "ABCDEFGHJKLMNPRSTVWXY123456789"


def of(unit: str, value: Decimal) -> Fraction:
    """A stored value in a unit."""
    return Fraction(value) / unit_factor((unit,))


def stored(unit: str, value: Fraction) -> Decimal:
    """The reverse, to 24 digits as every rounding looks at."""
    fraction = value * unit_factor((unit,))
    return rates.WIDE.divide(Decimal(fraction.numerator), Decimal(fraction.denominator))


def well_formed(vin: str) -> bool:
    return len(vin) == 17 and all(c.isdigit() or c in LETTERS for c in vin)


def vin_check(vin: str, year: Decimal) -> str:
    if year < 1981 or not well_formed(vin):
        return "not_checkable"
    total = 0
    for place, character in enumerate(vin, start=1):
        weight = 0 if place == 9 else 10 if place == 8 else 9 - place if place < 8 else 19 - place
        total += weight * (int(character) if character.isdigit() else LETTERS[character])
    return told(vin, vin[8] == "0123456789X"[total % 11])


def vin_year(vin: str, year: Decimal) -> str:
    if not 1981 <= year <= 2039 or not well_formed(vin):
        return "not_checkable"
    for cycle in (1980, 2010):
        for place, character in enumerate(YEARS):
            meant = vin[0] not in "12345" or (cycle == 1980) == vin[6].isdigit()
            if meant and character == vin[9] and cycle + place == year:
                return "fits"
    return told(vin, False)


def told(vin: str, fits: bool) -> str:
    return "fits" if fits else "does_not_fit" if vin[0] in "12345" else "not_checkable"


def tire_age(code: str, day: date) -> Decimal | None:
    tail = ""
    while len(tail) < len(code) and code[-len(tail) - 1].isdigit():
        tail = code[-len(tail) - 1 :]
    # Three digits stand behind anything, four alone or at the end of a whole number.
    whole = len(code) in WHOLE and tail != code and len(tail) > 3
    digits = tail if len(tail) == 3 or (len(tail) == 4 and tail == code) else tail[-4:] if whole else ""
    if not digits or not 1 <= int(digits[:2]) <= 53:
        return None
    ages = []
    for year in range(1971, 2100):
        if (len(digits) == 4) != (year >= 2000) and not (len(digits) == 3 and year == 2000):
            continue
        if str(year)[-len(digits[2:]) :] != digits[2:]:
            continue
        first = date(year, 1, 1)
        while first.weekday() != 6:
            first += timedelta(days=1)
        begins = first + timedelta(weeks=int(digits[:2]) - 1)
        # Three digits ended with July 1, 2000.
        if begins <= day and not (len(digits) == 3 and begins > date(2000, 7, 1)):
            ages.append(max((day - begins).days - 6, 0))
    if not ages:
        return None
    return stored("year", Fraction(min(ages) * 100 // 365, 100))


def odometer_rolled(digits: Decimal, miles: Decimal, year: Decimal, day: date) -> bool:
    reading, age = of("mi", miles), day.year - Fraction(year)
    if int(digits) != 5 or not 0 <= reading < 100_000 or reading >= 4000 * age:
        return False
    return reading + 100_000 <= min(400_000, 25_000 * age)


def battery_charge(volts: Decimal, degrees: Decimal) -> Decimal | None:
    if volts > 13:
        return None
    at = Fraction(volts) + Fraction(24, 10_000) * (Fraction(degrees) - 80)
    marks = [Fraction(n, 10) for n in (117, 120, 122, 124, 126)]
    share = Fraction(0) if at <= marks[0] else Fraction(1)
    for place in range(4):
        if marks[place] < at <= marks[place + 1]:
            share = (place + (at - marks[place]) / (marks[place + 1] - marks[place])) / 4
    return Decimal(round(share * 10_000)) / 10_000


def trouble_code(code: str) -> str:
    hexadecimal = "0123456789ABCDEF"
    if len(code) == 4 and code[0].isdigit() and all(c in hexadecimal for c in code):
        return ("powertrain", "chassis", "body", "network")[int(code[0]) // 4]
    if len(code) == 5 and code[1] in "0123" and all(c in hexadecimal for c in code[2:]):
        return {"P": "powertrain", "C": "chassis", "B": "body", "U": "network"}.get(code[0], "not_a_code")
    return "not_a_code"


def monitors_allowed(year: Decimal) -> Decimal | None:
    return None if year < 1996 else Decimal(1 if year >= 2001 else 2)


def readiness(year: Decimal, not_ready: Decimal) -> str:
    allowed = monitors_allowed(year)
    return "does_not_apply" if allowed is None else "ready" if not_ready <= allowed else "unknown"


def compression_fits(readings: tuple[Decimal, ...], rule: str) -> bool:
    psi = sorted(of("psi", r) for r in readings)
    low, high = psi[0], psi[-1]
    if len(psi) < 2 or high <= 0:
        return False
    if rule == "three_quarters":
        return 4 * low >= 3 * high
    return high - low <= 10 if rule == "within_10_psi" else 10 * low >= 7 * high and low >= 100


def leak_down(lost: Decimal) -> str:
    return "good" if lost < Decimal("0.1") else "fair" if lost <= Decimal("0.25") else "bad"


def steering_play_limit(diameter: Decimal) -> Decimal | None:
    across = of("in", diameter)
    if not 0 < across <= 22:
        return None
    return stored("in", 2 + (max(across, Fraction(16)) - 16) / 8)


def toe_fits(reading: Decimal, makers: Decimal) -> bool:
    ends = sorted((Decimal(0), makers * 3 / 2))
    return makers != 0 and ends[0] <= reading <= ends[1]


def paint_standing_out(readings: tuple[Decimal, ...]) -> Decimal | None:
    if len(readings) < 5:
        return None
    um = [of("um", r) for r in readings]
    middle = middle_of(um)
    spread = max(middle_of([abs(r - middle) for r in um]), LEAST_SPREAD)
    return Decimal(sum(Fraction(6745, 10_000) * abs(r - middle) / spread > Fraction(7, 2) for r in um))


def middle_of(values: list[Fraction]) -> Fraction:
    ordered = sorted(values)
    return (ordered[(len(ordered) - 1) // 2] + ordered[len(ordered) // 2]) / 2


def coolant_freezes(share: Decimal) -> Decimal | None:
    if not 0 <= share <= Decimal("0.6"):
        return None
    points = [(Fraction(0), 32), (Fraction(1, 2), -34), (Fraction(56, 100), -50)]
    at, x = Fraction(0), Fraction(share)
    for i, (here, degrees) in enumerate(points):  # the polynomial through them, by Lagrange
        part = Fraction(degrees)
        for j, (there, _) in enumerate(points):
            part *= (x - there) / (here - there) if i != j else 1
        at += part
    return Decimal(round(at))


def counts_as_dealer(sold: Decimal, offered: Decimal) -> str:
    return "both" if sold >= 5 else "ftc" if offered >= 5 else "neither"


KNOWN: dict[str, Callable[..., Any]] = {
    "battery_charge": battery_charge, "coolant_freezes": coolant_freezes, "compression_fits": compression_fits,
    "counts_as_dealer": counts_as_dealer, "leak_down": leak_down, "monitors_allowed": monitors_allowed,
    "odometer_exempt": lambda year, day: day.year - year >= (10 if year <= 2010 else 20),
    "odometer_rolled": odometer_rolled, "paint_standing_out": paint_standing_out, "readiness": readiness,
    "steering_play_limit": steering_play_limit, "tire_age": tire_age, "toe_fits": toe_fits,
    "lining_limit": lambda kind: stored("in", Fraction(1, 32) if kind == "riveted" else Fraction(1, 16)),
    "tread_limit": lambda law: stored("in", Fraction(1, 16)) if law == "us" else stored("mm", Fraction(16, 10)),
    "trouble_code": trouble_code, "vin_check": vin_check, "vin_year": vin_year,
    "compounded": lambda share, days: rates.compounded(share, rates.WIDE.divide(days, unit_of_a_day())),
    "yearly_rate": lambda *values: rates.yearly_rate(list(zip(values[::2], values[1::2], strict=True))),
}  # fmt: skip


def unit_of_a_day() -> Decimal:
    return Decimal(int(unit_factor(("day",))))


def called(name: str, args: list[Any]) -> Any:
    """What a function gives for stored values; None where it has nothing to give."""
    return KNOWN[name](*args)
