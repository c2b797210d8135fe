"""What somebody types for an answer, with cold hands, read as what they mean.

In: a line and the question it answers. Out: a value, `unsure` or `refused`. A number goes without its unit, a choice by
its number or its first letters, a date in the forms that people write. Raises `Mistake`: one line that says what would
be right.
"""

from __future__ import annotations

import re
from datetime import date, timedelta
from decimal import Decimal

from advisor.language import catalogue
from advisor.language.answers import read_answer
from advisor.language.problems import nearest
from advisor.language.program import Program, Question, Unanswered
from advisor.language.source import Source
from advisor.language.spelling import spelled
from advisor.language.types import Choice, Code, DateType, ListOf, Quantity, Text, Value, YesNo
from advisor.language.values import MONTHS, Unreadable, with_unit
from advisor.language.wording import format_value, in_unit

__all__ = ["Mistake", "as_written", "expects", "read_typed", "said"]

UNSURE = (
    "?",
    "unsure",
    "can't tell",
    "cant tell",
    "cannot tell",
    "don't know",
    "dont know",
    "not sure",
    "i don't know",
    "i dont know",
    "no idea",
)
_REFUSED = ("refused", "not allowed")
_SLASHED = re.compile(r"(\d{1,4})[/.-](\d{1,2})(?:[/.-](\d{2}|\d{4}))?", re.ASCII)
_SPOKEN = re.compile(r"(?:([a-z]{3,9})\.? (\d{1,2})|(\d{1,2})\.? ([a-z]{3,9}))(?:,? (\d{4}))?", re.ASCII)


_IN_TWO_WAYS = re.compile(r"\D?\d{1,3}\.(?!000)\d{3}", re.ASCII)


class Mistake(ValueError):
    """A line that is no answer; says in lower case, without a full stop, what would be right."""


def as_written(line: str, question: Question, program: Program, today: date | None) -> str:
    """An answer as typed, as a file would have it; `today` is the car's day. Raises `Mistake`."""
    text = " ".join(line.split())
    if text.lower() in UNSURE:
        return "unsure"
    if text.lower() in _REFUSED:
        return "refused"
    written = _written(text, question, program, today)
    try:
        read_answer(written, question, program.currency)
    except Unreadable as error:
        raise Mistake(_wrong(error, text, question, program)) from None
    return f'"{written}"' if isinstance(question.type, Text) else written


def read_typed(line: str, question: Question, program: Program, today: date | None) -> Value | Unanswered:
    """The answer that is typed. Raises `Mistake`."""
    return read_answer(as_written(line, question, program, today), question, program.currency)


_CURED = (
    catalogue.BAD_THOUSANDS, catalogue.SIGN_BEHIND, catalogue.TWO_WAYS, catalogue.UNKNOWN_UNIT, catalogue.BAD_CODE,
    catalogue.ESTIMATE_ORDER, catalogue.ESTIMATE_PARTS, catalogue.NO_ESTIMATE_HERE, catalogue.NUMBER_TOO_LONG,
)  # fmt: skip
"""Problems whose own cure says more than what is expected."""


def _wrong(error: Unreadable, text: str, question: Question, program: Program) -> str:
    """What is wrong with an answer, and what would be right."""
    if error.kind is catalogue.OUTSIDE_RANGE:
        small = isinstance(question.type, Quantity) and question.type.unit == "in" and text.isdigit()
        hint = f"; for 32nds of an inch write {text}/32" if small else ""
        return f"`{text}` is out of range; expected {expects(question, program)}{hint}"
    if error.kind is catalogue.WRONG_DIMENSION:
        return f"`{text}` is {error.words['found']}; expected {expects(question, program)}"
    problem = error.at(Source("", "").span(0, 0))
    cure = problem.cure if error.kind in _CURED else f"expected {expects(question, program)}"
    return f"{problem.message}; {cure}".replace(f"`{question.name}`", "this")


def _written(text: str, question: Question, program: Program, today: date | None) -> str:
    """The line as a file would have it."""
    match question.type:
        case YesNo():
            return _chosen(text, ("yes", "no"), numbered=False)
        case Choice(options):
            return _chosen(text, options, numbered=True)
        case Quantity() as type_:
            if _IN_TWO_WAYS.fullmatch(text) and (type_.whole or type_.unit.startswith(("$", "mi", "km"))):
                raise Mistake(f"`{text}` can be read in two ways; write {text.replace('.', ',')} or {text.rstrip('0')}")
            return " .. ".join(_with_unit(spelled(p.strip()), type_, program) for p in text.split(".."))
        case ListOf(item=item):
            return ", ".join(_with_unit(p, item, program) for p in _pieces(spelled(text)))
        case DateType():
            return _day(text, program, today).isoformat()
        case Code():
            return text
    return text.replace('"', "'")


def _chosen(text: str, options: tuple[str, ...], *, numbered: bool) -> str:
    """The option that a number, some first letters or a word of it mean. Raises `Mistake` where several fit."""
    word = re.sub(r"[\s-]+", "_", text.lower())
    if word in options:
        return word
    if numbered and word.isascii() and word.isdigit():
        if not 1 <= int(word[:3]) <= len(options):
            raise Mistake(f"there is no {word}; the answers are {numbered_choices(options)}")
        return options[int(word) - 1]
    if numbered and (both := re.fullmatch(r"([1-9]\d?)_(.+)", word)):  # as it stands on the screen: `2 bulge or cord`
        option = next(iter(options[int(both[1]) - 1 :]), "")
        if option.startswith(both[2]):
            return option
    for found in ([o for o in options if o.startswith(word)], [o for o in options if f"_{word}" in o]):
        if len(found) == 1:
            return found[0]
        if found:
            raise Mistake(f"`{text}` could be {' or '.join(map(in_words, found))}; type more of it")
    guess = nearest(word, options)
    hint = f"did you mean {in_words(guess)}?" if guess else f"say {_either(options, numbered)}"
    raise Mistake(f"`{text}` is no answer here; {hint}")


def _either(options: tuple[str, ...], numbered: bool) -> str:
    return numbered_choices(options) if numbered else " or ".join(options)


def in_words(option: str) -> str:
    """A choice as it is read aloud."""
    return option.replace("_", " ")


def numbered_choices(options: tuple[str, ...]) -> str:
    """The choices with the numbers that stand for them."""
    return ", ".join(f"{i} {in_words(o)}" for i, o in enumerate(options, 1))


def _pieces(text: str) -> list[str]:
    """Each reading of a list; a unit behind the last one is that of all that have none."""
    pieces = [p.strip() for p in re.split(r"[;,]\s+|;|,(?!\d{3}(?!\d))|(?<=\d)\s+(?=\d)", text) if p.strip()]
    unit = re.search(r" ?[A-Za-z]+\Z", pieces[-1]) if pieces else None
    return [p + unit[0] if unit and p[-1].isdigit() else p for p in pieces]


def _with_unit(text: str, type_: Quantity, program: Program) -> str:
    """A number with the unit it goes without."""
    if not text or not all(c in "0123456789.,/ -" for c in text):
        return text
    return with_unit(text, type_).replace("$", program.currency)


# ---- dates ----


def _day(text: str, program: Program, today: date | None) -> date:
    """A day as people write it. Without a year it is the one nearest to the car's day. Raises `Mistake`."""
    word = text.lower()
    if today and word in ("today", "yesterday"):
        return today - timedelta(days=word == "yesterday")
    found = _parts(word, day_first=program.currency_code != "USD")
    if found is None:
        raise Mistake(f"`{text}` is no date; write 2026-04-11, 4/11/2026 or Apr 11")
    year, month, day = found
    if year is not None:
        return _made(text, year, month, day)
    if today is None:
        raise Mistake(f"`{text}` lacks its year; write 2026-04-11")
    near = []
    for any_year in (today.year - 1, today.year, today.year + 1):  # the 29th of February is not in each
        try:
            near.append(date(any_year, month, day))
        except ValueError:
            continue
    return min(near, key=lambda d: abs((d - today).days)) if near else _made(text, today.year, month, day)


def _parts(word: str, *, day_first: bool) -> tuple[int | None, int, int] | None:
    """Year, month and day."""
    if found := _SLASHED.fullmatch(word):
        first, second, third = found[1], found[2], found[3]
        if len(first) == 4:
            return (int(first), int(second), int(third)) if third else None
        if len(first) == 3:
            return None
        month, day = (int(second), int(first)) if day_first else (int(first), int(second))
        return (None if third is None else int(third) + 2000 * (len(third) == 2)), month, day
    if found := _SPOKEN.fullmatch(word):
        name = (found[1] or found[4])[:3].title()
        if name in MONTHS:
            return (int(found[5]) if found[5] else None), MONTHS.index(name) + 1, int(found[2] or found[3])
    return None


def _made(text: str, year: int, month: int, day: int) -> date:
    try:
        return date(year, month, day)
    except ValueError:
        raise Mistake(f"there is no day `{text}`; write it as 2026-04-11") from None


# ---- saying ----


def expects(question: Question, program: Program) -> str:
    """What may be typed, in words."""
    match question.type:
        case YesNo():
            return "yes or no"
        case Choice(options):
            return numbered_choices(options)
        case Quantity() as type_ if question.low is not None:
            low, high = (format_value(v, type_, program.currency) for v in (question.low, question.high))
            return f"{low} to {high}"
        case ListOf(item=item, fewest=fewest, most=most):
            many = str(most) if fewest == most else f"{fewest} to {most}"
            return f"{many} readings in {item.unit}, with commas between"
        case DateType():
            return "a date, as 2026-04-11, 4/11 or Apr 11" if program.currency_code == "USD" else "a date, as 11 Apr"
        case Code(shortest, longest):
            return f"{longest if shortest == longest else f'{shortest} to {longest}'} letters and digits"
    return "any words"


def said(value: Value | Unanswered, question: Question, program: Program) -> str:
    """An answer in words."""
    match value:
        case Unanswered(how="unsure"):
            return "can't tell"
        case Unanswered():
            return "not allowed"
        case str() if isinstance(question.type, Choice):
            return in_words(value)
    plain = format_value(value, question.type, program.currency)
    if isinstance(question.type, Quantity) and question.type.unit == "in" and isinstance(value, Decimal):
        shares = in_unit(value, question.type) * 32
        if shares.denominator != 1 and shares < 32:
            return f"{plain}, about {round(shares)}/32 in"
    return plain
