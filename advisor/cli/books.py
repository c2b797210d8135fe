"""The deal book on the command line: where it is, what is in it, in and out as text.

In: names and files. Out: lines and text.
"""

from __future__ import annotations

import os
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from advisor.cli.printing import page_width, print_data, say
from advisor.report.clean import clean

if TYPE_CHECKING:
    from advisor.book.record import Record
    from advisor.book.store import Book, Entry

__all__ = ["book_path", "cars", "export", "import_", "recorded", "usual_book"]


def book_path() -> Path:
    """Where the book is: ADVISOR_BOOK, or the usual place for a program's data on this system."""
    if chosen := os.environ.get("ADVISOR_BOOK"):
        return Path(chosen).expanduser()
    if sys.platform == "win32":
        folder = Path(os.environ.get("LOCALAPPDATA") or "~/AppData/Local")
    elif sys.platform == "darwin":
        folder = Path("~/Library/Application Support")
    else:
        folder = Path(os.environ.get("XDG_DATA_HOME") or "~/.local/share")
    return folder.expanduser() / "telltale-advisor" / "book.sqlite3"


def usual_book(*, make: bool = True) -> Book:
    """The open book. Ends the command with one line if that cannot be."""
    from advisor.book.store import BookFault, open_book

    try:
        return open_book(book_path(), make=make)
    except BookFault as fault:
        raise failed(fault) from None


def _is_there() -> bool:
    """Whether there is a book; also where that cannot be told, so that opening it says why."""
    try:
        book_path().stat()
    except (FileNotFoundError, NotADirectoryError):
        return False
    except OSError:
        return True
    return True


def failed(fault: Exception) -> click.ClickException:
    """A fault of the book as the end of a command."""
    return click.ClickException(clean(str(fault)))


def recorded(name: str) -> Record | None:
    """A car of the book; None where there is none of that name, or no book."""
    from advisor.book.store import BookFault

    if not _is_there():
        return None
    with usual_book(make=False) as book:
        try:
            return book.record(name)
        except BookFault as fault:
            raise failed(fault) from None


@click.command()
@click.option("--json", "as_json", is_flag=True, help="Print data, not words.")
def cars(as_json: bool) -> None:
    """List the cars of the deal book, the latest first."""
    from advisor.book.store import BookFault

    if not _is_there():
        found = []
    else:
        with usual_book(make=False) as book:
            try:
                found = list(book.cars())
            except BookFault as fault:
                raise failed(fault) from None
    if as_json:
        print_data({"cars": [_data(e.name, e.record, e.last_at) for e in found]})
        return
    if not found:
        say("no cars yet; `advisor walk NAME` begins one, `advisor import FILE` brings one in")
    from advisor.report.wrapping import Page

    page = Page(page_width())
    for entry in found:
        page.add(f"{entry.name}: {_told(entry)}")
    if found:
        click.echo(page.text, nl=False)


def _told(entry: Entry) -> str:
    record = entry.record
    title = record.title if record.title != entry.name else ""
    many = len(record.values)
    parts = [title, record.day, f"{many} answer{'' if many == 1 else 's'}"]
    if record.verdict:
        parts.append(record.verdict.replace("_", " "))
    if record.decided:
        what, price = record.decided
        parts.append(what.replace("_", " ") + (f" at {price}" if price else ""))
    return ", ".join(p for p in parts if p)


def _data(name: str, record: Record, last_at: str) -> dict[str, Any]:
    return {
        "name": name, "title": record.title, "day": record.day, "answers": len(record.values),
        "verdict": record.verdict or None, "decided": record.decided[0] if record.decided else None,
        "price": (record.decided[1] or None) if record.decided else None, "last_at": last_at,
    }  # fmt: skip


@click.command()
@click.argument("name")
@click.argument("file", required=False, type=click.Path(path_type=Path))
@click.option("--force", is_flag=True, help="Write over a file that is there.")
def export(name: str, file: Path | None, force: bool) -> None:
    """Write a car of the deal book as text, to FILE or to the screen."""
    from advisor.book.record import record_text
    from advisor.cli.writing import replace_file

    record = recorded(name)
    if record is None:
        raise click.UsageError(clean(f"there is no car {name} in the book; `advisor cars` lists them"))
    text = record_text(record)
    if file is None:
        click.echo("\n".join(clean(line) for line in text.split("\n")), nl=False)
        return
    if file.exists() and not force:
        raise click.UsageError(clean(f"{file} is there already; --force writes over it"))
    replace_file(file, text)
    say(f"written to {file}", err=True)


@click.command("import")
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--as", "name", metavar="NAME", help="What to call it; the file's own name, if nothing is said.")
@click.option("--rules", type=click.Path(path_type=Path), metavar="FILE", help="The rules that read it.")
def import_(file: Path, name: str | None, rules: Path | None) -> None:
    """Bring a recorded car (a .car file) into the deal book."""
    from advisor.book.record import Event, events_of
    from advisor.book.store import BookFault
    from advisor.cli.library import read_text
    from advisor.cli.reading import fail, load_judge, read_answers
    from advisor.cli.rules import kept_name
    from advisor.language.source import Source
    from advisor.language.values import Unreadable

    try:
        source = Source(str(file), read_text(file, str(file)))
    except Unreadable as error:
        fail([error.at(Source(str(file), "").span(0, 0))])
    judge = load_judge(rules)
    read_answers(source, judge)  # so that the book takes nothing in that it cannot give out again
    ruled = [Event("ruled", kept_name(rules), judge.program.digest)] if rules else []
    chosen = name or file.stem
    with usual_book() as book:
        try:
            record = book.begin(chosen, [*events_of(source.text), *ruled])
        except BookFault as fault:
            other = "" if name else "; `--as NAME` calls it otherwise"
            raise failed(BookFault(f"{fault}{other}")) from None
    say(f"{chosen} is in the book, with {len(record.values)} answers; `advisor walk {chosen}` goes on")
