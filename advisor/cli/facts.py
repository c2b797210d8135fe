"""The facts of `advisor fact`: what each is called, and how the values that people type are read for it.

What computes a fact is imported when it is asked for.
"""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

import click

from advisor.cli.asked import asked, fact, words

if TYPE_CHECKING:
    from decimal import Decimal

    from advisor.trade.fact import Fact

__all__ = ["fact"]

_ON = click.option("--on", metavar="DATE", help="The day it is asked for; today, if none is named.")
_YEAR = click.argument("year", metavar="YEAR")


def _day(on: str | None) -> date:
    from advisor.cli.typed import a_day

    return date.today() if on is None else a_day(on)


def _length(text: str, name: str) -> Decimal:
    from advisor.cli.typed import inches_in_mm

    return inches_in_mm(text, name)


def _length_if(text: str | None, name: str) -> Decimal | None:
    return None if text is None else _length(text, name)


def _whole_if(text: str | None, name: str, unit: str = "") -> int | None:
    from advisor.cli.typed import whole

    return None if text is None else whole(text, name, unit)


# ---- papers ------------------------------------------------------------------------------------------------------


@asked("vin", "vin 1M8GDM9AXKP042788 --year 1989")
@words("NUMBER")
@click.option("--year", metavar="YEAR", help="The car's model year.")
def _vin(typed: tuple[str, ...], year: str | None) -> Fact:
    """Whether a VIN agrees with itself, and which model year it tells."""
    from advisor.cli.typed import a_year
    from advisor.trade.vin import vin_fact

    return vin_fact(" ".join(typed), None if year is None else a_year(year, date.today()))


@asked("odometer", "odometer 1999 --reading 34,500 --digits 5")
@_YEAR
@_ON
@click.option("--reading", metavar="MILES", help="What it shows, without the tenths.")
@click.option("--digits", metavar="COUNT", help="Its digits before the tenths.")
@click.option("--gvwr", metavar="POUNDS", help="The rated weight, of a heavy truck.")
def _odometer(year: str, on: str | None, reading: str | None, digits: str | None, gvwr: str | None) -> Fact:
    """Whether the federal odometer statement is required, and what the reading may mean."""
    from advisor.cli.typed import a_year, miles
    from advisor.trade.odometer import odometer_fact

    day = _day(on)
    return odometer_fact(
        a_year(year, day),
        day,
        None if reading is None else miles(reading),
        _whole_if(digits, "digits"),
        _whole_if(gvwr, "gvwr", "lb"),
    )


@asked("sales", "sales 2026-01-10 2026-03-02 --on 2026-04-11")
@words("SOLD_ON", required=False)
@click.option("--offered", multiple=True, metavar="DATE", help="A day on which a car not sold yet was offered.")
@_ON
@click.option("--to-resell/--not-to-resell", default=None, help="Whether the car at hand was bought to be sold again.")
def _sales(typed: tuple[str, ...], offered: tuple[str, ...], on: str | None, to_resell: bool | None) -> Fact:
    """Whether the next car sold makes its seller a dealer by federal law."""
    from advisor.cli.typed import a_day
    from advisor.trade.sales import sales_fact

    return sales_fact([a_day(w.rstrip(",")) for w in typed], [a_day(w) for w in offered], _day(on), to_resell)


# ---- outside -----------------------------------------------------------------------------------------------------


@asked("tire", "tire 3623")
@words("CODE")
@_ON
def _tire(typed: tuple[str, ...], on: str | None) -> Fact:
    """How old a tire is at least, from the end of its DOT number."""
    from advisor.trade.tires import tire_fact

    return tire_fact(" ".join(typed), _day(on))


@asked("tread", "tread 3/32")
@words("DEPTH")
def _tread(typed: tuple[str, ...]) -> Fact:
    """Whether a tire's tread is deep enough, in inches or mm."""
    from advisor.trade.limits import tread_fact

    return tread_fact(_length(" ".join(typed), "depth"))


@asked("paint", "paint 110 115 112 118 121 109 340")
@words("READINGS")
def _paint(typed: tuple[str, ...]) -> Fact:
    """Which panels' paint stands out from the rest of the car, in um or mil."""
    from advisor.cli.typed import paint_readings
    from advisor.trade.paint import paint_fact

    return paint_fact(paint_readings(" ".join(typed)))


@asked("rim", "rim 1/16 --radial 3/32")
@words("SIDEWAYS")
@click.option("--radial", metavar="LENGTH", help="Runout up and down.")
def _rim(typed: tuple[str, ...], radial: str | None) -> Fact:
    """Whether a wheel's rim runs true enough, in inches or mm."""
    from advisor.trade.limits import rim_fact

    return rim_fact(_length(" ".join(typed), "sideways"), _length_if(radial, "radial"))


# ---- steering and brakes -----------------------------------------------------------------------------------------


@asked("steering", "steering 15 --play 2.1")
@words("DIAMETER")
@click.option("--play", metavar="LENGTH", help="Free play at the rim of the steering wheel.")
@click.option("--linkage", metavar="LENGTH", help="Play of the linkage, at the tire's tread.")
def _steering(typed: tuple[str, ...], play: str | None, linkage: str | None) -> Fact:
    """How much free play a steering wheel may have, in inches or mm."""
    from advisor.trade.limits import steering_fact

    return steering_fact(_length(" ".join(typed), "diameter"), _length_if(play, "play"), _length_if(linkage, "linkage"))


@asked("toe", "toe 3/32 --makers 1/16")
@words("READING")
@click.option("--makers", metavar="LENGTH", required=True, help="The maker's setting; toe-out is below zero.")
def _toe(typed: tuple[str, ...], makers: str) -> Fact:
    """Whether toe fits the maker's setting; toe-out is below zero."""
    from advisor.trade.limits import toe_fact

    return toe_fact(_length(" ".join(typed), "reading"), _length(makers, "makers"))


@asked("lining", "lining bonded 3/32")
@click.argument("kind", metavar="KIND")
@words("THICKNESS", required=False)
def _lining(kind: str, typed: tuple[str, ...]) -> Fact:
    """Whether a brake lining, riveted or bonded, is thick enough."""
    from advisor.trade.limits import lining_fact

    return lining_fact(kind.lower(), _length_if(" ".join(typed) or None, "thickness"))


@asked("pedal", "pedal 6 --pressed 1.2")
@words("FREE")
@click.option("--pressed", metavar="LENGTH", required=True, help="Height above the floor when pressed.")
def _pedal(typed: tuple[str, ...], pressed: str) -> Fact:
    """Whether a brake pedal keeps enough travel; heights above the floor."""
    from advisor.trade.limits import pedal_fact

    return pedal_fact(_length(" ".join(typed), "free"), _length(pressed, "pressed"))


# ---- under the hood ------------------------------------------------------------------------------------------------


@asked("battery", "battery 12.4 --temperature 40")
@words("VOLTS")
@click.option("--temperature", default="80", metavar="DEGREES", help="The battery's own, in degF if no unit is named.")
def _battery(typed: tuple[str, ...], temperature: str) -> Fact:
    """How full a rested 12-volt battery is."""
    from advisor.cli.typed import measured
    from advisor.trade.battery import battery_fact

    return battery_fact(measured(" ".join(typed), "V", "volts"), measured(temperature, "degF", "temperature"))


@asked("coolant", "coolant 50%")
@words("SHARE")
def _coolant(typed: tuple[str, ...]) -> Fact:
    """When a mix of water and ethylene glycol freezes."""
    from advisor.cli.typed import share
    from advisor.trade.coolant import coolant_fact

    return coolant_fact(share(" ".join(typed), "share"))


@asked("compression", "compression 150 148 152 110 --rule three_quarters")
@words("READINGS")
@click.option(
    "--rule", metavar="RULE", help="three_quarters, seventy_and_100_psi or within_10_psi; all, if none is named."
)
@click.option("--wet", metavar="READINGS", help='The same cylinders with oil in them, as "155 150 154 128".')
def _compression(typed: tuple[str, ...], rule: str | None, wet: str | None) -> Fact:
    """What an engine's compression says, by each published rule."""
    from advisor.cli.typed import readings
    from advisor.trade.engine import compression_fact

    dry = readings(" ".join(typed), "psi", "readings")
    oiled = None if wet is None else readings(wet, "psi", "wet")
    return compression_fact(dry, None if rule is None else rule.lower().replace("-", "_"), oiled)


@asked("leak-down", "leak-down 12%")
@words("SHARES")
def _leak_down(typed: tuple[str, ...]) -> Fact:
    """What the share of air that cylinders lose is called; a gauge's 72/80 will do."""
    from advisor.cli.typed import leaks
    from advisor.trade.engine import leak_down_fact

    return leak_down_fact(leaks(" ".join(typed), "shares"))


@asked("code", "code P0420")
@words("CODE")
def _code(typed: tuple[str, ...]) -> Fact:
    """What the five characters of a trouble code say."""
    from advisor.trade.codes import code_fact

    return code_fact(" ".join(typed))


@asked("readiness", "readiness 1997 --not-ready 3")
@_YEAR
@click.option("--not-ready", required=True, metavar="COUNT", help="How many monitors are not ready.")
@click.option("--monitors", metavar="COUNT", help="How many the car has.")
@click.option("--stored", metavar="COUNT", help="How many trouble codes it holds.")
@click.option("--diesel", is_flag=True, help="It is a diesel.")
def _readiness(year: str, not_ready: str, monitors: str | None, stored: str | None, diesel: bool) -> Fact:
    """Whether an inspection takes a car with monitors that are not ready."""
    from advisor.cli.typed import a_year, whole
    from advisor.trade.codes import code_fact

    return code_fact(
        model_year=a_year(year, date.today()),
        not_ready=whole(not_ready, "not ready"),
        monitors=_whole_if(monitors, "monitors"),
        stored=_whole_if(stored, "stored"),
        diesel=diesel,
    )
