"""`advisor comps`: what a car brings, from a table of others like it.

In: a CSV file, the car's year, miles and day. Out: the range and the grid on standard output. Every problem of the
file goes to standard error, and there is no estimate before they are mended: one from the rows that happened to be
right would differ from the one that was asked for, and nobody would see it.
"""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any, NoReturn, TypeVar

import click

from advisor.cli.printing import error_width

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable

    from advisor.judging.judge import Judge
    from advisor.language.adverts import Adverts
    from advisor.language.problems import Problem
    from advisor.trade.comparables import Market, Valuation

__all__ = ["read_table", "run_comps"]

_Read = TypeVar("_Read")


def _market(judge: Judge) -> Market:
    """The figures by which the rules judge comparables."""
    from advisor.judging.valuing import market_of

    comparing = judge.program.comparing
    if comparing is None:
        raise click.UsageError("these rules do not say what comparables tell; they need a block `comparables for`")
    return market_of(judge.program, comparing)


def run_comps(
    judge: Judge, file: Path, year: str | None, miles: str | None, on: str | None, currency: str, width: int
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
    adverts = read_table(file, day, currency)
    found = estimate(adverts.comparables, this_year, this_miles, day, _market(judge))
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


def read_table(file: Path, on: date, currency: str) -> Adverts:
    """The comparables of a file that has no problem; else ends the command."""
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
        click.echo(render_problem(problem, error_width()) + "\n", err=True)
    click.echo(f"{summary(problems)}; no estimate before the file is right", err=True)
    raise SystemExit(2)
