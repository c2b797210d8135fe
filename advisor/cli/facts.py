"""`advisor fact`: one fact of the trade by itself, such as what a VIN or a battery's voltage says.

In: values as people type them. Out: a sentence, its sources and its limits, or the same as data. What cannot be read
ends the command with exit code 2 and one message that says what to type. What computes a fact is imported when it is
asked for.
"""

from __future__ import annotations

import difflib
import re
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import date
from typing import TYPE_CHECKING, Any, NoReturn

import click

from advisor.cli.printing import page_width, print_data

if TYPE_CHECKING:
    from advisor.trade.fact import Fact

__all__ = ["fact"]

_LOOSE = {"ignore_unknown_options": True}
"""So that `-1/16` is a value; what looks like an option and is none is refused once the rest is known."""


class _Fact(click.Command):
    """One fact that can be asked for, with a command that asks it."""

    example = ""

    def parse_args(self, context: click.Context, args: list[str]) -> list[str]:
        left = super().parse_args(context, args)
        for argument in (p for p in self.params if isinstance(p, click.Argument)):
            given = context.params.get(argument.name or "") or ()
            for text in (given,) if isinstance(given, str) else given:
                if re.match("-+[A-Za-z]", text):
                    self._refuse(text.split("=")[0], context)
        return left

    def _refuse(self, name: str, context: click.Context) -> NoReturn:
        known = [option for p in self.params if isinstance(p, click.Option) for option in p.opts]
        raise click.NoSuchOption(name, possibilities=difflib.get_close_matches(name, known), ctx=context)


class _Facts(click.Group):
    """The facts; every message of a wrong use is safe for a terminal and ends with an example."""

    def parse_args(self, context: click.Context, args: list[str]) -> list[str]:
        with _clear_messages():
            return super().parse_args(context, args)

    def invoke(self, context: click.Context) -> Any:
        with _clear_messages():
            return super().invoke(context)


@contextmanager
def _clear_messages() -> Iterator[None]:
    """Wrong use is told without control characters, and with an example."""
    try:
        yield
    except click.UsageError as error:
        from advisor.report.clean import clean

        command = error.ctx.command if error.ctx else None
        cure = f"For example: {command.example}" if isinstance(command, _Fact) else "`advisor fact` alone lists them"
        raise click.UsageError(clean(f"{error.format_message().rstrip('.')}. {cure}"), error.ctx) from None


@click.group(cls=_Facts, invoke_without_command=True)
@click.pass_context
def fact(context: click.Context) -> None:
    """Ask for one fact of the trade: a VIN, a battery, a tire's age. Alone, it lists them."""
    if context.invoked_subcommand:
        return
    from advisor.report.facts import listing_lines

    listed = [(c.help or "", c.example) for c in fact.commands.values() if isinstance(c, _Fact)]
    click.echo("\n".join(listing_lines(listed, page_width())))


def _asked(name: str, example: str) -> Callable[[Callable[..., Fact]], click.Command]:
    """Make a function that gives a fact into a command of the group, which prints it."""

    def made(ask: Callable[..., Fact]) -> click.Command:
        def answer(as_json: bool, **given: Any) -> None:
            from advisor.cli.typed import Mistyped
            from advisor.report.facts import fact_data, fact_lines
            from advisor.trade.fact import Unanswerable

            try:
                found = ask(**given)
            except (Mistyped, Unanswerable) as error:
                raise click.UsageError(str(error), click.get_current_context()) from None
            if as_json:
                print_data(fact_data(found))
            else:
                click.echo("\n".join(fact_lines(found, page_width())))

        answer.__doc__ = ask.__doc__
        # click keeps parameters on the function until it makes a command of it.
        answer.__click_params__ = getattr(ask, "__click_params__", [])  # type: ignore[attr-defined]  # click's own
        shown = click.option("--json", "as_json", is_flag=True, help="Print data, not words.")(answer)
        command = fact.command(name, cls=_Fact, context_settings=_LOOSE)(shown)
        assert isinstance(command, _Fact)
        command.example = f"advisor fact {example}"
        return command

    return made


def _words(name: str, required: bool = True) -> Callable[..., Any]:
    """An argument of one or more words, which need no quotes."""
    return click.argument("words", nargs=-1, required=required, metavar=f"{name}...")


_ON = click.option("--on", metavar="DATE", help="The day it is asked for; today, if none is named.")
_YEAR = click.argument("year", metavar="YEAR")


def _day(on: str | None) -> date:
    from advisor.cli.typed import a_day

    return date.today() if on is None else a_day(on)


# ---- papers ------------------------------------------------------------------------------------------------------


@_asked("vin", "vin 1M8GDM9AXKP042788 --year 1989")
@_words("NUMBER")
@click.option("--year", metavar="YEAR", help="The car's model year.")
def _vin(words: tuple[str, ...], year: str | None) -> Fact:
    """Whether a VIN agrees with itself, and which model year it tells."""
    from advisor.cli.typed import a_year
    from advisor.trade.vin import vin_fact

    return vin_fact(" ".join(words), None if year is None else a_year(year, date.today()))


@_asked("odometer", "odometer 1999 --reading 34,500 --digits 5")
@_YEAR
@_ON
@click.option("--reading", metavar="MILES", help="What it shows, without the tenths.")
@click.option("--digits", metavar="COUNT", help="Its digits before the tenths.")
@click.option("--gvwr", metavar="POUNDS", help="The rated weight, of a heavy truck.")
def _odometer(year: str, on: str | None, reading: str | None, digits: str | None, gvwr: str | None) -> Fact:
    """Whether the federal odometer statement is required, and what the reading may mean."""
    from advisor.cli.typed import a_year, miles, whole
    from advisor.trade.odometer import odometer_fact

    day = _day(on)
    return odometer_fact(
        a_year(year, day),
        day,
        None if reading is None else miles(reading),
        None if digits is None else whole(digits, "digits"),
        None if gvwr is None else whole(gvwr, "gvwr", "lb"),
    )


@_asked("sales", "sales 2026-01-10 2026-03-02 --on 2026-04-11")
@_words("SOLD_ON", required=False)
@click.option("--offered", multiple=True, metavar="DATE", help="A day on which a car not sold yet was offered.")
@_ON
@click.option("--to-resell/--not-to-resell", default=None, help="Whether the car at hand was bought to be sold again.")
def _sales(words: tuple[str, ...], offered: tuple[str, ...], on: str | None, to_resell: bool | None) -> Fact:
    """Whether the next car sold makes its seller a dealer by federal law."""
    from advisor.cli.typed import a_day
    from advisor.trade.sales import sales_fact

    return sales_fact([a_day(w.rstrip(",")) for w in words], [a_day(w) for w in offered], _day(on), to_resell)


# ---- outside -----------------------------------------------------------------------------------------------------


@_asked("tire", "tire 3623")
@_words("CODE")
@_ON
def _tire(words: tuple[str, ...], on: str | None) -> Fact:
    """How old a tire is at least, from the end of its DOT number."""
    from advisor.trade.tires import tire_fact

    return tire_fact(" ".join(words), _day(on))


@_asked("tread", "tread 3/32")
@_words("DEPTH")
def _tread(words: tuple[str, ...]) -> Fact:
    """Whether a tire's tread is deep enough, in inches or mm."""
    from advisor.cli.typed import inches_in_mm
    from advisor.trade.limits import tread_fact

    return tread_fact(inches_in_mm(" ".join(words), "depth"))


@_asked("paint", "paint 110 115 112 118 121 109 340")
@_words("READINGS")
def _paint(words: tuple[str, ...]) -> Fact:
    """Which panels' paint stands out from the rest of the car, in um or mil."""
    from advisor.cli.typed import paint_readings
    from advisor.trade.paint import paint_fact

    return paint_fact(paint_readings(" ".join(words)))


@_asked("rim", "rim 1/16 --radial 3/32")
@_words("SIDEWAYS")
@click.option("--radial", metavar="LENGTH", help="Runout up and down.")
def _rim(words: tuple[str, ...], radial: str | None) -> Fact:
    """Whether a wheel's rim runs true enough, in inches or mm."""
    from advisor.cli.typed import inches_in_mm
    from advisor.trade.limits import rim_fact

    return rim_fact(inches_in_mm(" ".join(words), "sideways"), _length(radial, "radial"))


# ---- steering and brakes -----------------------------------------------------------------------------------------


def _length(text: str | None, name: str) -> Any:
    from advisor.cli.typed import inches_in_mm

    return None if text is None else inches_in_mm(text, name)


@_asked("steering", "steering 15 --play 2.1")
@_words("DIAMETER")
@click.option("--play", metavar="LENGTH", help="Free play at the rim of the steering wheel.")
@click.option("--linkage", metavar="LENGTH", help="Play of the linkage, at the tire's tread.")
def _steering(words: tuple[str, ...], play: str | None, linkage: str | None) -> Fact:
    """How much free play a steering wheel may have, in inches or mm."""
    from advisor.trade.limits import steering_fact

    return steering_fact(_length(" ".join(words), "diameter"), _length(play, "play"), _length(linkage, "linkage"))


@_asked("toe", "toe 3/32 --makers 1/16")
@_words("READING")
@click.option("--makers", metavar="LENGTH", required=True, help="The maker's setting; toe-out is below zero.")
def _toe(words: tuple[str, ...], makers: str) -> Fact:
    """Whether toe fits the maker's setting; toe-out is below zero."""
    from advisor.trade.limits import toe_fact

    return toe_fact(_length(" ".join(words), "reading"), _length(makers, "makers"))


@_asked("lining", "lining bonded 3/32")
@click.argument("kind", metavar="KIND")
@_words("THICKNESS", required=False)
def _lining(kind: str, words: tuple[str, ...]) -> Fact:
    """Whether a brake lining, riveted or bonded, is thick enough."""
    from advisor.trade.limits import lining_fact

    return lining_fact(kind.lower(), _length(" ".join(words) or None, "thickness"))


@_asked("pedal", "pedal 6 --pressed 1.2")
@_words("FREE")
@click.option("--pressed", metavar="LENGTH", required=True, help="Height above the floor when pressed.")
def _pedal(words: tuple[str, ...], pressed: str) -> Fact:
    """Whether a brake pedal keeps enough travel; heights above the floor."""
    from advisor.trade.limits import pedal_fact

    return pedal_fact(_length(" ".join(words), "free"), _length(pressed, "pressed"))


# ---- under the hood ------------------------------------------------------------------------------------------------


@_asked("battery", "battery 12.4 --temperature 40")
@_words("VOLTS")
@click.option("--temperature", default="80", metavar="DEGREES", help="The battery's own, in degF if no unit is named.")
def _battery(words: tuple[str, ...], temperature: str) -> Fact:
    """How full a rested 12-volt battery is."""
    from advisor.cli.typed import measured
    from advisor.trade.battery import battery_fact

    return battery_fact(measured(" ".join(words), "V", "volts"), measured(temperature, "degF", "temperature"))


@_asked("coolant", "coolant 50%")
@_words("SHARE")
def _coolant(words: tuple[str, ...]) -> Fact:
    """When a mix of water and ethylene glycol freezes."""
    from advisor.cli.typed import share
    from advisor.trade.coolant import coolant_fact

    return coolant_fact(share(" ".join(words), "share"))


@_asked("compression", "compression 150 148 152 110 --rule three_quarters")
@_words("READINGS")
@click.option(
    "--rule", metavar="RULE", help="three_quarters, seventy_and_100_psi or within_10_psi; all, if none is named."
)
@click.option("--wet", metavar="READINGS", help='The same cylinders with oil in them, as "155 150 154 128".')
def _compression(words: tuple[str, ...], rule: str | None, wet: str | None) -> Fact:
    """What an engine's compression says, by each published rule."""
    from advisor.cli.typed import readings
    from advisor.trade.engine import compression_fact

    dry = readings(" ".join(words), "psi", "readings")
    oiled = None if wet is None else readings(wet, "psi", "wet")
    return compression_fact(dry, None if rule is None else rule.lower().replace("-", "_"), oiled)


@_asked("leak-down", "leak-down 12%")
@_words("SHARES")
def _leak_down(words: tuple[str, ...]) -> Fact:
    """What the share of air that cylinders lose is called; a gauge's 72/80 will do."""
    from advisor.cli.typed import leaks
    from advisor.trade.engine import leak_down_fact

    return leak_down_fact(leaks(" ".join(words), "shares"))


@_asked("code", "code P0420")
@_words("CODE")
def _code(words: tuple[str, ...]) -> Fact:
    """What the five characters of a trouble code say."""
    from advisor.trade.codes import code_fact

    return code_fact(" ".join(words))


@_asked("readiness", "readiness 1997 --not-ready 3")
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
        monitors=None if monitors is None else whole(monitors, "monitors"),
        stored=None if stored is None else whole(stored, "stored"),
        diesel=diesel,
    )
