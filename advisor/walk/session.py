"""A walk as plain questions and answers, without a screen.

In: a judge and the answers so far. Out: the next question, and new answers. State and answer in, state out: the
terminal belongs to whoever calls this.
"""

from __future__ import annotations

from attrs import evolve, frozen

from advisor.judging.judge import Judge
from advisor.judging.judgment import Judgment
from advisor.judging.sheet import Sheet
from advisor.language.cars import Answers, read_answer
from advisor.language.problems import nearest
from advisor.language.program import Question, Unanswered
from advisor.language.types import Choice, ListOf, Quantity, YesNo
from advisor.language.values import Unreadable, with_unit
from advisor.language.wording import format_value

__all__ = ["Walk"]

_SHORT = {"y": "yes", "n": "no", "?": "unsure"}


@frozen
class Walk:
    """Where a walk stands: the answers, and the questions passed over for now, in the order they were asked."""

    judge: Judge
    answers: Answers
    asked: tuple[str, ...] = ()
    skipped: frozenset[str] = frozenset()

    def next(self) -> Question | None:
        """The next question that applies and has not been dealt with, in the order of the rules."""
        sheet = Sheet(self.judge.program, self.answers)
        gates = self.judge.gates(sheet)
        for name, question in self.judge.program.questions.items():
            if name not in self.answers.values and name not in self.skipped and gates[name]:
                return question
        return None

    def answered(self, question: Question, text: str) -> Walk:
        """The walk after an answer as typed. Raises `Unreadable`."""
        value = read_answer(self._completed(question, text), question, self.judge.program.currency)
        answers = evolve(self.answers, values=self.answers.values | {question.name: value})
        return evolve(self, answers=answers, asked=(*self.asked, question.name))

    def skip(self, question: Question) -> Walk:
        """The walk with a question passed over."""
        return evolve(self, asked=(*self.asked, question.name), skipped=self.skipped | {question.name})

    def back(self) -> Walk:
        """The walk before the last question; its answer is taken back."""
        if not self.asked:
            return self
        name = self.asked[-1]
        values = {n: v for n, v in self.answers.values.items() if n != name}
        return evolve(
            self, answers=evolve(self.answers, values=values), asked=self.asked[:-1], skipped=self.skipped - {name}
        )

    def noted(self, text: str) -> Walk:
        """The walk with one more note."""
        return evolve(self, answers=evolve(self.answers, notes=(*self.answers.notes, text.replace('"', "'"))))

    def judgment(self) -> Judgment:
        """The verdict so far."""
        return self.judge.judge(self.answers)

    def _completed(self, question: Question, text: str) -> str:
        """What was typed, with what goes without saying filled in: a unit, the rest of a word."""
        text = text.strip()
        if text in _SHORT and (text == "?" or isinstance(question.type, YesNo)):
            return _SHORT[text]
        match question.type:
            case Choice(options):
                found = [o for o in options if o.startswith(text.replace(" ", "_").lower())] if text else []
                if text in options:
                    return text
                return found[0] if len(found) == 1 else text
            case Quantity():
                return " .. ".join(self._with_unit(p, question.type) for p in text.split(".."))
            case ListOf(item=item):
                parts = [p for p in text.replace(";", ",").split(",") if p.strip()]
                return ", ".join(self._with_unit(p, item) for p in parts)
        return text

    def _with_unit(self, text: str, type_: Quantity) -> str:
        text = text.strip()
        plain = text and all(c in "0123456789.,/ " for c in text)
        return with_unit(text, type_).replace("$", self.judge.program.currency) if plain else text


def expects(question: Question, currency: str) -> str:
    """What may be typed, in words."""
    match question.type:
        case YesNo():
            return "yes or no"
        case Choice(options):
            return ", ".join(options)
        case Quantity() if question.low is not None:
            low, high = (format_value(v, question.type, currency) for v in (question.low, question.high))
            return f"from {low} to {high}"
        case ListOf(item=item, fewest=fewest, most=most):
            return f"{fewest} to {most} readings in {item.unit}, with commas between"
    return str(question.type)


def mistake(error: Unreadable, question: Question, currency: str) -> str:
    """One line that says what was wrong and what would be right."""
    wrong = error.kind.message.format(**error.words)
    if isinstance(question.type, Choice):
        typed = str(error.words.get("text", ""))
        fits = [o for o in question.type.options if typed and o.startswith(typed)]
        if len(fits) > 1:
            return f"`{typed}` could be {' or '.join(fits)}"
        guess = nearest(typed, question.type.options)
        return f"{wrong}; say {guess}" if guess else f"{wrong}; say one of {expects(question, currency)}"
    return f"{wrong}; expected {expects(question, currency)}"


def said(answers: Answers, question: Question, currency: str) -> str:
    """An answer in words."""
    value = answers.values.get(question.name)
    if isinstance(value, Unanswered):
        return value.how
    return format_value(value, question.type, currency)
