"""Expressions of the possible reading: everything as two.

In: core expressions of a program. Out: Python for their ends, and the lines that have to stand before it. A number is
its lowest and its highest value, a condition whether it can hold and whether it can fail, a choice a bit mask of
what is still open, twice. `possible.py` puts them together.
"""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction

from attrs import define, field

from advisor.language import core
from advisor.language.core import Core
from advisor.language.program import Program
from advisor.language.ranges import Ranges
from advisor.language.types import YES_NO, Choice, Code, ListOf, Type, YesNo, end_of
from advisor.readings.emitting import Constants, Hollow, indented, may_lack, suffix
from advisor.readings.exact import rounded_text, scaled_text
from advisor.readings.looking_up import looked_up, reaches
from advisor.readings.proven import static_ranges

__all__ = ["Bounding", "Two"]

Two = tuple[str, str]
_YES, _NO = ("True", "False"), ("False", "True")


@define
class Bounding:
    """Writes the ends of expressions, line by line."""

    program: Program
    constants: Constants = field(factory=Constants)
    ranges: Ranges = field(init=False)
    lines: list[str] = field(factory=list)
    count: int = 0
    no_ceiling: bool = False
    hollow: Hollow = field(init=False)
    positions: dict[str, int] = field(init=False)

    def __attrs_post_init__(self) -> None:
        self.positions = {name: i for i, name in enumerate(self.program.questions)}
        self.ranges = static_ranges(self.program)
        self.hollow = Hollow.of(self.program)

    # ---- expressions ----

    def _temp(self) -> str:
        self.count += 1
        return f"x{self.count}"

    def value(self, node: Core) -> Two:
        """Any node as its two expressions (a choice or a list as one, twice)."""
        if isinstance(node.type, YesNo):
            return self.truth(node)
        if isinstance(node.type, Choice | ListOf | Code):
            return self.mask(node)
        return self.number(node)

    def _constant(self, type_: Type, value: object) -> Two:
        match type_, value:
            case YesNo(), bool():
                return _YES if value else _NO
            case Choice(options), str():
                mask = str(1 << options.index(value))
                return mask, mask
        text = self.constants.of(value)  # type: ignore[arg-type]  # a number question has bounds
        return text, text

    def mask(self, node: Core) -> Two:
        """A choice as the bit mask of what is open, or a list or a code, which is None while open; twice."""
        match node:
            case core.Const(type=type_, value=value):
                return self._constant(type_, value)
            case core.Ref(kind=kind, name=name):
                return f"{kind[0]}_{name}", f"{kind[0]}_{name}"
            case core.TradeCall(name=name):
                result = self._temp()
                self.lines.append(f"{result} = trade_mask({name!r}, {reaches(self, node)})")
                return result, result
            case core.Select(branches=branches, otherwise=otherwise):
                return self._select_mask(branches, otherwise)
        raise AssertionError(node)

    def _select_mask(self, branches: tuple[tuple[Core, Core], ...], otherwise: Core) -> Two:
        result, live = self._temp(), self._temp()
        self.lines += [f"{result}, {live} = 0, True"]
        for condition, chosen in branches:
            t, f = self.truth(condition)
            inner, _ = self.mask(chosen)
            self.lines.append(f"if {live}:")
            self.lines += indented([f"if {t}:", f"    {result} |= {inner}", f"{live} = {f}"])
        inner, _ = self.mask(otherwise)
        self.lines += [f"if {live}:", f"    {result} |= {inner}"]
        return result, result

    def truth(self, node: Core) -> Two:
        """A condition as (can hold, can fail)."""
        match node:
            case core.Const(value=value):
                return _YES if value else _NO
            case core.Ref(kind="setting", name=name):
                return f"s_{name}", f"(not s_{name})"
            case core.Ref(kind=kind, name=name):
                return f"{kind[0]}_{name}_t", f"{kind[0]}_{name}_f"
            case core.Not(operand=operand):
                t, f = self.truth(operand)
                return f, t
            case core.All(args=args):
                pairs = [self.truth(a) for a in args]
                return _joined([t for t, _ in pairs], "and"), _joined([f for _, f in pairs], "or")
            case core.Any(args=args):
                pairs = [self.truth(a) for a in args]
                return _joined([t for t, _ in pairs], "or"), _joined([f for _, f in pairs], "and")
            case core.Compare():
                return self._compare(node)
            case core.OneOf(operand=operand, options=options):
                mask, _ = self.mask(operand)
                assert isinstance(operand.type, Choice)
                bits = sum(1 << operand.type.options.index(o) for o in options)
                rest = (1 << len(operand.type.options)) - 1 - bits
                return f"({mask} & {bits} != 0)", f"({mask} & {rest} != 0)"
            case core.TradeCall(name=name):
                return self.pair(f"trade_truth({name!r}, {reaches(self, node)})")
            case core.InSeason(operand=operand, season=season):
                return self._without_ceiling(node, operand) or self._within(operand, season)
            case core.Select():
                return self._select(node, "t", "f")
        return "True", "True"

    def _compare(self, node: core.Compare) -> Two:
        return self._without_ceiling(node, node.left, node.right) or self._compared(node)

    def _compared(self, node: core.Compare) -> Two:
        al, ah = self.number(node.left)
        bl, bh = self.number(node.right)
        lacking = may_lack(self.program, node.left), may_lack(self.program, node.right)
        if any(lacking):
            return self.pair(f"compared_ranges({node.op!r}, ({al}, {ah}), ({bl}, {bh}), {lacking})")
        match node.op:
            case ">=":
                return f"({ah} >= {bl})", f"({al} < {bh})"
            case "<=":
                return f"({al} <= {bh})", f"({ah} > {bl})"
            case ">":
                return f"({ah} > {bl})", f"({al} <= {bh})"
            case "<":
                return f"({al} < {bh})", f"({ah} >= {bl})"
        return f"({al} <= {bh} and {bl} <= {ah})", f"(not {al} == {ah} == {bl} == {bh})"

    def _within(self, operand: Core, season: str) -> Two:
        a, b = self.number(operand)
        name = self._temp()
        self.lines.append(f"{name}_t, {name}_f = season_range(seasons[{season!r}], {a}, {b})")
        return f"{name}_t", f"{name}_f"

    # ---- without a ceiling ----

    def _presence(self, *nodes: Core) -> Core | None:
        """Whether values are there although there is no ceiling, as a condition; None where nothing asks for one."""
        hollow = [n for n in nodes if self.hollow.holds(n)]
        if not self.no_ceiling or not hollow:
            return None
        return core.All(YES_NO, hollow[0].span, 0, tuple(map(self._presence_of, hollow)))

    def _presence_of(self, node: Core) -> Core:
        match node:
            case core.Special():
                return core.Const(YES_NO, node.span, 0, False)
            case core.Ref(name=name):
                return self._presence(self.program.lets[name].value) or core.Const(YES_NO, node.span, 0, True)
            case core.Select(branches=branches, otherwise=otherwise):
                there = core.Const(YES_NO, node.span, 0, True)
                pairs = tuple((c, self._presence(v) or there) for c, v in branches)
                return core.Select(YES_NO, node.span, 0, pairs, self._presence(otherwise) or there)
        return self._presence(*core.children(node)) or core.Const(YES_NO, node.span, 0, True)

    def _guarded(self, emit: Callable[[], None], *nodes: Core) -> Two | None:
        """Emit lines under a test that the values in them can be there; gives whether they can, and can be missing.

        None, and no lines, where no value can be missing.
        """
        presence = self._presence(*nodes)
        if presence is None:
            return None
        t, f = self.truth(presence)
        outer, self.lines = self.lines, []
        emit()
        self.lines = [*outer, f"if {t}:", *indented(self.lines)]
        return t, f

    def _without_ceiling(self, node: core.Compare | core.InSeason, *operands: Core) -> Two | None:
        """A condition on values that may be missing, which is no where one is."""
        if self._presence(*operands) is None:
            return None
        name = self._temp()
        self.lines.append(f"{name}_t = {name}_f = False")

        def emit() -> None:
            t, f = self._compared(node) if isinstance(node, core.Compare) else self._within(node.operand, node.season)
            self.lines.append(f"{name}_t, {name}_f = {t}, {f}")

        found = self._guarded(emit, *operands)
        assert found is not None
        return f"{name}_t", f"({name}_f or {found[1]})"

    def number(self, node: Core) -> Two:
        """A number, quantity or date as its lowest and highest value."""
        match node:
            case core.Const(value=value, end=end):
                text = self.constants.of(end_of(value, end))
                return text, text
            case core.Ref(kind="setting", name=name, end=end):
                return f"s_{name}{suffix(end)}", f"s_{name}{suffix(end)}"
            case core.Ref(kind=kind, name=name, end=end):
                return f"{kind[0]}_{name}{suffix(end)}_lo", f"{kind[0]}_{name}{suffix(end)}_hi"
            case core.Special(name=name):
                return self._special(name)
            case core.PlanFigure(figure=figure, end=end):
                return f"p_{figure}{suffix(end)}_lo", f"p_{figure}{suffix(end)}_hi"
            case core.Select():
                return self._select(node, "lo", "hi")
        return self._held(*self._range(node))

    def _held(self, low: str, high: str) -> Two:
        """Both ends in local names, so that they are computed once."""
        name = self._temp()
        self.lines.append(f"{name}_lo, {name}_hi = {low}, {high}")
        return f"{name}_lo", f"{name}_hi"

    def _range(self, node: Core) -> Two:
        match node:
            case core.Add(left=left, right=right):
                (a, b), (c, d) = self.number(left), self.number(right)
                return f"{a} + {c}", f"{b} + {d}"
            case core.Subtract(left=left, right=right):
                (a, b), (c, d) = self.number(left), self.number(right)
                return f"{a} - {d}", f"{b} - {c}"
            case core.Multiply(left=left, right=right, factor=factor):
                return self._product(left, right, factor)
            case core.Divide(left=left, right=right, factor=factor):
                return self._quotient(left, right, factor)
            case core.Power(operand=operand, exponent=exponent):
                a, b = self.number(operand)
                return f"powered({a}, {exponent})", f"powered({b}, {exponent})"
            case core.Negate(operand=operand):
                a, b = self.number(operand)
                return f"-{b}", f"-{a}"
            case core.Extreme(which=which, args=args):
                pairs = [self.number(a) for a in args]
                pick = "min" if which == "smaller" else "max"
                return f"{pick}({', '.join(a for a, _ in pairs)})", f"{pick}({', '.join(b for _, b in pairs)})"
            case core.Rounded(how=how, operand=operand, step=step):
                a, b = self.number(operand)
                return rounded_text(a, how, step, self.constants), rounded_text(b, how, step, self.constants)
            case core.Counted(args=args):
                pairs = [self.truth(a) for a in args]
                surely = " + ".join(f"(not ({f}))" for _, f in pairs)
                maybe = " + ".join(f"({t})" for t, _ in pairs)
                return f"N[{surely}]", f"N[{maybe}]"
        return looked_up(self, node)

    def pair(self, call: str) -> Two:
        """Both results of a call, in local names."""
        name = self._temp()
        self.lines.append(f"{name}_a, {name}_b = {call}")
        return f"{name}_a", f"{name}_b"

    def _product(self, left: Core, right: Core, factor: Fraction) -> Two:
        (a, b), (c, d) = self.number(left), self.number(right)
        if self.ranges.number(left).not_negative and self.ranges.number(right).not_negative:
            low, high = f"{a} * {c}", f"{b} * {d}"
        elif a == b:
            low, high = self._ordered(f"{a} * {c}", f"{a} * {d}")
        elif c == d:
            low, high = self._ordered(f"{a} * {c}", f"{b} * {c}")
        else:
            low, high = self.pair(f"corners(product, {a}, {b}, {c}, {d})")
        return scaled_text(low, factor, self.constants), scaled_text(high, factor, self.constants)

    def _ordered(self, one: str, other: str) -> Two:
        x, y = self._held(one, other)
        self.lines.append(f"if {x} > {y}:")
        self.lines.append(f"    {x}, {y} = {y}, {x}")
        return x, y

    def _quotient(self, left: Core, right: Core, factor: Fraction) -> Two:
        (a, b), (c, d) = self.number(left), self.number(right)
        if self.ranges.number(left).not_negative:
            low, high = f"{a} / {d}", f"{b} / {c}"
        else:
            low, high = self.pair(f"corners(quotient, {a}, {b}, {c}, {d})")
        return scaled_text(low, factor, self.constants), scaled_text(high, factor, self.constants)

    def _select(self, node: core.Select, first: str, second: str) -> Two:
        """Branches: those that can hold are joined, and the search stops at one that cannot fail."""
        name, live = self._temp(), self._temp()
        a, b = f"{name}_{first}", f"{name}_{second}"
        boolean = first == "t"
        self.lines.append(f"{a} = {b} = {'False' if boolean else 'None'}")
        self.lines.append(f"{live} = True")
        for condition, value in node.branches:
            self.lines.append(f"if {live}:")
            block, self.lines = self.lines, []
            t, f = self.truth(condition)
            outer, self.lines = self.lines, []
            self._join(a, b, value, boolean)
            inner = self.lines
            self.lines = [*block, *indented([*outer, f"if {t}:", *indented(inner), f"{live} = {f}"])]
        self.lines.append(f"if {live}:")
        block, self.lines = self.lines, []
        self._join(a, b, node.otherwise, boolean)
        self.lines = [*block, *indented(self.lines)]
        return a, b

    def _join(self, a: str, b: str, value: Core, boolean: bool) -> None:
        if self._guarded(lambda: self._joined_in(a, b, value, boolean), value) is None:
            self._joined_in(a, b, value, boolean)

    def _joined_in(self, a: str, b: str, value: Core, boolean: bool) -> None:
        x, y = self.value(value)
        if boolean:
            self.lines.append(f"{a}, {b} = {a} or {x}, {b} or {y}")
            return
        self.lines.append(f"if {a} is None:")
        self.lines.append(f"    {a}, {b} = {x}, {y}")
        self.lines.append("else:")
        self.lines.append(f"    {a}, {b} = min({a}, {x}), max({b}, {y})")

    def _special(self, name: str) -> Two:
        if name == "today":
            return "today", "today"
        if name in ("offer", "ceiling"):
            return f"{name}_lo", f"{name}_hi"
        parts = []
        for question in self.program.questions.values():
            if not question.counted(name):
                continue
            at = f"open_[{self.positions[question.name]}]"
            parts.append(f"({at} and g_{question.name}_t)" if question.gated else at)
        return "N[0]", f"N[{' + '.join(parts)}]" if parts else "N[0]"


def _joined(parts: list[str], word: str) -> str:
    return "(" + f" {word} ".join(parts) + ")" if len(parts) > 1 else parts[0]
