"""Faults of the disk, injected at every system call that matters: nothing is corrupt, nothing acknowledged is lost.

A writer runs under `strace -e inject=`, which makes one call fail (disk full, input/output error, read-only) or kills
the process at it. Afterwards the book must be sound, hold all that was acknowledged and not half of anything, and the
car must be able to go on. Without strace these tests say so and are left out.
"""

from __future__ import annotations

import os
import re
import shutil
import signal
import subprocess
import sys
from collections import Counter
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from threading import Lock

import pytest
from attrs import define, field, frozen

from advisor.book.record import Event, Record, fold
from advisor.book.store import BookFault, open_book
from tests.book.writer import deal

WRITER = Path(__file__).with_name("writer.py")
CALLS = ("openat", "pwrite64", "fsync", "fdatasync", "ftruncate", "unlink")
COUNT = 3
"""Questions answered by each writer."""
FEWEST = 500
"""So many points at least."""
WAYS = ("error=ENOSPC", "error=EIO", "error=EROFS", "signal=SIGKILL")
PARTS = 4

pytestmark = pytest.mark.skipif(shutil.which("strace") is None, reason="strace is not installed: no faults injected")


@frozen
class Done:
    """What a writer came to: its exit code, negative where a signal ended it, and what it said."""

    code: int
    stdout: str
    stderr: str


@define
class Writers:
    """Makes writers, each a process of its own, and watches them by strace."""

    process: subprocess.Popen[str] = field(
        factory=lambda: subprocess.Popen(
            [sys.executable, "-E", str(WRITER)], stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True
        )
    )
    turn: Lock = field(factory=Lock)

    def asked(self, *words: object) -> int:
        """What the maker of writers answers."""
        stdin, stdout = self.process.stdin, self.process.stdout
        assert stdin is not None
        assert stdout is not None
        with self.turn:
            stdin.write("\t".join(map(str, words)) + "\n")
            stdin.flush()
            return int(stdout.readline())

    def run(self, book: Path, *inject: str) -> Done:
        """A writer under strace, with what is to be injected."""
        out, trace = Path(f"{book}.out"), Path(f"{book}.trace")
        pid = self.asked(book, "red", COUNT, "0.2", out)
        command = ["strace", "-f", "-p", str(pid), "-o", str(trace), "-e", f"trace={','.join(CALLS)}", *inject]
        with subprocess.Popen(command, stderr=subprocess.PIPE, text=True) as strace:
            assert strace.stderr is not None
            said = strace.stderr.readline()
            os.kill(pid, signal.SIGCONT if "attached" in said else signal.SIGKILL)
            rest = strace.communicate(timeout=60)[1]
        assert "attached" in said, said + rest
        return Done(self.asked(pid), out.read_text(), Path(f"{out}.err").read_text())


@pytest.fixture
def writers() -> Iterator[Writers]:
    made = Writers()
    yield made
    made.process.kill()
    made.process.communicate()


def calls(trace: str) -> Counter[str]:
    """How often each call was made."""
    return Counter(m[1] for line in trace.splitlines() if (m := re.match(r"(?:\d+ +)?(\w+)\(", line)))


def points(tmp_path: Path, writers: Writers) -> list[tuple[str, str, int]]:
    """Every call of a run that stands behind the opening of the book, with each way to fail."""
    book = tmp_path / "count" / "book.sqlite3"
    book.parent.mkdir()
    done = writers.run(book)
    assert done.code == 0, done.stderr
    lines = Path(f"{book}.trace").read_text().splitlines()
    begin = next(i for i, line in enumerate(lines) if str(book) in line)
    before = calls("\n".join(lines[:begin]))
    every = calls("\n".join(lines))
    found = [
        (way, call, n) for call, count in every.items() for n in range(before[call] + 1, count + 1) for way in WAYS
    ]
    return found


def broken(tmp_path: Path, writers: Writers, number: int, point: tuple[str, str, int]) -> str | None:
    """What is wrong after a fault at a point; None if nothing is."""
    way, call, n = point
    folder = tmp_path / f"{number}"
    folder.mkdir()
    book = folder / "book.sqlite3"
    hurt = writers.run(book, "-e", f"inject={call}:{way}:when={n}")
    kept = int(hurt.stdout.split()[-1]) if hurt.stdout.split() else 0
    killed = way.startswith("signal")
    if not killed and hurt.code == 1 and not re.fullmatch(r"[^\n]+\n", hurt.stderr):
        return f"{point}: more than one line: {hurt.stderr}"
    if "Traceback" in hurt.stderr:
        return f"{point}: {hurt.stderr}"
    try:
        wrong = wrong_in(book, kept)
    except BookFault as fault:
        return f"{point}: does not go on: {fault}"
    shutil.rmtree(folder)
    return f"{point}: {wrong}" if wrong else None


def wrong_in(book: Path, kept: int) -> str | None:
    """What is wrong with a book in which so many events were acknowledged; it must take more, too."""
    said = [Event("began", text="A car"), Event("dated", text="2026-05-01"), *(e for es in deal(COUNT) for e in es)]
    with open_book(book) as opened:
        opened.check()
        record = opened.record("red")
        (found,) = opened.connection.execute("SELECT count(*) FROM events").fetchone()
        if found < kept:
            return f"{kept} acknowledged, {found} kept"
        if (record or Record()) != fold(said[:found]):
            return f"{found} events, and not those that were said"
        if record is not None and bool(record.notes) != bool(record.told):
            return "half of what was kept together"
        for events in deal(1):
            record = opened.add("red", events, record.last) if record else opened.begin("red", events)
        assert record is not None
        if record.decided != ("bought", "$2,900"):
            return "it does not go on"
    return None


@pytest.mark.parametrize("part", range(PARTS))
def test_a_fault_at_every_call(tmp_path: Path, writers: Writers, part: int) -> None:
    found = points(tmp_path, writers)
    assert len(found) >= FEWEST
    with ThreadPoolExecutor(2) as pool:
        mine = list(enumerate(found))[part::PARTS]
        wrong = [w for w in pool.map(lambda p: broken(tmp_path, writers, *p), mine) if w]
    assert wrong == []


def test_a_fault_is_felt(tmp_path: Path, writers: Writers) -> None:
    """Else nothing would have been shown."""
    codes = {}
    for i, way in enumerate(WAYS):
        book = tmp_path / str(i) / "book.sqlite3"
        book.parent.mkdir()
        codes[way] = writers.run(book, "-e", f"inject=pwrite64:{way}:when=20").code
    assert codes == {"error=ENOSPC": 1, "error=EIO": 1, "error=EROFS": 1, "signal=SIGKILL": -9}
