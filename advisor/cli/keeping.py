"""What a walk puts into the deal book: the car, the rules that asked, each change.

In: answers and rules at the beginning, then events. Every event is on the disk when `keep` returns.
"""

from __future__ import annotations

import os
from typing import TYPE_CHECKING

from attrs import define

from advisor.book.record import Event, Record
from advisor.book.store import Book
from advisor.language.cars import Answers
from advisor.walk.changed import fingerprint

if TYPE_CHECKING:
    from advisor.judging.judge import Judge

__all__ = ["Keeper"]


@define
class Keeper:
    """Puts each change into the book, if there is one."""

    book: Book | None
    name: str
    record: Record | None
    sketch: str = ""
    """What the rules were when the car was walked last."""

    def open(self, answers: Answers, judge: Judge, named: str) -> None:
        """Begin the car, or note that other rules go on with it."""
        if self.book is None:
            return
        named = os.path.abspath(named) if named else ""  # the walk may go on in another folder
        if self.record is not None:
            self.sketch = self.record.sketch
            if self.record.rules[-1:] == (judge.program.digest,) and self.record.rules_named == named:
                return
        events = [Event("ruled", named, judge.program.digest), Event("sketched", text=fingerprint(judge.program))]
        if self.record is None:
            first = [Event("began", text=answers.title), Event("dated", text=str(answers.day))]
            self.record = self.book.begin(self.name, [*first, *events])
        else:
            self.keep(events)

    def keep(self, events: list[Event]) -> None:
        """All of the events, or none."""
        if self.book is not None and self.record is not None and events:
            self.record = self.book.add(self.name, events, self.record.last)
