"""The functions of the trade that rules may call, by name.

In: plain values in the units that `language/functions.py` names, one after another. Out: a plain value, or None where
there is none. What comes out lies within the domain that is told there, and is rounded to its grain.
"""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal
from typing import Any

from advisor.trade.returns import rate_of_payments, yearly_compounded

__all__ = ["CALLED"]

_STEP = Decimal("0.0001")


def _yearly_rate(*values: Any) -> Decimal | None:
    """The one yearly rate, compounded, at which dated amounts come to nothing; None for none or several."""
    only = rate_of_payments(list(zip(values[1::2], values[::2], strict=True))).only
    return None if only is None else only.quantize(_STEP)


CALLED: dict[str, Callable[..., Any]] = {"compounded": yearly_compounded, "yearly_rate": _yearly_rate}
