"""A process that works on a deal book, and says on its output what the book has acknowledged.

`python writer.py BOOK CAR COUNT PATIENCE` begins the car, answers so many questions, skips one, goes back and changes
one, takes one back, notes, decides; each line of its output is the number of events that are kept.

`python writer.py` alone reads the same words from lines, with a file for the output behind them. For each it makes a
process that stops before its work, so that somebody can watch it, and says its number; at that number, it says how the
process ended. So hundreds of starts cost no import.
"""

from __future__ import annotations

import os
import signal
import sys
import traceback
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from advisor.book.record import Event
from advisor.book.store import BookFault, open_book


def deal(count: int) -> list[list[Event]]:
    """What happens to a car, event by event, or two at a time."""
    first = [[Event("answered", f"q{i}", f"{i}")] for i in range(count)]
    last = [
        [Event("skipped", "q_last")],
        [Event("stood", "q0", "back")],
        [Event("answered", "q0", "changed"), Event("stood")],
        [Event("cleared", "q1"), Event("stood", "q1")],
        [Event("noted", text="dusty"), Event("told", "worn")],
        [Event("decided", "bought", "$2,900")],
    ]
    return [*first, *last]


def work(words: list[str]) -> int:
    """Work on a book; the exit code."""
    path, car, count, patience = Path(words[0]), words[1], int(words[2]), float(words[3])
    try:
        with open_book(path, patience=patience) as book:
            record = book.record(car)
            if record is None:
                record = book.begin(car, [Event("began", text="A car"), Event("dated", text="2026-05-01")])
            kept = 2
            print(kept, flush=True)
            for events in deal(count):
                record = book.add(car, events, record.last)
                kept += len(events)
                print(kept, flush=True)
    except BookFault as fault:
        print(fault, file=sys.stderr, flush=True)
        return 1
    return 0


def serve() -> None:
    """Make a stopped process for each line, and say how it ended."""
    for line in sys.stdin:
        *words, last = line.rstrip("\n").split("\t")
        if not words:
            print(os.waitstatus_to_exitcode(os.waitpid(int(last), 0)[1]), flush=True)
        elif pid := os.fork():
            os.waitpid(pid, os.WUNTRACED)
            print(pid, flush=True)
        else:
            stopped(words, last)


def stopped(words: list[str], out: str) -> None:
    """Stop, and do the work once somebody says so; never returns."""
    for number, name in ((1, out), (2, f"{out}.err")):
        os.dup2(os.open(name, os.O_CREAT | os.O_WRONLY, 0o600), number)
    os.kill(os.getpid(), signal.SIGSTOP)
    code = 1
    try:
        code = work(words)
    except BaseException:  # whatever it is, it is told, and the process ends here
        traceback.print_exc()
    finally:
        sys.stderr.flush()
        os._exit(code)


if __name__ == "__main__":
    if sys.argv[1:]:
        raise SystemExit(work(sys.argv[1:]))
    serve()
