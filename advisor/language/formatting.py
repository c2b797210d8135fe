"""The one way a rule file is laid out.

In: the text of a file without problems. Out: the same tokens and comments with canonical blanks: blocks at the
margin, their lines indented by four, continued lines by eight, one blank between words, one empty line between
blocks that had one. Nothing is reordered and no comment is moved off its line.
"""

from __future__ import annotations

import re

from advisor.language.blocks import lexemes
from advisor.language.words import BODY_WORDS, HEAD_WORDS

__all__ = ["formatted"]

_NO_BLANK_BEFORE = (",", ")", ":")
_WIDTH = 7
"""The word that begins a line inside a block is padded to this."""
_OPERATORS = ("+", "*", "/", "..", ">=", "<=", ">", "<")


def formatted(text: str) -> str:
    """The canonical layout of a rule file or recorded car."""
    lines: list[str] = []
    head, depth, before = "", 0, ""
    for raw in text.splitlines():
        words = [m[0] for m in lexemes(raw)]
        if not words:
            if lines and lines[-1]:
                lines.append("")
            continue
        if words[0].startswith("#"):
            indented = raw[0] in " \t" and head
            lines.append(("    " if indented else "") + words[0].rstrip())
            continue
        top = raw[0] not in " \t" or not head
        if top:
            head, depth, before = words[0], 0, ""
        indent = 0 if top else 8 if depth > 0 or _continues(before, words) else 4
        body = _spaced(words, head if indent == 4 else "")
        lines.append(" " * indent + body)
        code = [w for w in words if not w.startswith("#")]
        depth += code.count("(") - code.count(")")
        before = code[-1]
    while lines and not lines[-1]:
        lines.pop()
    return "\n".join(lines) + "\n" if lines else ""


def _continues(before: str, words: list[str]) -> bool:
    if before in (*_OPERATORS, "-", ",", "=", "and", "or", "not", "is", "of") and before != "=":
        return True
    if words[0] in (*_OPERATORS, "and", "or", "is", ")", ","):
        return True
    return words[0] == "-"


def _spaced(words: list[str], head: str) -> str:
    """Words with the blanks between them; the comment at the end keeps two."""
    out = ""
    phrase = _first_words(words, head)
    for i, word in enumerate(words):
        if word.startswith("#"):
            out += f"  {word.rstrip()}"
        elif not out:
            out = word
        elif phrase and i == phrase:
            out = out.ljust(_WIDTH - 1) + " " + word
        elif word in _NO_BLANK_BEFORE or words[i - 1] == "(" or (word == "(" and _calls(words, i)) or _unary(words, i):
            out += word
        else:
            out += " " + word
    return out


def _first_words(words: list[str], head: str) -> int:
    """How many words make up the keyword that begins a line of a block; 0 if none does."""
    for count in (3, 2, 1):
        if len(words) > count and " ".join(words[:count]) in BODY_WORDS.get(head, {}):
            return count
    return 0


def _calls(words: list[str], i: int) -> bool:
    """Whether the bracket at i belongs to a function's name before it."""
    before = words[i - 1]
    return bool(re.fullmatch(r"[A-Za-z_]\w*", before)) and before not in _KEYWORDS


_KEYWORDS = frozenset(
    ["and", "or", "not", "is", "in", "one", "of", "when", "otherwise", "else", "from", "to", "by", "like", "smaller", "larger", "because", "source", "if", "left"]
) | frozenset(HEAD_WORDS)


def _unary(words: list[str], i: int) -> bool:
    """Whether the word at i follows a minus sign that belongs to it."""
    if words[i - 1] != "-":
        return False
    before = words[i - 2] if i >= 2 else ""
    return before in (
        "",
        "(",
        ",",
        "=",
        ":",
        *_OPERATORS,
        "-",
        "and",
        "or",
        "not",
        "is",
        "of",
        "when",
        "from",
        "to",
        "else",
    )
