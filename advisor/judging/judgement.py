"""A judgement: what comes out for one car, with everything needed to explain it.

In: `Readings` of a program and a car's `Answers`. Out: a `Judgement`. Two judgements are made and told apart.
Whatever comes: the verdicts still possible for any completion of the answers; one left is settled. On the plan:
what is not answered takes its `assume`, or brings its faults at their chance; where something is left that has no
plan, there is none.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Set
from decimal import Decimal
from functools import cached_property
from itertools import product
from typing import Any

from attrs import define, field, frozen

from advisor.judging.bargain import Bargain, Ceiling
from advisor.judging.outlook import Completion, Outlook
from advisor.judging.reasons import reasons
from advisor.judging.repairs import Held, Repairs
from advisor.judging.sheet import ExactArrays, Sheet, Weight, each_value, highest_offer, looks_at_plan, weight
from advisor.language import catalogue, core
from advisor.language.cars import Answers
from advisor.language.problems import ProblemsFound
from advisor.language.program import Program, Question, Rule, ShowDef, Unanswered
from advisor.language.types import Quantity, Value
from advisor.readings.arithmetic import exact_arithmetic
from advisor.readings.compiled import Readings
from advisor.readings.emitting import wanted

__all__ = ["Assumption", "Deal", "Judge", "Judgement", "Unknown", "judge"]

_VERDICTS = ("buy", "renegotiate", "pass")
_PARTS = (0, 1, 0.5, 0.25, 0.75, 0.6, 0.4, 0.9, 0.8, 0.7)
"""How many of the open answers turn out well in the completions that are tried, as shares of them."""


@frozen
class Trial:
    """What one answer would do, everything else as planned: whether a deal-breaker holds, the ceiling, the verdict."""

    value: Value
    refused: bool
    ceiling: Decimal | None
    verdict: str


@frozen
class Assumption:
    """Something planned with that nobody saw; `value` is None where its faults come at their chance."""

    question: Question
    cell: Unanswered | None
    value: Value | None
    trials: tuple[Trial, ...]

    @property
    def ceilings(self) -> tuple[Decimal | None, Decimal | None]:
        """The lowest and the highest ceiling that its answers could lead to."""
        known = [t.ceiling for t in self.trials if t.ceiling is not None]
        lowest = None if len(known) < len(self.trials) else min(known, default=None)
        return lowest, max(known, default=None)

    def worth(self, trial: Trial) -> tuple[bool, int, Decimal, Decimal]:
        """How good an answer is: no deal-breaker, then by its verdict, its ceiling, and how usual it is."""
        ceiling = trial.ceiling if trial.ceiling is not None else Decimal(-1)
        share = dict(self.question.usually).get(trial.value, Decimal(0))
        return not trial.refused, -_VERDICTS.index(trial.verdict), ceiling, share


@frozen
class Unknown:
    """An open question that the verdict can depend on; `leads_to` says what each answer would make of it."""

    question: Question
    cell: Unanswered | None
    planned: bool
    leads_to: tuple[tuple[Value, tuple[str, ...]], ...]


@frozen(slots=False)
class Deal:
    """One complete car, judged exactly: every figure, the ceiling and the verdict."""

    program: Program
    arrays: ExactArrays
    bargain: Bargain
    refuses: tuple[bool, ...]
    cautions: tuple[bool, ...]
    situation: tuple[Any, ...]
    report: Any
    report_none: Any
    asking: Decimal
    today: Any
    ladder_looks_at_plan: bool

    @cached_property
    def ceiling(self) -> Ceiling:
        """The highest offer."""
        return self.bargain.ceiling()

    @cached_property
    def plan(self) -> int:
        """The repair plan at the asking price, which the report is about."""
        return self.bargain.plan_at(self.asking)

    def reported(self, ceiling: Decimal | None, plan: int | None = None) -> tuple[int | None, tuple[Any, ...]]:
        """The rung that decides under a ceiling, and the values that stand on the price."""
        totals = self.bargain.repairs.totals(self.plan if plan is None else plan)
        if ceiling is None:
            return self.report_none(self.asking, totals)  # type: ignore[no-any-return]  # generated code
        return self.report(self.asking, totals, ceiling)  # type: ignore[no-any-return]

    def verdict_under(self, refused: bool, ceiling: Decimal | None) -> str:
        """The verdict if a deal-breaker holds or not, under a ceiling."""
        if refused:
            return "pass"
        # Where the ladder looks at nothing that a repair plan decides, any plan will do.
        rung, _ = self.reported(ceiling, None if self.ladder_looks_at_plan else 0)
        return self.program.ladder[rung].verdict if rung is not None else "pass"

    @cached_property
    def verdict(self) -> str:
        """The verdict."""
        if any(self.refuses):
            return "pass"
        return self.verdict_under(False, self.ceiling.offer)

    @cached_property
    def values(self) -> dict[str, Any]:
        """Every quantity of the rules by name, planning values; None for one without a value."""
        todo = wanted(self.program)
        found = {let.name: v for (let, end), v in zip(todo.situation, self.situation, strict=True) if end == "plan"}
        _, reported = self.reported(self.ceiling.offer)
        found |= {let.name: v for (let, end), v in zip(todo.report, reported, strict=True) if end == "plan"}
        found |= {"ceiling": self.ceiling.offer, "offer": self.asking, "today": self.today}
        return found


@frozen
class Judgement:
    """Everything said of one car."""

    program: Program
    answers: Answers
    verdict: str
    settled: bool
    possible: tuple[str, ...]
    deal: Deal | None
    assuming: tuple[Assumption, ...]
    unknown: tuple[Unknown, ...]
    reasons: tuple[Rule, ...]
    cautions: tuple[tuple[Rule, bool], ...]
    """Each caution that holds or may hold, and whether it surely does."""
    binding: str | None
    own_ceilings: dict[str, Decimal | None]

    @property
    def ceiling(self) -> Decimal | None:
        """The highest offer, if there is one and it can be told."""
        return self.deal.ceiling.offer if self.deal else None

    @property
    def asking(self) -> Decimal | None:
        """The asking price, if it was answered."""
        value = self.answers.known("asking")
        return value if isinstance(value, Decimal) else getattr(value, "planned", None)

    @property
    def shows(self) -> tuple[tuple[ShowDef, Any], ...]:
        """The lines of the report with their values."""
        if not self.deal:
            return ()
        values = self.deal.values
        found = []
        for show in self.program.shows:
            if show.name in values:
                found.append((show, values[show.name]))
            elif show.name in self.program.settings:
                found.append((show, self.program.settings[show.name].value))
            elif show.name in self.program.questions:
                at = list(self.program.questions).index(show.name)
                found.append((show, self.deal.arrays.plan[at]))
        return tuple(found)


@define(slots=False)
class Judge:
    """Judges cars by one program."""

    readings: Readings
    _weight: Weight = field(init=False)
    _ladder_looks_at_plan: bool = field(init=False)
    _stands_on: dict[int, frozenset[str]] = field(factory=dict)

    def __attrs_post_init__(self) -> None:
        self._weight = weight(self.program)
        self._ladder_looks_at_plan = looks_at_plan(self.program)

    @property
    def program(self) -> Program:
        """The rules."""
        return self.readings.program

    # ---- one complete car ----

    def deal(self, sheet: Sheet, planned: dict[str, Value], chances: dict[str, Decimal] | None = None) -> Deal:
        """Judge a car exactly, with `planned` where nothing was answered and faults at the given chances."""
        arrays = sheet.exact(planned)
        facts, figures, refuses, cautions, situation, deal, report, report_none = self.readings.exact(
            arrays.plan, arrays.low, arrays.high, sheet.today, arrays.unanswered, arrays.unsure, arrays.refused
        )
        held = []
        for i, (fault, holds) in enumerate(zip(self.program.faults.values(), facts, strict=True)):
            chance = (chances or {}).get(fault.name, Decimal(1) if holds else Decimal(0))
            if chance > 0:
                nothing = (Decimal(0),) * 3
                held.append(Held(fault, i, chance, *(f or nothing for f in figures[i])))
        top = highest_offer(self.program)
        questions = list(self.program.questions)
        asking = arrays.plan[questions.index("asking")] if "asking" in questions else Decimal(0)
        bargain = Bargain(deal, Repairs(tuple(held)), top, len(self.program.of_kind("require")))
        return Deal(
            self.program, arrays, bargain, refuses, cautions, situation, report, report_none, asking, sheet.today,
            self._ladder_looks_at_plan,
        )  # fmt: skip

    # ---- the plan for what is not answered ----

    def unplanned(self, sheet: Sheet) -> tuple[str, ...]:
        """Open questions that matter, apply, and have nothing to plan with."""
        planned = self.planned(sheet)
        found = []
        for name in sheet.open:
            question = self.program.questions[name]
            if (
                name in self._weight.weighty
                and name not in planned
                and not question.chance
                and self._applies(sheet, name, planned)
            ):
                found.append(name)
        return tuple(found)

    def planned(self, sheet: Sheet) -> dict[str, Value]:
        """What is planned with for each open question: its `assume`, or, where it is planned at its chance, its
        commonest answer."""
        found = {name: sheet.planned(name) for name in sheet.open}
        found |= {
            name: max(self.program.questions[name].usually, key=lambda s: s[1])[0]
            for name, value in found.items()
            if value is None and self.program.questions[name].chance
        }
        return {n: v for n, v in found.items() if v is not None}

    def _applies(self, sheet: Sheet, name: str, planned: dict[str, Value]) -> bool:
        """Whether a question's gate can be open, the answered and planned ones taken as they are."""
        if self.program.questions[name].gate is None:
            return True
        return self.gates(sheet, planned)[name]

    def gates(self, sheet: Sheet, planned: dict[str, Value] | None = None) -> dict[str, bool]:
        """Whether each question can apply, taking `planned` for what is not answered."""
        planned = planned or {}
        values = {n: v for n, v in planned.items() if n in sheet.open}
        filled = sheet.with_answers(values)
        *_, found = self.readings.possible(*filled.possible())
        return dict(zip(self.program.questions, (t for t, _ in found), strict=True))

    def chances(self, sheet: Sheet, planned: dict[str, Value], *, only: Set[str] | None = None) -> dict[str, Decimal]:
        """The chance of each fault (or of some) that open questions with shares leave open."""
        asked = [n for n in sheet.open if self.program.questions[n].chance and sheet.planned(n) is None]
        behind = {
            f.name: self._behind(f.when) & set(asked)
            for f in self.program.faults.values()
            if only is None or f.name in only
        }
        groups: dict[frozenset[str], list[str]] = {}
        for fault, names in behind.items():
            if names:
                groups.setdefault(frozenset(names), []).append(fault)
        index = {name: i for i, name in enumerate(self.program.faults)}
        found: dict[str, Decimal] = {}
        for names, faults in groups.items():
            ordered = sorted(names)
            chances = dict.fromkeys(faults, Decimal(0))
            for combination in product(*(self.program.questions[n].usually for n in ordered)):
                share = Decimal(1)
                for _, part in combination:
                    share *= part
                values = planned | {n: v for n, (v, _) in zip(ordered, combination, strict=True)}
                facts = self._facts(sheet, values)
                for fault in faults:
                    chances[fault] += share if facts[index[fault]] else 0
            found |= chances
        return found

    def _facts(self, sheet: Sheet, planned: dict[str, Value]) -> tuple[bool, ...]:
        a = sheet.exact(planned)
        return self.readings.exact(a.plan, a.low, a.high, sheet.today, a.unanswered, a.unsure, a.refused)[0]  # type: ignore[no-any-return]

    def _behind(self, node: core.Core) -> frozenset[str]:
        """The questions that an expression stands on."""
        kept = self._stands_on.get(node.term)
        if kept is not None:
            return kept
        found, seen, pending = set(), set(), [node]
        while pending:
            for part in core.walk(pending.pop()):
                if not isinstance(part, core.Ref) or part.name in seen:
                    continue
                seen.add(part.name)
                if part.kind == "question":
                    found.add(part.name)
                    gate = self.program.questions[part.name].gate
                    pending += [gate] if gate is not None else []
                elif part.kind == "let":
                    pending.append(self.program.lets[part.name].value)
                elif part.kind == "fault":
                    pending.append(self.program.faults[part.name].when)
        self._stands_on[node.term] = frozenset(found)
        return self._stands_on[node.term]

    # ---- the judgement ----

    def judge(self, answers: Answers, *, thorough: bool = True, verdict: bool = True) -> Judgement:
        """Judge one car.

        Without `thorough`, leave out what each assumption and each open question would do. Without `verdict`, the
        rules need no ladder: only quantities are wanted. Raises `ProblemsFound`.
        """
        self._refuse_later(answers, verdict)
        with exact_arithmetic():
            return self._judge(Sheet(self.program, answers), thorough)

    def _refuse_later(self, answers: Answers, verdict: bool) -> None:
        problems = list(self.program.later)
        if verdict and not self.program.ladder:
            problems.append(catalogue.NO_VERDICT.at(self.program.sources[0].span(0, 0)))
        if self.program.today_used and answers.day is None:
            span = next(iter(answers.spans.values()), self.program.sources[0].span(0, 0))
            problems.append(catalogue.NO_DAY.at(span))
        if problems:
            raise ProblemsFound(problems)

    def _judge(self, sheet: Sheet, thorough: bool) -> Judgement:
        missing = self.unplanned(sheet)
        planned = self.planned(sheet)
        chances = self.chances(sheet, planned)
        deal = None if missing else self.deal(sheet, planned, chances)
        _, _, refuses, *_ = self.readings.possible(*sheet.possible())
        hopeless = any(not f for _, f in refuses)
        assumed = self._assumptions(sheet, planned, chances, deal, thorough and not hopeless)
        possible = self._possible(sheet, deal, self._witnesses(sheet, planned, assumed))
        verdict = "unsettled"
        if len(possible) == 1:
            (verdict,) = possible
        elif deal is not None:
            verdict = deal.verdict
        settled = len(possible) == 1
        own = self._own(deal)
        names = self._reasons(sheet, deal, verdict)
        return Judgement(
            program=self.program,
            answers=sheet.answers,
            verdict=verdict,
            settled=settled,
            possible=tuple(v for v in _VERDICTS if v in possible),
            deal=deal,
            assuming=assumed,
            unknown=() if settled or not thorough else self._unknown(sheet, missing, planned, assumed, verdict),
            reasons=tuple(self.program.rules[n] for n in names),
            cautions=self._cautions(sheet, deal),
            binding=self._binding(deal, own),
            own_ceilings=own,
        )

    def _witnesses(
        self, sheet: Sheet, planned: dict[str, Value], assumed: tuple[Assumption, ...]
    ) -> Iterator[Completion]:
        """Completions likely to show different verdicts: as planned, all for the worst, all for the best, and some
        on the way from one to the other."""
        stand_ins = dict(zip(self.program.questions, sheet.exact(planned).plan, strict=True))
        usual = {n: stand_ins[n] for n in sheet.open}
        yield Completion(usual)
        tried = [a for a in assumed if a.trials]
        worst = [min(a.trials, key=a.worth).value for a in tried]
        best = [max(a.trials, key=a.worth).value for a in tried]
        for part in _PARTS if tried else ():
            good = round(part * len(tried))
            values = [*best[:good], *worst[good:]]
            yield Completion(usual | {a.question.name: v for a, v in zip(tried, values, strict=True)})

    def _possible(self, sheet: Sheet, deal: Deal | None, witnesses: Iterable[Completion]) -> frozenset[str]:
        if deal is not None and not any(n in self._weight.weighty | self._weight.counted for n in sheet.open):
            return frozenset({deal.verdict})
        guess = {}
        if deal is not None:
            fixed = {h.fault.name for h in deal.bargain.repairs.fixed(deal.ceiling.plan)}
            guess = {f: f in fixed for f in self.program.faults}
        return Outlook(self.readings, sheet, self._weight, self._exactly(sheet), guess).verdicts(witnesses)

    def _exactly(self, sheet: Sheet) -> Callable[[Completion], str | None]:
        def verdict(done: Completion) -> str | None:
            """The verdict of a completion; None where a question stays open that nothing is planned for."""
            filled = sheet.with_answers({**done.values, **done.still_open})
            if not done.still_open:
                return self.deal(filled, {}).verdict
            if self.unplanned(filled):
                return None
            planned = self.planned(filled)
            return self.deal(filled, planned, self.chances(filled, planned)).verdict

        return verdict

    def _own(self, deal: Deal | None) -> dict[str, Decimal | None]:
        if deal is None:
            return {}
        ceilings = deal.bargain.own_ceilings(deal.ceiling.plan)
        return {r.name: c for r, c in zip(self.program.of_kind("require"), ceilings, strict=True)}

    def _binding(self, deal: Deal | None, own: dict[str, Decimal | None]) -> str | None:
        """The require with the lowest ceiling; None where the highest offer binds."""
        if deal is None or not own:
            return None
        lowest = min(own, key=lambda n: own[n] if own[n] is not None else Decimal(-1))  # type: ignore[arg-type, return-value]
        bound = own[lowest]
        return lowest if bound is None or bound < deal.bargain.highest else None

    def _reasons(self, sheet: Sheet, deal: Deal | None, verdict: str) -> tuple[str, ...]:
        if deal is not None and deal.verdict == verdict:
            return reasons(deal)
        # Settled without a plan: a deal-breaker that surely holds.
        _, _, refuses, *_ = self.readings.possible(*sheet.possible())
        return tuple(r.name for r, (_, f) in zip(self.program.of_kind("refuse"), refuses, strict=True) if not f)

    def _cautions(self, sheet: Sheet, deal: Deal | None) -> tuple[tuple[Rule, bool], ...]:
        _, _, _, cautions, *_ = self.readings.possible(*sheet.possible())
        rules = self.program.of_kind("caution")
        planned = deal.cautions if deal else (False,) * len(rules)
        return tuple((r, not f) for r, (t, f), p in zip(rules, cautions, planned, strict=True) if t and (not f or p))

    # ---- what was assumed, and what is unknown ----

    def _assumptions(
        self, sheet: Sheet, planned: dict[str, Value], chances: dict[str, Decimal], deal: Deal | None, thorough: bool
    ) -> tuple[Assumption, ...]:
        if deal is None:
            return ()
        gates = self.gates(sheet, planned)
        found = []
        for name in sheet.open:
            question = self.program.questions[name]
            if name not in self._weight.weighty or name not in planned or not gates[name]:
                continue
            value = None if question.chance and sheet.planned(name) is None else planned[name]
            cell = sheet.cell(name)
            trials = self._trials(sheet, question, planned, chances, deal) if thorough else ()
            found.append(Assumption(question, cell if isinstance(cell, Unanswered) else None, value, trials))
        return tuple(found)

    def _trials(
        self, sheet: Sheet, question: Question, planned: dict[str, Value], chances: dict[str, Decimal], base: Deal
    ) -> tuple[Trial, ...]:
        """What each answer to one question would do, everything else as planned.

        Planned from the base's repairs, one change at a time, so that a hundred answers can be tried.
        """
        fixed = {h.fault.name for h in base.bargain.repairs.fixed(base.ceiling.plan)}
        held = {h.fault.name: h.chance for h in base.bargain.repairs.held}
        found = []
        for value in self._answers_to_try(question):
            other = sheet.with_answers({question.name: value})
            still = {f: c for f, c in chances.items() if question.name not in self._behind(self.program.faults[f].when)}
            deal = self.deal(other, planned, still | self.chances(other, planned, only=chances.keys() - still.keys()))
            optional = deal.bargain.repairs.optional
            plan = sum(1 << i for i, h in enumerate(optional) if h.fault.name in fixed)
            changed = [i for i, h in enumerate(optional) if held.get(h.fault.name) != h.chance]
            ceiling = deal.bargain.ceiling_from(plan, changed).offer
            refused = any(deal.refuses)
            found.append(Trial(value, refused, ceiling, deal.verdict_under(refused, ceiling)))
        return tuple(found)

    def _answers_to_try(self, question: Question) -> tuple[Value, ...]:
        """Every answer of a choice; of a number, the ends of its range."""
        if isinstance(question.type, Quantity) and question.low is not None and question.high is not None:
            return (question.low, question.high)
        return tuple(each_value(question))

    def _unknown(
        self,
        sheet: Sheet,
        missing: tuple[str, ...],
        planned: dict[str, Value],
        assumed: tuple[Assumption, ...],
        verdict: str,
    ) -> tuple[Unknown, ...]:
        """What would decide it: open questions without a plan; else those whose answers would turn the verdict."""
        if not missing:
            turning = [a for a in assumed if any(t.verdict != verdict for t in a.trials)]
            return tuple(
                Unknown(a.question, a.cell, True, tuple((t.value, (t.verdict,)) for t in a.trials)) for a in turning
            )
        found = []
        for name in missing:
            question, cell = self.program.questions[name], sheet.cell(name)
            leads = self._leads(sheet, question, missing, planned)
            found.append(Unknown(question, cell if isinstance(cell, Unanswered) else None, False, leads))
        return tuple(sorted(found, key=_urgency))

    def _leads(
        self, sheet: Sheet, question: Question, missing: tuple[str, ...], planned: dict[str, Value]
    ) -> tuple[tuple[Value, tuple[str, ...]], ...]:
        """The verdicts that each answer to a question without a plan leads to, everything else as planned."""
        found = []
        for value in self._answers_to_try(question):
            other = sheet.with_answers({question.name: value})
            if set(missing) == {question.name}:
                verdicts: tuple[str, ...] = (self.deal(other, planned, self.chances(other, planned)).verdict,)
            else:
                # Other answers are missing too: say what stays possible with everything else as planned.
                filled = other.with_answers({n: v for n, v in planned.items() if n in other.open})
                box = Outlook(self.readings, filled, self._weight, self._exactly(filled)).box({})
                verdicts = tuple(v for v in _VERDICTS if v in box)
            found.append((value, verdicts))
        return tuple(found)


def _urgency(item: Unknown) -> tuple[bool, Decimal]:
    """What to find out first: an answer that can end it, and of those the quickest to get."""
    ends_it = any(verdicts == ("pass",) for _, verdicts in item.leads_to)
    return not ends_it, item.question.minutes


def judge(readings: Readings, answers: Answers) -> Judgement:
    """Judge one car by one program. Raises `ProblemsFound` where the rules or the car do not allow it."""
    return Judge(readings).judge(answers)
