"""A car's answers as the text of a `.car` file.

In: `Answers` and the program that asked. Out: text that `language.cars.read_car` reads back to the same answers.
"""

from __future__ import annotations

from advisor.language.cars import Answers
from advisor.language.comparable_lines import comparable_line
from advisor.language.program import Program, Unanswered
from advisor.language.types import Code, Text, Type, Value
from advisor.language.wording import format_value

__all__ = ["car_text"]


def car_text(answers: Answers, program: Program) -> str:
    """The recorded car."""
    lines = [f'car "{_plain(answers.title or "A car")}"']
    if answers.day:
        lines.append(f"on {answers.day.isoformat()}")
    lines.append(f'rules "{program.digest}"')
    for name, value in answers.values.items():
        question = program.questions[name]
        written = value.how if isinstance(value, Unanswered) else written_value(value, question.type, program.currency)
        lines.append(f"{name} = {written}")
    lines += [f"{name} = {written}" for name, written in answers.unasked.items()]
    lines += [comparable_line(c, program.currency) for c in answers.comparables]
    lines += [f"{word} {', '.join(names)}" for word, names in _named(answers) if names]
    lines += [f'note "{_plain(n)}"' for n in answers.notes]
    return "\n".join(lines) + "\n"


def _named(answers: Answers) -> tuple[tuple[str, tuple[str, ...]], ...]:
    return ("told", answers.told), ("denied", answers.denied)


def written_value(value: Value, type_: Type, currency: str) -> str:
    """A value as a file holds it."""
    if isinstance(type_, Text | Code):
        return f'"{value}"'
    return format_value(value, type_, currency)


def _plain(text: str) -> str:
    return text.replace('"', "'").replace("\n", " ")
