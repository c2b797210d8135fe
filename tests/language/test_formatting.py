"""The formatter: idempotent, keeps every comment and the same tree, over the bundled rules and over made-up blanks."""

from __future__ import annotations

import random
import re
from pathlib import Path

import pytest

from advisor import resources
from advisor.language.formatting import formatted
from advisor.language.linking import parse_source
from advisor.language.parsing import grammar
from advisor.language.source import Source

FILES = sorted(resources.rulesets_folder().glob("*.tell"))
SAMPLE = """\
ruleset   "Mine"
  currency USD
# about tires
let tires =
      -$100 when tread>=4/32 in   # new
      $320   when tread >= 2/32 in and not worn # fair
      $480 otherwise
let total = offer +
  tires
   - (30% of tires)   # a sum that goes on
require ok : total<=  smaller of( $100 , $200 )
    because "Because, and so on # not a comment."
case "one"
   on 2026-05-01
   gives  pass   because ok
"""
LAID_OUT = """\
ruleset "Mine"
    currency USD
# about tires
let tires =
    -$100  when tread >= 4/32 in               # new
    $320   when tread >= 2/32 in and not worn  # fair
    $480   otherwise
let total = offer +
        tires
        - (30% of tires)  # a sum that goes on
require ok: total <= smaller of ($100, $200)
    because "Because, and so on # not a comment."
case "one"
    on 2026-05-01
    gives pass because ok
"""


def tree(text: str) -> list[object]:
    """The nodes of a text, which leave places and comments out."""
    parsed = parse_source(grammar(resources.grammar_text()), Source("x.tell", text))
    assert not parsed.problems
    return list(parsed.blocks)


def comments(text: str) -> list[str]:
    """Every comment of a text, in order."""
    return [m.rstrip() for m in re.findall(r"#[^\n]*", re.sub(r'"[^"\n]*"', '""', text))]


def shaken(text: str, seed: int) -> str:
    """The same rules with other blanks: between words, before comments, at the starts of lines, empty lines."""
    chance = random.Random(seed)
    lines = []
    for line in text.splitlines():
        code = re.split(r'("[^"\n]*"|#[^\n]*)', line)
        wider = [re.sub(r"(?<=\S) (?=\S)", lambda _: " " * chance.randint(1, 3), part) for part in code]
        body = "".join(p if p.startswith(('"', "#")) else w for p, w in zip(code, wider, strict=True))
        if body.startswith(" "):
            body = " " * chance.randint(1, 9) + body.lstrip()
        lines.append(body + " " * chance.randint(0, 2))
        if not body.strip():
            lines += [""] * chance.randint(0, 2)
    return "\n".join(lines) + "\n"


def test_sample() -> None:
    assert formatted(SAMPLE) == LAID_OUT
    assert tree(SAMPLE) == tree(LAID_OUT)


@pytest.mark.parametrize("path", FILES, ids=lambda p: p.name)
def test_bundled_rules_are_laid_out_already(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    assert formatted(text) == text


@pytest.mark.parametrize("path", FILES, ids=lambda p: p.name)
@pytest.mark.parametrize("seed", range(4))
def test_shaken_rules_keep_tree_and_comments(path: Path, seed: int) -> None:
    text = shaken(path.read_text(encoding="utf-8"), seed)
    once = formatted(text)
    assert formatted(once) == once
    assert tree(once) == tree(text)
    assert comments(once) == comments(text)
