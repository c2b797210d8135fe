"""A judgement as plain lines, for any terminal from 40 columns up.

In: a `Judgement` or a derivation, and the width. Out: text. The verdict comes first, with the one thing that
decides; then the price, the reasons, what was assumed, what is unknown, the repairs, the figures, the cautions.
"""

from __future__ import annotations

import textwrap
from decimal import ROUND_FLOOR, Decimal

from attrs import define, field

from advisor.judging.derivation import Step, worded
from advisor.judging.judgement import Assumption, Judgement, Unknown
from advisor.language.types import MONEY, PERCENT, Estimate, Quantity, Value, quantity
from advisor.language.wording import format_value
from advisor.report.clean import clean

__all__ = ["derivation_lines", "judgement_lines", "kerb_price"]

_WORDS = {"buy": "BUY", "renegotiate": "RENEGOTIATE", "pass": "PASS", "unsettled": "UNSETTLED"}
_HOURS = quantity(labor="h")
_SAID = {"unsure": "could not tell", "refused": "not allowed to look", "": "not asked"}


def kerb_price(value: Decimal) -> Decimal:
    """A ceiling as it is shown at the car: rounded down to 50, or to 25 under 1,500."""
    step = Decimal(25) if value < 1500 else Decimal(50)
    return (value / step).to_integral_value(rounding=ROUND_FLOOR) * step


@define
class _Page:
    width: int
    lines: list[str] = field(factory=list)

    def add(self, text: str, indent: int = 0, hang: int = 2) -> None:
        """Wrapped text."""
        room = max(self.width, 20)
        self.lines += textwrap.wrap(
            clean(text),
            room,
            initial_indent=" " * indent,
            subsequent_indent=" " * (indent + hang),
            break_on_hyphens=False,
        ) or [""]

    def head(self, text: str) -> None:
        """A heading after an empty line."""
        self.lines += ["", clean(text)]

    def pair(self, label: str, value: str, indent: int = 2) -> None:
        """A label and a value on one line if they fit, else below each other."""
        label, value = clean(label), clean(value)
        room = self.width - indent
        if len(label) + len(value) + 2 <= room:
            self.lines.append(" " * indent + label + " " + "." * (room - len(label) - len(value) - 2) + " " + value)
        else:
            self.add(label, indent)
            self.add(value, indent + 2)


def judgement_lines(judgement: Judgement, width: int = 80) -> str:
    """The report of one car."""
    page = _Page(width)
    day = judgement.answers.day
    page.add(judgement.answers.title or "A car")
    page.add(f"{day.isoformat() if day else 'no day'}, by {judgement.program.title} ({judgement.program.digest[:8]})")
    page.lines.append("")
    page.add(_headline(judgement), hang=0)
    _standing(page, judgement)
    _price(page, judgement)
    _reasons(page, judgement)
    _unknown(page, judgement)
    _assumed(page, judgement)
    _repairs(page, judgement)
    _shows(page, judgement)
    _cautions(page, judgement)
    _notes(page, judgement)
    return "\n".join(page.lines) + "\n"


def _money(value: Decimal | None, judgement: Judgement) -> str:
    return worded(value, MONEY, judgement.program.currency)


def _headline(judgement: Judgement) -> str:
    word = _WORDS[judgement.verdict]
    ceiling, asking = judgement.ceiling, judgement.asking
    if judgement.verdict == "unsettled":
        first = next((u for u in judgement.unknown if not u.planned), None)
        return f"{word}: find out first: {first.question.text}" if first else f"{word}."
    if judgement.verdict == "pass":
        return f"{word}. {_deciding(judgement)}"
    shown = f"{judgement.program.currency}{kerb_price(ceiling):,.0f}" if ceiling is not None else "no price"
    asked = f"; asking {_money(asking, judgement)}" if asking is not None else ""
    if judgement.verdict == "buy":
        return f"{word}, and pay no more than {shown}{asked}."
    return f"{word}: worth it up to {shown}{asked}."


def _deciding(judgement: Judgement) -> str:
    """The one reason to name first: a deal-breaker, else the rule that allows least."""
    reasons = {r.name: r for r in judgement.reasons}
    for rule in judgement.reasons:
        if rule.kind == "refuse":
            return rule.because
    if judgement.binding in reasons:
        return reasons[judgement.binding].because
    return next((r.because for r in judgement.reasons), "No price that the rules allow is near what is asked.")


def _standing(page: _Page, judgement: Judgement) -> None:
    """Whether the verdict is certain, and on what it rests if not."""
    if judgement.settled:
        page.add("Settled: no further answer can change this verdict.")
        return
    count = len(judgement.assuming)
    if judgement.verdict != "unsettled":
        page.add(f"On the plan: {count} {'answer is' if count == 1 else 'answers are'} assumed (below).")
    page.add(f"Whatever comes, still possible: {', '.join(judgement.possible)}.")


def _price(page: _Page, judgement: Judgement) -> None:
    if judgement.deal is None or not judgement.program.of_kind("require"):
        return
    ceiling = judgement.ceiling
    page.head("Price")
    if ceiling is None:
        page.add("No price meets every rule, not even nothing.", 2)
    else:
        page.pair("the highest the rules allow", _money(ceiling, judgement))
    if judgement.asking is not None:
        page.pair("asking", _money(judgement.asking, judgement))
    if judgement.binding:
        rule = judgement.program.rules[judgement.binding]
        page.add(f"held down by {rule.name}: {rule.because}", 2)
    elif ceiling is not None:
        page.add("held down by the setting highest_offer alone", 2)
    if not judgement.deal.bargain.proved:
        page.add("(so many repairs that not every plan was tried)", 2)


def _reasons(page: _Page, judgement: Judgement) -> None:
    if not judgement.reasons:
        return
    page.head("Why")
    for rule in judgement.reasons:
        own = judgement.own_ceilings.get(rule.name)
        bound = (
            "" if rule.kind == "refuse" else f" (allows {_money(own, judgement) if own is not None else 'no price'})"
        )
        page.add(f"- {rule.name}{bound}: {rule.because}", 2)
        if rule.lesson:
            page.add(rule.lesson, 4)


def _said(item: Assumption | Unknown) -> str:
    return _SAID[item.cell.how if item.cell else ""]


def _value(value: Value | None, item: Assumption | Unknown, judgement: Judgement) -> str:
    return format_value(value, item.question.type, judgement.program.currency)


def _unknown(page: _Page, judgement: Judgement) -> None:
    """What would decide it, first what has no plan, then what could turn the verdict."""
    shown = [u for u in judgement.unknown if u.leads_to or not u.planned]
    if not shown:
        return
    page.head("What would decide it")
    for item in shown:
        page.add(f"- {item.question.text} ({_said(item)})", 2)
        if not item.planned and isinstance(item.question.type, Quantity):
            continue  # the ends of its range tell nothing that a figure would not
        for value, verdicts in item.leads_to:
            page.add(f"{_value(value, item, judgement)}: {' or '.join(verdicts)}", 6)


def _assumed(page: _Page, judgement: Judgement) -> None:
    if not judgement.assuming:
        return
    page.head("Not checked, and assumed")
    for item in judgement.assuming:
        if item.value is None:
            shares = ", ".join(
                f"{_value(v, item, judgement)} {format_value(s, PERCENT, '$')}" for v, s in item.question.usually
            )
            planned = f"usually {shares}"
        else:
            planned = _value(item.value, item, judgement)
        page.add(f"- {item.question.text} ({_said(item)}): {planned}", 2)
        low, high = item.ceilings
        if low != high:
            page.add(
                f"its answers could put the highest price between {_money(low, judgement)}"
                f" and {_money(high, judgement)}",
                4,
            )


def _repairs(page: _Page, judgement: Judgement) -> None:
    deal = judgement.deal
    if deal is None or not deal.bargain.repairs.held:
        return
    fixed = {h.index for h in deal.bargain.repairs.fixed(deal.plan)}
    page.head("Repairs")
    for held in deal.bargain.repairs.held:
        what = "must fix" if held.fault.must else "fix" if held.index in fixed else "leave"
        label = f"{what}: {held.fault.text or held.fault.name.replace('_', ' ')}"
        if held.chance < 1:
            label += f" (a chance of {format_value(held.chance, PERCENT, '$')})"
        cost = held.parts[1] + held.shop[1]
        hours = format_value(held.labor[1], _HOURS, "$", places=1)
        page.pair(label, f"{judgement.program.currency}{cost:,.0f}, {hours}")


def _shows(page: _Page, judgement: Judgement) -> None:
    if not judgement.shows:
        return
    page.head("Figures, at the asking price")
    for show, value in judgement.shows:
        type_ = judgement.program.type_of(show.name) or MONEY
        planned = value.planned if isinstance(value, Estimate) else value
        page.pair(show.text, worded(planned, type_, judgement.program.currency))


def _cautions(page: _Page, judgement: Judgement) -> None:
    if judgement.cautions:
        page.head("Caution")
        for rule, sure in judgement.cautions:
            page.add(f"- {rule.because or rule.name}{'' if sure else ' (if it is as assumed)'}", 2)
    page.lines.append("")
    page.add("This judges what was looked at and nothing else; it never says that a car is safe.", hang=0)


def _notes(page: _Page, judgement: Judgement) -> None:
    if judgement.answers.notes:
        page.head("Notes")
        for note in judgement.answers.notes:
            page.add(f"- {note}", 2)


def derivation_lines(steps: tuple[Step, ...], width: int = 80) -> str:
    """A derivation, one step after another."""
    page = _Page(width)
    for i, step in enumerate(steps):
        if i:
            page.lines.append("")
        page.add(f"{step.name}: {step.value}", hang=4)
        if step.formula:
            page.add(f"= {step.formula}" if step.kind == "let" else step.formula, 4)
        for name, value in step.uses:
            page.add(f"{name} = {value}" if step.name != "plan" else f"{name}: {value}", 8)
        if step.note:
            page.add(step.note, 4)
        if step.place:
            page.add(f"[{step.kind}, {step.place}]", 4)
    return "\n".join(page.lines) + "\n"
