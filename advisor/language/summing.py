"""Sums as core expressions: sums, differences, products, quotients, shares, and the smaller or larger of several.

In: a sum as written, and the `Elaborator` it belongs to. Out: its node, with the dimensions and units that come out.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from advisor.language import catalogue, core, nodes
from advisor.language.core import Core
from advisor.language.types import BROKEN, DATE, DateType, Quantity, Type, quantity
from advisor.language.units import DIMENSIONS, grain

if TYPE_CHECKING:
    from advisor.language.elaborating import Elaborator

__all__ = ["binary", "calendars_agree", "extreme"]

_CALENDAR, _TEMPERATURE = DIMENSIONS.index("calendar"), DIMENSIONS.index("temperature")


def binary(elab: Elaborator, node: nodes.Binary) -> Core:
    """A sum, difference, product, quotient or share."""
    left, right = elab.expr(node.left), elab.expr(node.right)
    spoiled = node.op in "+-" and (_bare_share(node.left) or _bare_share(node.right))
    if spoiled or BROKEN in (left.type, right.type):
        return elab.broken(node.span)
    if node.op in "+-" and isinstance(left.type, DateType):
        return _date_sum(elab, node, left, right)
    for side, part in ((node.left, left), (node.right, right)):
        if not isinstance(part.type, Quantity):
            return elab.report(catalogue.NOT_A_NUMBER, side.span, text=side.span.text, found=part.type)
        if elab.valued(part).type == BROKEN:
            return elab.broken(node.span)
    if node.op in "+-":
        return _sum(elab, node, left, right)
    return _product(elab, node, left, right)


def _sum(elab: Elaborator, node: nodes.Binary, left: Core, right: Core) -> Core:
    if not elab.agree(node.left, left, node.right, right, "be added" if node.op == "+" else "be subtracted"):
        return elab.broken(node.span)
    if left.type.dims[_TEMPERATURE]:  # type: ignore[union-attr]  # both are quantities
        return elab.report(catalogue.TEMPERATURE_SUM, node.span)
    type_ = _merged(left.type, right.type)
    make = core.Add if node.op == "+" else core.Subtract
    return elab.measured(make(type_, node.span, elab.term(), left, right))


def _product(elab: Elaborator, node: nodes.Binary, left: Core, right: Core) -> Core:
    a, b = left.type, right.type
    assert isinstance(a, Quantity)
    assert isinstance(b, Quantity)
    if a.dims[_TEMPERATURE] or b.dims[_TEMPERATURE]:
        return elab.report(catalogue.TEMPERATURE_SUM, node.span)
    if not calendars_agree(a, b):
        return elab.report(catalogue.MONTHS_AND_DAYS, node.span)
    sign = -1 if node.op == "/" else 1
    dims = tuple(x + sign * y for x, y in zip(a.dims, b.dims, strict=True))
    units = tuple((x or y) if e else "" for x, y, e in zip(a.units, b.units, dims, strict=True))
    # A quantity over another of its kind is a share, and is shown as a percentage.
    share = node.op == "/" and a.dims == b.dims and not a.plain
    percent = share or (node.op != "/" and (b.percent if node.op == "of" else a.percent and b.percent))
    type_ = Quantity(dims, units, percent and not any(dims))
    if sign < 0:
        factor = grain(a.dims) / grain(b.dims) / grain(dims)
        return _quotient(elab, core.Divide(type_, node.span, elab.term(), left, right, factor))
    factor = grain(a.dims) * grain(b.dims) / grain(dims)
    return elab.measured(core.Multiply(type_, node.span, elab.term(), left, right, factor))


def _quotient(elab: Elaborator, node: core.Divide) -> Core:
    """A quotient's divisor must not be negative; where it is computed with, `valued` asks for more."""
    divisor = elab.ranges.number(node.right)
    if not divisor.not_negative:
        return elab.report(catalogue.DIVISOR_MAY_BE_NEGATIVE, node.right.span, divisor=node.right.span.text)
    if isinstance(node.right, core.Const) and divisor.high == 0:
        return elab.report(catalogue.DIVISOR_IS_ZERO, node.right.span)
    return node


def _date_sum(elab: Elaborator, node: nodes.Binary, left: Core, right: Core) -> Core:
    if isinstance(right.type, DateType) and node.op == "-":
        return core.DateGap(quantity(calendar="day"), node.span, elab.term(), left, right)
    days = quantity(calendar="day")
    if not isinstance(right.type, Quantity) or right.type.dims != days.dims:
        return elab.report(catalogue.DATE_SUM, node.span)
    months = right.type.units[_CALENDAR] in ("month", "year")
    sign = 1 if node.op == "+" else -1
    return core.DateShift(DATE, node.span, elab.term(), left, right, sign, months)


def extreme(elab: Elaborator, node: nodes.Extreme) -> Core:
    """The smaller or the larger of several."""
    if len(node.args) < 2:
        return elab.report(catalogue.ONE_ARGUMENT, node.span, which=node.which, args=node.args[0].span.text)
    args = [elab.number(a) for a in node.args]
    if any(a.type == BROKEN for a in args):
        return elab.broken(node.span)
    for arg_node, arg in zip(node.args[1:], args[1:], strict=True):
        if not elab.agree(node.args[0], args[0], arg_node, arg, "be compared"):
            return elab.broken(node.span)
    which: core.Which = "smaller" if node.which == "smaller" else "larger"
    return elab.measured(core.Extreme(args[0].type, node.span, elab.term(), which, tuple(args)))


def _bare_share(node: nodes.Expr) -> bool:
    """`70% of resale` without brackets: beside `+` or `-` it has been told already."""
    return isinstance(node, nodes.Binary) and node.op == "of" and not node.bracketed


def calendars_agree(a: Quantity, b: Quantity) -> bool:
    """Months convert to years only, never to days or weeks."""
    units = {a.units[_CALENDAR], b.units[_CALENDAR]}
    return not ("month" in units and units & {"day", "week"})


def _merged(a: Type, b: Type) -> Quantity:
    """The type of a sum: shown as its first part is, with the finer calendar unit of the two."""
    assert isinstance(a, Quantity)
    assert isinstance(b, Quantity)
    units = [x or y for x, y in zip(a.units, b.units, strict=True)]
    order = ("day", "week", "month", "year", "")
    units[_CALENDAR] = min(a.units[_CALENDAR], b.units[_CALENDAR], key=order.index)
    return Quantity(a.dims, tuple(units), a.percent or b.percent)
