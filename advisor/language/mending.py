"""Faults: from `fault` blocks as written to definitions with figures and effects.

In: one block, its condition as a core expression, and the elaborator for its figures. Out: the `FaultDef`.
"""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

from attrs import define

from advisor.language import catalogue, core, nodes
from advisor.language.core import Core
from advisor.language.declaring import CALENDAR, LABOR
from advisor.language.elaborating import Elaborator
from advisor.language.problems import Kind, nearest
from advisor.language.program import FaultDef
from advisor.language.source import Span
from advisor.language.types import BROKEN, MONEY, Estimate, Quantity, decimal, quantity
from advisor.language.units import grain
from advisor.language.values import Unreadable, fitting, measured

__all__ = ["RATE", "SHOP_RATE", "Mender"]

SHOP_RATE = "shop_rate"
"""The setting by which the quotes of faults are reckoned that say none."""
RATE = quantity(money="$", labor="/h")
_EFFECTS = ("resale falls", "days to sell rise", "buyers fall")


@define
class Mender:
    """Checks faults one by one."""

    elab: Elaborator

    def _say(self, kind: Kind, span: Span, /, **words: object) -> None:
        self.elab.report(kind, span, **words)

    def fault(self, node: nodes.Fault, when: Core) -> FaultDef:
        """A fault; its condition has been elaborated."""
        figures = {
            kind: self._figure(getattr(node, kind), type_, kind)
            for kind, type_ in (("parts", MONEY), ("shop", MONEY), ("labor", LABOR), ("wait", CALENDAR))
        }
        falls, drop, days, buyers = Decimal(0), Decimal(0), Decimal(0), Decimal(0)
        for effect in node.effects:
            amount = self._effect(effect)
            match effect.words, amount:
                case "resale falls", (Quantity(percent=True), value):
                    falls = value
                case "resale falls", (_, value):
                    drop = value
                case "days to sell rise", (_, value):
                    days = value
                case "buyers fall", (_, value):
                    buyers = value
        return FaultDef(
            name=node.name.text, when=when, text=node.text, **figures, falls=falls, drop=drop, days=days, buyers=buyers,
            must=node.must, together=tuple(n.text for n in node.together), ends=self._ends(figures),
            cited=node.source, span=node.name.span,
            quote=self._figure(node.quote, MONEY, "quote") if node.quote else self._reckoned(figures),
        )  # fmt: skip

    def _reckoned(self, figures: dict[str, Core | None]) -> Core | None:
        """What a shop would ask where the file does not say: parts, shop work, and its hours at the setting
        `shop_rate`."""
        rate = self.elab.scope.types.get(SHOP_RATE)
        made = [f for f in (figures["parts"], figures["shop"]) if f is not None]
        labor = figures["labor"]
        if labor is not None and isinstance(rate, Quantity) and rate.dims == RATE.dims:
            factor = grain(LABOR.dims) * grain(RATE.dims) / grain(MONEY.dims)
            hourly = core.Ref(rate, labor.span, self.elab.term(), "setting", SHOP_RATE)
            made.append(core.Multiply(MONEY, labor.span, self.elab.term(), labor, hourly, factor))
        if not made:
            return None
        total = made[0]
        for one in made[1:]:
            total = core.Add(MONEY, one.span, self.elab.term(), total, one)
        return total

    def _ends(self, figures: dict[str, Core | None]) -> dict[str, tuple[Core, Core]]:
        """The low and the high end of the figures that stand on estimates by name."""
        found = {}
        for kind, figure in figures.items():
            if figure is None or isinstance(figure, core.Const):
                continue
            low, high = self.elab.at_end(figure, "low", figure.span), self.elab.at_end(figure, "high", figure.span)
            if low is not figure and BROKEN not in (low.type, high.type):
                found[kind] = (low, high)
        return found

    def _figure(self, node: nodes.Expr | None, type_: Quantity, kind: str) -> Core | None:
        if node is None:
            return None
        found = self.elab.number(node)
        if not isinstance(found.type, Quantity):
            return None
        if found.type.dims != type_.dims:
            if found.type.plain and isinstance(node, nodes.Literal):
                guess = f"{self.elab.scope.currency}{node.text}" if type_ == MONEY else f"{node.text} {type_.unit}"
                self._say(
                    catalogue.MISSING_UNIT, node.span, name=kind, wanted=measured(type_), text=node.text, guess=guess
                )
            else:
                self._say(
                    catalogue.WRONG_DIMENSION, node.span, name=kind, wanted=type_, text=node.span.text,
                    found=found.type, cure=fitting(type_).replace("$", self.elab.scope.currency),
                )  # fmt: skip
            return None
        low = found.value.low if isinstance(found, core.Const) and isinstance(found.value, Estimate) else None
        if low is None:
            low = self.elab.ranges.number(found).low
        if low < 0:
            self._say(catalogue.NEGATIVE_FIGURE, node.span, name=kind)
            return None
        return found

    def _effect(self, effect: nodes.Effect) -> tuple[Quantity, Decimal] | None:
        if effect.words not in _EFFECTS:
            guess = nearest(effect.words, _EFFECTS)
            cure = f"did you mean `{guess}`?" if guess else "effects are " + ", ".join(f"`{e}`" for e in _EFFECTS)
            self._say(catalogue.UNKNOWN_EFFECT, effect.span, text=effect.words, cure=cure)
            return None
        try:
            literal = self.elab.literal(effect.value)
        except Unreadable as error:
            self._say(error.kind, effect.value.span, **error.words)
            return None
        value, type_ = literal.value, literal.type
        share = type_.plain and type_.percent and 0 <= value <= 1
        fits = {
            "resale falls": share or (type_ == MONEY and value >= 0),
            "buyers fall": share,
            "days to sell rise": type_.dims == CALENDAR.dims or (type_.plain and not type_.percent),
        }[effect.words]
        if not fits:
            wanted = {
                "resale falls": "a percentage or money",
                "buyers fall": "a percentage",
                "days to sell rise": "days",
            }
            amount = "20" if effect.words == "days to sell rise" else "25%"
            self._say(
                catalogue.BAD_EFFECT, effect.value.span, text=effect.words, wanted=wanted[effect.words],
                example=f"{effect.words} {amount}",
            )  # fmt: skip
            return None
        if effect.words == "days to sell rise" and type_.plain:
            value = decimal(Fraction(value) / grain(CALENDAR.dims))
        return type_, value
