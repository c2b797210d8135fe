"""A computed fact of the trade, as lines for a screen and as data.

In: a `Fact`, and the width of the page. Out: its sentence, then its sources with how far each was read, then what it
leaves open; or the same as plain data.
"""

from __future__ import annotations

import textwrap
from collections.abc import Iterable, Sequence
from datetime import date
from decimal import Decimal
from typing import Any

from advisor.report.clean import clean
from advisor.trade.fact import Fact, Value

__all__ = ["fact_data", "fact_lines", "listing_lines"]

_NARROWEST = 20


def fact_lines(fact: Fact, width: int) -> list[str]:
    """The sentence, the sources and the limits, each line within the width."""
    lines = _wrapped(fact.sentence, width)
    lines += ["", "Source" if len(fact.sources) == 1 else "Sources", *_items(map(str, fact.sources), width)]
    if fact.limits:
        lines += ["", "Keep in mind", *_items(fact.limits, width)]
    return lines


def listing_lines(facts: Sequence[tuple[str, str]], width: int) -> list[str]:
    """What can be asked, each with a command that asks it."""
    lines = _wrapped("Ask for one fact of the trade. It answers in a sentence, then says its source and limits.", width)
    for says, example in facts:
        lines += ["", *_wrapped(says, width), *_wrapped(f"  {example}", width, 4)]
    return lines


def _items(texts: Iterable[str], width: int) -> Iterable[str]:
    for text in texts:
        yield from _wrapped(f"  - {text}", width, 4)


def _wrapped(text: str, width: int, hang: int = 0) -> list[str]:
    return textwrap.wrap(clean(text), max(width, _NARROWEST), subsequent_indent=" " * hang, break_on_hyphens=False)


def fact_data(fact: Fact) -> dict[str, Any]:
    """The values by name, then the sentence, the sources and the limits; decimals and days are strings."""
    told = {
        "sentence": fact.sentence,
        "sources": [{"text": s.text, "standing": s.standing} for s in fact.sources],
        "limits": list(fact.limits),
    }
    values = {
        n: [_plain(v) for v in value] if isinstance(value, tuple) else _plain(value) for n, value in fact.values.items()
    }
    assert not told.keys() & values.keys(), "a value would be hidden"
    return {**values, **told}


def _plain(value: Value) -> str | bool | int | None:
    if isinstance(value, Decimal):
        return f"{value.normalize() + 0:f}"
    return value.isoformat() if isinstance(value, date) else value
