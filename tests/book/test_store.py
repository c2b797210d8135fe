"""The deal book on disk: nothing acknowledged is lost, nothing mixed, and every fault is one line."""

from __future__ import annotations

import ctypes
import os
import signal
import sqlite3
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from advisor.book.record import Event
from advisor.book.store import BookFault, MovedOn, NameTaken, open_book
from tests.book.writer import deal

WRITER = Path(__file__).with_name("writer.py")


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "folder" / "book.sqlite3"


def begun(path: Path, name: str = "red") -> None:
    with open_book(path) as book:
        book.begin(name, [Event("began", text="A car"), Event("answered", "body", "hatch")])


def test_a_car_is_there_when_it_is_opened_again(path: Path) -> None:
    begun(path)
    with open_book(path) as book:
        record = book.record("red")
        assert record is not None
        assert record.values == {"body": "hatch"}
        assert book.record("RED") == record, "a name is the same in capitals"
        assert book.record("blue") is None
        after = book.add("red", [Event("answered", "rust", "none")], record.last)
        assert after.values == {"body": "hatch", "rust": "none"}
        assert [e.name for e in book.cars()] == ["red"]
        book.check()
    assert oct(path.stat().st_mode & 0o777) == "0o600"
    assert oct(path.parent.stat().st_mode & 0o777) == "0o700"


def test_the_log_is_written_ahead_and_synced(path: Path) -> None:
    begun(path)
    with open_book(path) as book:
        assert book.connection.execute("PRAGMA journal_mode").fetchone() == ("wal",)
        assert book.connection.execute("PRAGMA synchronous").fetchone() == (2,)


def test_nothing_is_ever_changed_or_taken_out(path: Path) -> None:
    begun(path)
    with open_book(path) as book:
        for statement in ("DELETE FROM events", "UPDATE events SET text = 'x'"):
            with pytest.raises(sqlite3.IntegrityError, match="only added"):
                book.connection.execute(statement)


def test_a_name_is_given_once_and_is_a_name(path: Path) -> None:
    begun(path)
    with open_book(path) as book:
        with pytest.raises(NameTaken, match="choose another name"):
            book.begin("Red", [])
        for name in ("", "a/b", "..", "-x", "a b", "x" * 61, "a\x1b[31m"):
            with pytest.raises(BookFault, match="letters, digits"):
                book.begin(name, [])


def test_two_windows_are_told_and_not_mixed(path: Path) -> None:
    begun(path)
    with open_book(path) as one, open_book(path) as other:
        first, second = one.record("red"), other.record("red")
        assert first is not None
        assert second is not None
        one.add("red", [Event("answered", "rust", "none")], first.last)
        with pytest.raises(MovedOn, match="changed in another window"):
            other.add("red", [Event("answered", "rust", "holes")], second.last)
        record = other.record("red")
        assert record is not None
        assert record.values["rust"] == "none"


class Overtaken:
    """A connection behind whose commits another window writes at once."""

    def __init__(self, connection: sqlite3.Connection, meanwhile: Callable[[], None]) -> None:
        self._connection, self._meanwhile = connection, meanwhile

    def execute(self, statement: str, *values: object) -> sqlite3.Cursor:
        done = self._connection.execute(statement, *values)
        if statement == "COMMIT":
            self._meanwhile()
        return done

    def __getattr__(self, name: str) -> object:
        return getattr(self._connection, name)


def test_what_another_window_adds_right_behind_a_commit_was_not_seen(path: Path) -> None:
    begun(path)
    with open_book(path) as mine, open_book(path) as theirs:
        first = mine.record("red")
        assert first is not None

        def meanwhile() -> None:
            record = theirs.record("red")
            assert record is not None
            theirs.add("red", [Event("answered", "rust", "holes")], record.last)

        connection = mine.connection
        mine.connection = Overtaken(connection, meanwhile)  # type: ignore[assignment]  # it does what one does
        after = mine.add("red", [Event("answered", "rust", "none")], first.last)
        mine.connection = connection
        assert after.values["rust"] == "none"
        with pytest.raises(MovedOn):
            mine.add("red", [Event("answered", "tread", "3/32")], after.last)


def test_eight_processes_write_at_once(path: Path) -> None:
    begun(path)
    running = [
        subprocess.Popen(
            [sys.executable, WRITER, path, f"car{i}", "25", "30"], stdout=subprocess.PIPE, stderr=subprocess.PIPE
        )
        for i in range(8)
    ]
    for process in running:
        out, err = process.communicate(timeout=60)
        assert (process.returncode, err) == (0, b"")
        assert int(out.split()[-1]) == 2 + sum(map(len, deal(25)))
    with open_book(path) as book:
        book.check()
        assert {len(e.record.values) for e in book.cars() if e.name != "red"} == {24}, "one was taken back"


def test_kill_at_any_moment_loses_nothing_acknowledged(path: Path) -> None:
    begun(path)
    for i, after in enumerate((1, 5, 17, 40)):
        with subprocess.Popen([sys.executable, WRITER, path, f"k{i}", "500", "30"], stdout=subprocess.PIPE) as process:
            assert process.stdout is not None
            lines = [process.stdout.readline() for _ in range(after)]
            process.send_signal(signal.SIGKILL)
        with open_book(path) as book:
            book.check()
            record = book.record(f"k{i}")
            assert record is not None
            assert len(record.values) + 2 >= int(lines[-1])


@pytest.fixture
def odd(tmp_path: Path, request: pytest.FixtureRequest) -> Path:
    """A file that is no deal book, of the kind asked for."""
    path = tmp_path / "book.sqlite3"
    match request.param:
        case "text":
            path.write_text("Dear diary, today we bought a car.\n" * 100)
        case "zeros":
            path.write_bytes(bytes(8192))
        case "foreign":
            sqlite3.connect(path).executescript("CREATE TABLE t (x); INSERT INTO t VALUES (1)").close()
        case "named":
            sqlite3.connect(path).executescript("PRAGMA application_id = 77; CREATE TABLE t (x)").close()
        case "newer":
            begun(path)
            sqlite3.connect(path).executescript("PRAGMA user_version = 99").close()
        case "torn":
            begun(path)
            with open_book(path) as book:
                record = book.record("red")
                assert record is not None
                for _ in range(200):
                    record = book.add("red", [Event("noted", text="x" * 500)], record.last)
            data = path.read_bytes()
            path.write_bytes(data[:4096] + os.urandom(len(data) // 2))
        case "folder":
            path.mkdir()
    return path


def use_everything(path: Path) -> None:
    with open_book(path) as book:
        for entry in book.cars():
            book.add(entry.name, [Event("noted", text="more")], entry.record.last)
        book.check()


@pytest.mark.parametrize("odd", ["text", "zeros", "foreign", "named", "newer", "torn", "folder"], indirect=True)
def test_a_damaged_or_foreign_file_is_one_line(odd: Path) -> None:
    before = odd.read_bytes() if odd.is_file() else b""
    with pytest.raises(BookFault) as fault:
        use_everything(odd)
    assert "\n" not in str(fault.value)
    assert "ADVISOR_BOOK" in str(fault.value)
    assert not odd.is_file() or odd.read_bytes()[:100] == before[:100] or before == b""


def test_an_empty_file_becomes_a_book(tmp_path: Path) -> None:
    path = tmp_path / "book.sqlite3"
    path.touch()
    begun(path)
    with open_book(path) as book:
        assert book.record("red") is not None


def wrong_without_rights(work: Callable[[], None]) -> str:
    """What goes wrong in a process that may do no more than the bits of files allow, even the superuser's."""
    read, write = os.pipe()
    child = os.fork()
    if child == 0:
        said = ""
        try:
            if os.geteuid() == 0:
                version, none = (ctypes.c_uint32 * 2)(0x20080522, 0), (ctypes.c_uint32 * 6)()
                assert ctypes.CDLL(None).capset(version, none) == 0
            work()
        except BaseException as error:
            said = repr(error)
        os.write(write, said.encode()[:4000])
        os._exit(0)
    os.close(write)
    with os.fdopen(read, "rb") as answer:
        said = answer.read().decode()
    os.waitpid(child, 0)
    return said


def test_a_folder_that_cannot_be_written_can_be_read(path: Path) -> None:
    begun(path)
    path.parent.chmod(0o500)
    path.chmod(0o400)

    def work() -> None:
        with open_book(path) as book:
            record = book.record("red")
            assert record is not None
            with pytest.raises(BookFault, match="cannot be written"):
                book.add("red", [Event("noted", text="x")], record.last)

    def begin() -> None:
        with open_book(path.parent / "other.sqlite3") as book:
            book.cars()

    try:
        assert wrong_without_rights(work) == ""
        assert "set ADVISOR_BOOK to a file in another place" in wrong_without_rights(begin)
    finally:
        path.parent.chmod(0o700)


def test_a_log_that_is_left_over_is_read_in_a_folder_that_cannot_be_written(
    path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    begun(path)
    with open_book(path) as writing:
        writing.add("red", [Event("answered", "rust", "none")], 2)
        monkeypatch.setattr(os, "access", lambda *_: False)
        with open_book(path) as book:
            record = book.record("red")
            assert record is not None
            assert record.values["rust"] == "none"


def test_a_later_version_has_what_an_earlier_one_wrote(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    from advisor.book import store

    begun(path)
    more = (*store.MIGRATIONS, ("ALTER TABLE cars ADD COLUMN color TEXT NOT NULL DEFAULT ''",))
    monkeypatch.setattr(store, "MIGRATIONS", more)
    with open_book(path) as book:
        assert book.connection.execute("PRAGMA user_version").fetchone() == (2,)
        record = book.record("red")
        assert record is not None
        assert record.values == {"body": "hatch"}
