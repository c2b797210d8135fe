"""The walk on a plain terminal: a question, a prompt, an answer, line by line.

In: a judge, answers so far, and a way to keep them. It prints, reads lines and ends with the report. A closed or
exhausted input ends it as `q` does; every answer was kept before the next question was shown.
"""

from __future__ import annotations

import textwrap
from collections.abc import Callable
from datetime import date
from pathlib import Path

import click
from attrs import evolve

from advisor.judging.judge import Judge
from advisor.judging.judgment import Judgment
from advisor.language.cars import Answers
from advisor.language.problems import ProblemsFound
from advisor.language.program import Question
from advisor.language.types import YesNo
from advisor.language.values import Unreadable
from advisor.report.clean import clean
from advisor.report.lines import judgment_lines
from advisor.walk.recording import car_text
from advisor.walk.session import Walk, expects, mistake, said

__all__ = ["run_walk"]

_KEYS = (
    ("b", "back"), ("s", "skip"), ("?", "can't tell"), ("x", "not allowed to look"), ("n", "note"), ("w", "why asked"),
    ("h", "how to check"), ("v", "verdict so far"), ("q", "stop"),
)  # fmt: skip


def run_walk(
    judge: Judge, path: Path | None, answers: Answers | None, keep: Callable[[str], object], width: int
) -> None:
    """Ask what is open, keep each answer, and judge."""
    start = answers or Answers(title=path.stem if path else "A car")
    walk = Walk(judge, start if start.day else evolve(start, day=date.today()))
    _say("Keys: " + ", ".join(f"{k} {what}" for k, what in _KEYS), width)
    station: int | None = None
    while question := walk.next():
        if question.station != station and question.station is not None:
            station = question.station
            _station(judge, station, width)
        step = _ask(walk, question, width)
        if step is None:
            break
        walk = step
        keep(car_text(walk.answers, judge.program))
    click.echo("")
    judgment = _judged(walk)
    if judgment:
        click.echo(judgment_lines(judgment, width), nl=False)
    if path:
        click.echo(f"kept in {clean(str(path))}", err=True)


def _station(judge: Judge, at: int, width: int) -> None:
    station = judge.program.stations[at]
    click.echo("")
    _say(f"-- {station.title}", width)
    for danger in station.dangers:
        _say(f"! {danger}", width)


def _ask(walk: Walk, question: Question, width: int) -> Walk | None:
    """One question until it is dealt with; None to stop."""
    currency = walk.judge.program.currency
    click.echo("")
    _say(question.text, width)
    _say(f"({expects(question, currency)})", width)
    while True:
        line = _read()
        if line is None or line == "q":
            return None
        match line:
            case "":
                _say("an answer, or s to skip", width)
            case "b":
                return walk.back()
            case "s":
                return walk.skip(question)
            case "x":
                return walk.answered(question, "refused")
            case "w":
                _say(question.why or "No reason is given in the rules.", width)
            case "h":
                _say(question.how or "Nothing is said about how.", width)
            case "v":
                _verdict(walk, width)
            case _ if (line == "n" and not _is_answer(question, "n")) or line.startswith("n "):
                note = line[2:].strip() or _read() or ""
                walk = walk.noted(note)
                _say("noted", width)
            case _:
                try:
                    after = walk.answered(question, line)
                except Unreadable as error:
                    _say(mistake(error, question, currency), width)
                    continue
                understood = said(after.answers, question, currency)
                if understood != line:
                    _say(f"= {understood}", width)
                return after


def _is_answer(question: Question, letter: str) -> bool:
    """Whether a letter is an answer to a yes/no question: there a note is `n` and a text."""
    return isinstance(question.type, YesNo) and letter in "yn"


def _read() -> str | None:
    try:
        return clean(input("> ").strip())
    except (EOFError, KeyboardInterrupt):
        return None


def _verdict(walk: Walk, width: int) -> None:
    judgment = _judged(walk)
    if judgment is None:
        return
    possible = ", ".join(judgment.possible)
    _say(f"on the plan: {judgment.deal.verdict if judgment.deal else 'not yet'}; still possible: {possible}", width)


def _judged(walk: Walk) -> Judgment | None:
    try:
        return walk.judgment()
    except ProblemsFound as error:
        for problem in error.problems:
            click.echo(clean(problem.message), err=True)
        return None


def _say(text: str, width: int) -> None:
    for line in textwrap.wrap(clean(text), max(width, 20), subsequent_indent="  ", break_on_hyphens=False):
        click.echo(line)
