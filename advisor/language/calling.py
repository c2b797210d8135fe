"""Calls of functions as core expressions.

In: a call as written, and the `Elaborator` of the expression it stands in. Out: its node, or a problem about what the
function takes.
"""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal
from typing import TYPE_CHECKING

from attrs import evolve

from advisor.language import catalogue, core, nodes
from advisor.language.comparing import season_named
from advisor.language.core import Core
from advisor.language.functions import FUNCTIONS, OLD_SPELLINGS, PLAN_FIGURES, SPECIAL
from advisor.language.problems import nearest
from advisor.language.program import TableDef
from advisor.language.signatures import TRADE
from advisor.language.types import (
    BROKEN,
    DATE,
    MONEY,
    MONTH_DAY,
    NUMBER,
    PERCENT,
    Choice,
    DateType,
    ListOf,
    MonthDayType,
    Quantity,
    Type,
    YesNo,
    quantity,
)
from advisor.language.values import Unreadable, read_month_day

if TYPE_CHECKING:
    from advisor.language.elaborating import Elaborator

__all__ = ["called"]

_HIGHEST_POWER = 20
"""More than ten years of monthly growth, or a rating of twenty marks, nobody multiplies out."""
_FIGURE_TYPES = {
    "money": MONEY, "labor": quantity(labor="h"), "calendar": quantity(calendar="day"), "percent": PERCENT,
}  # fmt: skip


def called(elab: Elaborator, node: nodes.Call) -> Core:
    name = node.function.text
    figure = _plan_figure(node)
    if figure:
        what, measure = figure
        return core.PlanFigure(_FIGURE_TYPES[measure], node.span, elab.term(), what)  # type: ignore[arg-type]  # a figure
    if name in elab.scope.tables:
        return _lookup(elab, node, elab.scope.tables[name])
    if name in TRADE:
        return _trade(elab, node)
    if name in ("days_to_open", "days_to_close"):
        return _days_to(elab, node)
    if name == "next_day":
        return _next_day(elab, node)
    make = _MAKERS.get(name)
    if make is None:
        return _unknown_function(elab, node)
    args = [elab.expr(a) for a in node.args]
    if any(a.type == BROKEN for a in args):
        return elab.broken(node.span)
    return make(elab, node, args)


def _unknown_function(elab: Elaborator, node: nodes.Call) -> Core:
    name = node.function.text
    if name in elab.scope.broken:
        return elab.broken(node.span)
    if name in ("sum", "longest", "kept", "lost", "added", "argued"):
        forms = ", ".join(f"`{f}({a})`" for f, a in PLAN_FIGURES if f == name and a != "labour")
        return elab.report(catalogue.ARGUMENTS, node.span, function=name, wanted=f"write {forms}")
    if name in OLD_SPELLINGS:
        return elab.report(
            catalogue.UNKNOWN_FUNCTION, node.function.span, name=name, cure=f"write `{OLD_SPELLINGS[name]} (...)`"
        )
    if name in elab.scope.kinds:
        return elab.report(catalogue.WRONG_KIND_OF_NAME, node.function.span, name=name, kind=elab.scope.kinds[name])
    guess = nearest(name, [*FUNCTIONS, *TRADE, *elab.scope.tables])
    cure = (
        f"did you mean `{guess}`?" if guess else "functions are listed in the reference, and a table is used like one"
    )
    return elab.report(catalogue.UNKNOWN_FUNCTION, node.function.span, name=name, cure=cure)


def _wrong(elab: Elaborator, node: nodes.Call, wanted: str) -> Core:
    return elab.report(catalogue.ARGUMENTS, node.span, function=node.function.text, wanted=wanted)


def _reduce(elab: Elaborator, node: nodes.Call, args: list[Core]) -> Core:
    if len(args) != 1 or not isinstance(args[0].type, ListOf):
        return _wrong(elab, node, "give it one list of readings")
    how = node.function.text
    type_ = NUMBER if how == "count" else args[0].type.item
    return core.Reduce(type_, node.span, elab.term(), how, args[0])  # type: ignore[arg-type]  # one of four


def _count(elab: Elaborator, node: nodes.Call, args: list[Core]) -> Core:
    if args and all(isinstance(a.type, YesNo) for a in args):
        return core.Counted(NUMBER, node.span, elab.term(), tuple(args))
    if len(args) == 1 and isinstance(args[0].type, ListOf):
        return _reduce(elab, node, args)
    return _wrong(elab, node, "give it one list of readings, or several conditions")


def _to_cent(elab: Elaborator, node: nodes.Call, args: list[Core]) -> Core:
    if len(args) != 1 or args[0].type != MONEY:
        return _wrong(elab, node, "give it one amount of money")
    return _rounded(elab, node, "half", args[0], Decimal("0.01"))


def _rounded(elab: Elaborator, node: nodes.Call, how: str, operand: Core, step: Decimal) -> Core:
    if elab.valued(operand).type == BROKEN:
        return elab.broken(node.span)
    return core.Rounded(operand.type, node.span, elab.term(), how, operand, step)  # type: ignore[arg-type]  # one of three


def _stepped(elab: Elaborator, node: nodes.Call, args: list[Core]) -> Core:
    match args:
        case [operand, core.Const(value=Decimal() as step)] if isinstance(operand.type, Quantity) and step > 0:
            if not elab.agree(node.args[0], operand, node.args[1], args[1], "go together"):
                return elab.broken(node.span)
            return _rounded(elab, node, node.function.text.removeprefix("rounded_"), operand, step)
    return _wrong(elab, node, "give it a number and the step to round to, as in `rounded_down(x, $50)`")


def _power(elab: Elaborator, node: nodes.Call, args: list[Core]) -> Core:
    exponent = node.args[1].text if len(args) == 2 and isinstance(node.args[1], nodes.Literal) else ""
    whole = exponent.isdigit() and len(exponent) <= 2 and 1 <= int(exponent) <= _HIGHEST_POWER
    if not whole or args[0].type != NUMBER:
        wanted = f"give it a plain number and a whole power from 1 to {_HIGHEST_POWER}, as in `power(x, 10)`"
        return _wrong(elab, node, wanted)
    base = elab.valued(args[0])
    if not isinstance(base.type, Quantity):
        return elab.broken(node.span)
    if not elab.ranges.number(base).not_negative:
        zero = "0%" if base.type.percent else "0"
        return elab.report(catalogue.NEGATIVE_BASE, base.span, text=base.span.text, zero=zero)
    return elab.measured(core.Power(evolve(base.type, whole=False), node.span, elab.term(), base, int(exponent)))


def _date_part(elab: Elaborator, node: nodes.Call, args: list[Core]) -> Core:
    if len(args) != 1 or not isinstance(args[0].type, DateType):
        return _wrong(elab, node, "give it one date")
    return core.DatePart(NUMBER, node.span, elab.term(), node.function.text, args[0])  # type: ignore[arg-type]  # one of two


def _at_end(elab: Elaborator, node: nodes.Call, args: list[Core]) -> Core:
    if len(args) != 1 or not isinstance(args[0].type, Quantity):
        return _wrong(elab, node, "give it one number, amount or quantity")
    if elab.valued(args[0]).type == BROKEN:
        return elab.broken(node.span)
    return elab.at_end(args[0], node.function.text, node.span)  # type: ignore[arg-type]  # low or high


def _chance(elab: Elaborator, node: nodes.Call, args: list[Core]) -> Core:
    if len(args) != 1 or not isinstance(args[0].type, YesNo):
        return _wrong(elab, node, "give it one condition")
    return core.Chance(PERCENT, node.span, elab.term(), args[0])


def _percentile(elab: Elaborator, node: nodes.Call, args: list[Core]) -> Core:
    match args:
        case [share, what] if share.type == NUMBER and isinstance(what.type, Quantity):
            return core.Percentile(what.type, node.span, elab.term(), share, what)
    return _wrong(elab, node, "give it a percentage and a quantity, as in `percentile(10%, profit)`")


def _lookup(elab: Elaborator, node: nodes.Call, table: TableDef) -> Core:
    if len(node.args) != 1:
        return _wrong(elab, node, "give it one date" if table.by is None else f"give it `{table.by}`")
    key = elab.expr(node.args[0])
    if key.type == BROKEN:
        return elab.broken(node.span)
    if table.by is None and not isinstance(key.type, DateType):
        return _wrong(elab, node, "it is a table by month: give it a date")
    if table.by is not None and key.type != elab.scope.types.get(table.by):
        return _wrong(elab, node, f"it is a table by `{table.by}`: give it that")
    return core.Lookup(table.type, node.span, elab.term(), table.name, key)


def _days_to(elab: Elaborator, node: nodes.Call) -> Core:
    if len(node.args) != 2 or not isinstance(node.args[0], nodes.Name):
        return _wrong(elab, node, f"give it a season and a date, as in `{node.function.text}(top_down, today)`")
    season, day = season_named(elab, node.args[0]), elab.expr(node.args[1])
    if season is None or day.type == BROKEN:
        return elab.broken(node.span)
    if not isinstance(day.type, DateType):
        return elab.report(catalogue.NOT_A_DATE, day.span, text=day.span.text, found=day.type)
    edge: core.Edge = "open" if node.function.text == "days_to_open" else "close"
    return core.DaysTo(quantity(calendar="day"), node.span, elab.term(), edge, season, day)


def _next_day(elab: Elaborator, node: nodes.Call) -> Core:
    if len(node.args) != 2:
        return _wrong(elab, node, "give it a day of the year and a date, as in `next_day(Apr 1, today)`")
    wanted, day = _month_day(elab, node.args[0]), elab.expr(node.args[1])
    if BROKEN in (wanted.type, day.type):
        return elab.broken(node.span)
    if not isinstance(day.type, DateType):
        return elab.report(catalogue.NOT_A_DATE, day.span, text=day.span.text, found=day.type)
    return core.NextDay(DATE, node.span, elab.term(), wanted, day)


def _month_day(elab: Elaborator, node: nodes.Expr) -> Core:
    """A day of the year, written out or as a setting."""
    if isinstance(node, nodes.MonthDayLiteral):
        try:
            return elab.constant(MONTH_DAY, read_month_day(node.text), node.span)
        except Unreadable as error:
            return elab.report(error.kind, node.span, **error.words)
    found = elab.expr(node)
    if isinstance(found.type, MonthDayType) or found.type == BROKEN:
        return found
    return elab.report(catalogue.NOT_A_DAY_OF_YEAR, node.span, text=node.span.text, found=found.type)


def _trade(elab: Elaborator, node: nodes.Call) -> Core:
    name, signature = node.function.text, TRADE[node.function.text]
    wanted = tuple(signature.types(len(node.args)))
    args = [_argument(elab, node, a, t) for a, t in zip(node.args, wanted, strict=True)]
    if any(a.type == BROKEN for a in args):
        return elab.broken(node.span)
    turns, rest = divmod(len(args), len(signature.takes))
    as_many = not rest and turns >= signature.rounds and (turns == 1 or signature.rounds > 1)
    if not as_many or not all(_fits(a.type, t) for a, t in zip(args, wanted, strict=True)):
        return _wrong(elab, node, f"give it {signature.wanted}")
    if any(isinstance(a.type, Quantity) and elab.valued(a).type == BROKEN for a in args):
        return elab.broken(node.span)
    return core.TradeCall(signature.gives, node.span, elab.term(), name, tuple(args))


def _argument(elab: Elaborator, call: nodes.Call, node: nodes.Expr, wanted: Type) -> Core:
    """An argument; where a choice is wanted, one of its words or whatever is such a choice."""
    if not isinstance(wanted, Choice) or not isinstance(node, nodes.Name):
        return elab.expr(node)
    if node.text in wanted.options:
        return elab.constant(wanted, node.text, node.span)
    if node.text in elab.scope.kinds or node.text in SPECIAL:
        return elab.expr(node)
    guess = nearest(node.text, wanted.options)
    cure = f"did you mean `{guess}`?" if guess else "it takes " + ", ".join(f"`{o}`" for o in wanted.options)
    return elab.report(catalogue.NOT_AN_OPTION, node.span, text=node.text, function=call.function.text, cure=cure)


def _fits(found: Type, wanted: Type) -> bool:
    """Whether an argument of a function of the trade is of the type that it takes."""
    match found, wanted:
        case Choice(options), Choice(known):
            return set(options) <= set(known)
        case ListOf(item=item), ListOf(item=reading):
            return item == reading
        case Quantity(), Quantity():
            return found == wanted
    return type(found) is type(wanted)


def _plan_figure(node: nodes.Call) -> tuple[str, str] | None:
    if len(node.args) == 1 and isinstance(node.args[0], nodes.Name):
        return PLAN_FIGURES.get((node.function.text, node.args[0].text))
    return None


_MAKERS: dict[str, Callable[[Elaborator, nodes.Call, list[Core]], Core]] = {
    "lowest": _reduce,
    "highest": _reduce,
    "median": _reduce,
    "count": _count,
    "to_cent": _to_cent,
    "rounded_up": _stepped,
    "rounded_down": _stepped,
    "power": _power,
    "year": _date_part,
    "month": _date_part,
    "low": _at_end,
    "high": _at_end,
    "chance": _chance,
    "percentile": _percentile,
}
"""What makes the node of each function whose arguments are all expressions."""
