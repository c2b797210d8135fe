"""What was said of faults: those that the advertisement told, and those that the seller denied.

In: names as written behind `told` and `denied`, and the faults of the rules. Out: the names that are faults, each once,
and a problem for every other.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from typing import TYPE_CHECKING

from attrs import define, field

from advisor.language import catalogue
from advisor.language.problems import Problem, nearest
from advisor.language.source import Span

if TYPE_CHECKING:
    from advisor.language.expressions import Name

__all__ = ["Claims"]


@define
class Claims:
    """What was told and denied of one car."""

    told: list[str] = field(factory=list)
    denied: list[str] = field(factory=list)
    said: dict[str, Span] = field(factory=dict)

    def add(
        self, word: str, names: Iterable[Name], is_fault: Callable[[str], bool], kinds: Mapping[str, str]
    ) -> list[Problem]:
        """Note the names behind a word, `told` or `denied`; the problems of those that are no faults, or said before.

        `kinds` says what other names of the rules are.
        """
        problems = []
        for name in names:
            if name.text in self.said:
                first = [(self.said[name.text], "here first")]
                problems.append(catalogue.SAID_TWICE.at(name.span, what=name.text, notes=first))
                continue
            self.said[name.text] = name.span
            if is_fault(name.text):
                (self.told if word == "told" else self.denied).append(name.text)
                continue
            guess = nearest(name.text, [n for n, kind in kinds.items() if kind == "fault"])
            cure = f"did you mean `{guess}`?" if guess else "name a fault of the rules, or say it in a note"
            if name.text in kinds:
                cure = f"it is a {kinds[name.text]}; name a fault"
            problems.append(catalogue.NO_SUCH_FAULT.at(name.span, name=name.text, cure=cure))
        return problems
