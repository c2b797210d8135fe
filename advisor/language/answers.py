"""One car's answers, and how a single one is read.

In: an answer as written and the question that it belongs to. Out: a value, or that it could not be told or was refused.
"""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

from attrs import field, frozen

from advisor.language import catalogue
from advisor.language.program import Question, Unanswered
from advisor.language.source import Span
from advisor.language.types import Estimate, ListOf, Quantity, Value
from advisor.language.values import Unreadable, estimable, outside, read_value
from advisor.language.wording import format_value

if TYPE_CHECKING:
    from advisor.trade.comparables import Comparable

__all__ = ["Answers", "read_answer"]

REFUSED, UNSURE = Unanswered("refused"), Unanswered("unsure")


@frozen
class Answers:
    """One car's answers, by question. Questions that are not here were not asked."""

    title: str = ""
    day: date | None = None
    values: dict[str, Value | Unanswered] = field(factory=dict)
    spans: dict[str, Span] = field(factory=dict, eq=False, repr=False)
    notes: tuple[str, ...] = ()
    rules: str = ""
    comparables: tuple[Comparable, ...] = ()
    """Cars like this one that were asked for or sold."""
    told: tuple[str, ...] = ()
    """Faults that the advertisement named: they are in the price already."""
    denied: tuple[str, ...] = ()
    """Faults that the seller said were not there."""
    place: Span | None = field(default=None, eq=False, repr=False)
    """Where the car stands, if it was read from a file."""
    unasked: dict[str, str] = field(factory=dict)
    """Answers, as written, to questions that these rules do not ask, and that the rules of its record or the files
    that these rules use do."""

    def known(self, name: str) -> Value | None:
        """The answer to a question, if it has one."""
        found = self.values.get(name)
        return None if isinstance(found, Unanswered) else found


def read_answer(text: str, question: Question, currency: str = "$") -> Value | Unanswered:
    """An answer as written: `unsure`, `refused`, or a value of the question's type and range.

    Raises `Unreadable` with what is wrong.
    """
    text = text.strip()
    if text == "unsure":
        return UNSURE
    if text == "refused":
        return REFUSED
    for sign in "$£€":
        if sign in text and sign != currency and isinstance(question.type, Quantity):
            raise Unreadable(catalogue.OTHER_CURRENCY, found=sign, wanted=currency)
    try:
        value = read_value(text, question.type, question.name)
    except Unreadable as error:
        raise error.in_currency(currency) from None
    if isinstance(value, Estimate) and not estimable(question.type):
        raise Unreadable(catalogue.NO_ESTIMATE_HERE, name=question.name)
    if outside(value, question.low, question.high):
        one = question.type.item if isinstance(question.type, ListOf) else question.type
        low, high = (format_value(v, one, currency) for v in (question.low, question.high))
        raise Unreadable(catalogue.OUTSIDE_RANGE, name=question.name, text=text, low=low, high=high)
    return value
