"""The functions of the trade that rules may call: what they take, and what can come out of them.

`advisor/trade/called.py` computes them; every reading takes what it needs to know of them from here.
"""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal
from fractions import Fraction

from attrs import frozen

from advisor.language.stored import scaled
from advisor.language.types import (
    DATE,
    MONEY,
    NUMBER,
    PERCENT,
    YES_NO,
    Choice,
    Code,
    ListOf,
    Quantity,
    Type,
    quantity,
)
from advisor.language.units import parse_unit, unit_factor

__all__ = ["TRADE", "Signature", "factor_of"]


@frozen
class Signature:
    """A function of the trade: argument types by name, in order, and the type of the result.

    Where `rounds` is more than 1, the arguments come so many times at least, each time all of them. `domain` holds the
    lowest and the highest result, in the unit of `gives`, where that is a number. `lacking` says when there is no
    result, in words; `positive` is the place of an argument that rules that out by being above zero. A condition
    without a result is no, and a choice always has one. Where `orderly`, every argument that has an order moves the
    result one way as long as the others are held: a choice through its words in their order. `slack` is by how much
    results that close may be out of order, since they were computed in floating point.
    """

    takes: tuple[tuple[str, Type], ...]
    gives: Type
    text: str
    rounds: int = 1
    domain: tuple[Decimal, Decimal] | None = None
    lacking: str = ""
    positive: int | None = None
    orderly: bool = False
    slack: Decimal = Decimal(0)

    @property
    def ends(self) -> tuple[Decimal, Decimal]:
        """The lowest and the highest result in the stored grain; of a number only."""
        assert self.domain is not None
        low, high = self.domain
        return scaled(low, factor_of(self.gives)), scaled(high, factor_of(self.gives))

    @property
    def wanted(self) -> str:
        """What it takes, in words."""
        each = ", ".join(f"{text} ({_described(type_)})" for text, type_ in self.takes)
        return each if self.rounds == 1 else f"{each}, and more of them in turn"

    def types(self, count: int) -> Iterator[Type]:
        """The types of so many arguments."""
        for i in range(count):
            yield self.takes[i % len(self.takes)][1]


def factor_of(type_: Type) -> Fraction:
    """What a number in the unit of a type is multiplied by to be stored."""
    parts = parse_unit(type_.unit) if isinstance(type_, Quantity) and type_.unit else None
    return unit_factor(parts) if parts else Fraction(1)


def _described(type_: Type) -> str:
    match type_:
        case Choice(options=(*most, last)):
            return f"{', '.join(f'`{o}`' for o in most)} or `{last}`"
        case ListOf(item=item):
            return f"a list of readings in {item.unit}"
        case Quantity() if not type_.plain and type_ != MONEY:
            return f"in {type_.unit}"
    return str(type_)


_CODE = Code(1, 40)
_YEAR = "the model year", NUMBER
_ON = "the day", DATE
_INCHES, _MILES = quantity(length="in"), quantity(length="mi")
_DAYS, _YEARS = quantity(calendar="day"), quantity(calendar="year")
_MILLIMETERS = quantity(length="mm")
"""In which inches are exact too, as inches are not for millimeters."""
_FAHRENHEIT = quantity(temperature="degF")
_AGREES = Choice(("fits", "does_not_fit", "not_checkable"))
_RATES = Decimal("-0.9999"), Decimal(100)
"""Yearly rates that are told: from -99.99 % to 10,000 %."""


def _readings(unit: Quantity) -> ListOf:
    return ListOf(unit, 1, 100)


TRADE = {
    "yearly_rate": Signature(
        (("an amount", MONEY), ("its date", DATE)),
        PERCENT,
        "the yearly rate, compounded, at which dated payments come to nothing",
        rounds=2,
        domain=_RATES,
        lacking="no rate fits the payments, or more than one does",
    ),
    "compounded": Signature(
        (("a share", PERCENT), ("days", _DAYS)),
        PERCENT,
        "a share earned in some days, earned again and again for a year",
        domain=_RATES,
        lacking="`{0}` is zero",
        positive=1,
        orderly=True,
        slack=Decimal("0.0001"),
    ),
    "vin_check": Signature((("the VIN", _CODE), _YEAR), _AGREES, "whether a VIN's check digit fits"),
    "vin_year": Signature((("the VIN", _CODE), _YEAR), _AGREES, "whether a VIN is of a model year"),
    "tire_age": Signature(
        (("the tire's date code", _CODE), _ON),
        _YEARS,
        "the least age that a tire can have",
        domain=(Decimal(0), Decimal(300)),
        lacking="the code cannot be read, or is of a week to come",
    ),
    "odometer_exempt": Signature(
        (_YEAR, ("the day of the transfer", DATE)),
        YES_NO,
        "whether the federal odometer statement is not required",
    ),
    "odometer_rolled": Signature(
        (("the digits before the tenths", NUMBER), ("the reading", _MILES), _YEAR, _ON),
        YES_NO,
        "whether the odometer may have started over",
    ),
    "battery_charge": Signature(
        (("the rested voltage", quantity(voltage="V")), ("the temperature", _FAHRENHEIT)),
        PERCENT,
        "how full a battery is",
        domain=(Decimal(0), Decimal(1)),
        lacking="the battery shows more than 13 V",
        orderly=True,
    ),
    "compression_fits": Signature(
        (
            ("the readings", _readings(quantity(pressure="psi"))),
            ("the rule", Choice(("three_quarters", "seventy_and_100_psi", "within_10_psi"))),
        ),
        YES_NO,
        "whether the cylinders' compression fits by a rule",
    ),
    "leak_down": Signature(
        (("the share lost", PERCENT),),
        Choice(("good", "fair", "bad")),
        "what a cylinder's loss is called",
        orderly=True,
    ),
    "steering_play_limit": Signature(
        (("the steering wheel's diameter", _INCHES),),
        _INCHES,
        "the free play that a steering wheel may have at its rim",
        domain=(Decimal(0), Decimal(12)),
        lacking="the wheel is more than 22 in across, or there is none",
        orderly=True,
    ),
    "tread_limit": Signature(
        (("the law", Choice(("us", "uk"))),),
        _INCHES,
        "the least tread that a law allows",
        domain=(Decimal(0), Decimal(1)),
    ),
    "lining_limit": Signature(
        (("the kind of lining", Choice(("riveted", "bonded"))),),
        _INCHES,
        "the least brake lining of a kind",
        domain=(Decimal(0), Decimal(1)),
    ),
    "toe_fits": Signature(
        (("the reading", _MILLIMETERS), ("the maker's setting", _MILLIMETERS)),
        YES_NO,
        "whether toe fits the maker's setting",
    ),
    "paint_standing_out": Signature(
        (("the readings", _readings(quantity(length="um"))),),
        NUMBER,
        "how many readings of paint stand out from the car's own median",
        domain=(Decimal(0), Decimal(100)),
        lacking="there are fewer than five readings",
    ),
    "coolant_freezes": Signature(
        (("the share of ethylene glycol", PERCENT),),
        _FAHRENHEIT,
        "the temperature at which a mix of coolant freezes",
        domain=(Decimal(-120), Decimal(60)),
        lacking="there is more than 60% of glycol",
        orderly=True,
    ),
    "trouble_code": Signature(
        (("the code", _CODE),),
        Choice(("powertrain", "chassis", "body", "network", "not_a_code")),
        "what part of the car a trouble code is about",
    ),
    "monitors_allowed": Signature(
        (_YEAR,),
        NUMBER,
        "how many monitors may be not ready at an inspection",
        domain=(Decimal(0), Decimal(11)),
        lacking="the model year is before 1996",
    ),
    "readiness": Signature(
        (_YEAR, ("the monitors not ready", NUMBER)),
        Choice(("ready", "unknown", "does_not_apply")),
        "whether enough monitors are ready to believe that there are no codes",
    ),
    "counts_as_dealer": Signature(
        (("the cars sold in 12 months", NUMBER), ("the cars sold or offered in 12 months", NUMBER)),
        Choice(("neither", "ftc", "both")),
        "by which laws the next car makes a dealer",
    ),
}
