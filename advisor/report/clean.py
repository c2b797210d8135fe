"""Text made safe for a terminal.

Answers, notes, rule texts and file names come from outside. No byte of them may reach a screen as a control code:
C0, DEL, C1 and the controls that reorder text from right to left are shown as `?`.
"""

from __future__ import annotations

__all__ = ["clean"]

_REORDERING = "\u061c\u200e\u200f\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069"
_TABLE = dict.fromkeys([*range(32), 127, *range(128, 160), *map(ord, _REORDERING), 8232, 8233, 65279], "?")
_TABLE |= {ord("\t"): " ", **dict.fromkeys(range(0xD800, 0xE000), "?")}


def clean(text: str) -> str:
    """The text with everything that a terminal could take for a command made visible."""
    return text.translate(_TABLE)
