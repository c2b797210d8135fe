"""What a file says of itself and of the files it uses, as written: its title and currency, what it takes and leaves.

Out of `building.py`, into `linking.py`, `naming.py` and `rewording.py`. Part of the tree of `nodes.py`, under which
they are known.
"""

from __future__ import annotations

from attrs import frozen

from advisor.language.cited import Cited
from advisor.language.expressions import Literal, Name
from advisor.language.source import Span, spanned

__all__ = ["Keep", "Line", "Rate", "Ruleset", "Use", "Without", "Words"]


@frozen
class Line:
    """A line of words for people: `because`, `lesson`, `how`, `danger` and so on."""

    text: str
    span: Span = spanned()


@frozen
class Rate:
    """`rate $1 of parts = £1.00`: what another currency comes to."""

    left: Literal
    of: Name | None
    right: Literal
    span: Span = spanned()


@frozen
class Ruleset:
    """The title of a file, its currency, and what others come to in it."""

    title: str
    currency: Name | None
    rates: tuple[Rate, ...]
    source: Cited | None
    span: Span = spanned()


@frozen
class Use:
    """`use "walkaround"`."""

    target: str
    span: Span = spanned()


@frozen
class Without:
    """`without soft_top, season_of_it`."""

    names: tuple[Name, ...]
    span: Span = spanned()


@frozen
class Keep:
    """`keep dead_title, no_cold_start`."""

    names: tuple[Name, ...]
    span: Span = spanned()


@frozen
class Words:
    """Phrases, and what this ruleset says for each: `hood = "bonnet"`."""

    entries: tuple[tuple[Line, Line], ...]
    span: Span = spanned()
