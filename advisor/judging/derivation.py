"""Where a number comes from: the derivation of any named quantity or rule, down to answers and settings.

In: a judge, a car and a name. Out: `Step` values, the asked-for one first, each with its formula as it stands in
the rules, the numbers that went into it, and file and line. The numbers are those of the exact reading, which the
traced variant keeps term by term.
"""

from __future__ import annotations

import re
from decimal import Decimal
from typing import Any

from attrs import define, evolve, field, frozen

from advisor.judging.deal import Deal
from advisor.judging.judge import Judge
from advisor.judging.sheet import Sheet
from advisor.judging.valuing import valuation
from advisor.language import core
from advisor.language.answers import Answers
from advisor.language.cited import Cited
from advisor.language.program import Program, Question, Unanswered
from advisor.language.source import Span
from advisor.language.types import MONEY, PERCENT, YES_NO, Quantity, Type, quantity
from advisor.language.wording import format_value, in_unit
from advisor.readings.arithmetic import exact_arithmetic
from advisor.trade.comparables import Valuation

__all__ = ["NeedsAnswers", "Step", "derive", "names", "worded"]

COUNTERS = ("unverified_majors", "cannot_tell", "refused_looks")
"""What the language counts of the questions that apply."""

_HOURS, _DAYS = quantity(labor="h"), quantity(calendar="day")

_OPEN = {"unsure": "could not tell", "refused": "was not allowed to look", "": "not asked"}
_WORD = re.compile(r"[A-Za-z_]\w*")


class NeedsAnswers(Exception):
    """The quantity stands on questions that are not answered and have nothing to plan with."""

    def __init__(self, questions: tuple[str, ...]) -> None:
        self.questions = questions
        super().__init__(", ".join(questions))


@frozen
class Step:
    """One named thing: its value in words, its formula, and what went into it."""

    name: str
    kind: str
    value: str
    formula: str
    place: str
    uses: tuple[tuple[str, str], ...] = ()
    note: str = ""


def names(program: Program) -> list[str]:
    """Everything that can be asked about."""
    found = [*program.lets, *program.rules, *program.faults, *program.questions, *program.settings, "ceiling", "offer"]
    found += COUNTERS
    return [*found, "verdict"] if program.ladder else found


def worded(value: Any, type_: Type, currency: str) -> str:
    """A value in words; a quantity without one says why."""
    if value is None:
        if isinstance(type_, Quantity) and type_ == MONEY:
            return "none"
        return "no hours" if isinstance(type_, Quantity) and "/h" in type_.unit else "none"
    if type_ == YES_NO:
        return "yes" if value else "no"
    if isinstance(value, Decimal) and type_ == MONEY:
        return format_value(value, type_, currency, places=2 if value != value.to_integral_value() else 0)
    if isinstance(value, Decimal) and isinstance(type_, Quantity) and type_.unit in ("day", "week", "month"):
        return format_value(value, type_, currency, places=1 if abs(in_unit(value, type_)) >= 1 else None)
    return format_value(value, type_, currency)


def derive(judge: Judge, answers: Answers, name: str) -> tuple[Step, ...]:
    """The derivation of a name. Raises `NeedsAnswers`; `KeyError` for a name that the rules do not know."""
    with exact_arithmetic():
        market = valuation(judge.program, answers)
        return _Derivation(judge, judge.sheet(answers, market), market).of(name)


@define
class _Derivation:
    judge: Judge
    sheet: Sheet
    market: Valuation | None
    missing: tuple[str, ...] = field(init=False)
    planned: dict[str, Any] = field(init=False)
    chances: dict[str, Decimal] = field(init=False)
    deal: Deal = field(init=False)
    terms: tuple[Any, ...] = field(init=False)
    held: tuple[tuple[bool, ...], ...] = field(init=False)
    ceiling_known: bool = field(init=False)

    def __attrs_post_init__(self) -> None:
        self.missing = self.judge.unplanned(self.sheet)
        self.planned = self.judge.planned(self.sheet)
        self.chances = self.judge.chances(self.sheet, self.planned)
        self.deal = self.judge.deal(self.sheet, self.planned, self.chances)
        a = self.deal.arrays
        totals = self.deal.bargain.figures(self.deal.plan)
        self.terms, *self.held = self.judge.readings.trace(
            a.plan, a.low, a.high, self.sheet.today, a.unanswered, a.unsure, a.refused,
            self.deal.asking, totals, self.deal.ceiling.offer,
        )  # fmt: skip

    @property
    def program(self) -> Program:
        return self.judge.program

    def of(self, name: str) -> tuple[Step, ...]:
        """The steps of a name and of everything it uses, each once."""
        if name not in names(self.program):
            raise KeyError(name)
        steps: dict[str, Step] = {}
        pending = [name]
        while pending:
            current = pending.pop(0)
            if current in steps:
                continue
            step, more = self._step(current)
            steps[current] = step
            pending.extend(m for m in more if m not in steps)
        needed = tuple(m for m in self.missing if m in steps)
        if needed or ({"ceiling", "plan"} & set(steps) and self.missing):
            raise NeedsAnswers(needed or self.missing)
        return tuple(steps.values())

    def _step(self, name: str) -> tuple[Step, list[str]]:
        program = self.program
        if name in program.lets:
            let = program.lets[name]
            value = self.deal.values[name]
            return self._computed(name, "let", value, let.type, let.value, let.span, let.cited)
        if name in program.rules:
            rule = program.rules[name]
            kinds = {"refuse": 0, "caution": 1, "require": 2}
            at = [r.name for r in program.of_kind(rule.kind)].index(name)
            holds = self.held[kinds[rule.kind]][at]
            step, more = self._computed(name, rule.kind, holds, YES_NO, rule.condition, rule.span, rule.cited)
            words = {"require": ("is met", "is not met")}.get(rule.kind, ("holds", "does not hold"))
            at_price = f" at {self._money(self.deal.asking)}" if rule.kind == "require" else ""
            return evolve(step, value=words[not holds] + at_price, note=rule.because), more
        if name in program.faults:
            fault = program.faults[name]
            chance = self.chances.get(name)
            holds = self.terms[fault.when.term]
            step, more = self._computed(name, "fault", holds, YES_NO, fault.when, fault.span, fault.cited)
            if chance is not None:
                step = evolve(step, value=f"at a chance of {format_value(chance, PERCENT, '$')}")
            return step, more
        return self._leaf(name)

    def _leaf(self, name: str) -> tuple[Step, list[str]]:
        program = self.program
        if name in program.settings:
            setting = program.settings[name]
            shown = worded(setting.value, setting.type, program.currency)
            return Step(name, "setting", shown, "", str(setting.span), (), _sourced(setting.text, setting.cited)), []
        if name in program.questions:
            return self._answer(name)
        if name == "offer":
            return Step(name, "price", self._money(self.deal.asking), "the price this is about", "the asking price"), [
                "asking"
            ]
        if name == "plan":
            return self._plan(), []
        if name == "ceiling":
            return self._ceiling()
        if name == "verdict":
            return self._verdict()
        if name in COUNTERS:
            return self._counter(name), []
        day = self.sheet.answers.day
        return Step(name, "day", day.isoformat() if day else "not given", "", "the car's day"), []

    def _counter(self, name: str) -> Step:
        """A count of questions that apply: which they are, and why each has no answer."""
        uses = []
        for question in self.program.questions.values():
            cell = self.sheet.cell(question.name)
            how = cell.how if isinstance(cell, Unanswered) else "" if cell is None else None
            wanted = {"cannot_tell": how == "unsure", "refused_looks": how == "refused"}
            counted = wanted.get(name, question.major and how is not None)
            if counted and question.counted(name) and self._applies(question):
                uses.append((question.name, f"{question.text} ({_OPEN[how or '']})"))
        what = {"cannot_tell": "answered unsure", "refused_looks": "answered refused"}
        formula = f"questions that apply and are {what.get(name, 'major, without an answer')}"
        return Step(name, "count", str(len(uses)), formula, "", tuple(uses))

    def _applies(self, question: Question) -> bool:
        return not question.gated or bool(self.terms[self.program.gates[question.name].term])

    def _compared(self, question: Question, market: Valuation) -> tuple[Step, list[str]]:
        """An answer that the comparables give: their range, widened so that it is eight in ten of what is drawn."""
        comparing = self.program.comparing
        assert comparing is not None
        value = self.sheet.cell(question.name) or self.sheet.assumed.get(question.name)
        used = sum(line.used for line in market.lines)
        note = f"from {used} comparables; page two of the report shows each"
        if market.low is not None and market.high is not None:
            ends = f"{self._money(market.low)} to {self._money(market.high)}"
            note += (
                f". Eight in ten such sales bring {ends}: the ends here are wider, so that this is so of what is drawn"
            )
        uses = [n for n in (comparing.year, comparing.miles) if n is not None]
        uses += [f for f in comparing.figures.values() if isinstance(f, str)]
        shown = worded(value, question.type, self.program.currency)
        return Step(question.name, "comparables", shown, "", str(comparing.span), (), note), uses

    def _answer(self, name: str) -> tuple[Step, list[str]]:
        question, cell = self.program.questions[name], self.sheet.cell(name)
        at = list(self.program.questions).index(name)
        span = self.sheet.answers.spans.get(name)
        place = str(span) if span else str(question.span)
        if self.market is not None and name == getattr(self.program.comparing, "question", None) and span is None:
            return self._compared(question, self.market)
        if cell is not None and not isinstance(cell, Unanswered):
            return Step(
                name, "answer", worded(cell, question.type, self.program.currency), "", place, (), question.text
            ), []
        how = _OPEN[cell.how if cell else ""]
        if name in self.missing:
            return Step(name, "answer", "not known", "", place, (), f"{how}; nothing to plan with"), []
        if not self._applies(question):
            gate = self.program.gates[name]
            shown = worded(question.otherwise, question.type, self.program.currency)
            return Step(
                name, "answer", shown, f"else, because not {self.program.as_written(gate.span)}", str(question.span)
            ), _names_in(gate)
        if question.chance and self.sheet.planned(name) is None:
            shares = ", ".join(
                f"{worded(v, question.type, '$')} {format_value(s, PERCENT, '$')}" for v, s in question.usually
            )
            return Step(
                name, "answer", f"usually {shares}", "", str(question.span), (), f"{how}; planned at its chance"
            ), []
        shown = worded(self.deal.arrays.plan[at], question.type, self.program.currency)
        return Step(name, "answer", shown, "", str(question.span), (), f"{how}; assumed"), []

    def _computed(
        self, name: str, kind: str, value: Any, type_: Type, node: core.Core, span: Span, cited: Cited | None
    ) -> tuple[Step, list[str]]:
        """A step with its formula; of branches, the one that was taken."""
        formula, parts = self._formula(node)
        uses: dict[str, str] = {}
        more: list[str] = []
        for part in (p for n in parts for p in core.walk(n)):
            shown, names_ = self._use(part)
            if not shown:
                continue
            value_used = self.terms[part.term]
            if value_used is None and isinstance(part, core.Ref) and part.kind == "let":
                value_used = self.deal.values.get(part.name)  # the condition was decided before it came to this
            elif value_used is None and not isinstance(part, core.Special):
                continue
            uses[shown] = worded(value_used, part.type, self.program.currency)
            more += names_
        for word in _WORD.findall(formula):
            # A quotient is compared by multiplying out, so its name is in the text and not among the terms.
            if word in self.program.lets and word not in uses and f"({word})" not in formula and word != name:
                uses[word] = worded(self.deal.values[word], self.program.lets[word].type, self.program.currency)
                more.append(word)
        shown_value = worded(value, type_, self.program.currency)
        text = self.program.lets[name].text if kind == "let" else ""
        return Step(name, kind, shown_value, formula, str(span), tuple(uses.items()), _sourced(text, cited)), more

    def _formula(self, node: core.Core) -> tuple[str, list[core.Core]]:
        if not isinstance(node, core.Select):
            return self.program.as_written(node.span), [node]
        tried = []
        for condition, value in node.branches:
            tried.append(condition)
            if self.terms[condition.term]:
                return f"{self.program.as_written(value.span)} when {self.program.as_written(condition.span)}", [
                    value,
                    *tried,
                ]
        return f"{self.program.as_written(node.otherwise.span)} otherwise", [node.otherwise, *tried]

    def _use(self, part: core.Core) -> tuple[str, list[str]]:
        """How a named part of a formula is written, and the names it leads on to."""
        match part:
            case core.Ref(name=name, end=end):
                return (name if end == "plan" else f"{end}({name})"), [name]
            case core.PlanFigure():
                return self.program.as_written(part.span), ["plan"]
            case core.Special(name=name) if name in ("offer", "ceiling", "today", *COUNTERS):
                return name, [name]
            case core.Lookup() | core.InSeason() | core.DaysTo() | core.Reduce():
                return self.program.as_written(part.span), []
        return "", []

    def _plan(self) -> Step:
        repairs = self.deal.bargain.repairs
        fixed = {h.fault.name for h in repairs.fixed(self.deal.plan)}
        uses = []
        for held in repairs.held:
            what = "fix" if held.fault.name in fixed else "leave"
            must = ", must be fixed" if held.fault.must else ""
            chance = "" if held.chance == 1 else f", at a chance of {format_value(held.chance, PERCENT, '$')}"
            figures = ", ".join(
                f"{label} {format_value(figure[1], type_, self.program.currency)}"
                for label, figure, type_ in (
                    ("parts", held.parts, MONEY), ("shop", held.shop, MONEY),
                    ("labor", held.labor, _HOURS), ("wait", held.wait, _DAYS),
                )
                if figure[1]
            )  # fmt: skip
            uses.append((held.fault.name, f"{what}{must}{chance}" + (f": {figures}" if figures else "")))
        note = "" if self.deal.bargain.proved else "too many to try every plan; improved step by step"
        return Step(
            "plan",
            "repair plan",
            f"{len(fixed)} fixed, {len(repairs.held) - len(fixed)} left",
            "",
            "",
            tuple(uses),
            note,
        )

    def _ceiling(self) -> tuple[Step, list[str]]:
        own = self.deal.bargain.own_ceilings(self.deal.ceiling.plan)
        rules = self.program.of_kind("require")
        uses = [(r.name, self._money(c) if c is not None else "none") for r, c in zip(rules, own, strict=True)]
        uses.sort(key=lambda u: own[[r.name for r in rules].index(u[0])] or Decimal(-1))
        shown = self._money(self.deal.ceiling.offer) if self.deal.ceiling.offer is not None else "none"
        formula = "the highest offer at which every require is met; each one's own:"
        note = f"between nothing and {self._money(self.deal.bargain.highest)}, the setting `highest_offer`"
        return Step("ceiling", "price", shown, formula, "", tuple(uses), note), ["plan"]

    def _verdict(self) -> tuple[Step, list[str]]:
        """What decides, the rungs above it that do not hold, and the rules that are why."""
        found = self.judge.judge(self.sheet.answers, thorough=False)
        still = "settled: no open answer can change it"
        if not found.settled:
            still = f"on the plan; what is open leaves possible: {', '.join(found.possible)}"
        if self.missing:
            # There are no figures to tell: it stands on what is surely so, or else it waits for these answers.
            uses = tuple((r.name, "holds") for r in found.reasons)
            step = Step("verdict", "verdict", found.verdict, "whatever is not known yet", "", uses, still)
            return step, [] if found.settled else list(self.missing)
        reasons = [r.name for r in found.reasons]
        decided, tried, place = self._decided()
        said, more = dict(tried[:-1]), list(reasons)
        for part in (p for r in self.program.ladder[: len(tried)] if r.condition for p in core.walk(r.condition)):
            shown, names_ = self._use(part)
            if shown in names(self.program):  # a term that a missing ceiling left out has its value elsewhere
                said[shown] = self._step(shown)[0].value
            elif shown and self.terms[part.term] is not None:
                said[shown] = worded(self.terms[part.term], part.type, self.program.currency)
            more += names_
        for name in reasons:
            said[name] = self._step(name)[0].value
        return Step("verdict", "verdict", found.verdict, decided, place, tuple(said.items()), still), more

    def _decided(self) -> tuple[str, list[tuple[str, str]], str]:
        """What decides, each rung that was tried with what it came to, and where the deciding one stands."""
        if any(self.deal.refuses):
            return "a deal-breaker holds", [], ""
        tried: list[tuple[str, str]] = []
        for rung, holds in zip(self.program.ladder, (*self.held[3], True), strict=True):
            condition = f"when {self.program.as_written(rung.condition.span)}" if rung.condition else "otherwise"
            tried.append((f"{rung.verdict} {condition}", "does not hold"))
            if holds:
                break
        return tried[-1][0], tried, str(rung.span)

    def _money(self, value: Decimal) -> str:
        return worded(value, MONEY, self.program.currency)


def _names_in(node: core.Core) -> list[str]:
    return [p.name for p in core.walk(node) if isinstance(p, core.Ref)]


def _sourced(text: str, cited: Cited | None) -> str:
    if not cited:
        return text
    words = {"practice": "common practice", "house": "house figure", "memory": f"from memory: {cited.text}"}
    source = words.get(cited.how, cited.text)
    return f"{text} ({source})" if text else source
