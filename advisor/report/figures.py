"""Figures as the report writes them: whole dollars at the curb, exact where one reads on.

In: stored values and their types. Out: text.
"""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from advisor.judging.derivation import worded
from advisor.language import core
from advisor.language.program import Program, Unanswered
from advisor.language.types import MONEY, PERCENT, Estimate, Quantity, quantity
from advisor.language.wording import format_value, in_unit
from advisor.trade.curb import curb_price

__all__ = ["Figures", "how_open", "planned"]

_HOURS = quantity(labor="h")
_SAID = {"unsure": "could not tell", "refused": "not allowed to look", "": "not asked"}


def how_open(cell: Unanswered | None) -> str:
    """Why there is no answer."""
    return _SAID[cell.how if cell else ""]


def planned(value: Any) -> Any:
    """The value to plan with, of an estimate too."""
    return value.planned if isinstance(value, Estimate) else value


class Figures:
    """Writes the figures of one program's reports."""

    def __init__(self, program: Program) -> None:
        self.program = program
        self.sign = program.currency

    def whole(self, value: Decimal) -> str:
        """Money in whole units."""
        return format_value(value, MONEY, self.sign, places=0)

    def exact(self, value: Decimal | None) -> str:
        """Money to the cent."""
        return worded(value, MONEY, self.sign)

    def price(self, value: Decimal | None) -> str:
        """A price as it is named at the car."""
        return "no price" if value is None else self.whole(curb_price(value))

    def hours(self, stored: Decimal) -> str:
        """Labor, to a tenth of an hour."""
        return format_value(stored, _HOURS, self.sign, places=1)

    def share(self, value: Decimal) -> str:
        """A share of one."""
        return format_value(value, PERCENT, self.sign, places=0)

    def shown(self, name: str, value: Any, page: int) -> str:
        """A line of the report: brief on page one, exact on page two, chances in whole percent on both."""
        value, type_ = planned(value), self.program.type_of(name) or MONEY
        if isinstance(value, Decimal) and self._is_chance(name):
            return self._chance(value, page)
        if page == 2 or not isinstance(value, Decimal) or not isinstance(type_, Quantity):
            return worded(value, type_, self.sign)
        return self._brief(value, type_)

    def leading(self, name: str, value: Any) -> str:
        """A line right under the verdict: money there is a price to name."""
        amount = planned(value)
        if isinstance(amount, Decimal) and self.program.type_of(name) in (MONEY, None) and not self._is_chance(name):
            return self.price(amount)
        return self.shown(name, value, 1)

    def drawn(self, name: str) -> bool:
        """Whether a line comes from drawn outcomes."""
        let = self.program.lets.get(name)
        return let is not None and isinstance(let.value, core.Chance | core.Percentile)

    def _brief(self, value: Decimal, type_: Quantity) -> str:
        if type_ == MONEY:
            return self.whole(value)
        if type_.percent:
            share = abs(in_unit(value, type_))
            return "under 1%" if 0 < share < Decimal("0.005") and value > 0 else self.share(value)
        if type_.unit.startswith("$"):  # a rate under a dollar keeps its cents, and what is below a dime all it has
            size = abs(in_unit(value, type_))
            return format_value(value, type_, self.sign, places=0 if size >= 1 else 2 if size * 10 >= 1 else None)
        return format_value(value, type_, self.sign, places=None if type_.plain or type_.unit in ("in", "mm") else 1)

    def _is_chance(self, name: str) -> bool:
        let = self.program.lets.get(name)
        return let is not None and isinstance(let.value, core.Chance)

    def _chance(self, value: Decimal, page: int) -> str:
        """A chance: the share of outcomes drawn, which are thousands and not a million."""
        if value == 0 and page == 2:
            draws = self.program.settings.get("draws")
            count = f"{planned(draws.value):,.0f}" if draws and isinstance(planned(draws.value), Decimal) else "4,096"
            return f"0% (none of {count} drawn)"
        if value < Decimal("0.01"):
            return "under 1%"
        if Decimal("0.99") < value < 1:
            return "over 99%"
        return self.share(value)
