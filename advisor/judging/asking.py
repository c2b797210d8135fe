"""In which order to ask, so that a verdict becomes certain in few minutes and nobody runs round the car twice.

In: the open questions and the answers so far. Out: the next question. What is asked about money can be answered
anywhere, and comes first; then the stations in the order of the rules, which is how one walks. Inside a station the
gravest question per minute comes first: how likely its answer ends the deal, then how likely it finds anything. What
can no longer matter is passed over; what a caution for safety looks at never is.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Iterator
from decimal import Decimal

from attrs import define, field

from advisor.judging.sheet import Sheet, each_value
from advisor.judging.situation import Situation
from advisor.language.program import Question
from advisor.language.types import Quantity, Value
from advisor.readings.arithmetic import exact_arithmetic
from advisor.readings.compiled import Readings

__all__ = ["QuickOrder", "ending", "gravity"]

_ENDS = 10
"""An answer that ends the deal weighs as much as so many that only find something. House figure."""
_LEAST = Decimal("0.1")
"""Minutes: nothing takes less."""


def gravity(question: Question, breaking: frozenset[Value]) -> Decimal:
    """How much the answer is likely to decide, for each minute that it takes; `breaking` are answers that end it."""
    shares = dict(question.usually)
    ends = sum((s for v, s in shares.items() if v in breaking), Decimal(0))
    finds = 1 - shares.get(question.fine, Decimal(0)) if question.fine is not None else Decimal("0.1")
    return (_ENDS * ends + finds) / max(question.minutes, _LEAST)


@define
class QuickOrder:
    """The order of a quick walk."""

    readings: Readings
    _gravity: dict[Hashable, Decimal] = field(factory=dict)
    """By question and by all that it depends on, so that a walk that goes on asks what it would have asked."""

    def next(self, open_: Iterable[str], situation: Situation, last: str | None) -> str | None:
        """The next of the open questions, which come in file order; `last` is the one dealt with before."""
        questions, reach = self.readings.program.questions, self.readings.reach
        facts, _, refuses, cautions, *_, gates = situation.possible
        matter = reach.mattering(facts, refuses) | reach.for_safety(cautions)
        sure = {n for n, (_, not_) in zip(questions, gates, strict=True) if not not_}
        wanted = [n for n in open_ if n in matter]
        wanted = [n for n in wanted if n in sure or self._told(n, wanted)] or wanted
        if not wanted:
            return None
        money = [n for n in wanted if _anywhere(questions[n])]
        if money:
            return money[0]
        here = questions[last].station if last in questions and not _anywhere(questions[last]) else None
        stations = [questions[n].station for n in wanted]
        place = next((s for s in stations if here is None or (s is not None and s >= here)), stations[0])
        inside = [n for n in wanted if questions[n].station == place]
        return max(inside, key=lambda n: self._weight(n, situation.sheet))

    def _told(self, name: str, wanted: list[str]) -> bool:
        """Whether no question can still tell if this one applies: then it is asked in its place, lest somebody who
        could not tell is sent round the car again, and to what is only looked at cold when it is hot."""
        return self.readings.reach.gates.get(name, frozenset()).isdisjoint(wanted)

    def _weight(self, name: str, sheet: Sheet) -> Decimal:
        beside = self.readings.reach.breaking_with.get(name, ())
        key = name, tuple(sheet.cell(n) for n in beside if n != name)
        if key not in self._gravity:
            question = self.readings.program.questions[name]
            breaking = frozenset(ending(self.readings, sheet, question) if beside else ())
            self._gravity[key] = gravity(question, breaking)
        return self._gravity[key]


def ending(readings: Readings, sheet: Sheet, question: Question) -> Iterator[Value]:
    """The answers of a choice with which a deal-breaker surely holds."""
    for value in each_value(question):
        with exact_arithmetic():
            _, _, refuses, *_ = readings.brief(*sheet.with_answers({question.name: value}).possible())
        if any(can and not not_ for can, not_ in refuses):
            yield value


def _anywhere(question: Question) -> bool:
    """Whether it is about money and nothing is planned for it: known before one stands at the car."""
    return isinstance(question.type, Quantity) and question.type.unit == "$" and question.unsure is None
