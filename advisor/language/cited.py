"""How far a figure can be trusted: where a rule, fault or setting comes from."""

from __future__ import annotations

from typing import Literal

from attrs import field, frozen

from advisor.language.source import Span

__all__ = ["Cited"]


@frozen
class Cited:
    """A source: something published, common practice, a figure of the house, or something recalled."""

    how: Literal["published", "practice", "house", "memory"]
    text: str
    span: Span = field(eq=False, repr=False)
