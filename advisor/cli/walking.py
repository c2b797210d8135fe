"""The walk on a terminal or from a pipe: wires session, book, screen and report together.

In: the words of the command line. Out: an exit code: 0 where the walk came to its end, to a certain verdict or was
stopped at a terminal; 3 where a pipe ended with questions left open. Each answer is in the book before the next
question shows. Where the book fails, the walk ends with one line, and prints what could not be kept.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Callable, Iterator
from datetime import date
from io import TextIOWrapper
from pathlib import Path
from typing import TYPE_CHECKING

import click

from advisor.book.record import Event
from advisor.book.store import Book, BookFault
from advisor.cli.books import failed, usual_book
from advisor.cli.keeping import Keeper
from advisor.cli.printing import page_width
from advisor.cli.reading import answers_of, fail, load_readings, rules_of
from advisor.cli.rules import kept_name
from advisor.cli.screens import PipeScreen, Screen
from advisor.language import catalogue
from advisor.language.answers import Answers
from advisor.language.problems import ProblemsFound
from advisor.report.clean import clean
from advisor.walk.lines import Line
from advisor.walk.session import Change, FileOrder, Judging, Walk
from advisor.walk.telling import all_asked, asked, certain, left_out, moved, station_heading, verdict_lines
from advisor.walk.typed import Mistake

if TYPE_CHECKING:
    from advisor.book.record import Record
    from advisor.language.program import Program, Question
    from advisor.walk.session import Order

__all__ = ["ask_all", "run_walk"]

_OPEN_LEFT = 3
_FEW = 12


def run_walk(name: str | None, rules: Path | None, *, quick: bool | None, plain: bool, pocket: bool) -> int:
    """Walk a car of the book, or a nameless one that is not kept."""
    if name and (name.endswith(".car") or "/" in name or os.sep in name):
        raise click.UsageError(
            clean(f"{name} is a file: bring it into the book with `advisor import {name}`, then walk it by its name")
        )
    book = usual_book() if name else None
    try:
        return _walked(book, name, rules, quick=quick, plain=plain, pocket=pocket)
    except BookFault as fault:
        raise failed(fault) from None
    finally:
        if book:
            book.connection.close()


def _walked(
    book: Book | None, name: str | None, rules: Path | None, *, quick: bool | None, plain: bool, pocket: bool
) -> int:
    record = book.record(name) if book and name else None
    named = rules or (rules_of(name or "", record) if record else None)
    judging = Judging(load_readings(named))
    program = judging.program
    if not program.judges:
        fail([catalogue.NO_VERDICT.at(program.sources[0].span(0, 0))])
    keeper = Keeper(book, name or "", record)
    screen = _screen(plain=plain)
    if book is None:
        screen.aside("This walk has no name, so nothing of it is kept; `advisor walk NAME` keeps a car.")
    if record and book and not record.day:  # a record that came in without one
        record = keeper.record = book.add(name or "", [Event("dated", text=str(date.today()))], record.last)
    answers, told = answers_of(record, program) if record else (Answers(title=name or "A car", day=date.today()), [])
    screen.show([Line("wrong", text) for text in told])
    if quick is None:
        same = record is not None and record.rules_named == kept_name(named)
        quick = same and record is not None and "quick" in record.stood[1].split()
    walk = Walk(
        judging, _order(judging, quick=quick), answers, pocket=pocket, quick=quick, asks_all=not screen.waits,
        trail=tuple(n for n in (record.trail if record else ()) if n in program.questions),
        skipped=frozenset(record.skipped if record else ()) & program.questions.keys(),
    )  # fmt: skip
    if record:
        walk = walk.stands(*record.stood)
    keeper.open(walk, kept_name(named))
    if record:
        screen.show([Line("told", text) for text in _welcome(record, program, kept_name(named))])
        if quick:
            screen.show([Line("told", "The quick order; --in-order asks in that of the rules.")])
    _keep(_elsewhere(walk, keeper), screen, keeper)
    if walk.pocket:
        screen.show([Line("told", "No money on the screen; p shows it.")])
    if screen.waits and not record:
        screen.show([Line("told", "k lists the keys.")])
    walk, closed = ask_all(walk, screen, keeper)
    return _finish(walk, screen, keeper, closed=closed)


def _welcome(record: Record, program: Program, named: str) -> list[str]:
    """What somebody is told who goes on with a car."""
    told = _ruled(record, program, named)
    if record.decided:
        what, price = record.decided
        told.append(f"Decided so far: {what.replace('_', ' ')}{f' at {price}' if price else ''}.")
    return told


def _ruled(record: Record, program: Program, named: str) -> list[str]:
    """By which rules it goes on."""
    if record.rules[-1:] in ((), (program.digest,)):
        many = f"{len(record.values)} answers are" if len(record.values) != 1 else "1 answer is"
        return [f"{many} kept; on where it stopped."]
    if record.rules_named != named:
        return [f"It goes on by other rules: {program.title}. What they ask is asked; every answer stays."]
    from advisor.walk.changed import changes, fingerprint

    return changes(record.sketch, fingerprint(program))


def _order(judging: Judging, *, quick: bool) -> Order:
    if quick:
        from advisor.judging.asking import QuickOrder

        return QuickOrder(judging.readings)
    return FileOrder(tuple(judging.program.questions))


def _screen(*, plain: bool) -> Screen:
    if sys.stdin is None or not sys.stdin.isatty():
        if isinstance(sys.stdin, TextIOWrapper):  # a sign in another encoding is no answer, and no end of the walk
            sys.stdin.reconfigure(errors="replace")
        return PipeScreen()
    if plain or not sys.stdout.isatty() or os.environ.get("TERM") == "dumb":
        return Screen()
    from advisor.cli.screens import FullScreen

    return FullScreen()


# ---- asking --------------------------------------------------------------------------------------------------------


def ask_all(walk: Walk, screen: Screen, keeper: Keeper) -> tuple[Walk, bool]:
    """Ask until the end; the walk then, and whether the input was closed before."""
    station: int | None = -1
    show, said = True, [""]
    while True:
        shown: Question | None = None
        if show and walk.question is not None and not _nearly_done(walk):
            shown, station = walk.question, _present(walk, walk.question, screen, station)
        if show or walk.question is None:
            before, walk = walk.standing, walk.weighed()
            screen.show(moved(walk, before))
            if walk.question is not None and walk.question is not shown:  # only now is it known what is asked
                station, show = _present(walk, walk.question, screen, station), True
        if walk.question is None and not (walk.paused or screen.waits):
            return walk, False
        if show:
            screen.show(_beneath(walk, screen.width(), said))
        line = screen.read(walk.question)
        if line is None:
            return walk, True
        from advisor.walk.responding import Step, respond, with_note

        step = respond(walk, line)
        if step.missed and not screen.waits and walk.question is not None:  # the next line is for the next question
            screen.show([*step.lines, Line("told", f"left open: {walk.question.name}")])
            step = Step(walk.skip(walk.question.name), changes=(Change("skipped", walk.question.name),))
        if step.asks:
            step = with_note(walk, screen.read(None, step.asks) or "")
        changes = [Event(c.kind, c.about, c.text) for c in step.changes]
        _keep([*changes, *_elsewhere(step.walk, keeper)], screen, keeper)
        screen.show(step.lines)
        said = [known.text for known in step.lines]
        if step.ends:
            return step.walk, False
        show = step.walk is not walk or len(step.lines) > 2
        walk = step.walk


def _nearly_done(walk: Walk) -> bool:
    """Whether the next answer may well make it certain: then it is weighed first, which takes little by now, so that
    no question is shown in vain."""
    return walk.standing is not None and len(walk.standing.matter) <= _FEW


def _present(walk: Walk, question: Question, screen: Screen, station: int | None) -> int | None:
    """Show a question, with its station if one comes from another; the station where one is then."""
    if question.station != station:
        screen.show(station_heading(walk, question.station))
    screen.show(asked(walk, question))
    return question.station


def _beneath(walk: Walk, width: int, said: list[str]) -> list[Line]:
    """What stands under a question, or instead of one; `said` was said just before, and is not said again."""
    if walk.paused:
        return [line for line in certain(walk) if not any(line.text in known for known in said)]
    if walk.question is not None:
        return verdict_lines(walk, width)
    return left_out(walk) if walk.put_off else [*verdict_lines(walk, width), all_asked()]


def _elsewhere(walk: Walk, keeper: Keeper) -> list[Event]:
    """Where the walk stands now, if the book knows it elsewhere."""
    now = walk.stood
    if keeper.record is None or keeper.record.stood == (now.about, now.text):
        return []
    return [Event("stood", now.about, now.text)]


def _keep(events: list[Event], screen: Screen, keeper: Keeper) -> None:
    """Put what was said into the book; where that fails, print it, so that it is not lost."""
    try:
        keeper.keep(events)
    except BookFault:
        lost = [Line("list", _as_written(e)) for e in events if e.kind != "stood"]
        screen.show([Line("wrong", "not kept:"), *lost] if lost else [])
        raise


def _as_written(event: Event) -> str:
    match event.kind:
        case "answered":
            return f"{event.about} = {event.text}"
        case "noted":
            return f'note "{event.text}"'
        case "own":
            return f'own "{event.about}" {event.text}'
        case "decided" if event.text:
            return f"decided {event.about} at {event.text}"
    return f"{event.kind} {event.about}"


# ---- the end -------------------------------------------------------------------------------------------------------


def _finish(walk: Walk, screen: Screen, keeper: Keeper, *, closed: bool) -> int:
    """Where the walk is done: each partner's own number, the page to stand on, what was decided. Where it was broken
    off: how it stands."""
    from advisor.walk.finishing import partners_asked

    done = walk.certain or walk.question is None
    if done and not (closed or walk.pocket or walk.program.advice or partners_asked(walk.program)):
        _own_numbers(walk, screen, keeper)
    if not done and screen.waits:
        screen.show(verdict_lines(walk, screen.width()))
    elif not walk.pocket or (not closed and _wants_to_see(screen)):  # a key that ends it shows no money
        _report(walk, keeper, done=done)
        if done and not (closed or walk.program.advice) and keeper.book is not None:
            _decided(walk, screen, keeper)
    if keeper.book is not None:
        again = f"`advisor walk {keeper.name}` goes on, `advisor judge {keeper.name}` says it again"
        screen.aside(f"kept in the book; {again}")
    return _left_open(walk) if walk.open and not (screen.waits or walk.certain) else 0


def _wants_to_see(screen: Screen) -> bool:
    """Whether the verdict may be shown beside the seller."""
    screen.show([Line("told", "Enter shows the verdict, with money; q leaves it for later.")])
    return screen.read(None, "verdict") in ("", "v")


def _left_open(walk: Walk) -> int:
    """Say what a pipe did not answer."""
    left = walk.open
    click.echo(f"{len(left)} questions are left open:" if len(left) > 1 else "1 question is left open:", err=True)
    for name in left:
        click.echo(f"  {name}", err=True)
    return _OPEN_LEFT


def _own_numbers(walk: Walk, screen: Screen, keeper: Keeper) -> None:
    from advisor.walk.finishing import own_number

    screen.show(
        [Line("told", "The number that each of you wrote down before, as: Ann 3,100. Enter when there is no more.")]
    )
    for who, amount in _typed(screen, "own number", lambda line: own_number(line, walk.program)):
        _keep([Event("own", who, amount)], screen, keeper)
        screen.show([Line("now", f"noted: {who} {amount}")])


def _typed(screen: Screen, what: str, read: Callable[[str], tuple[str, str]]) -> Iterator[tuple[str, str]]:
    """What was typed, as it is read, until an empty line or q; a mistake is told."""
    while (line := (screen.read(None, what) or "").strip()) not in ("", "q"):
        try:
            found = read(line)
        except Mistake as mistake:
            screen.show([Line("wrong", str(mistake))])
            continue
        yield found


def _report(walk: Walk, keeper: Keeper, *, done: bool) -> None:
    """The page to stand on; where the walk is done, it is kept in the book too."""
    from advisor.cli.judging import report_text

    try:
        judgment = walk.judging.judge.judge(walk.answers)
    except ProblemsFound as error:
        for problem in error.problems:
            click.echo(clean(problem.message), err=True)
        return
    click.echo("")
    click.echo(report_text(judgment, False, page_width()), nl=False)
    if done:
        from advisor.report.lines import judgment_lines

        keeper.keep([Event("judged", judgment.verdict, judgment_lines(judgment, 80))])


def _decided(walk: Walk, screen: Screen, keeper: Keeper) -> None:
    from advisor.walk.finishing import decision

    screen.show([Line("question", "What was decided? bought 2,900, passed, or left open; Enter for later.")])
    for what, price in _typed(screen, "decided", lambda line: decision(line, walk.program)):
        _keep([Event("decided", what, price)], screen, keeper)
        screen.show([Line("now", f"noted: {what.replace('_', ' ')}" + (f" at {price}" if price else ""))])
        return
