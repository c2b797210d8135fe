"""A process that works on a deal book, and says on its output what the book has acknowledged.

`python writer.py BOOK CAR COUNT PATIENCE` begins the car, answers so many questions, skips one, goes back and changes
one, takes one back, notes, decides; each line of its output is the number of events that are kept. It imports nothing
but the book, so that hundreds of starts are cheap.
"""

from __future__ import annotations

import sys
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


def main() -> int:
    path, car, count, patience = Path(sys.argv[1]), sys.argv[2], int(sys.argv[3]), float(sys.argv[4])
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


if __name__ == "__main__":
    raise SystemExit(main())
