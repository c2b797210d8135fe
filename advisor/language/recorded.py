"""Cars and cases inside a rule file as written.

Out of `building.py`, into `casing.py`. Part of the tree of `nodes.py`, under which they are known.
"""

from __future__ import annotations

from attrs import field, frozen

from advisor.language.expressions import Literal, Name, ValueText
from advisor.language.source import Span, spanned

__all__ = ["Car", "Case", "ComparableLine", "Gives"]


@frozen
class ComparableLine:
    """A car like this one: what stands behind the word, in single blanks, and as it stands in the file, but with
    blanks in the place of comments and line ends, so that every character has its place."""

    text: str
    exact: str = field(eq=False, repr=False)
    span: Span = spanned()


@frozen
class Car:
    """Answers under a name, for cases to start from."""

    name: Name | None
    title: str
    like: Name | None
    day: Literal | None
    answers: tuple[tuple[Name, ValueText], ...]
    notes: tuple[str, ...]
    comparables: tuple[ComparableLine, ...]
    claims: tuple[tuple[str, tuple[Name, ...]], ...]
    """`told` and `denied`, each with the names behind it."""
    span: Span = spanned()


@frozen
class Gives:
    """What a case expects: a verdict, with its reasons, or a quantity's value."""

    name: Name
    because: tuple[Name, ...]
    value: ValueText | None
    span: Span = spanned()


@frozen
class Case:
    """A car and what the rules must say of it."""

    title: str
    car: Car
    gives: tuple[Gives, ...]
    span: Span = spanned()
