"""A judgment as plain data, for `--json`.

Money is a decimal string, exact to the cent; a value that is not there is null.
"""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from advisor.judging.derivation import Step, worded
from advisor.judging.judgment import Assumption, Curve, Flip, Judgment, Unknown, Worth
from advisor.language.program import Program, Question, SectionDef, ShowDef, Unanswered
from advisor.language.types import MONEY, Estimate, Quantity, Type, Value, decimal
from advisor.language.wording import format_value, in_unit
from advisor.readings.arithmetic import exact_arithmetic
from advisor.report.grid import valuation_data

__all__ = ["derivation_data", "judgment_data"]


def _amount(value: Decimal | None) -> str | None:
    return None if value is None else f"{value:.2f}"


def judgment_data(judgment: Judgment) -> dict[str, Any]:
    """Everything said of one car."""
    program, deal = judgment.program, judgment.deal
    return {
        "verdict": judgment.verdict,
        "settled": judgment.settled,
        "possible": list(judgment.possible),
        "on_the_plan": deal.verdict if deal else None,
        "car": judgment.answers.title,
        "on": judgment.answers.day.isoformat() if judgment.answers.day else None,
        "rules": {"title": program.title, "hash": program.digest},
        "currency": program.currency,
        "currency_code": program.currency_code,
        "asking": _amount(judgment.asking),
        "ceiling": _amount(judgment.ceiling),
        "binding": judgment.binding,
        "own_ceilings": {name: _amount(c) for name, c in judgment.own_ceilings.items()},
        "reasons": [
            {"name": r.name, "kind": r.kind, "because": r.because, "lesson": r.lesson, "place": str(r.span)}
            for r in judgment.reasons
        ],
        "assuming": [_assumption(a, judgment) for a in judgment.assuming],
        "unknown": [_unknown(u, judgment) for u in judgment.unknown],
        "cautions": [{"name": r.name, "because": r.because, "sure": sure} for r, sure in judgment.cautions],
        "repairs": _repairs(judgment),
        "repairs_total": _repairs_total(judgment),
        "at_the_ceiling": _at_the_ceiling(judgment),
        "every_plan_tried": deal.bargain.proved if deal else None,
        "fix_or_leave": [_worth(w) for w in judgment.worth],
        "arguments": [
            {"name": a.fault.name, "text": a.fault.text, "quote": _amount(a.quote), "denied": a.denied}
            for a in judgment.arguments
        ],
        "show": [_show(show, value, program) for show, value in judgment.shows],
        "would_change_it": [_flip(f, judgment) for f in judgment.flips],
        "curves": [_curve(c, judgment) for c in judgment.curves],
        "comparables": valuation_data(judgment.market) if judgment.market else None,
        "outcomes": {"drawn": judgment.draws[0], "seed": judgment.draws[1]} if judgment.draws else None,
        "without_answer": [
            {"name": q.name, "question": q.text, "answer": _how(_cell(q, judgment)), "minutes": str(q.minutes)}
            for q in program.questions.values()
            if judgment.answers.known(q.name) is None
        ],
        "notes": list(judgment.answers.notes),
    }


def _show(show: ShowDef, value: Any, program: Program) -> dict[str, Any]:
    """A line of the report: its value in its unit, percentages as shares of one, and as people write it."""
    type_ = program.type_of(show.name) or MONEY
    return {
        "name": show.name,
        "text": show.text,
        "value": _plain(value, type_),
        "unit": type_.unit.replace("$", program.currency) or None if isinstance(type_, Quantity) else None,
        "shown": _words(value, type_, program.currency),
        "section": _section(show.section),
    }


def _plain(value: Any, type_: Type) -> Any:
    """A value as JSON has it; what measures something as a number of its unit, to a millionth."""
    if isinstance(value, Estimate):
        value = value.planned
    if isinstance(value, Decimal) and isinstance(type_, Quantity) and type_ != MONEY:
        return f"{decimal(in_unit(value, type_)):.6f}".rstrip("0").rstrip(".")
    return str(value) if value is not None and not isinstance(value, bool) else value


def _words(value: Any, type_: Type, currency: str) -> str:
    return worded(value.planned if isinstance(value, Estimate) else value, type_, currency)


def _how(cell: Unanswered | None) -> str:
    return cell.how if cell else "not asked"


def _said(value: Value | None, question: Question, judgment: Judgment) -> str | None:
    return None if value is None else format_value(value, question.type, judgment.program.currency)


def _assumption(item: Assumption, judgment: Judgment) -> dict[str, Any]:
    low, high = item.ceilings
    return {
        "name": item.question.name,
        "question": item.question.text,
        "answer": _how(item.cell),
        "assumed": _said(item.value, item.question, judgment),
        "at_its_chance": item.value is None,
        "usually": [{"answer": _said(v, item.question, judgment), "share": str(s)} for v, s in item.question.usually],
        "ceiling_low": _amount(low),
        "ceiling_high": _amount(high),
        "leads_to": [
            {"answer": _said(t.value, item.question, judgment), "ceiling": _amount(t.ceiling), "verdict": t.verdict}
            for t in item.trials
        ],
    }


def _unknown(item: Unknown, judgment: Judgment) -> dict[str, Any]:
    trials = (t for a in judgment.assuming if a.question is item.question for t in a.trials)
    ceilings: dict[Value, Decimal | None] = {t.value: t.ceiling for t in trials}
    ceilings |= dict(item.prices)
    return {
        "name": item.question.name,
        "question": item.question.text,
        "answer": _how(item.cell),
        "minutes": str(item.question.minutes),
        "planned": item.planned,
        "leads_to": [
            {
                "answer": _said(value, item.question, judgment),
                "verdicts": list(verdicts),
                "ceiling": _amount(ceilings.get(value)),
            }
            for value, verdicts in item.leads_to
        ],
    }


def _cell(question: Question, judgment: Judgment) -> Unanswered | None:
    cell = judgment.answers.values.get(question.name)
    return cell if isinstance(cell, Unanswered) else None


def _section(section: SectionDef | None) -> dict[str, Any] | None:
    if section is None:
        return None
    return {"title": section.title, "page": section.page, "leads": section.leads, "drawn": section.drawn}


def _worth(item: Worth) -> dict[str, Any]:
    return {
        "name": item.held.fault.name,
        "do": "fix" if item.fixed else "leave",
        "gain": _amount(item.gain),
        "cost": _amount(item.cost),
        "hours": f"{item.hours / 60:.2f}",
        "days": f"{item.days:.1f}",
    }


def _flip(item: Flip, judgment: Judgment) -> dict[str, Any]:
    return {
        "changes": [
            {"name": c.question.name, "answer": _said(c.value, c.question, judgment), "how": c.how or None}
            for c in item.changes
        ],
        "verdict": item.verdict,
        "ceiling": _amount(item.ceiling),
    }


def _curve(item: Curve, judgment: Judgment) -> dict[str, Any]:
    program, curve = judgment.program, item.definition
    setting = program.settings[curve.setting]
    return {
        "title": curve.title,
        "setting": curve.setting,
        "best": item.best,
        "points": [
            {
                "value": _words(p.value, setting.type, program.currency),
                "shown": {
                    s.name: _words(v, program.type_of(s.name) or MONEY, program.currency)
                    for s, v in zip(curve.shows, p.shown, strict=True)
                },
            }
            for p in item.points
        ],
    }


def _repairs_total(judgment: Judgment) -> dict[str, Any] | None:
    """What the plan's repairs come to, each at its chance, before overruns, first service and small stuff."""
    deal = judgment.deal
    if deal is None:
        return None
    parts, shop, labor, *_ = deal.bargain.repairs.totals(deal.plan)
    return {"parts": _amount(parts[1]), "shop": _amount(shop[1]), "hours": f"{labor[1] / 60:.2f}"}


def _at_the_ceiling(judgment: Judgment) -> dict[str, Any] | None:
    """What would be fixed at the highest price, which may be other repairs than at the asking price, and what is left
    then."""
    deal = judgment.deal
    if deal is None or deal.ceiling.offer is None:
        return None
    with exact_arithmetic():
        profit = deal.bargain.profit(deal.ceiling.offer, deal.ceiling.plan)
    return {
        "fix": [h.fault.name for h in deal.bargain.repairs.fixed(deal.ceiling.plan)],
        "profit": _amount(profit) if "profit" in judgment.program.lets else None,
    }


def _repairs(judgment: Judgment) -> list[dict[str, Any]]:
    deal = judgment.deal
    if deal is None:
        return []
    fixed = {h.index for h in deal.bargain.repairs.fixed(deal.plan)}
    return [
        {
            "name": h.fault.name,
            "do": "fix" if h.index in fixed else "leave",
            "must": h.fault.must,
            "chance": str(h.chance.normalize()),
            "parts": _amount(h.parts[1]),
            "shop": _amount(h.shop[1]),
            "hours": f"{h.labor[1] / 60:.2f}",
            "wait_days": f"{h.wait[1] / 12:.1f}",
        }
        for h in deal.bargain.repairs.held
    ]


def derivation_data(steps: tuple[Step, ...]) -> list[dict[str, Any]]:
    """A derivation as data."""
    return [
        {
            "name": s.name,
            "kind": s.kind,
            "value": s.value,
            "formula": s.formula,
            "uses": [{"name": n, "value": v} for n, v in s.uses],
            "note": s.note,
            "place": s.place,
        }
        for s in steps
    ]
