"""Where a car stands while its questions are answered: the verdict so far, fast enough to stand under each question.

In: answers as they grow. Out: a `Standing`. `certain` is proved: every completion of the answers has that verdict. It
may come late, for little work is done between two questions, and never wrongly. A follower remembers for each verdict a
complete car that has it: while one of them agrees with all answers, that verdict is possible and needs no work.
"""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal
from functools import cached_property

from attrs import define, evolve, field, frozen

from advisor.judging.asking import ending
from advisor.judging.deal import Deal
from advisor.judging.judge import Judge
from advisor.judging.outlook import Completion, Outlook
from advisor.judging.sheet import Sheet
from advisor.judging.situation import Situation
from advisor.language import core
from advisor.language.answers import Answers
from advisor.language.program import Question
from advisor.language.types import Value
from advisor.readings.arithmetic import exact_arithmetic

__all__ = ["Follower", "Standing"]

_BOXES = 4
"""So many boxes are tried after an answer to prove a verdict; each takes as long as a judgment."""
_COMPLETIONS = 6
"""With no more completions than this, each is judged."""
_LONGEST_REST = 7
"""After a search in vain, so many answers at most pass without another."""
_LAST = 3
"""With no more open questions that matter than this, a search never rests."""
Bounds = tuple[Decimal | None, Decimal | None]


@frozen
class Standing:
    """The verdict so far.

    `on_plan` is the verdict with everything open taken as planned, None while something `missing` has no plan;
    `ceiling` is of that plan. `possible` are the verdicts not ruled out; one alone is `certain`. `bounds` hold the
    ceiling whatever comes, where the rules bound it. `holding` are the deal-breakers that hold, else the rule that
    keeps the price down, on the plan or, where there is none, whatever comes. The last three are questions without an
    answer: those the verdict can hang on, and those still worth a look for safety or for the bargaining.
    """

    on_plan: str | None
    ceiling: Decimal | None
    bounds: Bounds
    missing: tuple[str, ...]
    possible: tuple[str, ...]
    holding: tuple[str, ...]
    matter: tuple[str, ...]
    for_safety: tuple[str, ...]
    for_bargaining: tuple[str, ...]

    @property
    def certain(self) -> bool:
        """Whether only one verdict is left."""
        return len(self.possible) == 1


@define(slots=False)
class Follower:
    """Follows one car from answer to answer."""

    judge: Judge
    _shown: dict[str, dict[str, Value]] = field(factory=dict)
    """For each verdict a complete car that had it when it was last judged."""
    _vain: int = 0
    _rest: int = 0
    _certain: tuple[str, Answers] | None = None
    """A verdict that was proved, and the answers it was proved from: further ones cannot change it."""

    @cached_property
    def _unpriced(self) -> frozenset[str]:
        """The verdicts that a line of the ladder says without a look at the price."""

        def looks(condition: core.Core) -> bool:
            return any(
                isinstance(p, core.Special) and p.name in ("ceiling", "offer")
                for p in self.judge.footing.parts(condition)
            )

        ladder = self.judge.program.ladder
        return frozenset(r.verdict for r in ladder if r.condition is not None and not looks(r.condition))

    def stand(self, situation: Situation) -> Standing:
        """The verdict so far."""
        with exact_arithmetic():
            return self._stand(situation)

    def _stand(self, situation: Situation) -> Standing:
        judge, program, sheet = self.judge, self.judge.program, situation.sheet
        reach = judge.readings.reach
        facts, _, refuses, cautions, *_, gates = situation.possible
        asked = [n for n, (can, _) in zip(program.questions, gates, strict=True) if can and not sheet.answered(n)]
        broken = tuple(r.name for r in situation.refuses)
        missing = judge.unplanned(sheet)
        deal = None if missing else judge.planned_deal(sheet)
        # Where there is no price, its best plan takes long to find and bounds nothing.
        outlook = judge.outlook(sheet, deal if deal and deal.ceiling.offer is not None else None)
        mattering = reach.mattering(facts, refuses)
        # What the verdict cannot hang on is not worth a box, and with nothing else open there is one car to judge.
        outlook.matters = evolve(
            outlook.matters,
            weighty=outlook.matters.weighty & mattering,
            counted=outlook.matters.counted & mattering,
        )
        outlook.completes = False
        left = [n for n in asked if n in mattering]
        whole = outlook.box({})
        bounds, limiting = outlook.bounds or (None, None), outlook.limiting
        possible = self._possible(outlook, whole, few=len(left) <= _LAST)
        certain = len(possible) == 1
        safety, bargain = reach.for_safety(cautions), reach.for_bargaining(facts)
        binding = None if broken else limiting if deal is None else self._binding(deal)
        if (possible[0] if certain else deal.verdict if deal else None) in self._unpriced:
            binding = None
        return Standing(
            on_plan=deal.verdict if deal else None,
            ceiling=deal.ceiling.offer if deal and not any(deal.refuses) else None,
            bounds=bounds,
            missing=missing,
            possible=possible,
            holding=broken or ((binding,) if binding else ()),
            matter=() if certain else tuple(left),
            for_safety=tuple(n for n in asked if n in safety),
            for_bargaining=() if broken else tuple(n for n in asked if n in bargain and n not in safety),
        )

    def _binding(self, deal: Deal) -> str | None:
        """The rule that keeps the price down; where there is no price, as if everything were mended."""
        bargain = deal.bargain
        plan = deal.ceiling.plan if deal.ceiling.offer is not None else (1 << len(bargain.repairs.optional)) - 1
        names = [r.name for r in self.judge.program.of_kind("require")]
        return self.judge.binding(deal, dict(zip(names, bargain.own_ceilings(plan), strict=True)))

    # ---- which verdicts are possible ----

    def _possible(self, outlook: Outlook, whole: frozenset[str], *, few: bool) -> tuple[str, ...]:
        """Those of the verdicts in the whole box that are not ruled out."""
        answers = outlook.sheet.answers
        if self._certain and _goes_on(self._certain[1], answers):
            return (self._certain[0],)
        if len(whole) > 1:
            self._bring_in_line(outlook)
            if len(whole & self._shown.keys()) < 2:
                whole = self._searched(outlook, whole, few=few)
        self._certain = (next(iter(whole)), answers) if len(whole) == 1 else None
        return tuple(v for v in self.judge.program.verdicts if v in whole)

    def _bring_in_line(self, outlook: Outlook) -> None:
        """Judge those remembered cars anew that an answer has changed."""
        before, self._shown = self._shown, {}
        stale = []
        for verdict, values in before.items():
            if all(values.get(n) == v for n, v in outlook.sheet.known.items()):
                self._shown[verdict] = values
            else:
                stale.append(values)
        for values in stale:
            self._show(outlook, values)

    def _searched(self, outlook: Outlook, whole: frozenset[str], *, few: bool) -> frozenset[str]:
        """What is left of the verdicts after some work. Where it was in vain, the next answers are not searched,
        unless but few questions are left."""
        if self._rest > 0 and not few:
            self._rest -= 1
            return whole
        for values in self._tries(outlook):
            self._show(outlook, values)
            if len(whole & self._shown.keys()) >= 2:
                self._vain = 0
                return whole
        left = self._proved(outlook, whole, whole & self._shown.keys())
        self._vain = min(2 * self._vain + 1, _LONGEST_REST) if len(left) > 1 else 0
        self._rest = self._vain
        return left

    def _show(self, outlook: Outlook, values: dict[str, Value]) -> None:
        """Judge one complete car, and remember it by its verdict."""
        sheet = outlook.sheet
        full = {n: values[n] for n in sheet.open if n in values}
        verdict = outlook.exactly(Completion(full))
        if verdict is not None:
            self._shown.setdefault(verdict, {**full, **sheet.known})

    def _tries(self, outlook: Outlook) -> Iterator[dict[str, Value]]:
        """Cars worth trying: as it usually comes; with one answer that breaks a deal; all as it should be; all bad."""
        sheet, program = outlook.sheet, self.judge.program
        usual = dict(zip(program.questions, sheet.exact(self.judge.planned(sheet)).plan, strict=True))
        yield usual
        if breaks := self._breaking(sheet):
            yield usual | breaks
        yield usual | {n: v for n in sheet.open if (v := _end(program.questions[n], good=True)) is not None}
        yield usual | {n: v for n in sheet.open if (v := _end(program.questions[n], good=False)) is not None}

    def _breaking(self, sheet: Sheet) -> dict[str, Value]:
        """One open answer with which a deal-breaker surely holds."""
        program = self.judge.program
        for name in sheet.open:
            if name in self.judge.readings.reach.breaking_with:
                for value in ending(self.judge.readings, sheet, program.questions[name]):
                    return {name: value}
        return {}

    def _proved(self, outlook: Outlook, whole: frozenset[str], seen: frozenset[str]) -> frozenset[str]:
        """What is left of the verdicts after some work; those that were seen are among them."""
        outlook.boxes_left, outlook.most_completions = _BOXES, _COMPLETIONS
        tried = (
            Completion({n: v for n, v in values.items() if n in outlook.sheet.open}) for values in self._shown.values()
        )
        return (outlook.verdicts(tried) & whole) | seen


def _goes_on(before: Answers, after: Answers) -> bool:
    """Whether a car has all the answers it had before, nothing but answers having come."""
    return evolve(before, values={}) == evolve(after, values={}) and all(
        after.known(n) == before.known(n) for n in before.values if before.known(n) is not None
    )


def _end(question: Question, *, good: bool) -> Value | None:
    """An answer at one end: the fine one, or the one that least often comes."""
    if good or not question.usually:
        return question.fine if good else None
    return min(question.usually, key=lambda s: s[1])[0]
