"""The one way a rule file is laid out.

In: the text of a file without problems. Out: the same tokens and comments with canonical blanks. Blocks stand at
the margin, their lines are indented by four and continued lines by eight; the words that begin the lines of a block
share a width; `when` and `otherwise` stand below each other, and so do comments at the ends of lines that follow
each other. Nothing is reordered, and no comment leaves its line.
"""

from __future__ import annotations

import re

from attrs import define

from advisor.language.blocks import lexemes
from advisor.language.words import BODY_WORDS

__all__ = ["formatted"]

_WIDTH = 6
"""The words that begin the lines of these blocks are padded to this."""
_PADDED = (
    "ask",
    "fault",
    "refuse",
    "require",
    "caution",
    "never",
    "always",
    "set",
    "setting",
    "let",
    "season",
    "table",
    "comparables",
)
_WIDER = {"comparables": 9}
"""Blocks most of whose words are longer."""
_OPERATORS = frozenset(["+", "-", "*", "/", "..", ">=", "<=", ">", "<", "and", "or", "not", "is", "of"])
_UNARY_AFTER = _OPERATORS | {"", "(", ",", "=", ":", "when", "from", "to", "else", "assume", "usually"}
_NOT_CALLED = _OPERATORS | {"in", "one", "when", "otherwise", "else", "from", "to"}
_WIDEST = 100


@define
class _Line:
    """One line: its indentation, its text, the comment at its end, and the block it belongs to."""

    indent: int
    text: str
    comment: str
    block: int
    branch: bool


def formatted(text: str) -> str:
    """The canonical layout of a rule file or recorded car."""
    lines = _lines(text)
    _align_branches(lines)
    _align_comments(lines)
    rows = [" " * line.indent + line.text if line.text else "" for line in lines]
    return "\n".join(rows).rstrip("\n") + "\n" if rows else ""


def _lines(text: str) -> list[_Line]:
    """The lines with single blanks, runs of empty ones made one."""
    lines: list[_Line] = []
    head, before, depth, block = "", "", 0, 0
    for raw in text.splitlines():
        found = lexemes(raw)
        words = [m[0] for m in found]
        if not words:
            if lines and lines[-1].text:
                lines.append(_Line(0, "", "", block, branch=False))
            continue
        inside = raw[0] in " \t" and bool(head)
        comment = words.pop().rstrip() if words[-1].startswith("#") else ""
        if not words:
            lines.append(_Line(4 if inside else 0, comment, "", block, branch=False))
            continue
        if not inside:
            head, before, depth, block = words[0], "", 0, block + 1
        joined = len(found) > 1 and found[0].end() == found[1].start()
        goes_on = inside and (depth > 0 or _continues(before, words, joined=joined))
        indent = 8 if goes_on else 4 if inside else 0
        keyword = _keyword(words, head) if indent == 4 else 0
        branch = indent == 4 and head in ("let", "verdict") and not keyword
        lines.append(
            _Line(indent, _spaced(words, keyword, head, joined=joined and not goes_on), comment, block, branch)
        )
        depth += words.count("(") - words.count(")")
        before = words[-1]
    return lines


def _continues(before: str, words: list[str], *, joined: bool) -> bool:
    """Whether a line goes on with the one before; a minus sign joined to its number begins a branch instead."""
    first = words[0]
    if before in _OPERATORS or before == "," or (before[:1] == first[:1] == '"' and words[1:2] != ["="]):
        return True
    if first == "-":
        return not joined
    return first in _OPERATORS - {"not", "of"} or first in (")", ",")


def _keyword(words: list[str], head: str) -> int:
    """How many words make up the keyword that begins a line of a block; 0 if none does."""
    for count in (3, 2, 1):
        if len(words) >= count and " ".join(words[:count]) in BODY_WORDS.get(head, {}):
            return count
    return 0


def _spaced(words: list[str], keyword: int, head: str, *, joined: bool) -> str:
    """Words with the blanks between them."""
    text = ""
    for i, word in enumerate(words):
        if i == 0:
            text = word
        elif i == keyword:
            text = (text.ljust(_WIDER.get(head, _WIDTH)) if head in _PADDED else text) + " " + word
        else:
            text += word if _sticks(words, i, joined=joined) else " " + word
    return text


def _sticks(words: list[str], i: int, *, joined: bool) -> bool:
    """Whether no blank stands before the word at i."""
    word, before = words[i], words[i - 1]
    if before == "-":
        return (words[i - 2] if i > 1 else "") in _UNARY_AFTER and (i > 1 or joined)
    return word in (",", ")", ":") or before == "(" or (word == "(" and _calls(before))


def _calls(before: str) -> bool:
    """Whether a bracket after this word holds a function's arguments."""
    return bool(re.fullmatch(r"[A-Za-z_]\w*", before)) and before not in _NOT_CALLED


def _align_branches(lines: list[_Line]) -> None:
    """Put `when` and `otherwise` of one block's branches below each other."""
    for block in {line.block for line in lines if line.branch}:
        branches = [(line, _cut(line.text)) for line in lines if line.block == block and line.branch]
        width = max((len(line.text[:cut].rstrip()) for line, cut in branches if cut), default=0)
        for line, cut in branches:
            if cut:
                line.text = line.text[:cut].rstrip().ljust(width) + "  " + line.text[cut:].lstrip()


def _cut(text: str) -> int:
    """Where the condition of a branch begins; 0 if it has none on this line."""
    found = re.search(r" (?=(when|otherwise)\b)", text)
    return found.start() + 1 if found and '"' not in text[: found.start()] else 0


def _align_comments(lines: list[_Line]) -> None:
    """Put the comments at the ends of lines that follow each other below each other."""
    run: list[_Line] = []
    for line in [*lines, _Line(0, "", "", -1, branch=False)]:
        if line.comment and (not run or run[-1].block == line.block):
            run.append(line)
            continue
        width = max((line.indent + len(line.text) for line in run), default=0)
        for commented in run:
            room = width - commented.indent if width <= _WIDEST else 0
            commented.text = f"{commented.text.ljust(room)}  {commented.comment}"
        run = [line] if line.comment else []
