"""Amounts as written, in another currency.

In: texts and written values of a file in one currency. Out: the same in another, multiplied exactly. `exchange.py`
says which files are converted, and by what.
"""

from __future__ import annotations

import re
from decimal import Decimal

from attrs import evolve, field, frozen

from advisor.language.types import EXACT

__all__ = ["AMOUNT", "Exchange", "number_of"]

AMOUNT = re.compile(r"([$£€])(\d{1,3}(?:,\d{3})+|\d+)(\.\d+)?(?![\d,.]*\d)", re.ASCII)
"""An amount: its sign, the whole part, the rest."""
_SAID = re.compile(
    r"(?<![^\W\d_])([$£€])(\d{1,3}(?:,\d{3})+|\d+|(?=\.\d))(\.\d+)?(?![\d,.]*\d)(?P<k>[kK]\b)?", re.ASCII
)
"""An amount as people write it too: $.50, $9k. Letters before the sign, as in US$500, say which currency it is."""
_CENT = Decimal("0.01")
_TWO_WAYS = re.compile(r"[1-9]\d{0,2}\.000")
_MOST_DIGITS = 15


@frozen
class Exchange:
    """What turns the texts of one file into those of another currency."""

    sign: str
    factor: Decimal
    into: str
    parts: dict[str, Decimal] = field(factory=dict)

    def value(self, text: str) -> str:
        """A written value, or a unit, in the other currency."""
        changed = AMOUNT.sub(lambda m: self._amount(m, grouped=False), text)
        return re.sub(rf"{re.escape(self.sign)}(?=/)", self.into, changed)

    def prose(self, text: str) -> str:
        """Words for people: amounts in them stand in whole cents, and those below a cent as they are.

        `$9k` keeps its k, and as many as two decimals; `US$500` is not touched, as it says itself what it is.
        """
        return _SAID.sub(lambda m: self._amount(m, grouped=True) + (m["k"] or ""), text)

    def _amount(self, found: re.Match[str], *, grouped: bool) -> str:
        digits = found[2] + (found[3] or "")
        if found[1] != self.sign or _TWO_WAYS.fullmatch(digits) or sum(c.isdigit() for c in digits) > _MOST_DIGITS:
            return found[1] + digits  # what cannot be read stays as it is, and is told as it is
        number = EXACT.multiply(number_of(found), self.factor)
        if not grouped or 0 < number < _CENT:
            return self.into + f"{number.normalize():,f}"
        text = f"{number:,.2f}"
        if found["k"]:
            return self.into + text.rstrip("0").removesuffix(".")
        return self.into + text.removesuffix(".00")

    def of(self, name: str) -> Exchange:
        """The same for one figure of a fault."""
        return evolve(self, factor=self.parts.get(name, self.factor))


def number_of(found: re.Match[str]) -> Decimal:
    """The number of an amount that `AMOUNT` found."""
    return Decimal(found[2].replace(",", "") + (found[3] or ""))
