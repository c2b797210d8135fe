"""The possible reading: closed ranges and Kleene's three-valued logic.

In: a `Program`. Out: Python source, compiled once, that defines

    situate(lo, hi, ends, today, open_)
        -> (facts, figures, refuses, cautions, deal, ladder, ladder_none, gates)

A number is two decimals, its lowest and its highest value; a condition is two booleans, whether it can hold and
whether it can fail; a choice is a bit mask of the options still open. `lo` and `hi` hold these for every question
in order (for a condition: can hold, can fail; for a choice: the mask, twice; for a list: the readings or None,
twice); `ends` holds the pairs for the low and the high end of estimates; `open_` says which questions are not
answered. `deal(offer, plan)` gives for each `require` whether it can hold and whether it can fail, at one offer and
under plan figures given as ranges, behind which a function may stand that bounds what is drawn; `ladder(offer, plan,
ceiling)` gives the rungs that can decide, as a bit mask, for a ceiling between two values, `ladder_none` for none at
all. `gates` says of each question whether it can apply.

Sound: for every completion of the answers, what `exact` says lies in what this says. Each range operation has
the exact one at its corners, and rounding to 34 digits keeps order.
"""

from __future__ import annotations

from attrs import define

from advisor.language import core
from advisor.language.core import Core
from advisor.language.program import LetDef, Program, Question
from advisor.language.types import Choice, Code, DateType, ListOf, Quantity, Text, Type, YesNo, end_of
from advisor.readings.bounding import Bounding, Two
from advisor.readings.emitting import FIGURES, indented, suffix, value_at, wanted

__all__ = ["source"]


def source(program: Program) -> str:
    """The generated module's text."""
    return _Possible(program).module()


@define
class _Possible(Bounding):
    def module(self) -> str:
        body = self._situate()
        settings = [
            f"s_{s.name}{suffix(e)} = {self.constants.of(end_of(s.value, e))}"
            for s in self.program.settings.values()
            if not isinstance(s.value, str)
            for e in ("plan", "low", "high")
        ]
        return "\n".join([*self.constants.lines(), *settings, *body, ""])

    def _situate(self) -> list[str]:
        todo = wanted(self.program)
        self.lines = []
        for name in self.program.order:
            if name in self.program.questions:
                self._question(self.program.questions[name])
            elif name in self.program.faults:
                t, f = self.truth(self.program.faults[name].when)
                self.lines.append(f"f_{name}_t, f_{name}_f = {t}, {f}")
            else:
                let = self.program.lets[name]
                if let.stage == "situation":
                    for end, value in (("plan", let.value), ("low", let.low), ("high", let.high)):
                        if value is not None:
                            self._let(let, end)  # type: ignore[arg-type]  # one of three ends
        faults = self.program.faults.values()
        self.lines.append("facts = (" + "".join(f"(f_{f.name}_t, f_{f.name}_f), " for f in faults) + ")")
        figures = []
        for fault in faults:
            parts = [self._figure(g) for g in fault.figures]
            figures.append(f"({', '.join(parts)}), ")
        self.lines.append("figures = (" + "".join(figures) + ")")
        for kind in ("refuse", "caution"):
            held = "".join(f"({t}, {f}), " for t, f in (self.truth(r.condition) for r in self.program.of_kind(kind)))
            self.lines.append(f"{kind}s = ({held})")
        body = self.lines
        body += ["def deal(offer, plan):", *indented(self._deal(todo.deal))]
        body += ["def ladder(offer_lo, offer_hi, plan, ceiling_lo, ceiling_hi):", *indented(self._ladder(todo.ladder))]
        self.no_ceiling = True
        body += ["def ladder_none(offer_lo, offer_hi, plan):", *indented(self._ladder(todo.ladder))]
        self.no_ceiling = False
        gates = "".join(
            f"(g_{q.name}_t, g_{q.name}_f), " if q.gated else "(True, False), " for q in self.program.questions.values()
        )
        body.append(f"return facts, figures, refuses, cautions, deal, ladder, ladder_none, ({gates})")
        return ["def situate(lo, hi, ends, today, open_):", *indented(body)]

    def _question(self, question: Question) -> None:
        """Its open values; behind a gate that may fail, joined with `else`."""
        at, name = self.positions[question.name], question.name
        if question.gated:
            t, f = self.truth(self.program.gates[name])
            self.lines.append(f"g_{name}_t, g_{name}_f = {t}, {f}")
        arrays: tuple[tuple[core.End, str, str], ...] = (
            ("plan", f"lo[{at}]", f"hi[{at}]"),
            ("low", f"ends[0][{at}][0]", f"ends[0][{at}][1]"),
            ("high", f"ends[1][{at}][0]", f"ends[1][{at}][1]"),
        )
        for end, lo, hi in arrays:
            if end != "plan" and not isinstance(question.type, Quantity):
                continue
            a, b = self._names(f"q_{name}{suffix(end)}", question.type)
            self.lines.append(f"{a}, {b} = {lo}, {hi}" if a != b else f"{a} = {lo}")
            if not question.gated or question.otherwise is None or isinstance(question.type, Text):
                continue  # no rule computes with a text
            else_lo, else_hi = self._constant(question.type, end_of(question.otherwise, end))
            self.lines.append(f"if g_{name}_f:")
            self.lines.append(f"    if not g_{name}_t:")
            self.lines.append(f"        {a} = {else_lo}" if a == b else f"        {a}, {b} = {else_lo}, {else_hi}")
            self.lines.append("    else:")
            match question.type:
                case YesNo():
                    join = f"{a}, {b} = {a} or {else_lo}, {b} or {else_hi}"
                case Choice():
                    join = f"{a} = {a} | {else_lo}"
                case ListOf() | Code():
                    join = f"{a} = {a} if {a} == {else_lo} else None"
                case _:
                    join = f"{a}, {b} = min({a}, {else_lo}), max({b}, {else_hi})"
            self.lines.append(f"        {join}")

    def _names(self, base: str, type_: Type) -> Two:
        match type_:
            case YesNo():
                return f"{base}_t", f"{base}_f"
            case Quantity() | DateType():
                return f"{base}_lo", f"{base}_hi"
        return base, base

    def _let(self, let: LetDef, end: core.End) -> None:
        value = value_at(let, end)
        if self._may_lack(value):
            return  # only shown, or compared by multiplying out
        if self._guarded(lambda: self._let_lines(let, end, value), value) is None:
            self._let_lines(let, end, value)

    def _let_lines(self, let: LetDef, end: core.End, value: Core) -> None:
        a, b = self._names(f"l_{let.name}{suffix(end)}", let.type)
        x, y = self.value(value)
        self.lines.append(f"{a}, {b} = {x}, {y}" if a != b else f"{a} = {x}")

    def _may_lack(self, value: Core) -> bool:
        """Whether a quantity is a quotient, by this or another name, whose divisor may be zero."""
        if isinstance(value, core.Ref) and value.kind == "let":
            return self._may_lack(self.program.lets[value.name].value)
        return isinstance(value, core.Divide) and not self.ranges.number(value.right).positive

    def _figure(self, figure: tuple[Core, Core, Core] | None) -> str:
        """A fault's figure as ((low end), (plan), (high end)), each a range."""
        if figure is None:
            return "None"
        _, plan, _ = figure
        if isinstance(plan, core.Const):
            ends = [self.constants.of(end_of(plan.value, e)) for e in ("low", "plan", "high")]
            return "(" + ", ".join(f"({e}, {e})" for e in ends) + ")"
        return "(" + ", ".join(f"({a}, {b})" for a, b in map(self.number, figure)) + ")"

    def _plan(self) -> None:
        used = set()
        for expression in self.program.expressions():
            used |= {(p.figure, p.end) for p in core.walk(expression) if isinstance(p, core.PlanFigure)}
        for figure, end in sorted(used):
            at = f"plan[{FIGURES.index(figure)}][{('low', 'plan', 'high').index(end)}]"
            self.lines.append(f"p_{figure}{suffix(end)}_lo, p_{figure}{suffix(end)}_hi = {at}")
        self.lines.append(f"draw = plan[{len(FIGURES)}] if len(plan) > {len(FIGURES)} else None")

    def _deal(self, lets: list[tuple[LetDef, core.End]]) -> list[str]:
        self.lines = ["offer_lo = offer_hi = offer"]
        self._plan()
        for let, end in lets:
            self._let(let, end)
        held = "".join(f"({t}, {f}), " for t, f in (self.truth(r.condition) for r in self.program.of_kind("require")))
        self.lines.append(f"return ({held})")
        return self.lines

    def _ladder(self, lets: list[tuple[LetDef, core.End]]) -> list[str]:
        self.lines = []
        self._plan()
        for let, end in lets:
            self._let(let, end)
        self.lines.append("found = 0")
        for i, rung in enumerate(self.program.ladder):
            if rung.condition is None:
                self.lines.append(f"return found | {1 << i}")
                return self.lines
            t, f = self.truth(rung.condition)
            self.lines += [f"if {t}:", f"    found |= {1 << i}", f"if not ({f}):", "    return found"]
        self.lines.append("return found")
        return self.lines
