"""What a walk puts into the deal book: the car, the rules that asked, each change.

In: answers and rules at the beginning, then events. Every event is on the disk when `keep` returns.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from attrs import define

from advisor.book.record import Event, Record
from advisor.book.store import Book

if TYPE_CHECKING:
    from advisor.language.answers import Answers
    from advisor.language.program import Program

__all__ = ["Keeper"]


@define
class Keeper:
    """Puts each change into the book, if there is one."""

    book: Book | None
    name: str
    record: Record | None
    _unsketched: Program | None = None
    """The rules of a car that was just begun: what they are goes in with the first change, for it takes a while."""

    def open(self, answers: Answers, program: Program, named: str) -> None:
        """Begin the car, or note that other rules go on with it."""
        if self.book is None:
            return
        ruled = Event("ruled", named, program.digest)
        if self.record is None:
            began = [Event("began", text=answers.title), Event("dated", text=str(answers.day))]
            self.record = self.book.begin(self.name, [*began, ruled])
            self._unsketched = program
        elif (self.record.rules[-1:], self.record.rules_named) != ((program.digest,), named):
            self.keep([ruled, _sketched(program)])

    def keep(self, events: list[Event]) -> None:
        """All of the events, or none."""
        if self.book is None or self.record is None or not events:
            return
        if self._unsketched is not None:
            events = [_sketched(self._unsketched), *events]
        self.record = self.book.add(self.name, events, self.record.last)
        self._unsketched = None


def _sketched(program: Program) -> Event:
    from advisor.walk.changed import fingerprint

    return Event("sketched", text=fingerprint(program))
