"""What most commands begin with: rules to judge by, and a car's answers.

In: the words of the command line. Out: a judge, answers. Whatever is wrong is shown and ends the command with exit 1.
"""

from __future__ import annotations

import os
from collections.abc import Iterable
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, NoReturn

import click

from advisor.cli.printing import error_width, say

if TYPE_CHECKING:
    from advisor.book.record import Record
    from advisor.judging.judge import Judge
    from advisor.language.answers import Answers
    from advisor.language.problems import Problem
    from advisor.language.program import Program
    from advisor.language.source import Source
    from advisor.readings.compiled import Readings
    from advisor.trade.comparables import Comparable

__all__ = ["answers_of", "car_and_rules", "fail", "load_judge", "load_readings", "read_answers", "rules_of"]


def car_and_rules(car: Path, rules: Path | None) -> tuple[Judge, Answers]:
    """A judge and a car's answers, of a file, or of the deal book where no file has that name: then by the rules that
    it was walked by, if none are named. Ends the command if either has a problem."""
    record = _in_book(car)
    if record is None:
        if car.name == str(car) and not car.suffix and not os.path.exists(car):
            from advisor.report.clean import clean

            raise click.UsageError(clean(f"there is no file {car}, and no car of that name; `advisor cars` lists them"))
        judge_ = load_judge(rules)
        return judge_, _read_file(car, judge_)
    from advisor.language.source import Source
    from advisor.report.clean import clean

    judge_ = load_judge(rules or rules_of(str(car), record))
    answers, told = answers_of(record, judge_.program)
    for text in told:
        click.echo(clean(text), err=True)
    _tell_other_rules(answers, judge_, Source(str(car), ""))
    return judge_, answers


def answers_of(record: Record, program: Program) -> tuple[Answers, list[str]]:
    """The answers of the book as these rules read them, and what is said of those that do not fit any more: they stay
    in the book, and count as not asked."""

    from advisor.language.answers import Answers, read_answer
    from advisor.language.values import Unreadable

    values, unasked, told = {}, {}, []
    for name, text in record.values.items():
        question = program.questions.get(name)
        if question is None:
            unasked[name] = text
            continue
        try:
            values[name] = read_answer(text, question, program.currency)
        except Unreadable:
            told.append(f"to be asked again: `{text}` is no answer to {name.replace('_', ' ')} any more")
    told += [
        f"left out: these rules know no fault {n}" for n in (*record.told, *record.denied) if n not in program.faults
    ]
    day = date.fromisoformat(record.day) if record.day else None
    answers = Answers(
        title=record.title,
        day=day,
        values=values,
        notes=record.notes,
        rules="".join(record.rules[-1:]),
        comparables=_comparables(record, program, day, told),
        told=tuple(n for n in record.told if n in program.faults),
        denied=tuple(n for n in record.denied if n in program.faults),
        unasked=unasked,
    )
    return answers, told


def _comparables(record: Record, program: Program, day: date | None, told: list[str]) -> tuple[Comparable, ...]:
    """The comparables of a record, where the rules look at any; `told` gets what cannot be read."""
    if not record.comparables or program.comparing is None:
        return ()
    from advisor.language.comparable_lines import UnreadablePart, read_comparable
    from advisor.language.source import Source

    made = []
    for row, text in enumerate(record.comparables, 1):
        try:
            made.append(read_comparable(text, day, program.currency_code, row))
        except UnreadablePart as part:
            told.append(f"left out: {part.at(Source(record.title, '').span(0, 0)).message}")
    return tuple(made)


def rules_of(name: str, record: Record) -> Path | None:
    """The rules that a car of the book was walked by, None for the bundled ones; ends the command if they are gone."""
    if not record.rules_named:
        return None
    rules = Path(record.rules_named)
    if rules.suffix and not rules.exists():
        from advisor.report.clean import clean

        told = f"{name} was walked by {rules}, which is not there; put it back, or name other rules with --rules"
        raise click.ClickException(clean(told))
    return rules


def load_judge(rules: Path | None) -> Judge:
    """A judge by rules; ends the command if they have an error."""
    from advisor.judging.judge import Judge

    return Judge(load_readings(rules))


def load_readings(rules: Path | None) -> Readings:
    """Rules to judge by; ends the command if they have an error."""
    from advisor.cli.rules import load_rules
    from advisor.language.problems import ProblemsFound

    try:
        readings, problems = load_rules(rules)
    except ProblemsFound as error:
        fail(error.problems)
    if problems:
        from advisor.report.problems import summary

        say(f"the rules have {summary(problems)}; see `advisor check`", err=True)
    return readings


def _in_book(car: Path) -> Record | None:
    """The car of the deal book that a name means."""
    from advisor.cli.books import recorded

    name = str(car)
    return None if car.name != name or car.suffix == ".car" or os.path.isfile(name) else recorded(name)


def _read_file(car: Path, judge_: Judge) -> Answers:
    """The answers of a recorded car."""
    from advisor.cli.library import read_text
    from advisor.language.source import Source
    from advisor.language.values import Unreadable

    name = str(car)
    try:
        return read_answers(Source(name, read_text(car, name)), judge_)
    except Unreadable as error:
        fail([error.at(Source(name, "").span(0, 0))])


def read_answers(source: Source, judge_: Judge) -> Answers:
    """The answers of a car's text."""
    from advisor.language.cars import read_car

    answers, problems = read_car(source, judge_.program)
    if problems:
        fail(problems)
    _tell_other_rules(answers, judge_, source)
    return answers


def _tell_other_rules(answers: Answers, judge_: Judge, source: Source) -> None:
    if answers.rules and answers.rules != judge_.program.digest:
        from advisor.language import catalogue
        from advisor.report.problems import render_problem

        click.echo(render_problem(catalogue.OTHER_RULES.at(source.span(0, 1)), error_width()), err=True)


def fail(problems: Iterable[Problem]) -> NoReturn:
    """Show problems and end the command."""
    from advisor.report.problems import render_problem, summary

    problems = list(problems)
    for problem in problems:
        click.echo(render_problem(problem, error_width()) + "\n", err=True)
    click.echo(summary(problems), err=True)
    raise SystemExit(1)
