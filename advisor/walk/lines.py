"""What the walk says: lines with a kind, which whoever shows them may style.

The kinds say what a line is, never how it looks; a plain terminal shows them all alike. Texts are longer or shorter by
the width there is, and never hold a control character of somebody's answer: whoever shows them cleans them.
"""

from __future__ import annotations

from typing import Literal

from attrs import frozen

__all__ = ["Kind", "Line", "fitting"]

Kind = Literal["station", "danger", "question", "answers", "now", "verdict", "effect", "rule", "wrong", "told", "list"]


@frozen
class Line:
    """A line, or a paragraph that is wrapped to the width."""

    kind: Kind
    text: str


def fitting(width: int, *texts: str) -> str:
    """The first of the texts, the longest first, that fits into the width; else as much of the last as fits."""
    for text in texts:
        if len(text) <= width:
            return text
    return texts[-1] if len(texts[-1]) <= width else texts[-1][: max(width - 1, 1)] + "~"
