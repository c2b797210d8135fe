"""Whatever comes: which verdicts are still possible, whatever the open answers turn out to be.

In: a `Sheet` and the readings. Out: the set of verdicts, sound: for every completion of the answers the verdict
lies in it. The possible reading bounds the ceiling from both sides: below, by one plan at offers where every
require surely holds; above, where for any plan one surely fails. Where more than one verdict is left, open
choices, and numbers at the thresholds they are compared with, are split into boxes; with few completions left,
each is judged exactly.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from decimal import Decimal
from itertools import combinations_with_replacement, product
from math import comb, prod
from typing import TYPE_CHECKING, Any

from attrs import define, field, frozen

from advisor.judging.repairs import Said, possible_totals
from advisor.judging.sheet import Sheet, domain, each_value, highest_offer
from advisor.language.program import Program, Unanswered
from advisor.language.types import Choice, Quantity, Value, YesNo
from advisor.readings.compiled import Readings
from advisor.readings.weighing import Weight

if TYPE_CHECKING:
    from advisor.judging.drawing import Drawing

__all__ = ["BOXES", "Completion", "Outlook"]

BOXES = 24
"""The most boxes that open answers are split into: what can be afforded between two questions of a walk."""
_COMPLETIONS = 48
"""With no more completions than this, each is judged exactly."""

_CENT = Decimal("0.01")
_DRAWN_STEPS = 6
"""How often the range is halved in which a rule that looks at a chance surely holds: each step draws anew."""
_DECIDED = 2
"""How many repairs are tried both ways when the ceiling is bounded from above."""
Boxes = dict[str, tuple[Any, Any]]


@frozen
class Completion:
    """How the open questions turn out: answers, and how those stay open that get none and are planned with."""

    values: dict[str, Value]
    still_open: dict[str, Unanswered | None] = field(factory=dict)


def _no_drawing() -> Drawing:
    raise AssertionError("no rule looks at a chance")


@define
class Outlook:
    """What the possible reading says of one car.

    `exactly` judges a complete car, `matters` are the questions that count.
    """

    readings: Readings
    sheet: Sheet
    matters: Weight
    exactly: Callable[[Completion], str | None]
    guess: dict[str, bool] = field(factory=dict)
    """A repair plan by fault name, for the lower bound of the ceiling."""
    drawn: frozenset[int] = frozenset()
    """The requires that look at a chance."""
    drawing: Callable[[], Drawing] = field(default=_no_drawing)
    completes: bool = True
    """Whether each open question that the verdict can depend on is among those that count. Then a completion without a
    verdict, since something in it lacks a plan, says nothing new: with an answer to that it is another completion."""
    boxes_left: int = BOXES
    most_completions: int = _COMPLETIONS
    bounds: tuple[Decimal | None, Decimal | None] | None = None
    """The ceiling in the box that was looked at last: at least, none where there may be none, and at most."""
    limiting: str | None = None
    """The require that surely fails above the upper bound; None where only the highest offer bounds it."""

    @property
    def program(self) -> Program:
        """The rules."""
        return self.readings.program

    # ---- one box ----

    def box(self, boxes: Boxes) -> frozenset[str]:
        """The verdicts possible while the open answers stay inside a box."""
        possible = self.sheet.possible(boxes)
        facts, figures, refuses, _, deal, ladder, ladder_none, _ = self.readings.possible(*possible)
        found: set[str] = set()
        if any(t for t, _ in refuses):
            found.add(self.program.verdicts[-1])
            if any(t and not f for t, f in refuses):
                return frozenset(found)
        return frozenset(found) | self._ladder(facts, figures, deal, ladder, ladder_none, possible)

    def _asking(self, possible: Any) -> tuple[Decimal, Decimal]:
        if "asking" not in self.program.questions:
            return Decimal(0), Decimal(0)
        at = list(self.program.questions).index("asking")
        return possible[0][at], possible[1][at]

    def _ladder(
        self, facts: Any, figures: Any, deal: Any, ladder: Any, ladder_none: Any, possible: Any
    ) -> frozenset[str]:
        asking = self._asking(possible)
        faults = tuple(self.program.faults.values())
        free = possible_totals(faults, facts, figures, {}, self._said)
        if not self.program.of_kind("require"):
            highest = highest_offer(self.program)
            return self._rungs(ladder(*asking, free, highest, highest))
        self.bounds = low, high = self._bounds(faults, facts, figures, deal, possible)
        found: frozenset[str] = frozenset()
        if high is not None:
            found |= self._rungs(ladder(*asking, free, low if low is not None else Decimal(0), high))
        if low is None:
            found |= self._rungs(ladder_none(*asking, free))
        return found

    def _rungs(self, mask: int) -> frozenset[str]:
        return frozenset(r.verdict for i, r in enumerate(self.program.ladder) if mask >> i & 1)

    def _bounds(
        self, faults: Any, facts: Any, figures: Any, deal: Any, possible: Any
    ) -> tuple[Decimal | None, Decimal | None]:
        """A lower and an upper bound of the ceiling; None below for perhaps none, above for surely none."""
        top = int(highest_offer(self.program) / _CENT)
        mended = {f.name: self.guess.get(f.name, True) for f in faults}
        guessed = possible_totals(faults, facts, figures, mended, self._said)

        def surely(cents: int) -> bool:
            held = deal(cents * _CENT, guessed)
            return not any(f for i, (_, f) in enumerate(held) if i not in self.drawn)

        low, high = _last(surely, top), None
        if low is not None and self.drawn:
            low = self._drawn_low(low, deal, (self.sheet, possible, facts, figures, mended, guessed))
        plans = self._plans(faults, facts, figures)
        best = plans[0]
        for plan in plans:

            def perhaps(cents: int, plan: Any = plan) -> bool:
                return all(t for t, _ in deal(cents * _CENT, plan))

            found = _last(perhaps, top, 0 if high is None else min(high + 1, top))
            if found is not None:
                high, best = found, plan
        above = deal((0 if high is None else min(high + 1, top)) * _CENT, best)
        fails = (r.name for r, (t, _) in zip(self.program.of_kind("require"), above, strict=True) if not t)
        self.limiting = next(fails, None)
        return (None if low is None else low * _CENT), (None if high is None else high * _CENT)

    def _drawn_low(self, low: int, deal: Any, car: Any) -> int | None:
        """A lower bound that holds for the rules that look at a chance too; found in few steps, and so a coarse one."""
        from advisor.judging.enclosure import bounds_of_chances

        figures = (*car[-1], bounds_of_chances(self.drawing(), *car))

        def surely(cents: int) -> bool:
            held = deal(cents * _CENT, figures)
            return not any(held[i][1] for i in self.drawn)

        return _last(surely, low, steps=_DRAWN_STEPS)

    def _plans(self, faults: Any, facts: Any, figures: Any) -> list[Any]:
        """What any plan can come to: the repairs that surely hold decided each way, a few of them, the rest open."""
        certain = [f.name for f, (t, f_) in zip(faults, facts, strict=True) if t and not f_ and not f.must][:_DECIDED]
        ways = product((True, False), repeat=len(certain))
        return [
            possible_totals(faults, facts, figures, dict(zip(certain, way, strict=True)), self._said) for way in ways
        ]

    @property
    def _said(self) -> Said:
        return Said(self.sheet.answers.told, self.sheet.answers.denied)

    # ---- all boxes ----

    def verdicts(self, witnesses: Iterable[Completion] = ()) -> frozenset[str]:
        """The verdicts still possible. `witnesses` are completions worth trying: a verdict that one shows needs no
        proof that it is possible."""
        *_, gates = self.readings.brief(*self.sheet.possible())
        applies = dict(zip(self.program.questions, (t for t, _ in gates), strict=True))
        whole = self.box({})
        if len(whole) == 1:
            return whole
        open_ = [n for n in self.sheet.open if n in self.matters.weighty and applies[n]]
        counted = [n for n in self.sheet.open if n in self.matters.counted and applies[n]]
        completions = self._completions(open_, counted)
        if completions is not None:
            judged = frozenset(self.exactly(c) for c in completions)
            if self.completes or None not in judged:
                return frozenset(v for v in judged if v is not None)
        shown: set[str] = set()
        for witness in witnesses:
            shown |= {v} if (v := self.exactly(witness)) is not None else set()
            if whole <= shown:
                break
        return self._split({}, open_, whole, shown)

    def _completions(self, open_: list[str], counted: list[str]) -> list[Completion] | None:
        """Every completion, if each open question that matters is a choice and they are few.

        A question that is counted may also stay open, in each way that a counter tells apart, and be planned with.
        """
        parts: list[list[tuple[tuple[str, Value | None, Unanswered | None], ...]]] = []
        for name in open_:
            question = self.program.questions[name]
            stays = self.matters.ways_open(question) if name in counted else ()
            answers = tuple(each_value(question))
            if not answers:
                return None
            parts.append([((name, v, None),) for v in answers] + [((name, None, cell),) for cell in stays])
        alike: dict[tuple[Unanswered | None, ...], list[str]] = {}
        for name in counted:
            if name not in open_:
                # Where the answer does not matter, not asked is as good as answered: neither is counted.
                alike.setdefault((None, *self.matters.ways_open(self.program.questions[name])), []).append(name)
        for cells, names in alike.items():  # it matters how many stay open in each way, not which
            if comb(len(cells) + len(names) - 1, len(names)) > self.most_completions:
                return None
            ways = combinations_with_replacement(cells, len(names))
            parts.append([tuple((n, None, c) for n, c in zip(names, way, strict=True)) for way in ways])
        if prod(map(len, parts)) > self.most_completions:
            return None
        return [
            Completion(
                {n: value for part in way for n, value, _ in part if value is not None},
                {n: cell for part in way for n, value, cell in part if value is None},
            )
            for way in product(*parts)
        ]

    def _split(self, boxes: Boxes, open_: list[str], whole: frozenset[str], shown: set[str]) -> frozenset[str]:
        """Join the verdicts of halves; a box that can add nothing to those shown is not cut."""
        found = set(shown)
        pending: list[tuple[Boxes, frozenset[str]]] = [(boxes, whole)]
        while pending:
            box, verdicts = pending.pop()
            if verdicts <= found:
                continue
            halves = self._halves(box, open_) if self.boxes_left > 0 and len(verdicts) > 1 else []
            if not halves:
                found |= verdicts
                continue
            self.boxes_left -= len(halves)
            pending.extend((half, self.box(half)) for half in halves)
        return frozenset(found)

    def _halves(self, boxes: Boxes, open_: list[str]) -> list[Boxes]:
        """The box cut in two at the first question that can still be cut."""
        for name in open_:
            question = self.program.questions[name]
            low, high = boxes.get(name) or domain(question)
            match question.type:
                case YesNo() if low and high:
                    return [boxes | {name: (True, False)}, boxes | {name: (False, True)}]
                case Choice() if low & (low - 1):
                    first = low & -low
                    return [boxes | {name: (first, first)}, boxes | {name: (low - first, low - first)}]
                case Quantity():
                    for cut in self.matters.thresholds.get(name, ()):
                        if low < cut < high:
                            return [boxes | {name: (low, cut)}, boxes | {name: (cut, high)}]
        return []


def _last(holds: Callable[[int], bool], top: int, start: int = 0, steps: int = 64) -> int | None:
    """The last of 0..top at which something holds, found by halving; None if not at the start. With fewer `steps`,
    one at which it holds too, but not the last."""
    if not holds(start):
        return None
    if holds(top):
        return top
    low, high = start, top
    while high - low > 1 and steps > 0:
        steps -= 1
        middle = (low + high) // 2
        if holds(middle):
            low = middle
        else:
            high = middle
    return low
