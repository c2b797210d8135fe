"""The functions of the trade that rules may call, by name.

In: plain values in the units that `language/signatures.py` names, one after another. Out: a plain value, or None where
there is none. What comes out lies within the domain that is told there. A module is read when it is first called, so
that rules start as fast as if there were none.
"""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal
from importlib import import_module
from typing import Any

__all__ = ["CALLED"]

_STEP = Decimal("0.0001")
_MOST_DIGITS = 9
"""No odometer counts on to a billion; what is above it behaves the same."""


def _later(module: str, function: str) -> Callable[..., Any]:
    """A function of a module of this package, which is read at the first call."""

    def call(*values: Any) -> Any:
        return getattr(import_module(f"advisor.trade.{module}"), function)(*values)

    return call


def _yearly_rate(*values: Any) -> Decimal | None:
    """The one yearly rate, compounded, at which dated amounts come to nothing; None for none or several."""
    from advisor.trade.returns import rate_of_payments

    only = rate_of_payments(list(zip(values[1::2], values[::2], strict=True))).only
    return None if only is None else only.quantize(_STEP)


def _leak_down(lost: Decimal) -> Any:
    """Less than nothing lost is nothing, more than everything is everything."""
    return _later("engine", "leak_down")(min(max(lost, Decimal(0)), Decimal(1)))


def _odometer_rolled(digits: Decimal, *others: Any) -> Any:
    """Only whole digits count, and only so many."""
    return _later("odometer", "odometer_rolled")(min(max(int(digits), 0), _MOST_DIGITS), *others)


CALLED: dict[str, Callable[..., Any]] = {
    "battery_charge": _later("battery", "battery_charge"),
    "compounded": _later("returns", "yearly_compounded"),
    "compression_fits": _later("engine", "compression_fits"),
    "coolant_freezes": _later("coolant", "coolant_freezes"),
    "counts_as_dealer": _later("sales", "counts_as_dealer"),
    "leak_down": _leak_down,
    "lining_limit": _later("limits", "lining_limit"),
    "monitors_allowed": _later("codes", "monitors_allowed"),
    "odometer_exempt": _later("odometer", "odometer_exempt"),
    "odometer_rolled": _odometer_rolled,
    "paint_standing_out": _later("paint", "paint_standing_out"),
    "readiness": _later("codes", "readiness"),
    "steering_play_limit": _later("limits", "steering_play_limit"),
    "tire_age": _later("tires", "tire_age"),
    "toe_fits": _later("limits", "toe_fits"),
    "tread_limit": _later("limits", "tread_limit"),
    "trouble_code": _later("codes", "trouble_code"),
    "vin_check": _later("vin", "vin_check"),
    "vin_year": _later("vin", "vin_year"),
    "yearly_rate": _yearly_rate,
}
