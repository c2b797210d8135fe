"""`advisor comps`: what a car brings, from a table of others like it.

In: a CSV file, the car's year, miles and day. Out: the range and the grid on standard output. Every problem of the
file goes to standard error, and there is no estimate before they are mended: one from the rows that happened to be
right would differ from the one that was asked for, and nobody would see it.
"""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import TYPE_CHECKING, Any, NoReturn, TypeVar

import click

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable

    from advisor.language.adverts import Adverts
    from advisor.language.problems import Problem
    from advisor.trade.comparables import Market, Valuation

__all__ = ["run_comps", "usual_market"]

_Read = TypeVar("_Read")


def usual_market() -> Market:
    """The figures by which comparables are judged where no rules give their own."""
    from advisor.trade.comparables import Market

    return Market(
        private=Decimal("0.93"),  # 7 % off the asking price: house figure, as `haggle` in rulesets/money.tell
        dealer=Decimal("0.87"),  # a dealer asks 15 % more than a private sale brings: house figure
        auction=Decimal("1.20"),  # auctions bring a sixth less than private sales: house figure
        stands=Decimal(45),  # a car unsold after 45 days is priced wrong: common practice
        a_year=Decimal("0.06"),  # a model year of an older car: house figure
        per_10k=Decimal("0.03"),  # 10,000 miles of an older car: house figure
        rough=Decimal("0.70"),  # against a good one: house figure
        fair=Decimal("0.88"),  # against a good one: house figure
        excellent=Decimal("1.10"),  # against a good one: house figure
        branded=Decimal("0.70"),  # from memory: quoted everywhere in the trade, with no survey behind it
        spread=Decimal("0.15"),  # how far prices of like cars stray: house figure
    )


def run_comps(
    file: Path, year: str | None, miles: str | None, on: str | None, currency: str, width: int
) -> tuple[dict[str, Any], str]:
    """The estimate as data and as text. Ends the command with exit code 2 where the file or an option is wrong."""
    import textwrap

    from advisor.language.cells import read_miles, read_year
    from advisor.language.units import CURRENCIES
    from advisor.report.grid import valuation_data, valuation_lines
    from advisor.trade.comparables import estimate

    day = _day(on)
    this_year = _option("--year", year, lambda text: read_year(text, day))
    this_miles = _option("--miles", miles, read_miles)
    adverts = _adverts(file, day, currency)
    found = estimate(adverts.comparables, this_year, this_miles, day, usual_market())
    found = _with_notes(found, adverts.notes)
    car = {"year": this_year, "miles": None if this_miles is None else str(this_miles), "on": day.isoformat()}
    told = [str(this_year or ""), f"{this_miles:,} mi" if this_miles is not None else "", day.isoformat()]
    head = textwrap.wrap("A car like these: " + ", ".join(filter(None, told)), width)
    text = "\n".join([*head, "", *valuation_lines(found, CURRENCIES[currency], width)]) + "\n"
    return {"car": car, "currency": currency, **valuation_data(found)}, text


def _with_notes(found: Valuation, notes: tuple[str, ...]) -> Valuation:
    from attrs import evolve

    return evolve(found, notes=found.notes + notes)


def _day(text: str | None) -> date:
    """The day the car is judged: the option, or today."""
    if text is None:
        return date.today()
    try:
        return date.fromisoformat(text)
    except ValueError:
        raise click.UsageError(f"--on {text!r} is no date; write year, month and day, as 2026-04-11") from None


def _option(name: str, text: str | None, read: Callable[[str], _Read]) -> _Read | None:
    """An option's value, read as the cells of a table are."""
    from advisor.language.cells import CellProblem

    if text is None:
        return None
    try:
        return read(" ".join(text.split()))
    except CellProblem as error:
        raise click.UsageError(f"{name} {text!r} cannot be read: {error.words['cure']}") from None


def _adverts(file: Path, on: date, currency: str) -> Adverts:
    """The comparables of a file that has no problem."""
    from advisor.cli.library import read_text
    from advisor.language.adverts import read_adverts
    from advisor.language.source import Source
    from advisor.language.values import Unreadable

    name = str(file)
    try:
        source = Source(name, read_text(file, name))
    except Unreadable as error:
        _refuse([error.at(Source(name, "").span(0, 0))])
    adverts = read_adverts(source, on, currency)
    if adverts.problems:
        _refuse(adverts.problems)
    return adverts


def _refuse(problems: Iterable[Problem]) -> NoReturn:
    from advisor.report.problems import render_problem, summary

    problems = list(problems)
    for problem in problems:
        click.echo(render_problem(problem) + "\n", err=True)
    click.echo(f"{summary(problems)}; no estimate before the file is right", err=True)
    raise SystemExit(2)
