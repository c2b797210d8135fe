"""The command `advisor`: wires everything together. The only place that prints; sets the exit code.

Exit 0 for any verdict, 1 for problems in rules or car, 2 for wrong usage. Results go to standard output,
diagnostics to standard error. Everything but click is imported when a command needs it, so that the first line
is on screen at once.
"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

import advisor
from advisor.cli.books import cars, export, import_
from advisor.cli.facts import fact
from advisor.cli.printing import Commands, error_width, page_width, print_data
from advisor.cli.reading import car_and_rules, fail, load_judge
from advisor.cli.writing import replace_file

if TYPE_CHECKING:
    from advisor.language.problems import Problem

__all__ = ["main"]

_RULES = click.option(
    "--rules",
    type=click.Path(path_type=Path),
    metavar="FILE",
    help="Judge by these rules, a file or the bare name of bundled ones, not by the bundled house rules.",
)
_CAR = click.argument("car", type=click.Path(path_type=Path))
_JSON = click.option("--json", "as_json", is_flag=True, help="Print data, not words.")


@click.group(cls=Commands, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(advisor.__version__, prog_name="advisor", message="%(prog)s %(version)s")
def main() -> None:
    """Judge used cars by your own rules of thumb, and see why."""


main.add_command(fact)


# ---- check -----------------------------------------------------------------------------------------------------


@main.command()
@click.argument("files", nargs=-1, type=click.Path(path_type=Path), metavar="FILE...")
@click.option("--explain", metavar="CODE", help="Explain a kind of problem by its code.")
@_JSON
@click.pass_context
def check(context: click.Context, files: tuple[Path, ...], explain: str | None, as_json: bool) -> None:
    """Check rule files, and run their cases."""
    if explain:
        _explain(explain)
        return
    if not files:
        raise click.UsageError("name a rule file to check, or --explain CODE")
    for path in files:
        if path.suffix == ".car":
            raise click.UsageError(f"{path} is a recorded car: use `advisor judge {path}`")
    from advisor.report.problems import problem_data, render_problem, summary

    found: list[Problem] = []
    checked = 0
    for path in files:
        problems, cases = _checked(path)
        found += [p for p in problems if p not in found]
        checked += cases
    if as_json:
        print_data({"problems": [problem_data(p) for p in found], "cases": checked})
    else:
        for problem in found:
            click.echo(render_problem(problem, error_width()) + "\n", err=True)
        ran = f", {_count(checked, 'case')} run" if checked else ""
        click.echo(f"{_count(len(files), 'file')} checked{ran}: {summary(found)}")
    context.exit(1 if any(p.stops for p in found) else 0)


def _checked(path: Path) -> tuple[tuple[Problem, ...], int]:
    """The problems of a rule file, those of its cases too, and how many cases ran."""
    from advisor.cli.rules import check_rules

    checked, _ = check_rules(path)
    if checked.program is None:
        return checked.problems, 0
    from advisor.judging.cases import run_cases
    from advisor.judging.judge import Judge
    from advisor.readings.compiled import Readings

    failed = run_cases(Judge(Readings(checked.program)))
    return (*checked.problems, *failed), len(checked.program.cases)


def _explain(code: str) -> None:
    from advisor.language.catalogue import KINDS
    from advisor.report.problems import explain

    kind = KINDS.get(code.upper())
    if kind is None:
        raise click.UsageError(f"there is no problem {code!r}; codes are {', '.join(KINDS)}")
    click.echo(explain(kind), nl=False)


# ---- judge and why ---------------------------------------------------------------------------------------------


@main.command()
@_CAR
@_RULES
@click.option("--html", type=click.Path(path_type=Path), metavar="FILE", help="Write the report as a page, too.")
@click.option("--all", "everything", is_flag=True, help="Print page two as well.")
@click.option("--comps", type=click.Path(path_type=Path), metavar="FILE", help="Add the comparables of a table (CSV).")
@_JSON
def judge(
    car: Path, rules: Path | None, html: Path | None, everything: bool, comps: Path | None, as_json: bool
) -> None:
    """Judge a recorded car: buy, renegotiate or pass, at which price, and why."""
    from advisor.cli.judging import refuse_what_is_no_page, report_text, with_table
    from advisor.language.problems import ProblemsFound

    if html:
        refuse_what_is_no_page(html)
    judge_, answers = car_and_rules(car, rules)
    if comps:
        answers = with_table(answers, comps, judge_)
    try:
        judgment = judge_.judge(answers)
    except ProblemsFound as error:
        fail(error.problems)
    if html:
        from advisor.report.composing import compose
        from advisor.report.page import html_page

        replace_file(html, html_page(compose(judgment)))
    if as_json:
        from advisor.report.data import judgment_data

        print_data(judgment_data(judgment))
        return
    click.echo(report_text(judgment, everything, page_width()), nl=False)


@main.command()
@_CAR
@click.argument("name")
@_RULES
@click.option("--deep", is_flag=True, help="Go all the way down.")
@_JSON
def why(car: Path, name: str, rules: Path | None, deep: bool, as_json: bool) -> None:
    """Show where a quantity or a rule comes from, down to answers and settings."""
    from advisor.judging.derivation import NeedsAnswers, derive, names
    from advisor.language.problems import ProblemsFound, nearest

    judge_, answers = car_and_rules(car, rules)
    try:
        steps = derive(judge_, answers, name)
    except KeyError:
        guess = nearest(name, names(judge_.program))
        hint = f"did you mean {guess}?" if guess else "name a quantity, rule, fault, question or setting of the rules"
        raise click.UsageError(f"the rules know no {name!r}: {hint}") from None
    except NeedsAnswers as error:
        click.echo(f"`{name}` needs an answer to: {', '.join(error.questions)}", err=True)
        raise SystemExit(1) from None
    except ProblemsFound as error:
        fail(error.problems)
    if as_json:
        from advisor.report.data import derivation_data

        print_data(derivation_data(steps))
        return
    from advisor.report.tracing import derivation_lines

    click.echo(derivation_lines(steps, page_width(), deep), nl=False)


# ---- fmt ---------------------------------------------------------------------------------------------------------


@main.command()
@click.argument("files", nargs=-1, required=True, type=click.Path(path_type=Path), metavar="FILE...")
@click.option("--check", "check_only", is_flag=True, help="Change nothing; exit 1 if a file would change.")
@click.pass_context
def fmt(context: click.Context, files: tuple[Path, ...], check_only: bool) -> None:
    """Lay rule files out in the one usual way; comments stay."""
    from advisor import resources
    from advisor.cli.library import read_text
    from advisor.language.blocks import cut
    from advisor.language.formatting import formatted
    from advisor.language.linking import parse_source
    from advisor.language.parsing import grammar
    from advisor.language.source import Source
    from advisor.language.values import Unreadable
    from advisor.report.problems import render_problem

    changed = failed = 0
    for path in files:
        name = str(path)
        try:
            source = Source(name, read_text(path, name))
            if path.suffix == ".car":
                problems = cut(source)[1]
            else:
                problems = list(parse_source(grammar(resources.grammar_text()), source).problems)
        except Unreadable as error:
            problems = [error.at(Source(name, "").span(0, 0))]
        if problems:
            failed += 1
            for problem in problems:
                click.echo(render_problem(problem, error_width()) + "\n", err=True)
            continue
        text = formatted(source.text)
        if text == source.text:
            continue
        changed += 1
        if check_only:
            click.echo(f"would change {name}")
        else:
            replace_file(path, text)
            click.echo(f"changed {name}")
    context.exit(1 if failed or (check_only and changed) else 0)


# ---- walk and book -----------------------------------------------------------------------------------------------


@main.command()
@click.argument("name", required=False)
@_RULES
@click.option(
    "--quick/--in-order",
    default=None,
    help="Ask in the order that makes the verdict certain soonest, or in that of the rules. A car goes on as it began.",
)
@click.option("--plain", is_flag=True, help="Bare lines, for a screen reader or a slow link.")
@click.option("--pocket", is_flag=True, help="No money on the screen, beside the seller.")
@click.pass_context
def walk(
    context: click.Context, name: str | None, rules: Path | None, quick: bool | None, plain: bool, pocket: bool
) -> None:
    """Ask a car's questions one by one, and judge it meanwhile. NAME is the car in the deal book; each answer is kept
    there before the next question shows, and the same command goes on where it stopped."""
    from advisor.cli.walking import run_walk

    context.exit(run_walk(name, rules, quick=quick, plain=plain, pocket=pocket))


main.add_command(cars)
main.add_command(export)
main.add_command(import_)


# ---- sheet -------------------------------------------------------------------------------------------------------


@main.command()
@_RULES
@click.option("--html", type=click.Path(path_type=Path), metavar="FILE", help="Write a page to print instead.")
def sheet(rules: Path | None, html: Path | None) -> None:
    """Print the walk's questions as a checklist for pencil: in pages, or as wide as the terminal."""
    from advisor.cli.judging import refuse_what_is_no_page
    from advisor.cli.sheets import sheet_html, sheet_text
    from advisor.report.clean import clean

    if html is None:
        click.echo(sheet_text(load_judge(rules).program, page_width()), nl=False)
        return
    refuse_what_is_no_page(html)
    replace_file(html, sheet_html(load_judge(rules).program))
    click.echo(f"written to {clean(str(html))}: open it in a browser, and print it", err=True)


# ---- comps -------------------------------------------------------------------------------------------------------


@main.command()
@click.argument("file", type=click.Path(path_type=Path))
@_RULES
@click.option("--year", metavar="YEAR", help="The car's model year.")
@click.option("--miles", metavar="MILES", help="What its odometer shows, as 141000, 141k or 227000 km.")
@click.option("--on", metavar="DATE", help="The day it is judged for; today, if none is named.")
@click.option(
    "--currency", default="USD", type=click.Choice(["USD", "GBP", "EUR", "CAD", "AUD", "NZD"]), show_default=True
)
@_JSON
def comps(
    file: Path,
    rules: Path | None,
    year: str | None,
    miles: str | None,
    on: str | None,
    currency: str,
    as_json: bool,
) -> None:
    """Say what a car brings, from a table (CSV) of others like it that were asked for or sold."""
    from advisor.cli.comps import run_comps

    data, text = run_comps(load_judge(rules), file, year, miles, on, currency, page_width())
    if as_json:
        print_data(data)
    else:
        click.echo(text, nl=False)


def _count(number: int, what: str) -> str:
    return f"{number} {what}" + ("" if number == 1 else "s")
