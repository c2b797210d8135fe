"""Recorded cars: what somebody saw, asked and was told.

In: a `.car` file's text and the program whose questions it answers; or the answers of a `car` or `case` block.
Out: `Answers`, and the problems found on the way. A recorded car is lines without indentation:

    car "1991 Quail 1.6 hatch, red"
    on 2026-04-11
    asking = $3,400
    tread = 3/32 in
    underside = refused
    note "Owner since 2003."
    skipped brake_lines
    own "Ann" $3,000
    decided bought at $2,900
"""

from __future__ import annotations

import re
from bisect import bisect_left
from datetime import date
from typing import TYPE_CHECKING

from attrs import define, field

from advisor.language import catalogue
from advisor.language.answers import Answers, read_answer
from advisor.language.blocks import LARGEST, MOST_PROBLEMS, Chunk, cut
from advisor.language.claims import Claims
from advisor.language.problems import Problem, in_currency, in_order, nearest
from advisor.language.program import Program, Unanswered
from advisor.language.source import Source, Span
from advisor.language.types import MONEY, Value
from advisor.language.values import Unreadable, read_date, read_value

if TYPE_CHECKING:
    from advisor.trade.comparables import Comparable

__all__ = ["read_car"]

_ANSWER = re.compile(r"([A-Za-z_]\w*)[ \t]*=[ \t]*([^\n]*)", re.ASCII)
_TITLE = re.compile(r'car[ \t]+"([^"\n]*)"')
_DAY = re.compile(r"on[ \t]+(\S+)")
_NOTE = re.compile(r'note((?:\s+"[^"\n]*")+)')
_COMPARABLE = re.compile(r"comparable[ \t]+(\S[^\n]*)")
_FAULTS = re.compile(r"(told|denied)[ \t]+([A-Za-z_]\w*(?:[ \t]*,[ \t]*[A-Za-z_]\w*)*)", re.ASCII)
_SKIPPED = re.compile(r"skipped[ \t]+[A-Za-z_]\w*(?:[ \t]*,[ \t]*[A-Za-z_]\w*)*", re.ASCII)
_OWN = re.compile(r'own[ \t]+"[^"\n]*"[ \t]+(\S[^\n]*)')
_DECIDED = re.compile(r"decided[ \t]+(?:bought|passed|left_open)(?:[ \t]+at[ \t]+(\S[^\n]*))?")
_RULES = re.compile(r'rules((?:[ \t]+"[0-9a-f]*")+)')


def read_car(source: Source, program: Program) -> tuple[Answers, list[Problem]]:
    """Read a recorded car against the questions of a program."""
    if len(source.text) > LARGEST:
        return Answers(), [catalogue.FILE_TOO_LARGE.at(source.span(0, 0), most="1 MiB")]
    chunks, problems, _ = cut(source)
    reader = _Reader(program, problems)
    spoiled = [p.span.start for p in problems]
    for chunk in chunks:
        if bisect_left(spoiled, chunk.span.start) < bisect_left(spoiled, chunk.span.end):
            continue
        if len(problems) > MOST_PROBLEMS:
            break
        reader.line(chunk)
    unasked = reader.asked_elsewhere()
    comparables = reader.comparables()  # when the day of the car is known, wherever it stands
    found = in_order(in_currency(p, program.currency) for p in problems)
    if len(found) > MOST_PROBLEMS:
        rest = catalogue.TOO_MANY_PROBLEMS.at(found[MOST_PROBLEMS].span, most=MOST_PROBLEMS)
        found = (*found[:MOST_PROBLEMS], rest)
    answers = Answers(
        reader.title, reader.day, reader.values, reader.spans, tuple(reader.notes), "".join(reader.rules[-1:]),
        comparables, tuple(reader.claims.told), tuple(reader.claims.denied), source.span(0, 0), unasked,
    )  # fmt: skip
    return answers, list(found)


@define
class _Reader:
    """Reads a recorded car line by line."""

    program: Program
    problems: list[Problem]
    title: str = ""
    day: date | None = None
    rules: list[str] = field(factory=list)
    """The hashes of all rules that asked, the latest last."""
    notes: list[str] = field(factory=list)
    values: dict[str, Value | Unanswered] = field(factory=dict)
    spans: dict[str, Span] = field(factory=dict)
    once: dict[str, Span] = field(factory=dict)
    likes: list[tuple[str, Span, int]] = field(factory=list)
    """Comparables as written, read when the day of the car is known."""
    claims: Claims = field(factory=Claims)
    unknown: dict[str, tuple[str, Span]] = field(factory=dict)
    """Answers to questions that these rules do not ask, with the places of their names."""
    odd_claims: list[Problem] = field(factory=list)

    def line(self, chunk: Chunk) -> None:
        """Read one line, and what is indented below it."""
        text = re.sub(r'("[^"\n]*")|#[^\n]*', lambda m: m[1] or "", chunk.text).strip()
        text = re.sub(r",[ \t]*\n\s*", ", ", text)  # a list goes on after its comma
        span = chunk.span.source.span(chunk.span.start, chunk.span.start + max(len(text), 1))
        if found := _TITLE.fullmatch(text):
            if self._first("car", span):
                self.title = found[1]
        elif found := _RULES.fullmatch(text):
            if self._first("rules", span):
                self.rules = re.findall(r'"([0-9a-f]*)"', found[1])
        elif found := _NOTE.fullmatch(text):
            self.notes.append(" ".join(re.findall(r'"([^"\n]*)"', found[1])))
        elif found := _DAY.fullmatch(text):
            try:
                if self._first("on", span):
                    self.day = read_date(found[1])
            except Unreadable as error:
                self.problems.append(error.at(_part(span, found, 1)))
        elif found := _COMPARABLE.fullmatch(text):
            self.likes.append((found[1], _part(span, found, 1), span.source.place(span.start).line))
        elif found := _FAULTS.fullmatch(text):
            self._faults(found, span)
        elif found := _SKIPPED.fullmatch(text) or _OWN.fullmatch(text) or _DECIDED.fullmatch(text):
            self._aside(found, span)
        elif found := _ANSWER.fullmatch(text):
            self._answer(found[1], found[2], _part(span, found, 1), _part(span, found, 2))
        else:
            self._odd(text, chunk.span)

    def _faults(self, found: re.Match[str], span: Span) -> None:
        """Read the faults that were told or denied."""
        from advisor.language.expressions import Name  # most records have no such line, and resume without it

        start = span.start + found.start(2)
        names = [
            Name(n[0], span.source.span(start + n.start(), start + n.end())) for n in re.finditer(r"\w+", found[2])
        ]
        kinds = dict.fromkeys(self.program.questions, "question") | dict.fromkeys(self.program.faults, "fault")
        self.odd_claims += self.claims.add(found[1], names, self.program.faults.__contains__, kinds)

    def _aside(self, found: re.Match[str], span: Span) -> None:
        """Read what the book keeps beside the answers, which no rule looks at: an amount in it must be one."""
        word = found[0].split()[0]
        if word == "decided" and not self._first(word, span):
            return
        amount = found[1] if found.re is not _SKIPPED else None
        if amount:
            try:
                read_value(amount, MONEY, word)
            except Unreadable as error:
                self.problems.append(error.at(_part(span, found, 1)))

    def of_others(self) -> bool:
        """Whether other rules made the record."""
        return any(hash_ != self.program.digest for hash_ in self.rules)

    def asked_elsewhere(self) -> dict[str, str]:
        """The answers that other rules asked for: all if other rules made the record, else those to questions of used
        files that these rules took out. The rest are mistakes, as are claims about faults that nobody knows."""
        elsewhere = self.of_others()
        gone = self.program.taken_out
        for odd in self.odd_claims:
            of_others = elsewhere or gone.get(odd.span.source.text[odd.span.start : odd.span.end]) == "fault"
            if not (of_others and odd.kind is catalogue.NO_SUCH_FAULT):
                self.problems.append(odd)
        kept = {}
        for name, (written, place) in self.unknown.items():
            if elsewhere or gone.get(name) == "question":
                kept[name] = written
                continue
            guess = nearest(name, self.program.questions)
            cure = f"did you mean `{guess}`?" if guess else "take the line out, or judge it by rules that ask this"
            self.problems.append(catalogue.NOT_ASKED.at(place, name=name, again="", cure=cure))
        return kept

    def comparables(self) -> tuple[Comparable, ...]:
        """The comparables, once all lines are read."""
        if not self.likes:
            return ()
        from advisor.language.comparable_lines import UnreadablePart, read_comparable

        made = []
        for text, span, row in self.likes:
            if self.program.comparing is None and not (self.of_others() or "comparables" in self.program.taken_out):
                self.problems.append(catalogue.NO_COMPARING.at(span))
                break
            try:
                made.append(read_comparable(text, self.day, self.program.currency_code, row))
            except UnreadablePart as part:
                self.problems.append(part.at(span))
        return tuple(made)

    def _first(self, word: str, span: Span) -> bool:
        """Whether this is the first title, day or hash; complains about a second."""
        if word in self.once:
            self.problems.append(catalogue.SAID_TWICE.at(span, what=word, notes=[(self.once[word], "here first")]))
        return self.once.setdefault(word, span) is span

    def _odd(self, text: str, span: Span) -> None:
        """A line that is none, or one that is indented and so looks like part of the line above."""
        cure = 'write `question = answer`, `on 2026-04-11` or `note "..."`'
        first, _, below = text.partition("\n")
        if below and any(p.fullmatch(first.strip()) for p in (_TITLE, _RULES, _NOTE, _DAY, _ANSWER)):
            inner = re.search(r"\n\s*([^\s\"]+|\S)", span.text)
            if inner:
                text, cure = inner[1], "take away the blanks before it, if it is a line of its own"
                span = span.source.span(span.start + inner.start(1), span.start + inner.end(1))
        word = re.match(r"\S+", text)
        end = span.start + (word.end() if word else 1)
        self.problems.append(
            catalogue.CAR_LINE.at(span.source.span(span.start, end), found=word[0] if word else text, cure=cure)
        )

    def _answer(self, name: str, written: str, place: Span, value: Span) -> None:
        """Read one answer."""
        question = self.program.questions.get(name)
        if name in self.spans:
            first = [(self.spans[name], "here first")]
            self.problems.append(catalogue.ANSWERED_TWICE.at(place, name=name, notes=first))
            return
        self.spans[name] = place
        if question is None:
            self.unknown[name] = (written.strip(), place)
        else:
            try:
                self.values[name] = read_answer(written, question, self.program.currency)
            except Unreadable as error:
                self.problems.append(error.at(value))


def _part(span: Span, found: re.Match[str], group: int) -> Span:
    """Where a part of a line stands."""
    start = span.start + found.start(group)
    return span.source.span(start, start + max(len(found[group].rstrip()), 1))
