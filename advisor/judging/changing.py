"""What would change the verdict: the fewest changes that somebody can bring about, each tried for real.

In: a judge and a car that is not to be bought as it stands. Out: `Flip` values, the fewest changes first, then those
that leave the highest price. What can be changed is what the rules say `can become` of an answer, and the price asked.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from decimal import Decimal
from itertools import combinations
from typing import TYPE_CHECKING

from attrs import define

from advisor.judging.judgment import Change, Flip

if TYPE_CHECKING:
    from advisor.judging.deal import Deal
    from advisor.judging.sheet import Sheet

__all__ = ["flips"]

MOST = 3
"""So many changes at once, and so many ways: a list for talking, not a study."""
_TRIED = 8
"""Of more answers that can be changed, only these are combined."""


def flips(sheet: Sheet, deal: Deal, judged: Callable[[Sheet], Deal | None]) -> tuple[Flip, ...]:
    """The ways to a better verdict that take the fewest changes; none where it is to be bought as it stands."""
    return _Search(sheet, deal, judged).found()


@define
class _Search:
    sheet: Sheet
    deal: Deal
    judged: Callable[[Sheet], Deal | None]

    @property
    def _order(self) -> tuple[str, ...]:
        """The verdicts, the best first."""
        return self.deal.program.verdicts

    def found(self) -> tuple[Flip, ...]:
        if self.deal.verdict == self._order[0]:
            return ()
        changes = list(self._changes())
        for size in range(1, MOST + 1):
            here = [
                f
                for some in self._sets(changes[: None if size == 1 else _TRIED], size)
                if (f := self._tried(some)) is not None
            ]
            if here:
                best = min(self._order.index(f.verdict) for f in here)
                here = [f for f in here if self._order.index(f.verdict) == best]
                return tuple(sorted(here, key=lambda f: -(f.ceiling or Decimal(0)))[:MOST])
        return ()

    def _changes(self) -> Iterator[Change]:
        """What can be made of the answers as they are."""
        for question in self.sheet.program.questions.values():
            for value, how in question.becomes:
                if self.sheet.cell(question.name) != value:
                    yield Change(question, value, how)

    def _sets(self, changes: list[Change], size: int) -> Iterator[tuple[Change, ...]]:
        """Sets of so many changes: at most one to each question, with the price asked as one of them or without."""
        for some in combinations(changes, size):
            if len({c.question.name for c in some}) == size:
                yield some
        for some in combinations(changes, size - 1):
            if len({c.question.name for c in some}) == size - 1 and (price := self._price(some)) is not None:
                yield (*some, price)

    def _changed(self, changes: tuple[Change, ...]) -> Deal | None:
        return self.judged(self.sheet.with_answers({c.question.name: c.value for c in changes}))

    def _price(self, changes: tuple[Change, ...]) -> Change | None:
        """The price asked come down to what the rules allow once these changes are made."""
        deal = self._changed(changes) if changes else self.deal
        asking = self.sheet.program.questions.get("asking")
        if deal is None or asking is None or any(deal.refuses):
            return None
        ceiling = deal.ceiling.offer
        if ceiling is None or ceiling <= 0 or ceiling >= deal.asking:
            return None
        return Change(asking, ceiling, "")

    def _tried(self, changes: tuple[Change, ...]) -> Flip | None:
        """The verdict under some changes, if it is better than the one at hand."""
        deal = self._changed(changes)
        if deal is None or self._order.index(deal.verdict) >= self._order.index(self.deal.verdict):
            return None
        return Flip(changes, deal.verdict, None if any(deal.refuses) else deal.ceiling.offer)
