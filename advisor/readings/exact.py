"""The exact reading: decimals of 34 digits, complete answers, one value for everything.

In: a `Program`. Out: Python source, compiled once, that defines

    situate(v, lo, hi, today, unanswered, unsure, refused)
        -> (facts, figures, refuses, cautions, lets, deal, (rung, rung_none), (report, report_none))

`v` holds the planning value of every question in order, `lo` and `hi` the ends of estimates; the last three say
which questions are not answered, and how. `facts` says which faults hold, `figures` what they cost. `deal(offer,
plan)` gives the profit and whether each `require` holds, `plan` being the figures of a repair plan and behind them
the function that draws its chances; `rung(offer, plan, ceiling)` gives the verdict's rung, `report(offer, plan,
ceiling)` every let that stands on the price, the second of each pair the same where there is no ceiling. With
`trace=True` one function computes all of it and returns the value of every term by number, None for those it never
came to.
"""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

from attrs import define, field

from advisor.language import core
from advisor.language.core import Core
from advisor.language.program import Program, Question
from advisor.language.types import YesNo, end_of
from advisor.readings.emitting import (
    FIGURES,
    Chosen,
    Constants,
    Hollow,
    indented,
    may_lack,
    suffix,
    value_at,
    wanted,
)

__all__ = ["source"]

_ATOMS = (
    core.Const,
    core.Ref,
    core.Special,
    core.PlanFigure,
    core.Chance,
    core.Percentile,
    core.Counted,
    core.Lookup,
    core.Reduce,
    core.Rounded,
    core.Power,
    core.Extreme,
)


def source(program: Program, *, trace: bool = False) -> str:
    """The generated module's text."""
    return _Exact(program, trace).module()


@define
class _Exact:
    program: Program
    trace: bool
    constants: Constants = field(factory=Constants)
    positions: dict[str, int] = field(init=False)
    no_ceiling: bool = False
    hollow: Hollow = field(init=False)
    ends: set[tuple[str, str]] = field(init=False)

    def __attrs_post_init__(self) -> None:
        self.positions = {name: i for i, name in enumerate(self.program.questions)}
        self.ends = self._ends()
        self.hollow = Hollow.of(self.program)

    # ---- the module ----

    def module(self) -> str:
        body = self._traced() if self.trace else self._situate()
        settings = [
            f"s_{s.name}{suffix(e)} = {self.constants.of(end_of(s.value, e))}"
            for s in self.program.settings.values()
            for e in ("plan", "low", "high")
        ]
        return "\n".join([*self.constants.lines(), *settings, *body, ""])

    def _situate(self) -> list[str]:
        todo = wanted(self.program)
        body = self._situation()
        situation = ", ".join(f"l_{let.name}{suffix(e)}" for let, e in todo.situation)
        body += ["def deal(offer, plan):", *indented(self._deal(todo.deal))]
        body += ["def report(offer, plan, ceiling):", *indented(self._report(todo.report))]
        self.no_ceiling = True
        body += ["def report_none(offer, plan):", *indented(self._report(todo.report))]
        body += ["def rung_none(offer, plan):", *indented(self._rung(todo.ladder))]
        self.no_ceiling = False
        body += ["def rung(offer, plan, ceiling):", *indented(self._rung(todo.ladder))]
        situation += "," if situation else ""
        body.append(
            f"return facts, figures, refuses, cautions, ({situation}), deal, (rung, rung_none), (report, report_none)"
        )
        return ["def situate(v, lo, hi, today, unanswered, unsure, refused):", *indented(body)]

    def _situation(self) -> list[str]:
        """Questions, situation lets and faults in order, then the deal-breakers and cautions."""
        lines: list[str] = []
        for name in self.program.order:
            if name in self.program.questions:
                lines += self._question(self.program.questions[name])
            elif name in self.program.faults:
                lines.append(f"f_{name} = {self.expr(self.program.faults[name].when)}")
            else:
                let = self.program.lets[name]
                for end, value in (("plan", let.value), ("low", let.low), ("high", let.high)):
                    if value is not None and let.stage == "situation":
                        lines.append(f"l_{name}{suffix(end)} = {self._let_value(value)}")  # type: ignore[arg-type]  # one of three ends
        faults = self.program.faults.values()
        lines.append(f"facts = ({''.join(f'f_{f.name}, ' for f in faults)})")
        figures = "".join(f"({', '.join(self._figure(g) for g in f.figures)}), " for f in faults)
        lines.append(f"figures = ({figures})")
        for kind in ("refuse", "caution"):
            held = "".join(f"{self.expr(r.condition)}, " for r in self.program.of_kind(kind))
            lines.append(f"{kind}s = ({held})")
        return lines

    def _question(self, question: Question) -> list[str]:
        at, name, ends = self.positions[question.name], question.name, self.ends
        lines = []
        if question.gated:
            lines.append(f"g_{name} = {self.expr(self.program.gates[name])}")
        arrays: tuple[tuple[core.End, str], ...] = (("plan", "v"), ("low", "lo"), ("high", "hi"))
        for end, array in arrays:
            if end != "plan" and (name, end) not in ends:
                continue
            value = f"{array}[{at}]"
            if question.gated and question.otherwise is not None:
                value += f" if g_{name} else {self.constants.of(end_of(question.otherwise, end))}"
            lines.append(f"q_{name}{suffix(end)} = {value}")
        return lines

    def _ends(self) -> set[tuple[str, str]]:
        """The questions that `low(...)` and `high(...)` look at, wherever they stand."""
        return {
            (p.name, p.end)
            for expression in self.program.expressions()
            for p in core.walk(expression)
            if isinstance(p, core.Ref) and p.kind == "question"
        }

    def _figure(self, figure: tuple[Core, Core, Core] | None) -> str:
        """A fault's figure as (low, plan, high)."""
        if figure is None:
            return "None"
        _, plan, _ = figure
        if isinstance(plan, core.Const):
            return f"({', '.join(self.constants.of(end_of(plan.value, e)) for e in ('low', 'plan', 'high'))})"
        return f"({', '.join(self.expr(g) for g in figure)})"

    def _plan(self) -> list[str]:
        used = sorted(
            {
                (p.figure, p.end)
                for e in self.program.expressions()
                for p in core.walk(e)
                if isinstance(p, core.PlanFigure)
            }
        )
        lines = [f"p_{f}{suffix(e)} = plan[{FIGURES.index(f)}][{('low', 'plan', 'high').index(e)}]" for f, e in used]
        draws = any(
            isinstance(p, core.Chance | core.Percentile) for e in self.program.expressions() for p in core.walk(e)
        )
        return [*lines, f"draw = plan[{len(FIGURES)}]"] if draws else lines

    def _deal(self, lets: Chosen) -> list[str]:
        lines = self._plan() + self._let_lines(lets)
        profit = "l_profit" if "profit" in self.program.lets else "None"
        held = "".join(f"{self.expr(r.condition)}, " for r in self.program.of_kind("require"))
        return [*lines, f"return {profit}, ({held})"]

    def _report(self, lets: Chosen) -> list[str]:
        names = "".join(f"l_{let.name}{suffix(e)}, " for let, e in lets)
        return [*self._plan(), *self._let_lines(lets), f"return ({names})"]

    def _rung(self, lets: Chosen) -> list[str]:
        rung = "None"
        for i, step in reversed(list(enumerate(self.program.ladder))):
            rung = str(i) if step.condition is None else f"{i} if {self.expr(step.condition)} else {rung}"
        return [*self._plan(), *self._let_lines(lets), f"return {rung}"]

    def _let_lines(self, lets: Chosen) -> list[str]:
        return [f"l_{let.name}{suffix(e)} = {self._let_value(value_at(let, e))}" for let, e in lets]

    def _let_value(self, value: Core) -> str:
        """A let's value; a quotient that nothing else computes with may be without one, and so may what stands on a
        ceiling that is not there."""
        present = self._present(value) if self.no_ceiling else "True"
        if present == "False":
            return "None"
        needed = [present] if present != "True" else []
        if isinstance(value, core.Divide):
            needed.append(self.expr(value.right))
        return f"({self.expr(value)}) if {' and '.join(needed)} else None" if needed else self.expr(value)

    def _traced(self) -> list[str]:
        todo = wanted(self.program)
        body = [
            " = ".join(f"t{i}" for i in range(j, min(j + 50, self.program.terms))) + " = None"
            for j in range(0, self.program.terms, 50)
        ]
        body += self._situation()
        later = [*self._plan(), *self._let_lines(todo.report)]
        held = "".join(f"{self.expr(r.condition)}, " for r in self.program.of_kind("require"))
        later.append(f"requires = ({held})")
        rungs = "".join(f"{self.expr(r.condition)}, " for r in self.program.ladder if r.condition is not None)
        later.append(f"rungs = ({rungs})")
        self.no_ceiling = True
        none = [*self._plan(), *self._let_lines(todo.report)]
        none.append(
            "requires = (" + "".join(f"{self.expr(r.condition)}, " for r in self.program.of_kind("require")) + ")"
        )
        none.append(
            "rungs = ("
            + "".join(f"{self.expr(r.condition)}, " for r in self.program.ladder if r.condition is not None)
            + ")"
        )
        self.no_ceiling = False
        body += ["if ceiling is None:", *indented(none), "else:", *indented(later)]
        body.append(
            f"return ({''.join(f't{i}, ' for i in range(self.program.terms))}), refuses, cautions, requires, rungs"
        )
        return ["def situate(v, lo, hi, today, unanswered, unsure, refused, offer, plan, ceiling):", *indented(body)]

    # ---- expressions ----

    def _present(self, *nodes: Core) -> str:
        """Whether values are there although there is no ceiling, as Python: `True`, `False` or a test."""
        parts = [p for p in map(self._present_one, nodes) if p != "True"]
        return "False" if "False" in parts else " and ".join(parts) or "True"

    def _present_one(self, node: Core) -> str:
        if not self.hollow.holds(node):
            return "True"
        match node:
            case core.Special():
                return "False"
            case core.Ref(name=name, end=end):
                return f"(l_{name}{suffix(end)} is not None)"
            case core.Select(branches=branches, otherwise=otherwise):
                text = self._present(otherwise)
                for condition, value in reversed(branches):
                    text = f"({self._present(value)} if {self.expr(condition)} else {text})"
                return text
        return self._present(*core.children(node))

    def _where_present(self, text: str, *nodes: Core) -> str:
        """A condition that is no where one of the values in it is missing."""
        present = self._present(*nodes) if self.no_ceiling else "True"
        return text if present == "True" else "False" if present == "False" else f"{present} and {text}"

    def expr(self, node: Core) -> str:
        """A node as a Python expression, safe to put anywhere."""
        text = self._plain(node)
        if self.trace:
            return f"(t{node.term} := {text})"
        return text if isinstance(node, _ATOMS) else f"({text})"

    def _plain(self, node: Core) -> str:
        match node:
            case core.Const(value=value, end=end):
                return self.constants.of(end_of(value, end))
            case core.Ref(kind=kind, name=name, end=end):
                return f"{kind[0]}_{name}{suffix(end)}"
            case core.Special(name=name):
                return self._special(name)
            case core.PlanFigure(figure=figure, end=end):
                return f"p_{figure}{suffix(end)}"
            case core.Not(operand=operand):
                return f"not {self.expr(operand)}"
            case core.All(args=args):
                return " and ".join(self.expr(a) for a in args)
            case core.Any(args=args):
                return " or ".join(self.expr(a) for a in args)
            case core.Compare(op=op, left=left, right=right):
                if may_lack(self.program, left) or may_lack(self.program, right):
                    text = f"compared({op!r}, {self.expr(left)}, {self.expr(right)})"
                else:
                    text = f"{self.expr(left)} {'==' if op == 'is' else op} {self.expr(right)}"
                return self._where_present(text, left, right)
            case core.OneOf(operand=operand, options=options):
                how = f"== {options[0]!r}" if len(options) == 1 else f"in {options!r}"
                return self._where_present(f"{self.expr(operand)} {how}", operand)
            case core.InSeason(operand=operand, season=season):
                return self._where_present(f"in_season({self.expr(operand)}, seasons[{season!r}])", operand)
            case core.Select(branches=branches, otherwise=otherwise):
                return self._select(branches, otherwise)
            case core.Counted(args=args):
                return "N[" + " + ".join(self.expr(a) for a in args) + "]"
            case core.Lookup(table=table, key=key):
                month = ".month" if self.program.tables[table].by is None else ""
                return f"entries[{table!r}][{self.expr(key)}{month}]"
            case core.DateShift(left=left, right=right, sign=sign, months=months):
                return f"shifted({self.expr(left)}, {self.expr(right)}, {sign}, {months})"
            case core.DateGap(left=left, right=right):
                return f"day_gap({self.expr(left)}, {self.expr(right)})"
            case core.DatePart(part=part, operand=operand):
                inner = self.expr(operand)
                return f"month_of({inner})" if part == "month" else f"Decimal({inner}.year)"
            case core.NextDay(left=left, right=right):
                return f"next_day({self.expr(left)}, {self.expr(right)})"
            case core.DaysTo(edge=edge, season=season, operand=operand):
                return f"days_to({edge!r}, seasons[{season!r}], {self.expr(operand)})"
            case core.Reduce(how=how, operand=operand):
                inner = self.expr(operand)
                return {"lowest": f"min({inner})", "highest": f"max({inner})", "median": f"median({inner})"}.get(
                    how, f"N[len({inner})]"
                )
            case core.Chance() | core.Percentile():
                return f"draw({node.term}, offer)"
            case core.TradeCall(name=name, args=args):
                text = f"trade({name!r}, {', '.join(map(self.expr, args))})"
                return self._where_present(text, *args) if isinstance(node.type, YesNo) else text
        return self._arithmetic(node)

    def _arithmetic(self, node: Core) -> str:
        match node:
            case core.Add(left=left, right=right):
                return f"{self.expr(left)} + {self.expr(right)}"
            case core.Subtract(left=left, right=right):
                return f"{self.expr(left)} - {self.expr(right)}"
            case core.Multiply(left=left, right=right, factor=factor):
                return self.scaled(f"{self.expr(left)} * {self.expr(right)}", factor)
            case core.Divide(left=left, right=right, factor=factor):
                return self.scaled(f"{self.expr(left)} / {self.expr(right)}", factor)
            case core.Power(operand=operand, exponent=exponent):
                return f"powered({self.expr(operand)}, {exponent})"
            case core.Negate(operand=operand):
                return f"-{self.expr(operand)}"
            case core.Extreme(which=which, args=args):
                return f"{'min' if which == 'smaller' else 'max'}({', '.join(self.expr(a) for a in args)})"
            case core.Rounded(how=how, operand=operand, step=step):
                return rounded_text(self.expr(operand), how, step, self.constants)
        raise AssertionError(node)

    def scaled(self, text: str, factor: Fraction) -> str:
        """An expression times a factor, multiplied before it is divided."""
        return scaled_text(text, factor, self.constants)

    def _select(self, branches: tuple[tuple[Core, Core], ...], otherwise: Core) -> str:
        text = self.expr(otherwise)
        for condition, value in reversed(branches):
            text = f"{self.expr(value)} if {self.expr(condition)} else {text}"
        return text

    def _special(self, name: str) -> str:
        if name in ("offer", "today"):
            return name
        if name == "ceiling":
            return "None" if self.no_ceiling else "ceiling"
        array = {"unverified_majors": "unanswered", "cannot_tell": "unsure", "refused_looks": "refused"}[name]
        parts = []
        for question in self.program.questions.values():
            if not question.counted(name):
                continue
            at = f"{array}[{self.positions[question.name]}]"
            parts.append(f"({at} and g_{question.name})" if question.gated else at)
        return f"N[{' + '.join(parts)}]" if parts else "N[0]"


def scaled_text(text: str, factor: Fraction, constants: Constants) -> str:
    """A product or quotient as Python, times a factor: exact wherever the factor is whole."""
    if factor.numerator != 1:
        text = f"{text} * {constants.of(Decimal(factor.numerator))}"
    if factor.denominator != 1:
        text = f"({text}) / {constants.of(Decimal(factor.denominator))}"
    return text


def rounded_text(text: str, how: str, step: Decimal, constants: Constants) -> str:
    """Rounding to a step as Python; to a power of ten, which is quicker, where the step is one."""
    _, digits, exponent = step.as_tuple()
    if digits == (1,) and isinstance(exponent, int) and exponent <= 0:
        mode = {"half": "ROUND_HALF_UP", "up": "ROUND_CEILING", "down": "ROUND_FLOOR"}[how]
        return f"near({text}).quantize({constants.of(step)}, {mode!r})"
    return f"rounded({text}, {how!r}, {constants.of(step)})"
