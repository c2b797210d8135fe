"""From readings and answers to a judgment.

In: `Readings` of a program and a car's `Answers`. Out: a `Judgment`: the verdict whatever comes and on the plan, the
reasons, what was assumed and what each assumption could do, and what would decide it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from decimal import Decimal
from typing import Any

from attrs import define, evolve

from advisor.judging.changing import flips
from advisor.judging.deal import Deal
from advisor.judging.judgment import Argument, Assumption, Judgment, Trial, Unknown
from advisor.judging.outlook import Completion, Outlook
from advisor.judging.planning import Planner
from advisor.judging.reasons import reasons
from advisor.judging.sheet import Sheet, each_value
from advisor.judging.valuing import valuation, valued_sheet
from advisor.language import catalogue
from advisor.language.answers import Answers
from advisor.language.problems import ProblemsFound
from advisor.language.program import Question, Rule, Unanswered
from advisor.language.types import Quantity, Value
from advisor.readings.arithmetic import exact_arithmetic
from advisor.readings.compiled import Readings
from advisor.readings.reach import Sides
from advisor.trade.comparables import Valuation

__all__ = ["Judge", "judge"]

_PARTS = (0, 1, 0.5, 0.25, 0.75, 0.6, 0.4, 0.9, 0.8, 0.7)
"""How many of the open answers turn out well in the completions that are tried, as shares of them."""


@define(slots=False)
class Judge(Planner):
    """Judges cars by one program."""

    def judge(self, answers: Answers, *, thorough: bool = True, verdict: bool = True, settle: bool = True) -> Judgment:
        """Judge one car.

        Without `thorough`, leave out what each assumption and each open question would do. Without `verdict`, the
        rules need no ladder: only quantities are wanted. Without `settle`, nobody asks whether further answers could
        change a verdict on the plan: it is not called settled. Raises `ProblemsFound`.
        """
        self._refuse(answers, verdict)
        with exact_arithmetic():
            found = valuation(self.program, answers)
            return evolve(self._judge(self.sheet(answers, found), thorough, settle), market=found)

    def sheet(self, answers: Answers, found: Valuation | None) -> Sheet:
        """A car's answers, with what its comparables come to where that was not answered."""
        return valued_sheet(self.program, answers, found)

    def _refuse(self, answers: Answers, verdict: bool) -> None:
        problems = []
        if verdict and not self.program.ladder:
            problems.append(catalogue.NO_VERDICT.at(self.program.sources[0].span(0, 0)))
        if self.program.today_used and answers.day is None:
            span = next(iter(answers.spans.values()), answers.place or self.program.sources[0].span(0, 0))
            problems.append(catalogue.NO_DAY.at(span))
        if problems:
            raise ProblemsFound(problems)

    def _judge(self, sheet: Sheet, thorough: bool, settle: bool) -> Judgment:
        missing = self.unplanned(sheet)
        planned = self.planned(sheet)
        chances = self.chances(sheet, planned)
        deal = None if missing else self.deal(sheet, planned, chances)
        _, _, refuses, cautions, *_, gates = self.readings.possible(*sheet.possible())
        hopeless = any(not f for _, f in refuses)
        assumed = self._assumptions(sheet, planned, chances, deal, thorough and not hopeless)
        if deal is not None and not settle:
            possible = frozenset({deal.verdict})
        else:
            possible = self._possible(sheet, deal, self._witnesses(sheet, planned, assumed))
        verdict = "unsettled"
        if len(possible) == 1:
            (verdict,) = possible
        elif deal is not None:
            verdict = deal.verdict
        settled = len(possible) == 1 and (settle or deal is None)
        own = self._own(deal)
        names = self._reasons(refuses, deal, verdict)
        return Judgment(
            program=self.program,
            answers=sheet.answers,
            verdict=verdict,
            settled=settled,
            possible=tuple(v for v in self.program.verdicts if v in possible),
            deal=deal,
            assuming=assumed,
            unknown=() if settled or not thorough else self._unknown(sheet, missing, planned, assumed, verdict),
            reasons=tuple(self.program.rules[n] for n in names),
            cautions=self._cautions(cautions, deal),
            binding=self.binding(deal, own),
            own_ceilings=own,
            set_aside=tuple(
                q
                for q, (open_, _) in zip(self.program.questions.values(), gates, strict=True)
                if not open_ and q.name in sheet.answers.values
            ),
            **(self._tried(sheet, deal) if thorough and deal is not None else {}),
        )

    def _tried(self, sheet: Sheet, deal: Deal) -> dict[str, Any]:
        """What was tried around a deal: its repairs, the rules' curves, and what would change the verdict."""
        drawn = (self.drawing.columns.count, self.drawing.columns.seed) if self.drawing.nodes else None
        said = deal.bargain.repairs.said
        found: dict[str, Any] = {
            "draws": drawn,
            "flips": flips(sheet, deal, self.planned_deal),
            "arguments": tuple(
                Argument(h.fault, h.quote[1], h.fault.name in said.denied)
                for h, _ in sorted(deal.bargain.repairs.arguments, key=lambda a: not a[0].fault.must)
            ),
        }
        if not any(deal.refuses):
            from advisor.judging.worth import curves, worths

            car = deal.outcomes()
            found |= {"worth": worths(deal, car), "curves": curves(deal, car)}
        return found

    def planned_deal(self, sheet: Sheet) -> Deal | None:
        """A car on the plan; None where something is left that has none."""
        if self.unplanned(sheet):
            return None
        planned = self.planned(sheet)
        return self.deal(sheet, planned, self.chances(sheet, planned))

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
        return self.outlook(sheet, deal).verdicts(witnesses)

    def outlook(self, sheet: Sheet, deal: Deal | None) -> Outlook:
        """What the possible reading says of a car; its plan, where there is one, bounds the ceiling from below."""
        guess = {}
        if deal is not None:
            fixed = {h.fault.name for h in deal.bargain.repairs.fixed(deal.ceiling.plan)}
            guess = {f: f in fixed for f in self.program.faults}
        return Outlook(
            self.readings, sheet, self._weight, self._exactly(sheet, guess), guess, self._drawn, lambda: self.drawing
        )

    def _exactly(self, sheet: Sheet, guess: dict[str, bool]) -> Callable[[Completion], str | None]:
        def verdict(done: Completion) -> str | None:
            """The verdict of a completion; None where a question stays open that nothing is planned for."""
            mended = {f for f, mend in guess.items() if mend}
            filled = sheet.with_answers({**done.values, **done.still_open})
            if not done.still_open:
                return self.deal(filled, {}).verdict_by(mended)
            if self.unplanned(filled):
                return None
            planned = self.planned(filled)
            return self.deal(filled, planned, self.chances(filled, planned)).verdict_by(mended)

        return verdict

    def _own(self, deal: Deal | None) -> dict[str, Decimal | None]:
        if deal is None:
            return {}
        ceilings = deal.bargain.own_ceilings(deal.ceiling.plan)
        return {r.name: c for r, c in zip(self.program.of_kind("require"), ceilings, strict=True)}

    def binding(self, deal: Deal | None, own: dict[str, Decimal | None]) -> str | None:
        """The require with the lowest ceiling; None where the highest offer binds."""
        if deal is None or not own:
            return None
        lowest = min(own, key=lambda n: own[n] if own[n] is not None else Decimal(-1))  # type: ignore[arg-type, return-value]  # None is taken out
        bound = own[lowest]
        return lowest if bound is None or bound < deal.bargain.highest else None

    def _reasons(self, refuses: Sides, deal: Deal | None, verdict: str) -> tuple[str, ...]:
        if deal is not None and deal.verdict == verdict:
            return reasons(deal)
        # Settled without a plan: a deal-breaker that surely holds.
        return tuple(r.name for r, (_, f) in zip(self.program.of_kind("refuse"), refuses, strict=True) if not f)

    def _cautions(self, cautions: Sides, deal: Deal | None) -> tuple[tuple[Rule, bool], ...]:
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
            still = {
                f: c
                for f, c in chances.items()
                if question.name not in self.footing.behind(self.program.faults[f].when)
            }
            deal = self.deal(other, planned, still | self.chances(other, planned, only=chances.keys() - still.keys()))
            optional = deal.bargain.repairs.optional
            plan = sum(1 << i for i, h in enumerate(optional) if h.fault.name in fixed)
            changed = [i for i, h in enumerate(optional) if held.get(h.fault.name) != h.chance]
            ceiling = deal.bargain.ceiling_from(plan, changed).offer
            refused = any(deal.refuses)
            verdict = deal.verdict_under(refused, ceiling)
            found.append(Trial(value, refused, ceiling, verdict, self.program.verdicts.index(verdict)))
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
            leads, prices = self._leads(sheet, question, missing, planned)
            found.append(Unknown(question, cell if isinstance(cell, Unanswered) else None, False, leads, prices))
        worst = self.program.verdicts[-1]
        return tuple(sorted(found, key=lambda u: (not u.can_lead_only_to(worst), u.question.minutes)))

    def _leads(
        self, sheet: Sheet, question: Question, missing: tuple[str, ...], planned: dict[str, Value]
    ) -> tuple[tuple[tuple[Value, tuple[str, ...]], ...], tuple[tuple[Value, Decimal], ...]]:
        """The verdicts and ceilings that each answer to a question without a plan leads to, all else as planned."""
        found, prices = [], []
        for value in self._answers_to_try(question):
            other = sheet.with_answers({question.name: value})
            if set(missing) == {question.name}:
                deal = self.deal(other, planned, self.chances(other, planned))
                verdicts: tuple[str, ...] = (deal.verdict,)
                if not any(deal.refuses) and deal.ceiling.offer is not None:
                    prices.append((value, deal.ceiling.offer))
            else:
                # Other answers are missing too: say what stays possible with everything else as planned.
                filled = other.with_answers({n: v for n, v in planned.items() if n in other.open})
                box = self.outlook(filled, None).box({})
                verdicts = tuple(v for v in self.program.verdicts if v in box)
            found.append((value, verdicts))
        return tuple(found), tuple(prices)


def judge(readings: Readings, answers: Answers) -> Judgment:
    """Judge one car by one program. Raises `ProblemsFound` where the rules or the car do not allow it."""
    return Judge(readings).judge(answers)
