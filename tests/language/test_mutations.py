"""One mistake, one message: measured on copies of the bundled rulesets, each with one slip of the pen.

A token is deleted, doubled, swapped with the next or misspelt by a letter. Only copies that the slip makes wrong
count, for a slip in a text, or one that leaves a rule of another meaning, is no mistake that anything could see.
"""

from __future__ import annotations

import random
import string
from collections.abc import Iterator

import pytest
from attrs import define, frozen
from lark import Lark

from advisor import resources
from advisor.cli.library import DiskLibrary
from advisor.language.blocks import cut, lexemes
from advisor.language.checking import check
from advisor.language.linking import link
from advisor.language.parsing import grammar
from advisor.language.problems import Problem
from advisor.language.source import Source
from advisor.report.problems import render_problem

FOLDER = resources.rulesets_folder()
FILES = sorted(path.relative_to(FOLDER).as_posix() for path in FOLDER.rglob("*.tell"))
PARTS = 4
"""The files are taken in turns, so that their copies can be checked side by side."""
SLIPS = ("delete", "double", "swap", "misspell")
LINES = 110
"""One copy with a slip for so many lines of a file."""
MOST = 1.2
"""Messages for one mistake, on average."""


@define
class Swapped(DiskLibrary):
    """The bundled rules, with one file as it is in a copy."""

    copy: Source | None = None

    def find(self, target: str, user: str | None) -> Source:
        found = super().find(target, user)
        return self.copy if self.copy is not None and found.name == self.copy.name else found


@frozen
class Mutant:
    """A ruleset with one slip in it."""

    slip: str
    token: str
    source: Source


def misspelt(word: str, rng: random.Random) -> str:
    """The word with one letter changed, dropped, doubled or swapped with the next."""
    letters = [i for i, c in enumerate(word) if c.isalnum()]
    at = rng.choice(letters)
    match rng.choice(("change", "drop", "double", "swap")):
        case "change":
            return word[:at] + rng.choice(string.ascii_lowercase.replace(word[at].lower(), "")) + word[at + 1 :]
        case "drop":
            return word[:at] + word[at + 1 :]
        case "double":
            return word[: at + 1] + word[at:]
    return word[:at] + word[at + 1 : at + 2] + word[at] + word[at + 2 :]


def mutants(original: Source, rng: random.Random) -> Iterator[Mutant]:
    """Copies of a file with one slip each."""
    chunks, _, _ = cut(original)
    for i in range(max(1, original.text.count("\n") // LINES)):
        slip = SLIPS[i % len(SLIPS)]
        chunk = rng.choice(chunks)
        tokens = [t for t in lexemes(chunk.text) if not t[0].startswith("#")]
        if slip == "misspell":
            tokens = [t for t in tokens if any(c.isalnum() for c in t[0])]
        at = rng.randrange(len(tokens) - (slip == "swap"))
        token = tokens[at]
        start, end = chunk.span.start + token.start(), chunk.span.start + token.end()
        text = original.text
        match slip:
            case "delete":
                changed = text[:start] + text[end:]
            case "double":
                changed = text[:end] + " " + token[0] + text[end:]
            case "misspell":
                changed = text[:start] + misspelt(token[0], rng) + text[end:]
            case _:
                second = chunk.span.start + tokens[at + 1].start(), chunk.span.start + tokens[at + 1].end()
                between = text[end : second[0]]
                changed = text[:start] + tokens[at + 1][0] + between + token[0] + text[second[1] :]
        yield Mutant(slip, token[0], Source(original.name, changed))


@pytest.fixture(scope="module")
def parser() -> Lark:
    return grammar(resources.grammar_text())


def problems_of(parser: Lark, source: Source) -> tuple[Problem, ...]:
    """What is said about a bundled file, or a copy of it: by itself, or for a part of the walk by the whole walk."""
    library = Swapped(copy=source)
    stem = source.name.removeprefix("rulesets/").removesuffix(".tell")
    first = library.bundled(stem.partition("/")[0])  # so that a copy stands where the ruleset does
    return check(link(parser, first if "/" in stem else source, library))[1]


@pytest.mark.parametrize("part", range(PARTS))
def test_one_slip_gives_hardly_more_than_one_message(parser: Lark, part: int) -> None:
    rng = random.Random(f"slips {part}")
    counts: list[int] = []
    talkative: list[str] = []
    copies = 0
    for name in FILES[part::PARTS]:
        original = Source(f"rulesets/{name}", (FOLDER / name).read_text(encoding="utf-8"))
        assert not problems_of(parser, original)
        for mutant in mutants(original, rng):
            copies += 1
            found = problems_of(parser, mutant.source)
            if found:
                counts.append(len(found))
            if len(found) > 1:
                rendered = "\n".join(map(render_problem, found))
                talkative.append(f"--- {name}: {mutant.slip} `{mutant.token}`\n{rendered}")
    average = sum(counts) / len(counts)
    print(f"{len(counts)} wrong copies of {copies}, {average:.3f} messages for each mistake")
    assert len(counts) >= 10
    assert average <= MOST, "\n".join(talkative)
