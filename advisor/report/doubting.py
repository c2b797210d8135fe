"""The parts of the report about what is not known: what was not checked, what would turn the verdict, cautions.

In: a `Judgment` and the writer of its figures. Out: sections.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from decimal import ROUND_CEILING, Decimal
from typing import Literal

from advisor.judging.judgment import Assumption, Change, Flip, Judgment, Unknown
from advisor.language.core import Const
from advisor.language.program import Question
from advisor.language.types import PERCENT, Quantity, Value
from advisor.language.wording import format_value
from advisor.report.document import Bullet, Bullets, Paragraph, Section
from advisor.report.figures import Figures, how_open

__all__ = [
    "cautions",
    "changes",
    "closing",
    "count_of_open",
    "leads",
    "listed",
    "minutes",
    "not_asked_here",
    "not_checked",
    "open_questions",
]

_FEW = 3
"""So many cautions stand on page one of a pass."""
_MOST = 6
"""So many of what was not checked stand on page one, the costliest first."""


def minutes(question: Question) -> str:
    """How long a check takes, in whole minutes."""
    whole = question.minutes.to_integral_value(rounding=ROUND_CEILING)
    return f"{whole:f} min"


def listed(words: Sequence[str]) -> str:
    """Verdicts as one says which of them it may be."""
    words = [w.replace("_", " ") for w in words]
    return " or ".join(filter(None, (", ".join(words[:-1]), words[-1])))


def _said(value: Value | None, question: Question, judgment: Judgment) -> str:
    text = format_value(value, question.type, judgment.program.currency)
    return judgment.program.said(text.replace("_", " ")) if isinstance(value, str) else text


# ---- what was not checked ------------------------------------------------------------------------------------------


def not_checked(judgment: Judgment, figures: Figures, told: Collection[str]) -> list[Section]:
    """What was planned with unseen, and what each could cost; on page one the worst of it that was not `told` yet."""
    told = {a.question.name for a in judgment.assuming} & set(told)
    items = sorted(_moving(judgment), key=lambda a: _loss(a, judgment), reverse=True)
    idle = sum(1 for a in judgment.assuming if a.trials) - len(items)
    if not items:
        return [Section("Not checked", (_idle(idle, "", judgment),))] if idle else []
    every = [
        Bullet(
            f"{_what(a)}: planned as {_planned(a, judgment)}",
            (*_at_worst(a, judgment, figures), "; ".join(_trials(a, judgment, figures))),
        )
        for a in items
    ]
    found = [Section("Not checked, and taken as planned", (Bullets(tuple(every)),), 2)]
    costly = [
        (a, text) for a in items if a.question.name not in told and (text := tuple(_at_worst(a, judgment, figures)))
    ]
    rest = len(items) - len(told) - len(costly[:_MOST])
    blocks: list[Bullets | Paragraph] = []
    if costly:
        blocks.append(Bullets(tuple(Bullet(_what(a), text) for a, text in costly[:_MOST])))
    if rest > 0:
        blocks.append(Paragraph(f"{rest} {'more, at less or no cost' if costly else 'at no cost'}: page two."))
    blocks += [_idle(idle, "more ", judgment)] if idle else []
    if blocks:
        title = f"{'Also not' if told else 'Not'} checked{', and what it could cost' if costly or rest > 0 else ''}"
        found.insert(0, Section(title, tuple(blocks)))
    return found


def _idle(count: int, more: str, judgment: Judgment) -> Paragraph:
    """How much was planned with unseen that decides nothing by itself."""
    nothing = "no verdict" if judgment.program.advice else "neither price nor verdict"
    things, does = ("thing", "changes") if count == 1 else ("things", "change")
    return Paragraph(f"{count} {more}{things}, which alone {does} {nothing}: page two.")


def _moving(judgment: Judgment) -> list[Assumption]:
    """What was planned with unseen, and whose answers lead to different ends; the rest is only listed as open."""
    return [a for a in judgment.assuming if len({(t.refused, t.ceiling, t.verdict) for t in a.trials}) > 1]


def _what(item: Assumption) -> str:
    return f"{item.question.text} ({how_open(item.cell)})"


def _planned(item: Assumption, judgment: Judgment) -> str:
    if item.value is not None:
        return _said(item.value, item.question, judgment)
    shares = (f"{_said(v, item.question, judgment)} {format_value(s, PERCENT, '$')}" for v, s in item.question.usually)
    return f"usual: {', '.join(shares)}"


def _loss(item: Assumption, judgment: Judgment) -> Decimal:
    """What the worst answer takes off the highest price; without bound where it ends the deal."""
    worst = min(item.trials, key=item.worth)
    if worst.refused or (worst.ceiling is None and judgment.ceiling is not None):
        return Decimal("Infinity")
    if worst.ceiling is None or judgment.ceiling is None:
        return Decimal(0)
    return max(Decimal(0), judgment.ceiling - min(t.ceiling for t in item.trials if t.ceiling is not None))


def _at_worst(item: Assumption, judgment: Judgment, figures: Figures) -> Iterator[str]:
    """What the worst answer would cost."""
    worst = min(item.trials, key=item.worth)
    said = _said(worst.value, item.question, judgment)
    loss = _loss(item, judgment)
    turned = f"; the verdict would be {worst.verdict}" if worst.verdict != judgment.verdict else ""
    if worst.refused:
        yield f"if {said}: a deal-breaker"
    elif loss == Decimal("Infinity"):
        yield f"if {said}: no price is right"
    elif loss:
        yield f"if {said}: {figures.whole(loss)} off the highest price{turned}"
    elif turned:
        yield f"if {said}{turned}"


def _trials(item: Assumption, judgment: Judgment, figures: Figures) -> Iterator[str]:
    """Where each answer leads."""
    for trial in item.trials:
        price = "deal-breaker" if trial.refused else figures.exact(trial.ceiling) if trial.ceiling else "no price"
        worth = "" if judgment.program.advice and not trial.refused else f", {price}"
        yield f"{_said(trial.value, item.question, judgment)}: {listed((trial.verdict,))}{worth}"


def leads(item: Unknown, judgment: Judgment, figures: Figures) -> Iterator[str]:
    """Where each answer to an open question leads, with the price where there is one."""
    if not item.planned and isinstance(item.question.type, Quantity):
        return  # the ends of its range tell nothing that a figure would not
    trials = (t for a in judgment.assuming if a.question is item.question for t in a.trials)
    prices: dict[Value, Decimal | None] = {t.value: None if t.refused else t.ceiling for t in trials}
    prices |= dict(item.prices)
    ends = {(verdicts, prices.get(value)) for value, verdicts in item.leads_to}
    if len(ends) == 1 and len(item.leads_to) > 1:
        yield f"no answer decides it by itself: {listed(item.leads_to[0][1])}"
        return
    for value, verdicts in item.leads_to:
        price = prices.get(value)
        if not price:
            worth = ""
        elif verdicts == judgment.program.verdicts[-1:]:
            worth = f", unless the price is {figures.price(price)} or less"
        else:
            worth = f", up to {figures.price(price)}"
        yield f"{_said(value, item.question, judgment)}: {listed(verdicts)}{worth}"


def _open(judgment: Judgment) -> list[Question]:
    """The questions without an answer."""
    return [q for q in judgment.program.questions.values() if judgment.answers.known(q.name) is None]


def open_questions(judgment: Judgment) -> list[Section]:
    """Everything nobody answered, so that nothing passes for looked at; on page one where no fault was found."""
    told = {a.question.name for a in _moving(judgment)}
    found = [q for q in _open(judgment) if q.name not in told]
    if not found:
        return []
    cells = {q.name: judgment.answers.values.get(q.name) for q in found}
    groups: dict[str, list[str]] = {}
    for question in found:
        cell = cells[question.name]
        groups.setdefault(how_open(cell if hasattr(cell, "how") else None), []).append(question.text)  # type: ignore[arg-type]  # has no other values
    items = tuple(
        Bullet(f"{how}{' (some may not apply)' if how == 'not asked' else ''}: {' '.join(texts)}")
        for how, texts in groups.items()
    )
    title = "Everything else without an answer" if told else "Everything without an answer"
    have = "question has" if len(found) == 1 else "questions have"
    printed = f"{len(found)} {have} no answer; the screen lists them."
    page: Literal[1, 2] = 1 if _faultless(judgment) else 2
    return [Section(title, (Bullets(items),), page, printed=printed if page == 2 else "")]


def _faultless(judgment: Judgment) -> bool:
    deal = judgment.deal
    return deal is not None and not judgment.program.advice and not deal.bargain.repairs.held


def count_of_open(judgment: Judgment) -> list[Section]:
    """How much was not asked, where a deal-breaker made the rest idle."""
    count = len(_open(judgment))
    if not count:
        return []
    text = f"{count} {'question has' if count == 1 else 'questions have'} no answer"
    return [Section("", (Paragraph(f"{text}; none could undo this." if judgment.settled else f"{text}."),))]


def not_asked_here(judgment: Judgment) -> list[Section]:
    """The answers of the record to questions that these rules do not ask, and comparables that they do not look at."""
    names = [name.replace("_", " ") for name in judgment.answers.unasked]
    idle = judgment.program.comparing is None and judgment.answers.comparables
    unseen = Section("", (Paragraph("Its comparables count for nothing here: these rules do not look at any."),))
    if not names:
        return [unseen] if idle else []
    text = f"{len(names)} of the answers are to questions that these rules do not ask, and count for nothing here"
    if len(names) == 1:
        text = "One of the answers is to a question that these rules do not ask, and counts for nothing here"
    few = Paragraph(f"{text}: page two.")
    first = [Section("", (few,)), *([unseen] if idle else [])]
    return [*first, Section("Not asked by these rules", (Paragraph(f"{text}: {', '.join(names)}."),), 2)]


# ---- what would change it ------------------------------------------------------------------------------------------


def changes(judgment: Judgment, figures: Figures) -> list[Section]:
    """The fewest or cheapest changes that lead to another verdict."""
    items = [Bullet(_flip(f, judgment, figures)) for f in judgment.flips]
    ceiling, asking = judgment.ceiling, judgment.asking
    by_price = any(c.question.name == "asking" for f in judgment.flips for c in f.changes)
    if not by_price and judgment.verdict == "renegotiate" and ceiling is not None and asking is not None:
        items.insert(0, Bullet(f"the price at {figures.price(ceiling)} or less: buy"))
    return [Section("What would change the verdict", (Bullets(tuple(items)),))] if items else []


def _flip(flip: Flip, judgment: Judgment, figures: Figures) -> str:
    made = "; and ".join(_change(c, judgment, figures) for c in flip.changes)
    named = any(c.question.name == "asking" for c in flip.changes)
    priced = not (named or flip.verdict == "pass" or flip.ceiling is None or judgment.program.advice)
    price = f", up to {figures.price(flip.ceiling)}" if priced else ""
    return f"{made}: {flip.verdict}{price}"


def _change(change: Change, judgment: Judgment, figures: Figures) -> str:
    if change.question.name == "asking" and isinstance(change.value, Decimal):
        return f"the price at {figures.price(change.value)} or less"
    said = _said(change.value, change.question, judgment)
    return f"{change.question.text} {said}{f' ({change.how})' if change.how else ''}"


# ---- cautions ------------------------------------------------------------------------------------------------------


def cautions(judgment: Judgment) -> list[Section]:
    """Each caution once; of a pass, page one has only a few, and those that stand on every report."""
    said: dict[str, bool] = {}
    for rule, sure in judgment.cautions:
        text = rule.because or rule.name.replace("_", " ")
        said[text] = said.get(text, False) or sure
    items = tuple(Bullet(text if sure else f"{text} (if it is as planned)") for text, sure in said.items())
    always = {r.because or r.name.replace("_", " ") for r, _ in judgment.cautions if isinstance(r.condition, Const)}
    first = [i for i in items if i.text not in always][:_FEW] + [i for i in items if i.text in always]
    rest = len(items) - len(first)
    if not judgment.hopeless or rest <= 0:
        return [Section("Caution", (Bullets(items),))] if items else []
    more = Paragraph(f"{rest} more on page two.")
    return [Section("Caution", (Bullets(tuple(first)), more)), Section("Every caution", (Bullets(items),), 2)]


def closing(judgment: Judgment) -> str:
    """What the report does not say."""
    if _faultless(judgment):
        rest = " What was not is in the lists." if _open(judgment) else ""
        return f"No fault found among what was looked at.{rest}"
    return "This judges what was looked at and nothing else."
