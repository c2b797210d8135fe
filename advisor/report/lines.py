"""A judgment as plain lines, for any terminal from 40 columns up.

In: a `Judgment` or a derivation, and the width. Out: text. The verdict comes first, with the one thing that
decides; then the price, the reasons, what was assumed, what is unknown, the repairs, the figures, the cautions.
"""

from __future__ import annotations

import textwrap
from decimal import ROUND_FLOOR, Decimal

from attrs import define, field

from advisor.judging.derivation import Step, worded
from advisor.judging.judgment import Assumption, Judgment, Unknown
from advisor.language.types import MONEY, PERCENT, Estimate, Quantity, Value, quantity
from advisor.language.wording import format_value
from advisor.report.clean import clean

__all__ = ["curb_price", "derivation_lines", "judgment_lines"]

_WORDS = {"buy": "BUY", "renegotiate": "RENEGOTIATE", "pass": "PASS", "unsettled": "UNSETTLED"}
_HOURS = quantity(labor="h")
_SAID = {"unsure": "could not tell", "refused": "not allowed to look", "": "not asked"}


def curb_price(value: Decimal) -> Decimal:
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


def judgment_lines(judgment: Judgment, width: int = 80) -> str:
    """The report of one car."""
    page = _Page(width)
    day = judgment.answers.day
    page.add(judgment.answers.title or "A car")
    page.add(f"{day.isoformat() if day else 'no day'}, by {judgment.program.title} ({judgment.program.digest[:8]})")
    page.lines.append("")
    page.add(_headline(judgment), hang=0)
    _standing(page, judgment)
    _price(page, judgment)
    _reasons(page, judgment)
    _unknown(page, judgment)
    _assumed(page, judgment)
    _repairs(page, judgment)
    _shows(page, judgment)
    _cautions(page, judgment)
    _notes(page, judgment)
    return "\n".join(page.lines) + "\n"


def _money(value: Decimal | None, judgment: Judgment) -> str:
    return worded(value, MONEY, judgment.program.currency)


def _headline(judgment: Judgment) -> str:
    word = _WORDS[judgment.verdict]
    ceiling, asking = judgment.ceiling, judgment.asking
    if judgment.verdict == "unsettled":
        first = next((u for u in judgment.unknown if not u.planned), None)
        return f"{word}: find out first: {first.question.text}" if first else f"{word}."
    if judgment.verdict == "pass":
        return f"{word}. {_deciding(judgment)}"
    shown = f"{judgment.program.currency}{curb_price(ceiling):,.0f}" if ceiling is not None else "no price"
    asked = f"; asking {_money(asking, judgment)}" if asking is not None else ""
    if judgment.verdict == "buy":
        return f"{word}, and pay no more than {shown}{asked}."
    return f"{word}: worth it up to {shown}{asked}."


def _deciding(judgment: Judgment) -> str:
    """The one reason to name first: a deal-breaker, else the rule that allows least."""
    reasons = {r.name: r for r in judgment.reasons}
    for rule in judgment.reasons:
        if rule.kind == "refuse":
            return rule.because
    if judgment.binding in reasons:
        return reasons[judgment.binding].because
    return next((r.because for r in judgment.reasons), "No price that the rules allow is near what is asked.")


def _standing(page: _Page, judgment: Judgment) -> None:
    """Whether the verdict is certain, and on what it rests if not."""
    if judgment.settled:
        page.add("Settled: no further answer can change this verdict.")
        return
    count = len(judgment.assuming)
    if judgment.verdict != "unsettled":
        page.add(f"On the plan: {count} {'answer is' if count == 1 else 'answers are'} assumed (below).")
    page.add(f"Whatever comes, still possible: {', '.join(judgment.possible)}.")


def _price(page: _Page, judgment: Judgment) -> None:
    if judgment.deal is None or not judgment.program.of_kind("require"):
        return
    ceiling = judgment.ceiling
    page.head("Price")
    if ceiling is None:
        page.add("No price meets every rule, not even nothing.", 2)
    else:
        page.pair("the highest the rules allow", _money(ceiling, judgment))
    if judgment.asking is not None:
        page.pair("asking", _money(judgment.asking, judgment))
    if judgment.binding:
        rule = judgment.program.rules[judgment.binding]
        page.add(f"held down by {rule.name}: {rule.because}", 2)
    elif ceiling is not None:
        page.add("held down by the setting highest_offer alone", 2)
    if not judgment.deal.bargain.proved:
        page.add("(so many repairs that not every plan was tried)", 2)


def _reasons(page: _Page, judgment: Judgment) -> None:
    if not judgment.reasons:
        return
    page.head("Why")
    for rule in judgment.reasons:
        own = judgment.own_ceilings.get(rule.name)
        bound = "" if rule.kind == "refuse" else f" (allows {_money(own, judgment) if own is not None else 'no price'})"
        page.add(f"- {rule.name}{bound}: {rule.because}", 2)
        if rule.lesson:
            page.add(rule.lesson, 4)


def _said(item: Assumption | Unknown) -> str:
    return _SAID[item.cell.how if item.cell else ""]


def _value(value: Value | None, item: Assumption | Unknown, judgment: Judgment) -> str:
    return format_value(value, item.question.type, judgment.program.currency)


def _unknown(page: _Page, judgment: Judgment) -> None:
    """What would decide it, first what has no plan, then what could turn the verdict."""
    shown = [u for u in judgment.unknown if u.leads_to or not u.planned]
    if not shown:
        return
    page.head("What would decide it")
    for item in shown:
        page.add(f"- {item.question.text} ({_said(item)})", 2)
        if not item.planned and isinstance(item.question.type, Quantity):
            continue  # the ends of its range tell nothing that a figure would not
        for value, verdicts in item.leads_to:
            page.add(f"{_value(value, item, judgment)}: {' or '.join(verdicts)}", 6)


def _assumed(page: _Page, judgment: Judgment) -> None:
    if not judgment.assuming:
        return
    page.head("Not checked, and assumed")
    for item in judgment.assuming:
        if item.value is None:
            shares = ", ".join(
                f"{_value(v, item, judgment)} {format_value(s, PERCENT, '$')}" for v, s in item.question.usually
            )
            planned = f"usually {shares}"
        else:
            planned = _value(item.value, item, judgment)
        page.add(f"- {item.question.text} ({_said(item)}): {planned}", 2)
        low, high = item.ceilings
        if low != high:
            page.add(
                f"its answers could put the highest price between {_money(low, judgment)} and {_money(high, judgment)}",
                4,
            )


def _repairs(page: _Page, judgment: Judgment) -> None:
    deal = judgment.deal
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
        page.pair(label, f"{judgment.program.currency}{cost:,.0f}, {hours}")


def _shows(page: _Page, judgment: Judgment) -> None:
    if not judgment.shows:
        return
    page.head("Figures, at the asking price")
    for show, value in judgment.shows:
        type_ = judgment.program.type_of(show.name) or MONEY
        planned = value.planned if isinstance(value, Estimate) else value
        page.pair(show.text, worded(planned, type_, judgment.program.currency))


def _cautions(page: _Page, judgment: Judgment) -> None:
    if judgment.cautions:
        page.head("Caution")
        for rule, sure in judgment.cautions:
            page.add(f"- {rule.because or rule.name}{'' if sure else ' (if it is as assumed)'}", 2)
    page.lines.append("")
    page.add("This judges what was looked at and nothing else; it never says that a car is safe.", hang=0)


def _notes(page: _Page, judgment: Judgment) -> None:
    if judgment.answers.notes:
        page.head("Notes")
        for note in judgment.answers.notes:
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
