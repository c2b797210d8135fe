"""The real program on a pseudo-terminal, and what stands on its screen."""

from __future__ import annotations

import os
import re
import sys
import time
from pathlib import Path
from types import TracebackType

import pexpect
import pyte
from attrs import frozen
from click.testing import CliRunner

from advisor.cli import main

__all__ = ["Done", "Terminal", "run"]

ROOT = Path(__file__).resolve().parents[2]
_SETTLED = 0.25
"""Seconds without a sign after which a screen that ends with a prompt is taken for finished. Where the system tells
that the process waits for a key, it is so at once."""
_SIGN = 0.03


class Terminal:
    """A walk at so many columns."""

    def __init__(self, columns: int, book: Path, *words: str, rows: int = 60, **env: str) -> None:
        self.screen = pyte.Screen(columns, rows)
        self._stream = pyte.ByteStream(self.screen)
        self.raw = b""
        kept = {n: v for n, v in os.environ.items() if n not in ("COLUMNS", "LINES", "NO_COLOR")}
        own = {"ADVISOR_BOOK": str(book), "TERM": "xterm-256color", "PYTHONPATH": str(ROOT)}
        self.process = pexpect.spawn(
            sys.executable, ["-m", "advisor", "walk", *words], dimensions=(rows, columns), env={**kept, **own, **env},
            timeout=20, cwd=str(book.parent),
        )  # fmt: skip
        self.process.delaybeforesend = None

    def __enter__(self) -> Terminal:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.process.close(force=True)

    def until(self, text: str, seconds: float = 15) -> str:
        """The screen, once it shows the text and has come to rest."""
        end, last = time.monotonic() + seconds, time.monotonic()
        while time.monotonic() < end:
            try:
                data = self.process.read_nonblocking(65536, timeout=_SIGN)
                self.raw += data
                self._stream.feed(data)
                last = time.monotonic()
                continue
            except pexpect.TIMEOUT:
                pass
            except pexpect.EOF:
                break
            rested = self._waits() or time.monotonic() - last > _SETTLED
            if rested and text in self.flat and self.flat.rstrip().endswith(">"):
                return self.text
        assert text in self.flat, self.text
        return self.text

    def _waits(self) -> bool:
        """Whether the process sleeps, as Linux tells: nothing more comes before a key does."""
        try:
            return Path(f"/proc/{self.process.pid}/stat").read_text().rpartition(")")[2].split()[0] == "S"
        except OSError:
            return False

    def appears(self, text: str, seconds: float = 15) -> None:
        """Wait no longer than until the text is there."""
        end = time.monotonic() + seconds
        while text not in self.flat and time.monotonic() < end:
            try:
                self._stream.feed(self.process.read_nonblocking(65536, timeout=0.01))
            except pexpect.TIMEOUT:
                continue
        assert text in self.flat, self.text

    def type(self, line: str, until: str) -> str:
        """Type a line, and wait for what it brings."""
        self.screen.reset()
        self.process.send(line + "\r")
        return self.until(until)

    def ended(self) -> int:
        """The exit code."""
        self.process.expect(pexpect.EOF)
        self.process.close()
        assert self.process.exitstatus is not None
        return int(self.process.exitstatus)

    @property
    def text(self) -> str:
        """What stands on the screen."""
        return "\n".join(line.rstrip() for line in self.screen.display).rstrip() + "\n"

    @property
    def flat(self) -> str:
        """The same in one line, as it is read aloud."""
        return re.sub(r"\s+", " ", self.text)


@frozen
class Done:
    """What a command came to."""

    returncode: int
    stdout: str
    stderr: str


def run(book: Path, *words: str, typed: str = "", **env: str) -> Done:
    """A command without a terminal, by a book of its own; in this process, so that hundreds are cheap."""
    done = CliRunner().invoke(
        main, words, input=typed, env={"ADVISOR_BOOK": str(book), "COLUMNS": "80", **env}, catch_exceptions=False
    )
    return Done(done.exit_code, done.stdout, done.stderr)
