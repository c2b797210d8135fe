"""Units against pint: every conversion, every product of dimensions, and temperatures with their two zeros.

Pint computes with fractions here, so that agreement is equality. Labor is a dimension of its own in it, and so is
money; a year of 365 days and its twelfth are defined as Telltale has them, since pint's year is 365.25 days.
"""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from itertools import permutations, product
from random import Random

import pint
import pytest

from advisor.language import catalogue
from advisor.language.answers import Answers
from advisor.language.types import decimal
from advisor.language.units import (
    ALIASES,
    DIMENSIONS,
    UNITS,
    describe_dims,
    grain,
    parse_unit,
    temperature_from_fahrenheit,
    temperature_to_fahrenheit,
    unit_dims,
    unit_factor,
)
from advisor.language.values import read_literal
from tests.programs import checked, judge_of

IN_PINT = {
    "$": "dollar",
    "h": "labor_hour",
    "min": "labor_minute",
    "day": "day",
    "week": "week",
    "month": "short_month",
    "year": "short_year",
    "mi": "mile",
    "km": "kilometer",
    "in": "inch",
    "mm": "millimeter",
    "mil": "thou",
    "um": "micrometer",
    "psi": "psi",
    "kPa": "kilopascal",
    "bar": "bar",
    "V": "volt",
    "l": "liter",
    "gal": "gallon",
}
TEMPERATURES = ("degF", "degC")


@pytest.fixture(scope="module")
def registry() -> pint.UnitRegistry[Fraction]:
    found: pint.UnitRegistry[Fraction] = pint.UnitRegistry(non_int_type=Fraction)
    for line in (
        "dollar = [money]",
        "labor_minute = [labor]",
        "labor_hour = 60 * labor_minute",
        "short_year = 365 * day",
        "short_month = short_year / 12",
    ):
        found.define(line)
    return found


def in_pint(parts: tuple[str, ...]) -> str:
    return " / ".join(f"({IN_PINT[p]})" for p in parts)


def test_every_unit_is_compared() -> None:
    assert set(IN_PINT) | set(TEMPERATURES) == set(UNITS)
    assert set(ALIASES.values()) <= set(UNITS)


@pytest.mark.parametrize("dimension", [d for d in DIMENSIONS if d != "temperature"])
def test_conversions_agree(registry: pint.UnitRegistry[Fraction], dimension: str) -> None:
    units = [u for u in UNITS.values() if u.dimension == dimension]
    for one, other in product(units, units):
        size = registry.Quantity(Fraction(1), IN_PINT[one.name]).to(IN_PINT[other.name]).magnitude
        assert one.size / other.size == Fraction(size), (one.name, other.name)


def test_labor_is_not_calendar_time(registry: pint.UnitRegistry[Fraction]) -> None:
    with pytest.raises(pint.DimensionalityError):
        registry.Quantity(Fraction(1), "labor_hour").to("day")
    assert unit_dims(("h",)) != unit_dims(("day",))
    _, problems = checked('ruleset "T"\nask work: h from 0 h to 9 h\n    "How long?"\nlet both = work + 1 day\n')
    assert [p.kind for p in problems if p.stops] == [catalogue.LABOR_AND_CALENDAR]


def test_months_convert_to_years_alone(registry: pint.UnitRegistry[Fraction]) -> None:
    assert UNITS["year"].size / UNITS["month"].size == 12
    assert registry.Quantity(Fraction(1), "short_year").to("day").magnitude == 365


COMPOUND = [
    ("$", "h"),
    ("$", "day"),
    ("h", "week"),
    ("mi", "year"),
    ("mi", "gal"),
    ("$", "mi", "day"),
    ("psi", "min"),
    ("km", "l"),
    ("V", "h"),
    ("$", "gal"),
    ("in", "month"),
]


@pytest.mark.parametrize("parts", COMPOUND, ids="/".join)
def test_quotients_of_units_agree(registry: pint.UnitRegistry[Fraction], parts: tuple[str, ...]) -> None:
    """`$/h` as `$/min`, and so on through every unit of the same dimensions."""
    same = [[u.name for u in UNITS.values() if u.dimension == UNITS[p].dimension] for p in parts]
    for other in product(*same):
        size = registry.Quantity(Fraction(1), in_pint(parts)).to(in_pint(other)).magnitude
        assert unit_factor(parts) / unit_factor(other) == Fraction(size), other


def test_a_quantity_is_stored_the_same_however_it_is_written() -> None:
    for texts in (
        ("1 h", "60 min"),
        ("1 week", "7 days"),
        ("1 year", "12 months"),
        ("1 mi", "63,360 in"),
        ("1 in", "25.4 mm", "1,000 mil"),
        ("1 mm", "1,000 um"),
        ("1 bar", "100 kPa"),
        ("$60/h", "$1/min"),
        ("5 1/2 in", "11/2 in", "5.5 in"),
        ("4/32 in", "1/8 in"),
        ("32 degF", "0 degC"),
        ("212 degF", "100 degC"),
        ("-40 degF", "-40 degC"),
        ("$7/week", "$1/day"),
        ("5 miles", "5 mi"),
        ("2 hours", "120 minutes"),
    ):
        values = {read_literal(t).value for t in texts}
        assert len(values) == 1, texts


def test_stored_quantities_are_exact() -> None:
    """The grain is such that what people write is stored without rounding."""
    random = Random("grain")
    for _ in range(2_000):
        unit = random.choice([u for u in UNITS if u not in ("$", *TEMPERATURES)])
        number = Fraction(random.randint(1, 10**6), random.choice((1, 2, 4, 8, 10, 16, 32, 64, 100)))
        stored = number * unit_factor((unit,))
        assert Fraction(decimal(stored)) == stored, (number, unit)


def test_the_grain_is_a_whole_part_of_every_unit() -> None:
    for unit in UNITS.values():
        if unit.dimension not in ("money", "temperature"):
            assert unit_factor((unit.name,)).denominator == 1, unit.name
            # Below the line it is a whole multiple instead, so that one dollar per unit is whole.
            assert (1 / unit.size / grain(tuple(-e for e in unit_dims((unit.name,))))).denominator == 1, unit.name


@pytest.mark.parametrize("value", [-459, -40, 0, 32, 68, 98, 212, 1000])
def test_temperatures_agree(registry: pint.UnitRegistry[Fraction], value: int) -> None:
    celsius = registry.Quantity(Fraction(value), "degF").to("degC").magnitude
    assert temperature_from_fahrenheit(Fraction(value), "degC") == pytest.approx(Fraction(celsius))
    back = registry.Quantity(Fraction(value), "degC").to("degF").magnitude
    assert float(temperature_to_fahrenheit(Fraction(value), "degC")) == pytest.approx(float(back))


PRODUCTS = """ruleset "Products"
    currency USD
{asks}
let result = {formula}
show result "result"
verdict
    pass otherwise
"""


@pytest.mark.parametrize(
    ("one", "sign", "other"),
    [
        *((f"$/{u}", "*", u) for u in ("h", "min", "day", "week", "month", "year", "mi", "km", "gal", "l")),
        *((a, "/", b) for a, b in permutations(("h", "mi", "gal", "V", "psi"), 2)),
        ("h/week", "*", "day"),
        ("mi/year", "*", "week"),
        ("h", "/", "h/week"),
        ("mi", "/", "mi/year"),
        ("in", "*", "mm"),
        ("in", "/", "mil"),
        ("bar", "/", "psi"),
        ("km", "/", "mi"),
        ("gal", "/", "l"),
        ("year", "/", "month"),
        ("mi/gal", "*", "l"),
    ],
    ids=lambda x: x.replace("/", " per "),
)
def test_products_and_quotients_of_quantities_agree(
    registry: pint.UnitRegistry[Fraction], one: str, sign: str, other: str
) -> None:
    """Through the whole language: two answers in any units, multiplied or divided, and read back in base units."""
    ranges = [f"{a} from {_amount(1, a)} to {_amount(999, a)}" for a in (one, other)]
    asks = "\n".join(f'ask {n}: {r}\n    "How much?"' for n, r in zip("ab", ranges, strict=True))
    judge = judge_of(PRODUCTS.format(asks=asks, formula=f"a {sign} b"))
    for x, y in ((3, 7), (12, 8), (999, 1), (125, 16)):
        values = {n: read_literal(_amount(v, u)).value for n, v, u in (("a", x, one), ("b", y, other))}
        found = judge.judge(Answers("", None, values))
        assert found.deal is not None
        type_ = judge.program.lets["result"].type
        stored = Fraction(found.deal.values["result"]) * grain(type_.dims)  # type: ignore[union-attr]  # a quantity
        p, q = (
            registry.Quantity(Fraction(x), in_pint(parse(one))),
            registry.Quantity(Fraction(y), in_pint(parse(other))),
        )
        wanted = p * q if sign == "*" else p / q
        # Telltale's base units: dollar, labor minute, day, millimeter, kilopascal, volt, liter.
        size = Fraction(wanted.to(_base(type_.dims)).magnitude)  # type: ignore[union-attr]  # pint says that it may give none
        assert abs(stored - size) <= abs(size) * Fraction(1, 10**30), (x, y)


def parse(unit: str) -> tuple[str, ...]:
    parts = parse_unit(unit)
    assert parts is not None
    return parts


def _amount(number: int, unit: str) -> str:
    return f"${number}{unit[1:]}" if unit.startswith("$") else f"{number} {unit}"


def _base(dims: tuple[int, ...]) -> str:
    base = ("dollar", "labor_minute", "day", "millimeter", "kilopascal", "volt", "kelvin", "liter")
    return " * ".join(f"{b} ** {e}" for b, e in zip(base, dims, strict=True) if e) or "dimensionless"


def test_dimensions_in_words() -> None:
    assert describe_dims(unit_dims(("$", "h"))) == "money per labor time"
    assert describe_dims(unit_dims(("mi", "year"))) == "length per calendar time"
    assert describe_dims((0,) * len(DIMENSIONS)) == "a plain number"
    assert read_literal("15 min").value == Decimal(15)
