"""What each repair is worth, and what a setting does: a deal tried in other ways, everything else as it is.

In: a judged `Deal` and its outcomes. Out: a `Worth` for each repair that may be left, and a `Curve` for each one that
the rules ask for.
"""

from __future__ import annotations

from decimal import Decimal
from typing import TYPE_CHECKING, Any

import numpy as np

from advisor.judging.judgment import Curve, CurvePoint, Worth
from advisor.language.program import Program
from advisor.language.stored import DAY
from advisor.language.types import Type, end_of, quantity
from advisor.readings.sampled import Outcome, as_plain, as_value

if TYPE_CHECKING:
    from advisor.judging.deal import Deal
    from advisor.judging.drawing import CarOutcomes
    from advisor.language.program import CurveDef

__all__ = ["HELD", "curves", "worths"]

HELD = "days_held"
"""The quantity whose days a repair may cost; without it, a repair costs the days that it makes the others wait."""

_CENT, _TENTH = Decimal("0.01"), Decimal("0.1")
_DAYS = quantity(calendar="day")


def worths(deal: Deal, car: CarOutcomes) -> tuple[Worth, ...]:
    """Each repair that may be left, decided one way and the other at the price that the report is about: those that
    are mended first, then by what mending adds."""
    bargain, repairs = deal.bargain, deal.bargain.repairs
    found = []
    for i, held in enumerate(repairs.optional):
        with_it, without = deal.plan | 1 << i, deal.plan & ~(1 << i)
        gain = (bargain.profit(deal.asking, with_it) - bargain.profit(deal.asking, without)).quantize(_CENT)
        hours = repairs.totals(with_it)[2][1] - repairs.totals(without)[2][1]
        days = _days(deal, car, with_it) - _days(deal, car, without)
        cost = (held.parts[1] + held.shop[1]) * held.chance
        found.append(Worth(held, bool(deal.plan >> i & 1), gain, cost, hours, days))
    return tuple(sorted(found, key=lambda w: (not w.fixed, -w.gain)))


def _days(deal: Deal, car: CarOutcomes, plan: int) -> Decimal:
    """Days held under a plan, to a tenth."""
    let = deal.program.lets.get(HELD)
    if let is None or let.type != _DAYS:
        return (deal.bargain.repairs.totals(plan)[3][1] / DAY).quantize(_TENTH)
    outcome = car.priced(plan, deal.asking, None)
    return (Decimal(repr(float(car.drawing.sampled.value(let.value, outcome)))) / DAY).quantize(_TENTH)


def curves(deal: Deal, car: CarOutcomes) -> tuple[Curve, ...]:
    """The curves that the rules ask for: each value of the setting in turn, with the faults, the repairs and the price
    that the report is about as they are."""
    return tuple(_curve(deal, car, c) for c in deal.program.curves)


def _curve(deal: Deal, car: CarOutcomes, curve: CurveDef) -> Curve:
    values = [curve.low]
    while values[-1] + curve.step <= curve.high:
        values.append(values[-1] + curve.step)
    cars = [car.with_setting(curve.setting, v) for v in values]
    outcomes = [c.priced(deal.plan, deal.asking, deal.ceiling.offer) for c in cars]

    def row(name: str) -> list[Any]:
        return [_value(car, o, name) for o in outcomes]

    shown = [[as_value(v, _type(deal.program, s.name)) for v in row(s.name)] for s in curve.shows]
    points = tuple(CurvePoint(v, tuple(r[i] for r in shown)) for i, v in enumerate(values))
    return Curve(curve, points, _most(row(curve.most)) if curve.most is not None else None)


def _most(values: list[Any]) -> int | None:
    """The place of the largest; None where none has a value."""
    return None if np.all(np.isnan(values)) else int(np.nanargmax(values))


def _value(car: CarOutcomes, outcome: Outcome, name: str) -> Any:
    """What a column of a curve shows: a quantity, or a setting or question as it is."""
    program = car.sheet.program
    if name in program.lets:
        return car.drawing.sampled.value(program.lets[name].value, outcome, f"let {name} chance")
    if name in program.settings:
        return outcome.settings.get(name, as_plain(end_of(program.settings[name].value, "plan")))
    return outcome.cells[name, "plan"]


def _type(program: Program, name: str) -> Type:
    found = program.type_of(name)
    assert found is not None
    return found
