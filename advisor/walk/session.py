"""The walk itself, without a screen: state in, state out.

In: rules, a car's answers, and what somebody did. Out: the walk after it. The question that is asked is the one that
was jumped or gone back to, else the next open one behind the last that was dealt with. Going back keeps every answer.
An answer whose question no longer applies is kept, too, and counts for nothing.

A verdict takes longer than a question may. So an answer leaves the old one standing until `weighed` is asked for it; a
deal-breaker alone is seen at once.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from functools import cached_property
from itertools import groupby
from typing import TYPE_CHECKING, Literal, Protocol

from attrs import define, evolve, field, frozen

from advisor.judging.situation import Situation
from advisor.language.answers import Answers, read_answer
from advisor.language.program import Program, Question, Unanswered
from advisor.language.types import Value
from advisor.language.wording import format_value
from advisor.walk.typed import as_written

if TYPE_CHECKING:
    from advisor.judging.judge import Judge
    from advisor.judging.standing import Follower, Standing
    from advisor.readings.compiled import Readings

__all__ = ["Change", "FileOrder", "Judging", "Order", "Walk"]


class Order(Protocol):
    """In which order questions are asked."""

    def next(self, open_: Iterable[str], situation: Situation, last: str | None) -> str | None:
        """The next of the open questions, which come in file order; `last` is the one dealt with before."""


@define(slots=False)
class Judging:
    """The rules of a walk, and who judges by them, loaded when first needed: the first question waits for neither."""

    readings: Readings
    _latest: tuple[Situation, ...] = ()

    @property
    def program(self) -> Program:
        """The rules."""
        return self.readings.program

    @cached_property
    def judge(self) -> Judge:
        """Judges cars by the rules."""
        from advisor.judging.judge import Judge

        return Judge(self.readings)

    @cached_property
    def follower(self) -> Follower:
        """Where the car stands after each answer."""
        from advisor.judging.standing import Follower

        return Follower(self.judge)

    def situation(self, answers: Answers) -> Situation:
        """What follows from these answers; what followed from those before is remembered."""
        found = next((s for s in self._latest if s.answers is answers), None)
        if found is None:
            found = Situation(self.readings, answers)
            self._latest = (found, *self._latest[:1])
        return found


@frozen
class FileOrder:
    """The order of the rules: on from the last question, and then what was left open before it."""

    names: tuple[str, ...]

    def next(self, open_: Iterable[str], situation: Situation, last: str | None) -> str | None:
        """The next open question."""
        at = self.names.index(last) if last in self.names else -1
        first = None
        for name in open_:
            if self.names.index(name) > at:
                return name
            first = first or name
        return first


@frozen
class Change:
    """What is to be kept: an answer as a file writes it, a question skipped, where the walk stands, a note, a claim
    about a fault."""

    kind: Literal["answered", "cleared", "skipped", "stood", "noted", "told", "denied"]
    about: str = ""
    text: str = ""


@frozen(slots=False)
class Walk:
    """Where a walk stands.

    `trail` holds the questions dealt with, in order; `at` is the one jumped or gone back to, `back` which of the two.
    `way` is the question behind which the walk goes on, where that is not the one dealt with last, and empty where it
    has not begun; `anew` are those that a corrected answer opened, which are asked at once. With `asks_all` a certain
    verdict stops nothing. `standing` is None before the first weighing, and of earlier answers until the next.
    """

    judging: Judging
    order: Order
    answers: Answers
    standing: Standing | None = None
    trail: tuple[str, ...] = ()
    at: str | None = None
    back: bool = False
    way: str | None = None
    anew: tuple[str, ...] = ()
    skipped: frozenset[str] = frozenset()
    pocket: bool = False
    quick: bool = False
    """Whether the order is the quick one, which a walk that goes on keeps."""
    goes_on: bool = False
    asks_all: bool = False
    stale: bool = True
    """Whether the standing is of earlier answers."""
    found: tuple[str, ...] = field(default=(), eq=False)
    """The faults that the last answer brought."""

    # ---- where it stands ----

    @property
    def program(self) -> Program:
        """The rules."""
        return self.judging.program

    @cached_property
    def situation(self) -> Situation:
        """What follows from the answers so far."""
        return self.judging.situation(self.answers)

    @property
    def gates(self) -> dict[str, bool]:
        """Which questions apply, or may."""
        return self.situation.gates

    @cached_property
    def certain(self) -> bool:
        """Whether the verdict is certain, as far as it has been weighed; a deal-breaker's answer tells it at once."""
        broken = bool(self.answers.values) and self.situation.broken
        return broken or (self.standing is not None and self.standing.certain)

    @property
    def paused(self) -> bool:
        """Whether the verdict has become certain and nobody has said yet whether to go on."""
        return self.certain and not (self.goes_on or self.asks_all) and self.at is None

    @cached_property
    def worth_a_look(self) -> tuple[str, ...]:
        """What is still worth a look once the verdict is certain: for safety, then for the bargaining."""
        if self.standing is None:
            return ()
        names = dict.fromkeys((*self.standing.for_safety, *self.standing.for_bargaining))
        return tuple(n for n in names if n not in self.skipped and n not in self.answers.values)

    @cached_property
    def open(self) -> tuple[str, ...]:
        """The questions that apply, were not asked, and are not told by comparables, in file order."""
        return tuple(self._still_open())

    def _still_open(self) -> Iterator[str]:
        """The same, one by one: whoever wants only the first does not wait for all gates."""
        for name, question in self.program.questions.items():
            told = name in self.answers.values or self.told_by_comparables(name)
            if not told and (not question.gated or self.gates[name]):
                yield name

    @cached_property
    def question(self) -> Question | None:
        """The question that is asked; None at the end, and while paused."""
        questions = self.program.questions
        if self.at is not None:
            return questions[self.at]
        if self.paused:
            return None
        few = self.certain and not self.asks_all
        wanted = set(self.worth_a_look) if few else questions.keys() - self.skipped
        if self.anew and (first := next((n for n in self.anew if n in wanted and n in self.open), None)):
            return questions[first]
        name = self.order.next((n for n in self._still_open() if n in wanted), self.situation, self.last)
        return None if name is None else questions[name]

    @property
    def put_off(self) -> tuple[str, ...]:
        """The questions that were skipped, apply and can still matter, in file order."""
        matter = set(self.standing.matter) if self.standing is not None else set[str]()
        return () if self.certain else tuple(n for n in self.open if n in self.skipped and n in matter)

    def told_by_comparables(self, name: str) -> bool:
        """Whether a question needs no answer, for what the comparables of this car come to stands in for it."""
        comparing = self.program.comparing
        return comparing is not None and comparing.question == name and bool(self.answers.comparables)

    @property
    def last(self) -> str | None:
        """The question behind which the walk goes on."""
        return self.way if self.way is not None else self.trail[-1] if self.trail else None

    @property
    def stood(self) -> Change:
        """Where it stands beyond what its answers tell: the question jumped or gone back to, and what was chosen."""
        chosen = [w for w in ("back", "goes_on", "pocket", "quick") if getattr(self, w)]
        chosen += [f"way:{self.way}"] if self.way is not None else []
        return Change("stood", self.at or "", " ".join((*chosen, *(f"anew:{n}" for n in self.anew))))

    def stands(self, at: str, chosen: str) -> Walk:
        """The walk where `stood` tells; a question that the rules do not ask any more is none."""
        words, questions = chosen.split(), self.program.questions
        known = at if at in questions else None
        ways = [w.removeprefix("way:") for w in words if w.startswith("way:")]
        anew = (w.removeprefix("anew:") for w in words if w.startswith("anew:"))
        return evolve(
            self,
            at=known,
            back="back" in words and known is not None,
            way=next((n for n in ways if n in questions or not n), None),
            anew=tuple(n for n in anew if n in questions),
            goes_on="goes_on" in words,
            pocket=self.pocket or "pocket" in words,
        )

    def number(self, name: str) -> int:
        """A question's number, as on the paper sheet."""
        return list(self.program.questions).index(name) + 1

    def numbered(self, number: int) -> Question | None:
        """The question of a number."""
        questions = tuple(self.program.questions.values())
        return questions[number - 1] if 1 <= number <= len(questions) else None

    def stations(self) -> tuple[tuple[int | None, tuple[Question, ...]], ...]:
        """The stations in order, each with its questions that apply, have an answer, or were jumped to."""
        questions = self.program.questions.values()
        asked = (q for q in questions if self.gates[q.name] or q.name in self.answers.values or q.name == self.at)
        return tuple((at, tuple(found)) for at, found in groupby(asked, lambda q: q.station))

    # ---- what somebody does ----

    def written(self, question: Question, text: str) -> str:
        """An answer as typed, as a file has it; `ok` and `bad` where the rules say what is fine. Raises `Mistake`."""
        word = text.strip().lower()
        if word in ("ok", "fine") and question.fine is not None:
            return format_value(question.fine, question.type)
        if word == "bad" and isinstance(question.fine, bool):
            return format_value(not question.fine, question.type)
        return "refused" if word == "x" else as_written(text, question, self.program, self.answers.day)

    def read(self, question: Question, written: str) -> Value | Unanswered:
        """The answer that a file has."""
        return read_answer(written, question, self.program.currency)

    def answered(self, given: Mapping[str, Value | Unanswered], *, named: bool = False) -> Walk:
        """The walk with these answers, which were `named` or else are to what is asked; not weighed."""
        aside = named or self._aside
        after = evolve(
            self,
            answers=evolve(self.answers, values={**self.answers.values, **given}),
            trail=(*(n for n in self.trail if n not in given or self.back), *(n for n in given if not self._stays(n))),
            way=(self.last or "") if aside else None,
            skipped=self.skipped - given.keys(),
            stale=True,
        )
        opened = [n for n in after.open if not self.gates[n] and n not in self.anew] if aside else []
        after = evolve(
            after,
            anew=(*(n for n in self.anew if n not in given), *opened),
            found=tuple(n for n in after.situation.faults if n not in self.situation.faults),
        )
        return after.moved_on() if self.at is None or self.at in given else after

    @property
    def _aside(self) -> bool:
        """Whether what is asked stands beside the way: gone back to, asked anew, or jumped to although answered."""
        if self.at is not None:
            return self.back or self.way is not None or self.at in self.answers.values
        question = self.question
        return question is not None and question.name in self.anew

    def _stays(self, name: str) -> bool:
        """Whether a question keeps its place on the trail: one that was gone back to does."""
        return self.back and name in self.trail

    def weighed(self) -> Walk:
        """The walk with its verdict so far; where that is not certain, nobody has gone on behind it."""
        if not self.stale:
            return self
        after = evolve(self, standing=self.judging.follower.stand(self.situation), stale=False)
        return evolve(after, goes_on=after.goes_on and after.certain)

    def moved_on(self) -> Walk:
        """Behind the question that is asked: on along the trail, if one had gone back, else to what is open."""
        if self.back and self.at in self.trail:
            later = [n for n in self.trail[self.trail.index(self.at) + 1 :] if self.gates[n]]
            if later:
                return evolve(self, at=later[0])
        return evolve(self, at=None, back=False)

    def to_take_back(self) -> str | None:
        """The question whose answer can be taken back: the one that is asked, else the one answered last."""
        if self.at in self.answers.values:
            return self.at
        return next((n for n in reversed(self.trail) if n in self.answers.values), None)

    def cleared(self, name: str) -> Walk:
        """The walk without the answer to a question, which is asked again; not weighed."""
        return evolve(
            self,
            answers=evolve(self.answers, values={n: v for n, v in self.answers.values.items() if n != name}),
            trail=tuple(n for n in self.trail if n != name),
            way=(self.last or "") if self.last != name else None,
            at=name,
            back=False,
            stale=True,
            found=(),
        )

    def skip(self, name: str) -> Walk:
        """The walk with a question passed over for now; an answer that it had stays."""
        if name in self.answers.values:
            return self.moved_on()
        trail = self.trail if self._stays(name) else (*(n for n in self.trail if n != name), name)
        way = (self.last or "") if self._aside else None
        after = evolve(self, trail=trail, way=way, skipped=self.skipped | {name})
        return after.moved_on() if self.at in (None, name) else after

    def went_back(self) -> Walk | None:
        """At the question before this one; None at the first."""
        end = self.trail.index(self.at) if self.at in self.trail else len(self.trail)
        before = [n for n in self.trail[:end] if self.gates[n]]
        return evolve(self, at=before[-1], back=True) if before else None

    def jumped(self, name: str) -> Walk:
        """At a question, whatever was asked or answered."""
        return evolve(self, at=name, back=False, way=self.way if name in self.answers.values else None)

    def noted(self, text: str) -> Walk:
        """With one more note."""
        return evolve(self, answers=evolve(self.answers, notes=(*self.answers.notes, text)))

    def claimed(self, kind: Literal["told", "denied"], fault: str) -> Walk:
        """With a fault that the seller told of, or denied."""
        told = tuple(n for n in self.answers.told if n != fault)
        denied = tuple(n for n in self.answers.denied if n != fault)
        told, denied = ((*told, fault), denied) if kind == "told" else (told, (*denied, fault))
        return evolve(self, answers=evolve(self.answers, told=told, denied=denied), stale=True)
