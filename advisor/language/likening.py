"""Comparables as rules ask for them: which question they answer, and the figures of the market.

In: a `Draft` with its definitions. Out: the `ComparingDef`, if nothing in its block is wrong.
"""

from __future__ import annotations

from decimal import Decimal

from advisor.language import catalogue, nodes
from advisor.language.draft import Draft
from advisor.language.intervals import Interval, value_range
from advisor.language.program import ComparingDef
from advisor.language.types import BROKEN, MONEY, NUMBER, PERCENT, Quantity, Type, quantity
from advisor.language.values import measured
from advisor.language.wording import format_value
from advisor.language.words import MARKET_WORDS

__all__ = ["comparing"]

_LENGTH = quantity(length="mi")
_SHARES = ("a year", "each 10,000 miles", "drift")
"""Shares that a year, 10,000 miles and a month take; every other share is a price over another."""
_OPTIONAL = ("drift",)


def comparing(draft: Draft) -> ComparingDef | None:
    """The one `comparables` block."""
    node = draft.comparables
    if node is None:
        return None
    before = len(draft.problems)
    _asked(draft, node.question, MONEY, "a question about money")
    subject = _subject(draft, node)
    figures = _figures(draft, node)
    missing = [w for w in MARKET_WORDS if w not in _OPTIONAL and w not in (word.text for word, _ in node.figures)]
    if missing:
        listed = ", ".join(f"`{w}`" for w in missing)
        example = f"{missing[0]} {'45 days' if missing[0] == 'stands' else '90%'}"
        draft.say(catalogue.MARKET_GAP, node.question.span, missing=listed, line=example)
    if len(draft.problems) > before or draft.elab.unknown.keys() & {node.question.text, *subject.values()}:
        return None
    return ComparingDef(node.question.text, subject.get("year"), subject.get("miles"), figures, node.span)


def _subject(draft: Draft, node: nodes.Comparables) -> dict[str, str]:
    """The questions that tell the car's year and miles."""
    found: dict[str, str] = {}
    for word, name in node.subject:
        if word.text in found:
            draft.say(catalogue.SAID_TWICE, word.span, what=word.text)
        elif word.text == "year":
            _asked(draft, name, NUMBER, "a question about a number, such as the model year")
        else:
            _asked(draft, name, _LENGTH, "a question about a length, such as the odometer")
        found.setdefault(word.text, name.text)
    return found


def _asked(draft: Draft, name: nodes.Name, type_: Quantity, wanted: str) -> None:
    """Complain about what is no question of a type."""
    question = draft.questions.get(name.text)
    if question is None:
        if name.text in draft.scope.kinds and name.text not in draft.scope.broken:
            draft.say(catalogue.WRONG_KIND_OF_NAME, name.span, name=name.text, kind=draft.scope.kinds[name.text])
        elif name.text not in draft.scope.broken:
            draft.elab.miss(name.text, name.span, f"ask it: `ask {name.text}: ...`")
    elif question.type != BROKEN and (question.type != type_ or _percent(question.type)):
        draft.say(catalogue.NOT_A_SUBJECT, name.span, name=name.text, found=question.type, wanted=wanted)


def _percent(type_: Type) -> bool:
    return isinstance(type_, Quantity) and type_.plain and type_.percent


def _figures(draft: Draft, node: nodes.Comparables) -> dict[str, str | Decimal]:
    """The figures by the fields of `Market`: the name of a setting, or a written value in the stored grain."""
    found: dict[str, str | Decimal] = {}
    for word, value in node.figures:
        field = MARKET_WORDS[word.text]
        if field in found:
            draft.say(catalogue.SAID_TWICE, word.span, what=word.text)
            continue
        made = _figure(draft, word.text, value)
        if made is not None:
            found[field] = made
    return found


def _figure(draft: Draft, word: str, node: nodes.ValueText) -> str | Decimal | None:
    type_ = quantity(calendar="day") if word == "stands" else PERCENT
    if not node.text.isidentifier():
        value = draft.declare.value(node, type_, word)
        range_ = value_range(value) if value is not None else None
        if not isinstance(range_, Interval) or not _believable(draft, word, node, range_, type_):
            return None
        return value if isinstance(value, Decimal) else getattr(value, "planned", None)
    setting = draft.settings.get(node.text)
    if setting is None:
        if node.text in draft.scope.kinds and node.text not in draft.scope.broken:
            draft.say(catalogue.WRONG_KIND_OF_NAME, node.span, name=node.text, kind=draft.scope.kinds[node.text])
        elif node.text not in draft.scope.broken:
            draft.elab.miss(node.text, node.span, f"declare it: `setting {node.text} = ...`")
        return None
    if setting.type != type_:
        cure = "name a setting of that kind, or write the value"
        draft.say(
            catalogue.WRONG_DIMENSION, node.span, name=word, wanted=measured(type_), text=node.text,
            found=setting.type, cure=cure,
        )  # fmt: skip
        return None
    range_ = draft.elab.ranges.names[node.text]
    assert isinstance(range_, Interval)
    return node.text if _believable(draft, word, node, range_, type_) else None


def _believable(draft: Draft, word: str, node: nodes.ValueText, range_: Interval, type_: Quantity) -> bool:
    """Whether a figure can be one of a market, for all that a curve may try; complains if not."""
    if word in _SHARES:
        fits, wanted = range_.low > -1 and range_.high < 1, "between -100% and 100%"
    elif word == "stands":
        fits, wanted = range_.low >= 0, "no time below zero"
    else:
        fits, wanted = range_.low > 0, "above zero"
    if not fits:
        worst = range_.high if word in _SHARES and range_.high >= 1 else range_.low
        draft.say(catalogue.MARKET_FIGURE, node.span, name=word, wanted=wanted, found=format_value(worst, type_))
    return fits
