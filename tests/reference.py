"""A plain, slow evaluator of checked rules, to hold the generated code against.

It walks the core expressions of a `Program` for one complete car, term by term, and shares no code with
`advisor/readings` or `advisor/judging`: its own 34-digit arithmetic, its own calendar, its own repair plans, and a
ceiling found by trying every plan at every step of a search.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import date
from decimal import Decimal
from itertools import product
from typing import Any

from advisor.language import core
from advisor.language.program import FaultDef, Program
from advisor.language.types import YesNo
from tests.reckoning import (
    DIGITS,
    GRAINS_A_DAY,
    days_until,
    end_of,
    moved,
    next_on,
    open_on,
    reduced,
    scaled,
    to_step,
)
from tests.tables import called

MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
FIGURES = ("parts", "shop", "labor", "wait", "kept_resale", "lost_resale", "added_days", "kept_buyers", "argued")
ENDS = ("low", "plan", "high")
SHARED = Decimal("0.3")
CENT = Decimal("0.01")

Triple = tuple[Decimal, Decimal, Decimal]
Figures = dict[tuple[str, str], Decimal]


class Missing(Exception):
    """A value that is not there: a quotient by zero, or the ceiling where there is none."""


class Car:
    """One complete car: the value of every name of a program, found when it is asked for."""

    def __init__(
        self,
        program: Program,
        answers: Mapping[str, Any],
        today: date,
        unsure: frozenset[str] = frozenset(),
        refused: frozenset[str] = frozenset(),
        unasked: frozenset[str] = frozenset(),
        told: Sequence[str] = (),
        denied: Sequence[str] = (),
    ) -> None:
        self.program = program
        self.answers = answers
        self.today = today
        self.told, self.denied = told, denied
        self.open = {"cannot_tell": unsure, "refused_looks": refused, "unverified_majors": unsure | refused | unasked}
        self.situation: dict[Any, Any] = {}
        self._facts: dict[str, bool] | None = None
        self._figures: dict[frozenset[str], Figures] = {}
        self._ceilings: dict[frozenset[str], Decimal | None] = {}
        self._best_plans: dict[Decimal, frozenset[str]] = {}

    def at(self, offer: Decimal, figures: Figures, ceiling: Decimal | None) -> Priced:
        """The car at an offer, under the figures of a repair plan and a ceiling."""
        return Priced(self, offer, figures, ceiling)

    @property
    def still(self) -> Priced:
        """The car without a price, for what does not stand on it."""
        return Priced(self, None, None, None)

    # ---- faults and repair plans ----

    def facts(self) -> dict[str, bool]:
        if self._facts is None:
            self._facts = {f.name: bool(self.still.value(f.when)) for f in self.program.faults.values()}
        return self._facts

    def figure(self, fault: FaultDef, kind: str) -> Triple:
        """Low end, planning value and high end of what a fault takes."""
        nodes = fault.figures[("parts", "shop", "labor", "wait", "quote").index(kind)]
        if nodes is None:
            return Decimal(0), Decimal(0), Decimal(0)
        low, plan, high = nodes
        if isinstance(plan, core.Const):
            return end_of(plan.value, "low"), end_of(plan.value, "plan"), end_of(plan.value, "high")
        return self.still.value(low), self.still.value(plan), self.still.value(high)

    def plans(self) -> Iterator[frozenset[str]]:
        """Every repair plan: the names of the faults it fixes."""
        holding = [f for f in self.program.faults.values() if self.facts()[f.name]]
        ways = [(True,) if f.must else (False, True) for f in holding]
        for chosen in product(*ways):
            yield frozenset(f.name for f, fixed in zip(holding, chosen, strict=True) if fixed)

    def figures(self, plan: frozenset[str], chances: Mapping[str, Decimal] | None = None) -> Figures:
        """What a repair plan comes to; `chances` are those of faults that are not certain."""
        if chances is None and plan in self._figures:
            return self._figures[plan]
        certain = {n: Decimal(1) for n, holds in self.facts().items() if holds}
        found = self._summed(plan, certain | dict(chances or {}))
        if chances is None:
            self._figures[plan] = found
        return found

    def _summed(self, plan: frozenset[str], chances: Mapping[str, Decimal]) -> Figures:
        here = {n: f for n, f in self.program.faults.items() if chances.get(n)}
        found: Figures = {}
        for i, end in enumerate(ENDS):
            take = {
                n: {k: chances[n] * self.figure(here[n], k)[i] for k in ("parts", "shop", "labor", "wait")}
                for n in here
                if n in plan
            }
            found["parts", end] = sum((t["parts"] for t in take.values()), Decimal(0))
            found["shop", end] = sum((t["shop"] for t in take.values()), Decimal(0))
            found["wait", end] = max((t["wait"] for t in take.values()), default=Decimal(0))
            found["labor", end] = self._labor({n: t["labor"] for n, t in take.items()})
            left = [(chances[n], f) for n, f in here.items() if n not in plan]
            kept, buyers = Decimal(1), Decimal(1)
            for chance, fault in left:
                kept *= 1 - chance * fault.falls
                buyers *= 1 - chance * fault.buyers
            found["kept_resale", end], found["kept_buyers", end] = kept, buyers
            found["lost_resale", end] = sum((c * f.drop for c, f in left), Decimal(0))
            found["argued", end] = self._argued({n: f for n, f in here.items() if chances[n] == 1})
            found["added_days", end] = sum((c * f.days for c, f in left), Decimal(0))
        return found

    def _argued(self, seen: Mapping[str, FaultDef]) -> Decimal:
        """The three dearest quotes of what was seen and not told; one that was denied counts twice."""
        quotes = []
        for name, fault in seen.items():
            if name not in self.told:
                quotes.append(self.figure(fault, "quote")[1] * (2 if name in self.denied else 1))
        return sum(sorted(quotes, reverse=True)[:3], Decimal(0))

    def _labor(self, hours: dict[str, Decimal]) -> Decimal:
        """Jobs that are done together, directly or through a third, share: the largest, and 30 % of the others."""
        group = {n: n for n in hours}
        for name in hours:
            for other in self.program.faults[name].together:
                if other in hours:
                    old, new = group[name], group[other]
                    group = {n: new if g == old else g for n, g in group.items()}
        total = Decimal(0)
        for label in dict.fromkeys(group.values()):
            jobs = [hours[n] for n, g in group.items() if g == label]
            largest = max(jobs)
            total += largest + SHARED * (sum(jobs, Decimal(0)) - largest)
        return total

    # ---- what comes out ----

    def holds(self, rule: str) -> bool:
        return bool(self.still.value(self.program.rules[rule].condition))

    def meets(self, offer: Decimal, plan: frozenset[str], rules: frozenset[str]) -> bool:
        priced = self.at(offer, self.figures(plan), None)
        return all(priced.value(self.program.rules[r].condition) for r in rules)

    def profit(self, offer: Decimal, plan: frozenset[str]) -> Decimal | None:
        if "profit" not in self.program.lets:
            return None
        found = self.at(offer, self.figures(plan), None).let("profit", "plan")
        return found if isinstance(found, Decimal) else None

    @property
    def highest(self) -> int:
        """The highest offer in cents."""
        setting = self.program.settings.get("highest_offer")
        return int(setting.value / CENT) if setting else 0  # type: ignore[operator]  # the tests give plain amounts

    def best_under(self, plan: frozenset[str], rules: frozenset[str]) -> int:
        """The most cents at which one plan meets the rules; -1 if not even nothing is little enough."""
        low, high = -1, self.highest
        while low < high:
            middle = (low + high + 1) // 2
            if self.meets(middle * CENT, plan, rules):
                low = middle
            else:
                high = middle - 1
        return low

    def ceiling(self, rules: frozenset[str] | None = None) -> Decimal | None:
        """The highest offer at which some plan meets the rules."""
        if rules is None:
            rules = frozenset(r.name for r in self.program.of_kind("require"))
        if rules not in self._ceilings:
            best = max(self.best_under(plan, rules) for plan in self.plans())
            self._ceilings[rules] = best * CENT if best >= 0 else None
        return self._ceilings[rules]

    def best_plan(self, offer: Decimal) -> frozenset[str]:
        """The most profitable plan that meets every require, else the most profitable; fewer hours, file order."""
        if offer in self._best_plans:
            return self._best_plans[offer]
        rules = frozenset(r.name for r in self.program.of_kind("require"))
        names = [n for n, holds in self.facts().items() if holds]

        def rank(plan: frozenset[str]) -> tuple[Any, ...]:
            hours = self.figures(plan)["labor", "plan"]
            return self.meets(offer, plan, rules), self.profit(offer, plan) or 0, -hours, [n in plan for n in names]

        self._best_plans[offer] = max(self.plans(), key=rank)
        return self._best_plans[offer]

    def rung(self, priced: Priced) -> str:
        """The first rung of the ladder that holds."""
        for rung in self.program.ladder:
            if rung.condition is None or priced.value(rung.condition):
                return rung.verdict
        return self.program.verdicts[-1]

    def verdict(self, without: frozenset[str] = frozenset()) -> str:
        """The verdict, with some rules taken away; the plan at the asking price keeps to all of them."""
        if any(self.holds(r.name) for r in self.program.of_kind("refuse") if r.name not in without):
            return self.program.verdicts[-1]
        asking = end_of(self.answers["asking"], "plan") if "asking" in self.program.questions else Decimal(0)
        kept = frozenset(r.name for r in self.program.of_kind("require")) - without
        return self.rung(self.at(asking, self.figures(self.best_plan(asking)), self.ceiling(kept)))


class Priced:
    """A car at a price. Nothing is kept but what the answers alone decide."""

    def __init__(self, car: Car, offer: Decimal | None, figures: Figures | None, ceiling: Decimal | None) -> None:
        self.car = car
        self.program = car.program
        self.offer = offer
        self.figures = figures
        self.ceiling = ceiling
        self.known: dict[Any, Any] = {}

    def let(self, name: str, end: str) -> Any:
        """The value of a let; None where it has none."""
        let = self.program.lets[name]
        kept = self.car.situation if let.stage == "situation" else self.known
        if (name, end) not in kept:
            node = {"plan": let.value, "low": let.low, "high": let.high}[end]
            assert node is not None
            try:
                kept[name, end] = self.value(node)
            except Missing:
                kept[name, end] = None
        return kept[name, end]

    def question(self, name: str, end: str) -> Any:
        """The answer that counts: what was said where the question applies, else its `else`."""
        question = self.program.questions[name]
        if question.gated and not self.applies(name):
            return end_of(question.otherwise, end)
        return end_of(self.car.answers[name], end)

    def applies(self, name: str) -> bool:
        gate = self.program.gates.get(name)
        return gate is None or bool(self.value(gate))

    def value(self, node: core.Core) -> Any:
        """The value of an expression. Raises `Missing`; a comparison with what is missing is no."""
        match node:
            case core.Const(value=value, end=end):
                return end_of(value, end)
            case core.Ref():
                return self._ref(node)
            case core.Special(name=name):
                return self._special(name)
            case core.PlanFigure(figure=figure, end=end):
                assert self.figures is not None
                return self.figures[figure, end]
            case core.Select(branches=branches, otherwise=otherwise):
                for condition, value in branches:
                    if self.value(condition):
                        return self.value(value)
                return self.value(otherwise)
            case core.Not() | core.All() | core.Any() | core.Compare() | core.OneOf() | core.InSeason():
                return self._condition(node)
            case core.DateShift() | core.DateGap() | core.DatePart() | core.DaysTo() | core.NextDay():
                return self._calendar(node)
        return self._number(node)

    def _ref(self, node: core.Ref) -> Any:
        match node.kind:
            case "question":
                return self.question(node.name, node.end)
            case "setting":
                return end_of(self.program.settings[node.name].value, node.end)
            case "fault":
                return self.value(self.program.faults[node.name].when)
        found = self.let(node.name, node.end)
        if found is None:
            raise Missing
        return found

    def _special(self, name: str) -> Any:
        if name == "today":
            return self.car.today
        if name == "offer":
            return self.offer
        if name == "ceiling":
            if self.ceiling is None:
                raise Missing
            return self.ceiling
        count = 0
        for question in self.program.questions.values():
            count += question.counted(name) and question.name in self.car.open[name] and self.applies(question.name)
        return Decimal(count)

    def _condition(self, node: core.Core) -> bool:
        match node:
            case core.Not(operand=operand):
                return not self.value(operand)
            case core.All(args=args):
                return all(self.value(a) for a in args)
            case core.Any(args=args):
                return any(self.value(a) for a in args)
            case core.OneOf(operand=operand, options=options):
                try:
                    return self.value(operand) in options
                except Missing:
                    return False
            case core.InSeason(operand=operand, season=season):
                try:
                    return open_on(self.program.seasons[season], self.value(operand))
                except Missing:
                    return False
            case core.Compare(op=op, left=left, right=right):
                try:
                    a, b = self.value(left), self.value(right)
                except Missing:
                    return False
                return bool({">=": a >= b, "<=": a <= b, ">": a > b, "<": a < b, "is": a == b}[op])
        raise AssertionError(node)

    def _number(self, node: core.Core) -> Decimal:
        match node:
            case core.Add(left=left, right=right):
                return DIGITS.add(self.value(left), self.value(right))
            case core.Subtract(left=left, right=right):
                return DIGITS.subtract(self.value(left), self.value(right))
            case core.Multiply(left=left, right=right, factor=factor):
                return scaled(DIGITS.multiply(self.value(left), self.value(right)), factor)
            case core.Divide(left=left, right=right, factor=factor):
                divisor = self.value(right)
                if divisor == 0:
                    raise Missing
                return scaled(DIGITS.divide(self.value(left), divisor), factor)
            case core.Power(operand=operand, exponent=exponent):
                product = Decimal(1)
                for _ in range(exponent):
                    product = DIGITS.multiply(product, self.value(operand))
                return product
            case core.Negate(operand=operand):
                return DIGITS.minus(self.value(operand))
            case core.Extreme(which=which, args=args):
                ordered = sorted(self.value(a) for a in args)
                return ordered[0] if which == "smaller" else ordered[-1]
            case core.Rounded(how=how, operand=operand, step=step):
                return to_step(self.value(operand), how, step)
            case core.Counted(args=args):
                return Decimal(sum(bool(self.value(a)) for a in args))
            case core.Reduce(how=how, operand=operand):
                return reduced(how, self.value(operand))
            case core.TradeCall(name=name, args=args):
                try:
                    found = called(name, [self.value(a) for a in args])
                except Missing:
                    found = None
                if found is None and not isinstance(node.type, YesNo):
                    raise Missing
                return found  # type: ignore[no-any-return]  # a number, a word, or yes or no
            case core.Lookup(table=table, key=key):
                value = self.value(key)
                entries = dict(self.program.tables[table].entries)
                return entries[MONTHS[value.month - 1] if isinstance(value, date) else value]
        raise AssertionError(node)

    def _calendar(self, node: core.Core) -> Any:
        match node:
            case core.DateShift(left=left, right=right, sign=sign, months=months):
                return moved(self.value(left), self.value(right), sign, months)
            case core.DateGap(left=left, right=right):
                return Decimal((self.value(left).toordinal() - self.value(right).toordinal()) * GRAINS_A_DAY)
            case core.DatePart(part=part, operand=operand):
                day = self.value(operand)
                return Decimal(day.year if part == "year" else day.month)
            case core.NextDay(left=left, right=right):
                return next_on(self.value(left), self.value(right))
            case core.DaysTo(edge=edge, season=season, operand=operand):
                count = days_until(self.program.seasons[season], self.value(operand), edge == "open")
                return Decimal(count * GRAINS_A_DAY)
        raise AssertionError(node)
