"""`advisor judge`: what it adds to a car before it is judged, and how the report is shown or written.

In: answers, a table of comparables, a judgment, the width of the terminal. Out: answers and text. What is wrong with an
option ends the command with exit code 2.
"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from advisor.judging.judge import Judge
    from advisor.judging.judgment import Judgment
    from advisor.language.answers import Answers

__all__ = ["refuse_what_is_no_page", "report_text", "with_table"]


def refuse_what_is_no_page(path: Path) -> None:
    """Write over an earlier page only: never over the car itself, its rules, or anything else."""
    if not path.is_file():  # where something else is there, the attempt to write says what is wrong
        return
    try:
        with path.open("rb") as file:
            start = file.read(64)
    except OSError:
        start = b"?"
    if start and not start.lstrip().lower().startswith((b"<!doctype html", b"<html")):
        raise click.UsageError(f"--html {path} is there already and is no page; name another file")


def with_table(answers: Answers, file: Path, judge_: Judge) -> Answers:
    """The car with the comparables of a table as well as its own."""
    from datetime import date

    from attrs import evolve

    from advisor.cli.comps import read_table

    if judge_.program.comparing is None:
        raise click.UsageError("these rules do not say what comparables tell; they need a block `comparables for`")
    table = read_table(file, answers.day or date.today(), judge_.program.currency_code)
    return evolve(answers, comparables=answers.comparables + table.comparables)


def report_text(judgment: Judgment, everything: bool, width: int) -> str:
    """The report as this terminal, file or pipe can show it."""
    import sys

    from advisor.report.composing import compose
    from advisor.report.lines import document_lines

    document = compose(judgment, brief=not everything)
    if width < 60:
        return document_lines(document, width, everything)
    from advisor.report.terminal import terminal_text

    signs = "utf" in (sys.stdout.encoding or "").lower()
    return terminal_text(document, width, everything=everything, color=sys.stdout.isatty(), signs=signs)
