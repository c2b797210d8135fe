"""The parts of the report about the price: the most to pay, what holds it down, what would be right under a pass.

In: a `Judgment` and the writer of its figures. Out: sections, and sentences for the verdict.
"""

from __future__ import annotations

from decimal import ROUND_FLOOR, Decimal

from attrs import evolve

from advisor.judging.judgment import Judgment
from advisor.language import core
from advisor.language.program import Program, Question, Rule
from advisor.language.types import NUMBER, Type
from advisor.readings.arithmetic import exact_arithmetic
from advisor.report import dealing
from advisor.report.document import Pair, Pairs, Paragraph, Section
from advisor.report.figures import Figures
from advisor.trade.curb import curb_price

__all__ = ["holding_down", "most", "not_verified", "prices", "right_price"]

_FEW = 3
"""So many repairs are named that are decided otherwise at the stop price."""
_NAMED = 8
"""So many unanswered questions are named beside a rule that counts them."""


def most(judgment: Judgment) -> Decimal | None:
    """The ceiling as it is shown: rounded down as prices are at the car, or to the whole dollar where the asking price
    lies between the two."""
    ceiling, asking = judgment.ceiling, judgment.asking
    if ceiling is None:
        return None
    shown = curb_price(ceiling)
    between = asking is not None and shown < asking <= ceiling
    return ceiling.to_integral_value(rounding=ROUND_FLOOR) if between else shown


def holding_down(judgment: Judgment, rule: Rule | None, figures: Figures) -> list[str]:
    """What keeps the most to pay from being more."""
    if rule:
        own = judgment.own_ceilings.get(rule.name)
        bound = "" if own is None else f" ({figures.whole(own.to_integral_value(rounding=ROUND_FLOOR))})"
        return [f"What holds the price down{bound}: {rule.because or rule.name.replace('_', ' ')}"]
    if judgment.ceiling is not None and judgment.program.of_kind("require"):
        return ["Only the setting highest_offer holds the price down."]
    return []


# ---- the prices to name ----------------------------------------------------------------------------------------------


def prices(judgment: Judgment, figures: Figures) -> list[Section]:
    """The prices to name, and how the repairs at the highest of them differ from those at the asking price."""
    asking = [Pair("Asking", figures.whole(judgment.asking))] if judgment.asking is not None else []
    if judgment.deal is None:
        return [Section("", (Pairs(tuple(asking)),))] if asking else []
    if judgment.program.advice:
        return dealing.leading(judgment, figures, None)
    if judgment.hopeless:
        return [Section("", (Paragraph(right_price(judgment, figures)),))]
    stop = most(judgment)
    leading = dealing.leading(judgment, figures, stop)
    if leading:
        first, *rest = leading
        found = [evolve(first, blocks=(*first.blocks, Pairs(tuple(asking)))) if asking else first, *rest]
    else:
        rows = [Pair("Stop at", figures.whole(stop))] if stop is not None else []
        found = [Section("Price", (Pairs((*rows, *asking)),))] if rows or asking else []
    other = _other_plan(judgment, figures, stop)
    if found and other:
        found[-1] = evolve(found[-1], blocks=(*found[-1].blocks, Paragraph(other)))
    return found


def _other_plan(judgment: Judgment, figures: Figures, stop: Decimal | None) -> str:
    """What is fixed and left otherwise at the stop price than at the asking price, and what it leaves."""
    deal = judgment.deal
    if deal is None or stop is None or deal.ceiling.plan == deal.plan:
        return ""
    at_stop, at_asking = (deal.bargain.repairs.fixed(p) for p in (deal.ceiling.plan, deal.plan))
    left = [dealing.named(h.fault) for h in at_asking if h not in at_stop]
    added = [dealing.named(h.fault) for h in at_stop if h not in at_asking]
    done = [f"leave {_few(left)}"] if left else []
    done += [f"fix {_few(added)}"] if added else []
    what = "other things are fixed" if added and left else "more is fixed" if added else "less is fixed"
    text = f"At the stop price {what}: {'; '.join(done)}."
    if "profit" not in judgment.program.lets:
        return text
    with exact_arithmetic():
        profit = deal.bargain.profit(stop, deal.ceiling.plan)
    return f"{text} {figures.whole(profit)} is left."


def _few(names: list[str]) -> str:
    rest = len(names) - _FEW
    return f"{', '.join(names[:_FEW])}{f' and {rest} more' if rest > 0 else ''}"


# ---- under a pass ----------------------------------------------------------------------------------------------------


def right_price(judgment: Judgment, figures: Figures) -> str:
    """The price at which it would not have been a pass, or that no price would have changed that."""
    asked = f" Asking is {figures.whole(judgment.asking)}." if judgment.asking is not None else ""
    planned = "" if judgment.settled else "As planned, "
    if judgment.ceiling is not None:
        text = f"it would have been right at {figures.price(judgment.ceiling)} or less."
    else:
        text = _no_price(judgment, figures)
    return f"{planned}{text if planned else text[0].upper() + text[1:]}{asked}"


def _no_price(judgment: Judgment, figures: Figures) -> str:
    """Why there is no price: one of the rules would want less than nothing, or does not look at the price at all."""
    program = judgment.program
    never = [program.rules[n] for n, c in judgment.own_ceilings.items() if c is None]
    others = [c for c in judgment.own_ceilings.values() if c is not None]
    if not never or any(_stands_on(program, r, "offer") for r in never):
        return "there is no price at which it would have been right, not even nothing."
    apart = "apart from it" if len(never) == 1 else "apart from these rules"
    highest = judgment.deal.bargain.highest if judgment.deal else None
    if not others or min(others) == highest:
        return "no price changes that."
    rest = "the rules" if len(never) == 1 else "the others"
    return f"no price changes that; {apart}, {rest} would allow up to {figures.price(min(others))}."


def _stands_on(program: Program, rule: Rule, special: str, through: Type | None = None) -> bool:
    """Whether a rule stands on `offer` or a counter, through named quantities; with `through`, those of a type."""
    pending, seen = [rule.condition], set()
    while pending:
        for part in core.walk(pending.pop()):
            if isinstance(part, core.Special) and part.name == special:
                return True
            let = program.lets.get(part.name) if isinstance(part, core.Ref) else None
            if let is not None and let.name not in seen and through in (None, let.type):
                seen.add(let.name)
                pending += [v for v in (let.value, let.low, let.high) if v is not None]
    return False


def not_verified(judgment: Judgment, rule: Rule | None) -> tuple[str, ...]:
    """For a rule that counts the grave questions without an answer: which they are."""
    # Through money everything stands on what was not looked at: only bare numbers are followed.
    if rule is None or not _stands_on(judgment.program, rule, "unverified_majors", NUMBER):
        return ()
    counted = {a.question.name for a in judgment.assuming} | {u.question.name for u in judgment.unknown}
    found: list[Question] = [q for n, q in judgment.program.questions.items() if q.major and n in counted]
    if not found:
        return ()
    rest = len(found) - _NAMED
    more = f" And {rest} more." if rest > 0 else ""
    return (f"Not verified: {' '.join(q.text for q in found[:_NAMED])}{more}",)
