"""From a file's name to all the blocks it means.

In: the name of a rule file and a `Library` that can find and read files. Out: the blocks of the file and of
everything it uses, in order, and what its `without` and `set` ask for. Each file is read and parsed once.
"""

from __future__ import annotations

import hashlib
import re
from bisect import bisect_left
from functools import lru_cache
from typing import Protocol

from attrs import define, field, frozen
from lark import Lark

from advisor.language import catalogue, nodes
from advisor.language.blocks import MOST_PROBLEMS, Chunk, canonical, cut
from advisor.language.building import build
from advisor.language.parsing import Parsed, parse_chunk
from advisor.language.problems import Problem
from advisor.language.source import Source, Span
from advisor.language.values import Unreadable
from advisor.language.words import HEAD_WORDS

__all__ = ["Library", "Linked", "ParsedFile", "link", "parse_source"]

_MOST_FILES = 64


class Digest(Protocol):
    """What hashlib's objects have in common."""

    def update(self, data: bytes, /) -> None:
        """Add to what is hashed."""


class Library(Protocol):
    """Where rule files come from. The command line gives one that reads the disk."""

    def find(self, target: str, user: str | None) -> Source:
        """The file that `use "target"` means in the file named `user` (None for the first file).

        Raises `Unreadable` with the kind of problem where there is none, or where it may not be reached.
        """


@define
class Linked:
    """Everything that a rule file and the files it uses say."""

    main: Source
    sources: list[Source] = field(factory=list)
    users: dict[str, str] = field(factory=dict)
    """For each file but the first, the one that uses it first."""
    blocks: list[nodes.Block] = field(factory=list)
    problems: list[Problem] = field(factory=list)
    broken: dict[str, Span] = field(factory=dict)
    """Names whose own block could not be read: their uses are no problems of their own."""
    nameless: int = 0
    """Blocks that could not be read because their name is missing: each excuses one unknown name."""
    incomplete: bool = False
    """A used file could not be read: no name counts as unknown."""
    no_currency: bool = False
    """A `ruleset` could not be read: whatever currency it names is no problem of its own."""
    no_verdict: bool = False
    """A `verdict` could not be read, nor the words of its own that it may have had."""
    digest: str = ""


@frozen
class ParsedFile:
    """The blocks of one file, its problems, the chunks that gave no block, and its text without comments and blanks."""

    blocks: tuple[nodes.Block, ...]
    problems: tuple[Problem, ...]
    lost: tuple[Chunk, ...]
    canonical: bytes


@lru_cache(maxsize=_MOST_FILES)
def parse_source(parser: Lark, source: Source) -> ParsedFile:
    """Parse one file. Rulesets share most of their files: each is parsed once in a run, whoever uses it."""
    chunks, problems, lost = cut(source)
    told = [p.span.start for p in problems]
    blocks: list[nodes.Block] = []
    for chunk in chunks:
        if len(problems) > MOST_PROBLEMS:
            lost.append(chunk)
            continue
        parsed = parse_chunk(parser, chunk)
        if isinstance(parsed, Parsed):
            block, found = build(chunk, parsed.tree)
            blocks.append(block)
            problems.extend(found)
        else:
            lost.append(chunk)
            # A look-alike has been told already; the block that it spoils is not a second mistake.
            if bisect_left(told, chunk.span.start) == bisect_left(told, chunk.span.end):
                problems.append(parsed)
    text = "".join(canonical(chunk.text) + "\n" for chunk in chunks)
    return ParsedFile(tuple(blocks), tuple(problems), tuple(lost), text.encode("utf-8", "surrogatepass"))


def link(parser: Lark, first: Source, library: Library) -> Linked:
    """Read a file and everything it uses."""
    linked = Linked(first)
    digest = hashlib.sha256()
    _read(parser, first, library, linked, [], digest)
    linked.digest = digest.hexdigest()
    return linked


def _read(parser: Lark, source: Source, library: Library, linked: Linked, path: list[str], digest: Digest) -> None:
    linked.sources.append(source)
    if path:
        linked.users[source.name] = path[-1]
    parsed = parse_source(parser, source)
    linked.problems.extend(parsed.problems)
    for chunk in parsed.lost[:MOST_PROBLEMS]:
        _remember_broken(chunk, linked)
    linked.incomplete = linked.incomplete or len(parsed.lost) > MOST_PROBLEMS
    for block in parsed.blocks:
        if isinstance(block, nodes.Use):
            _use(parser, block, source, library, linked, [*path, source.name], digest)
        else:
            linked.blocks.append(block)
    digest.update(parsed.canonical)


def _use(
    parser: Lark, block: nodes.Use, user: Source, library: Library, linked: Linked, path: list[str], digest: Digest
) -> None:
    try:
        source = library.find(block.target, user.name)
    except Unreadable as error:
        linked.problems.append(error.at(block.span))
        linked.incomplete = True
        return
    if source.name in path:
        circle = " -> ".join([*path[path.index(source.name) :], source.name])
        linked.problems.append(catalogue.USE_CYCLE.at(block.span, path=circle))
    elif len(linked.sources) >= _MOST_FILES:
        if not any(p.kind is catalogue.TOO_MANY_FILES for p in linked.problems):
            linked.problems.append(catalogue.TOO_MANY_FILES.at(block.span, most=_MOST_FILES))
        linked.incomplete = True
    elif source.name not in [s.name for s in linked.sources]:
        _read(parser, source, library, linked, path, digest)


_NAMING = frozenset(("setting", "ask", "fault", "let", "season", "table", "refuse", "require", "caution", "car"))
"""Blocks that define a name."""
_BARE_TEXT = re.compile(r'\n[ \t]+"[^"\n]*"[ \t]*(\n|\Z)')
_ODD_USE = re.compile(r'(?!ruleset|station|section|curve|case)\w+[ \t]+"[^"\n]*"')
_OUTSET = re.compile(r"[^\n\"=:(]*")
_INNER_OUTSET = re.compile(r"\n[ \t]+([A-Za-z_]\w*)[ \t]*(?:[=:]|when\b)")


def _remember_broken(chunk: Chunk, linked: Linked) -> None:
    """A block that gave no node still has a name: what it would have defined."""
    linked.no_currency = linked.no_currency or chunk.head == "ruleset"
    linked.no_verdict = linked.no_verdict or chunk.head == "verdict"
    text = re.sub(r'("[^"\n]*")|#[^\n]*', lambda m: m[1] or "", chunk.text)
    lost_use = chunk.head in ("ruleset", "use", "set", "without") and _BARE_TEXT.search(text)
    if chunk.head in ("", "use") or lost_use or _ODD_USE.fullmatch(text.strip()):
        linked.incomplete = True
    if chunk.head not in ("car", "case", "words"):
        # A line that lost the word before it, and with it its place at the edge, ends up in the block above.
        for name in _INNER_OUTSET.findall(text):
            linked.broken.setdefault(name, chunk.span)
    if chunk.head in HEAD_WORDS.keys() - _NAMING:
        return
    outset = _OUTSET.match(text)
    words = re.findall(r"[A-Za-z_]\w*", re.split(r"\b(?:when|by|like|is|of)\b", outset[0])[0]) if outset else []
    names = [w for w in words if w not in HEAD_WORDS]
    for name in names[:2]:
        linked.broken.setdefault(name, chunk.span)
    if not names:
        linked.nameless += 1
