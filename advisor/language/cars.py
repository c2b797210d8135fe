"""Recorded cars: what somebody saw, asked and was told.

In: a `.car` file's text and the program whose questions it answers; or the answers of a `car` or `case` block.
Out: `Answers`, and the problems found on the way. A recorded car is lines without indentation:

    car "1991 Quail 1.6 hatch, red"
    on 2026-04-11
    asking = $3,400
    tread = 3/32 in
    underside = refused
    note "Owner since 2003."
"""

from __future__ import annotations

import re
from datetime import date

from attrs import field, frozen

from advisor.language import catalogue
from advisor.language.blocks import LARGEST, cut
from advisor.language.problems import Problem, nearest
from advisor.language.program import Program, Question, Unanswered
from advisor.language.source import Source, Span
from advisor.language.types import Estimate, Quantity, Value
from advisor.language.values import Unreadable, estimable, format_value, outside, read_date, read_value

__all__ = ["Answers", "read_answer", "read_car"]

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
        low, high = (format_value(v, question.type, currency) for v in (question.low, question.high))
        raise Unreadable(catalogue.OUTSIDE_RANGE, name=question.name, text=text, low=low, high=high)
    return value


_ANSWER = re.compile(r"([A-Za-z_]\w*)[ \t]*=[ \t]*([^#\n]*(?:\"[^\"\n]*\"[^#\n]*)*)")
_TITLE = re.compile(r'car[ \t]+"([^"\n]*)"')
_DAY = re.compile(r"on[ \t]+(\S+)")
_NOTE = re.compile(r'note((?:\s+"[^"\n]*")+)')
_RULES = re.compile(r'rules[ \t]+"([0-9a-f]*)"')


def read_car(source: Source, program: Program) -> tuple[Answers, list[Problem]]:
    """Read a recorded car against the questions of a program."""
    if len(source.text) > LARGEST:
        return Answers(), [catalogue.FILE_TOO_LARGE.at(source.span(0, 0), most="1 MiB")]
    chunks, problems, _ = cut(source)
    title, day, rules = "", None, ""
    notes: list[str] = []
    values: dict[str, Value | Unanswered] = {}
    spans: dict[str, Span] = {}
    spoiled = {p.span.start for p in problems}
    for chunk in chunks:
        text = re.sub(r'("[^"\n]*")|#[^\n]*', lambda m: m[1] or "", chunk.text).strip()
        span = source.span(chunk.span.start, chunk.span.start + max(len(text), 1))
        if any(chunk.span.start <= at < chunk.span.end for at in spoiled):
            continue
        if found := _TITLE.fullmatch(text):
            title = found[1]
        elif found := _RULES.fullmatch(text):
            rules = found[1]
        elif found := _NOTE.fullmatch(text):
            notes.append(" ".join(re.findall(r'"([^"\n]*)"', found[1])))
        elif found := _DAY.fullmatch(text):
            try:
                day = read_date(found[1])
            except Unreadable as error:
                problems.append(error.at(source.span(span.start + found.start(1), span.end)))
        elif found := _ANSWER.fullmatch(text):
            name, written = found[1], found[2]
            place = source.span(span.start, span.start + len(name))
            value_span = source.span(
                span.start + found.start(2), span.start + found.start(2) + max(len(written.rstrip()), 1)
            )
            problem = _answer(name, written, place, value_span, program, values, spans)
            if problem:
                problems.append(problem)
        else:
            word = re.match(r"\S+", text)
            end = span.start + (word.end() if word else 1)
            problems.append(catalogue.CAR_LINE.at(source.span(span.start, end), found=word[0] if word else text))
    return Answers(title, day, values, spans, tuple(notes), rules), problems


def _answer(
    name: str,
    written: str,
    place: Span,
    value_span: Span,
    program: Program,
    values: dict[str, Value | Unanswered],
    spans: dict[str, Span],
) -> Problem | None:
    """Read one answer line into `values`."""
    question = program.questions.get(name)
    if question is None:
        guess = nearest(name, program.questions)
        cure = f"did you mean `{guess}`?" if guess else "take the line out, or judge it by rules that ask this"
        return catalogue.NOT_ASKED.at(place, name=name, again="", cure=cure)
    if name in values:
        return catalogue.ANSWERED_TWICE.at(place, name=name, notes=[(spans[name], "here first")])
    try:
        values[name] = read_answer(written, question, program.currency)
    except Unreadable as error:
        spans[name] = place
        return error.at(value_span)
    spans[name] = place
    return None
