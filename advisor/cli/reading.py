"""What most commands begin with: rules to judge by, and a car's answers.

In: the words of the command line. Out: a judge, answers. Whatever is wrong is shown and ends the command with exit 1.
"""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path
from typing import TYPE_CHECKING, NoReturn

import click

if TYPE_CHECKING:
    from advisor.judging.judge import Judge
    from advisor.language.cars import Answers
    from advisor.language.problems import Problem
    from advisor.language.source import Source

__all__ = ["car_and_rules", "fail", "load_judge", "read_answers", "read_recorded"]


def car_and_rules(car: Path, rules: Path | None) -> tuple[Judge, Answers]:
    """A judge and a car's answers; ends the command if either has a problem."""
    judge_ = load_judge(rules)
    return judge_, read_recorded(car, judge_)


def load_judge(rules: Path | None) -> Judge:
    """A judge by rules; ends the command if they have an error."""
    from advisor.cli.rules import load_rules
    from advisor.judging.judge import Judge
    from advisor.language.problems import ProblemsFound
    from advisor.report.problems import summary

    try:
        readings, problems = load_rules(rules)
    except ProblemsFound as error:
        fail(error.problems)
    if problems:
        click.echo(f"the rules have {summary(problems)}; see `advisor check`", err=True)
    return Judge(readings)


def read_recorded(car: Path, judge_: Judge) -> Answers:
    """A car's answers: of a file, or of the deal book where no file has that name."""
    from advisor.cli.books import recorded
    from advisor.cli.library import read_text
    from advisor.language.source import Source
    from advisor.language.values import Unreadable

    name = str(car)
    record = recorded(name) if not car.exists() and not car.suffix and car.name == name else None
    if record is not None:
        from advisor.book.record import record_text

        return read_answers(Source(name, record_text(record)), judge_)
    try:
        return read_answers(Source(name, read_text(car, name)), judge_)
    except Unreadable as error:
        fail([error.at(Source(name, "").span(0, 0))])


def read_answers(source: Source, judge_: Judge) -> Answers:
    """The answers of a car's text."""
    from advisor.language import catalogue
    from advisor.language.cars import read_car
    from advisor.report.problems import render_problem

    answers, problems = read_car(source, judge_.program)
    if problems:
        fail(problems)
    if answers.rules and answers.rules != judge_.program.digest:
        click.echo(render_problem(catalogue.OTHER_RULES.at(source.span(0, 1))), err=True)
    return answers


def fail(problems: Iterable[Problem]) -> NoReturn:
    """Show problems and end the command."""
    from advisor.report.problems import render_problem, summary

    problems = list(problems)
    for problem in problems:
        click.echo(render_problem(problem) + "\n", err=True)
    click.echo(summary(problems), err=True)
    raise SystemExit(1)
