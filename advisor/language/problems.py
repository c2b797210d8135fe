"""What can be wrong, as values.

A `Kind` is one sort of mistake: its code, the sentence shown for it and the page that explains it. `Kind.at`
makes a `Problem`: one mistake at one place. Sentences are lower case, without a full stop, in the reader's own
words; what to do about it is a sentence of its own, the cure. `report/problems.py` draws them.
"""

from __future__ import annotations

import difflib
from collections.abc import Iterable
from enum import Enum

from attrs import evolve, field, frozen

from advisor.language.source import Span

__all__ = ["Kind", "Problem", "ProblemsFound", "Severity", "in_currency", "in_order", "nearest"]


class Severity(Enum):
    """How much a problem stops: an error stops judging, advice and a `later` do not."""

    ERROR = "error"
    ADVICE = "advice"
    LATER = "not yet"


@frozen
class Kind:
    """One sort of mistake.

    `message` and `cure` are templates for `str.format`; `page` says in a few sentences what is meant and shows
    an example that is right.
    """

    code: str
    title: str
    message: str
    cure: str
    page: str
    severity: Severity = Severity.ERROR

    def at(self, span: Span, *, notes: Iterable[tuple[Span, str]] = (), **words: object) -> Problem:
        """This mistake at `span`; `words` fill the templates, `notes` point at other places that matter."""
        shown = {name: _shown(word, 3 * _WIDEST if name == "cure" else _WIDEST) for name, word in words.items()}
        return Problem(self, span, self.message.format(**shown), self.cure.format(**shown), tuple(notes))


_WIDEST = 160


def _shown(word: object, most: int) -> object:
    """A word for a sentence: on one line, and not without end."""
    if not isinstance(word, str):
        return word
    line = " ".join(word.split())
    return line if len(line) <= most else line[: most - 20] + "..." + line[-17:]


@frozen
class Problem:
    """One mistake at one place, ready to be shown."""

    kind: Kind
    span: Span
    message: str
    cure: str
    notes: tuple[tuple[Span, str], ...] = field(default=())

    @property
    def code(self) -> str:
        """The stable code of its kind."""
        return self.kind.code

    @property
    def severity(self) -> Severity:
        """How much it stops."""
        return self.kind.severity

    @property
    def stops(self) -> bool:
        """True if nothing can be judged before it is mended."""
        return self.kind.severity is Severity.ERROR


_ABOUT_CURRENCIES = ("V14", "V19", "N11")


def in_currency(problem: Problem, sign: str) -> Problem:
    """The same in the currency of the rules: no `$` stands in it but what the file itself says."""
    if sign == "$" or problem.code in _ABOUT_CURRENCIES:
        return problem

    def said(text: str) -> str:
        parts = text.split("`")
        for i, part in enumerate(parts):
            if not (i % 2 and part in problem.span.source.text):
                parts[i] = part.replace("$", sign)
        return "`".join(parts)

    return evolve(problem, message=said(problem.message), cure=said(problem.cure))


class ProblemsFound(Exception):
    """Raised where a caller asked for a result that the problems make impossible."""

    def __init__(self, problems: Iterable[Problem]) -> None:
        self.problems = in_order(problems)
        super().__init__("; ".join(p.message for p in self.problems))


def in_order(problems: Iterable[Problem]) -> tuple[Problem, ...]:
    """The problems by place, each once; files stay in the order in which they were first named."""
    unique = list(dict.fromkeys(problems))
    files = {name: i for i, name in enumerate(dict.fromkeys(p.span.source.name for p in unique))}
    return tuple(sorted(unique, key=lambda p: (files[p.span.source.name], p.span.start, p.code)))


_LONGEST_NAME = 64
"""Nobody mistypes a longer one; comparing letters takes time with the square of the length."""
_MANY = 2_000


def nearest(word: str, words: Iterable[str]) -> str | None:
    """The word most like `word`, if one is like enough to be what was meant.

    difflib's ratio at 0.7 found the right one for nearly every one-letter slip when it was measured.
    """
    if len(word) > _LONGEST_NAME:
        return None
    like = sorted(w for w in words if abs(len(w) - len(word)) <= _LONGEST_NAME // 4)
    if len(like) > _MANY:
        like = [w for w in like if w[:2] == word[:2]][:_MANY]
    found = difflib.get_close_matches(word, like, n=1, cutoff=0.7)
    return found[0] if found else None
