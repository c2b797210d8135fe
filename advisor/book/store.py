"""The deal book on disk: one SQLite file, to which events are only ever added.

In: events. Out: records. What `add` has returned is on the disk, whatever happens next: the log is written ahead and
synced at every event, and writers take their turn before they read (`BEGIN IMMEDIATE`). An event is added only behind
the one that its writer has seen, so that two windows on one car cannot mix. Every fault comes out as a `BookFault` with
one line that says what to do.
"""

from __future__ import annotations

import os
import sqlite3
import stat
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path
from types import TracebackType

from attrs import define, frozen

from advisor.book.migrations import APPLICATION, MIGRATIONS
from advisor.book.record import Event, Record, fold

__all__ = ["Book", "BookFault", "Entry", "MovedOn", "NameTaken", "open_book"]

PATIENCE = 10.0
"""Seconds."""
_LONGEST = 60


class BookFault(Exception):
    """The book cannot do what was asked; one line, in lower case, that says what to do."""


class NameTaken(BookFault):
    """A car of that name is in the book."""


class MovedOn(BookFault):
    """Another window has added to this car."""


@frozen
class Entry:
    """A car in the list of them."""

    name: str
    record: Record
    last_at: str


@define
class Book:
    """The open book."""

    connection: sqlite3.Connection
    path: Path
    read_only: bool = False

    def __enter__(self) -> Book:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.connection.close()

    def cars(self) -> tuple[Entry, ...]:
        """Every car, the one that was worked on last first."""
        with self._told():
            rows = self.connection.execute(
                "SELECT c.name, max(e.at) FROM cars c JOIN events e ON e.car = c.id "
                "GROUP BY c.id ORDER BY max(e.id) DESC"
            ).fetchall()
            return tuple(Entry(name, self._record(name), at) for name, at in rows)

    def record(self, name: str) -> Record | None:
        """What a car's events come to; None where there is no such car."""
        with self._told():
            return self._record(name) if self._car(name) is not None else None

    def begin(self, name: str, events: Iterable[Event]) -> Record:
        """A new car with its first events. Raises `NameTaken`."""
        refuse_name(name)
        with self._told(), self._turn():
            if self._car(name) is not None:
                raise NameTaken(f"a car called {name} is in the book; choose another name")
            self.connection.execute("INSERT INTO cars (name) VALUES (?)", (name,))
            return self._insert(name, events)

    def add(self, name: str, events: Iterable[Event], seen: int) -> Record:
        """The record with these events behind event `seen`; on the disk when this returns. Raises `MovedOn`."""
        with self._told(), self._turn():
            if self._record(name).last != seen:
                raise MovedOn(f"{name} was changed in another window; nothing was mixed in: end here and walk it again")
            return self._insert(name, events)

    def check(self) -> None:
        """Raises `BookFault` if the file is damaged."""
        with self._told():
            (found,) = self.connection.execute("PRAGMA integrity_check").fetchone()
        if found != "ok":
            raise BookFault(_damaged(self.path))

    # ---- inside ----

    def _car(self, name: str) -> int | None:
        row = self.connection.execute("SELECT id FROM cars WHERE name = ?", (name,)).fetchone()
        return None if row is None else int(row[0])

    def _record(self, name: str) -> Record:
        rows = self.connection.execute(
            "SELECT e.kind, e.about, e.text, e.id, e.at FROM events e JOIN cars c ON e.car = c.id "
            "WHERE c.name = ? ORDER BY e.id",
            (name,),
        )
        return fold(Event(*row) for row in rows)

    def _insert(self, name: str, events: Iterable[Event]) -> Record:
        """The record with these events, read before anybody else can add to it."""
        car = self._car(name)
        now = datetime.now(UTC).isoformat(timespec="milliseconds")
        self.connection.executemany(
            "INSERT INTO events (car, kind, about, text, at) VALUES (?, ?, ?, ?, ?)",
            [(car, e.kind, e.about, e.text, now) for e in events],
        )
        return self._record(name)

    @contextmanager
    def _turn(self) -> Iterator[None]:
        """All or nothing, and nobody else meanwhile."""
        if self.read_only:
            raise BookFault(f"{self.path} cannot be written; make its folder writable, or set ADVISOR_BOOK to another")
        self.connection.execute("BEGIN IMMEDIATE")
        try:
            yield
            self.connection.execute("COMMIT")
        except BaseException:
            if self.connection.in_transaction:
                self.connection.execute("ROLLBACK")
            raise

    @contextmanager
    def _told(self) -> Iterator[None]:
        with _told(self.path):
            yield


def open_book(path: Path, *, make: bool = True, patience: float = PATIENCE) -> Book:
    """The book of a path, made if need be; read-only where it cannot be written. `patience` are the seconds to wait for
    another window's turn to end. Raises `BookFault`."""
    with _told(path):
        if make and not path.exists():
            path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        if path.exists() and not stat.S_ISREG(path.stat().st_mode):
            raise BookFault(f"{path} is no file; set ADVISOR_BOOK to a file")
        fresh = not path.exists()
        if fresh and not make:
            raise BookFault("the book has no cars yet; `advisor walk NAME` begins one")
        if fresh:
            os.close(os.open(path, os.O_CREAT | os.O_RDWR, 0o600))
        writable = os.access(path, os.W_OK) and os.access(path.parent, os.W_OK)
        book = Book(_connect(path, writable, patience), path, read_only=not writable)
        try:
            _migrate(book)
        except BaseException:
            book.connection.close()
            raise
        return book


def _connect(path: Path, writable: bool, patience: float) -> sqlite3.Connection:
    address = path.resolve().as_uri()
    if writable:
        connection = sqlite3.connect(address, timeout=patience, isolation_level=None, uri=True)
    else:  # a log that is left over holds the latest answers; without one, a read-only folder has no room to lock
        log = Path(f"{path.resolve()}-wal")
        how = "mode=ro" if log.exists() and log.stat().st_size else "immutable=1"
        connection = sqlite3.connect(f"{address}?{how}", timeout=patience, isolation_level=None, uri=True)
    connection.execute("PRAGMA foreign_keys = ON")
    return connection


def _migrate(book: Book) -> None:
    """Bring the file to this version, one step in one transaction; refuse what is not ours."""
    connection = book.connection
    (application,) = connection.execute("PRAGMA application_id").fetchone()
    (version,) = connection.execute("PRAGMA user_version").fetchone()
    (tables,) = connection.execute("SELECT count(*) FROM sqlite_master").fetchone()
    if application != APPLICATION and (application or version or tables):
        raise BookFault(f"{book.path} is another program's database; set ADVISOR_BOOK to a file of its own")
    if version > len(MIGRATIONS):
        raise BookFault(f"{book.path} was written by a newer advisor; install that one, or set ADVISOR_BOOK to another")
    if book.read_only:
        if version < len(MIGRATIONS):
            raise BookFault(f"{book.path} cannot be written; make its folder writable, or set ADVISOR_BOOK to another")
        return
    connection.execute("PRAGMA journal_mode = WAL")
    connection.execute("PRAGMA synchronous = FULL")
    while version < len(MIGRATIONS):
        connection.execute("BEGIN IMMEDIATE")
        try:
            (version,) = connection.execute("PRAGMA user_version").fetchone()  # another window may have been first
            if version < len(MIGRATIONS):
                for statement in MIGRATIONS[version]:
                    connection.execute(statement)
                version += 1
                connection.execute(f"PRAGMA user_version = {version}")
            connection.execute("COMMIT")
        except BaseException:
            if connection.in_transaction:
                connection.execute("ROLLBACK")
            raise


def refuse_name(name: str) -> None:
    """Raise `BookFault` unless a name can be a car's."""
    if (
        not 1 <= len(name) <= _LONGEST
        or not all(c.isalnum() or c in "-_." for c in name)
        or name.startswith((".", "-"))
    ):
        raise BookFault(f"a car's name is 1 to {_LONGEST} letters, digits, -, _ and ., such as red-hatch")


@contextmanager
def _told(path: Path) -> Iterator[None]:
    """Every fault of disk or database, in one line."""
    try:
        yield
    except sqlite3.DatabaseError as error:
        raise BookFault(_said(error, path)) from None
    except OSError as error:
        raise BookFault(
            f"{path} cannot be used: {error.strerror}; set ADVISOR_BOOK to a file in another place"
        ) from None


def _said(error: sqlite3.DatabaseError, path: Path) -> str:
    text, code = str(error), getattr(error, "sqlite_errorname", "") or ""
    if code.startswith("SQLITE_FULL") or "full" in text:
        return f"the disk is full; make room, and walk again: everything up to here is kept in {path}"
    if code.startswith(("SQLITE_BUSY", "SQLITE_LOCKED")) or "locked" in text:
        return f"another program holds {path}; end it, and try again"
    if code.startswith("SQLITE_READONLY") or "readonly" in text or "read-only" in text:
        return f"{path} cannot be written; make its folder writable, or set ADVISOR_BOOK to another"
    if code.startswith(("SQLITE_CORRUPT", "SQLITE_NOTADB")) or "malformed" in text or "not a database" in text:
        return _damaged(path)
    if code.startswith(("SQLITE_IOERR", "SQLITE_CANTOPEN")):
        return f"{path} cannot be read or written ({text}); check the disk, or set ADVISOR_BOOK to another"
    return f"{path} cannot be used ({text}); set ADVISOR_BOOK to another file"


def _damaged(path: Path) -> str:
    return f"{path} is damaged, or no deal book; put back a copy of it, or set ADVISOR_BOOK to another"
