"""What a walk puts into the deal book: the car, the rules that asked, each change.

In: a walk at its beginning, then events. Every event is on the disk when `keep` returns.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from attrs import define

from advisor.book.record import Event, Record
from advisor.book.store import Book

if TYPE_CHECKING:
    from advisor.language.program import Program
    from advisor.walk.session import Walk

__all__ = ["Keeper"]


@define
class Keeper:
    """Puts each change into the book, if there is one."""

    book: Book | None
    name: str
    record: Record | None
    _unsketched: Program | None = None
    """The rules of a car that was just begun: what they are goes in with the first change, for it takes a while."""

    def open(self, walk: Walk, named: str) -> None:
        """Begin the car with what was chosen for it, or note that other rules go on with it."""
        if self.book is None:
            return
        answers, program, stood = walk.answers, walk.program, walk.stood
        ruled = Event("ruled", named, program.digest)
        if self.record is None:
            began = [Event("began", text=answers.title), Event("dated", text=str(answers.day))]
            chosen = [Event("stood", stood.about, stood.text)] if stood.text else []
            self.record = self.book.begin(self.name, [*began, ruled, *chosen])
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
