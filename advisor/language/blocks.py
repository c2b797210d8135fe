"""Cutting a file into its top-level blocks.

In: a `Source`. Out: the stretches that `parsing.py` parses one by one, and the problems that can be seen without
parsing: text never closed, typographic look-alikes, brackets too deep, a file too large. Parsing blocks apart is
what keeps one mistake one message: an error can swallow no more than its own block.
"""

from __future__ import annotations

import re
from itertools import pairwise

from attrs import field, frozen

from advisor.language import catalogue
from advisor.language.problems import Problem
from advisor.language.source import Source, Span

__all__ = ["DEEPEST", "LARGEST", "MOST_PROBLEMS", "Chunk", "canonical", "cut", "lexemes", "without_comments"]

LARGEST = 1 << 20
"""The most characters a file may have."""
MOST_BLOCKS = 20_000
"""The most blocks of a rule file, or lines of a recorded car."""
MOST_PROBLEMS = 500
"""The most problems that are told in one run."""
DEEPEST = 64
"""The most brackets, or operations, inside one another."""

_LOOK_ALIKES = {
    "\u201c": '"', "\u201d": '"', "\u201e": '"', "\u00ab": '"', "\u00bb": '"', "\u2033": '"',
    "\u2018": "'", "\u2019": "'",
    "\u2013": "-", "\u2014": "-", "\u2212": "-", "\u2010": "-", "\u2011": "-",
    "\u2265": ">=", "\u2264": "<=", "\u00d7": "*", "\u00f7": "/", "\u2026": "..", "\u00a0": " ",
    "\u202f": " ", "\u2009": " ", "\uff1d": "=", "\uff0c": ",", "\ufeff": "",
}  # fmt: skip

_PLAIN = {ord(c): plain[:1] or " " for c, plain in _LOOK_ALIKES.items()}
_ODD = re.compile("[()" + "".join(map(re.escape, _LOOK_ALIKES)) + "]")
_WORTH_A_LOOK = re.compile('["()' + "".join(map(re.escape, _LOOK_ALIKES)) + "]")
_QUOTED_WORD = re.compile(
    "([A-Za-z_][A-Za-z0-9_]*)[" + "".join(c for c, p in _LOOK_ALIKES.items() if p in ('"', "'")) + "]"
)
_CHOICE_BEFORE = re.compile(r"(?:=|,|\(|\b(?:is|not|of))[ \t]*\Z")
_TOKEN_START = re.compile(r'"[^"\n]*("|(?=\n)|\Z)|#[^\n]*|[^"#]+')


_LEXEME = re.compile(r'"[^"\n]*"|#[^\n]*|\d{4}-\d\d-\d\d|[\w.,/%$£€]*[\w%]|>=|<=|\.\.|[^\s]')


def lexemes(text: str) -> list[re.Match[str]]:
    """The words, numbers, signs, texts and comments of a sound block, in order."""
    return list(_LEXEME.finditer(text))


def without_comments(text: str) -> str:
    """A stretch of a file with blanks in the place of comments and line ends, so that every character stays."""
    blank = re.sub(r'("[^"\n]*")|#[^\n]*', lambda m: m[1] or " " * len(m[0]), text)
    return blank.replace("\n", " ")


def canonical(text: str) -> str:
    """A block without comments and with single blanks: what the hash of the rules is taken of."""
    return " ".join(m[0] for m in lexemes(text) if not m[0].startswith("#"))


@frozen
class Chunk:
    """One top-level block: where it stands and its text, in which every character keeps its offset."""

    span: Span
    text: str = field(repr=False)

    @property
    def head(self) -> str:
        """Its first word."""
        found = re.match(r"[A-Za-z_]+", self.text)
        return found[0] if found else ""


def cut(source: Source) -> tuple[list[Chunk], list[Problem], list[Chunk]]:
    """The sound chunks of a file, the problems found on the way, and the chunks that have one."""
    if len(source.text) > LARGEST:
        return [], [catalogue.FILE_TOO_LARGE.at(source.span(0, 0), most="1 MiB")], []
    sound, problems, broken = [], [], []
    stretches = _stretches(source.text)
    if len(stretches) > MOST_BLOCKS:
        return [], [catalogue.FILE_TOO_LARGE.at(source.span(0, 0), most=f"{MOST_BLOCKS:,} blocks")], []
    for start, end in stretches:
        span = source.span(start, end)
        text = source.text[start:end]
        found, cleaned = _look(span, text)
        chunk = Chunk(span, cleaned)
        if found:
            problems.append(found)
        if found and found.kind is not catalogue.LOOK_ALIKE:
            broken.append(chunk)
        else:
            sound.append(chunk)
    return sound, problems, broken


def _stretches(text: str) -> list[tuple[int, int]]:
    """From each line that begins without a blank to the next one; comments and empty lines begin nothing."""
    starts: list[int] = []
    at = 0
    for line in re.findall(r"[^\n]*\n|[^\n]+", text):
        if line[0] not in " \t#\n" or (not starts and line.strip() and not line.lstrip().startswith("#")):
            starts.append(at)
        at += len(line)
    return list(pairwise([*starts, len(text)]))


def _look(span: Span, text: str) -> tuple[Problem | None, str]:
    """The first thing wrong with the characters of a block, and the text with look-alikes made plain."""
    if not _WORTH_A_LOOK.search(text):
        return None, text
    depth, problem, parts = 0, None, []
    for piece in _TOKEN_START.finditer(text):
        content, at = piece[0], span.start + piece.start()
        if content.startswith('"'):
            if not piece[1]:
                return catalogue.TEXT_NEVER_CLOSED.at(span.source.span(at, at + len(content.rstrip()))), text
        elif not content.startswith("#"):
            for odd in _ODD.finditer(content):
                i, c = odd.start(), odd[0]
                depth += {"(": 1, ")": -1}.get(c, 0)
                if depth > DEEPEST:
                    return catalogue.TOO_DEEP.at(span.source.span(at + i, at + i + 1), most=DEEPEST), text
                if c in _LOOK_ALIKES and problem is None:
                    problem = catalogue.LOOK_ALIKE.at(
                        span.source.span(at + i, at + i + 1),
                        found=c.strip() or "a special blank",
                        cure=_plain_cure(content, i),
                    )
            # A replacement of another length would move what follows, so only the first problem needs exact offsets.
            content = content.translate(_PLAIN)
        parts.append(content)
    return problem, "".join(parts)


def _plain_cure(content: str, at: int) -> str:
    """What to type for the look-alike at a place: plain quotes, but none around the word of a choice."""
    plain = _LOOK_ALIKES[content[at]]
    quoted = _QUOTED_WORD.match(content, at + 1)
    if plain in ('"', "'") and quoted and _CHOICE_BEFORE.search(content, 0, at):
        return f"write `{quoted[1]}`, without quotes"
    return f"type `{plain}`" if plain.strip() else "type a blank" if plain else "take it out"
