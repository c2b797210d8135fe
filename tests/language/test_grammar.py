"""The grammar itself: no conflicts, and trees that keep every word that matters."""

from __future__ import annotations

import pytest
from lark import Lark, Tree

from advisor import resources
from advisor.language.words import BODY_WORDS, HEAD_WORDS, RESERVED, LineWords


@pytest.fixture(scope="module")
def parser() -> Lark:
    """With `strict`, lark refuses a grammar that could be read in two ways, and terminals that could be confused."""
    return Lark(
        resources.grammar_text(),
        parser="lalr",
        lexer="basic",
        postlex=LineWords(),
        maybe_placeholders=False,
        strict=True,
    )


def shape(tree: object) -> object:
    """A tree as nested words."""
    if isinstance(tree, Tree):
        return (str(tree.data), *(shape(child) for child in tree.children))
    return str(tree)


A, B, C = (("name", letter) for letter in "abc")
CONDITIONS = {
    "not a": ("not_", "not", A),
    "not not a": ("not_", "not", ("not_", "not", A)),
    "not a and b": ("chain", ("not_", "not", A), "and", B),
    "a and not b and c": ("chain", A, "and", ("not_", "not", B), "and", C),
    "a or (b and not c)": ("chain", A, "or", ("bracket", ("chain", B, "and", ("not_", "not", C)))),
    "a is not b": ("is_", A, "is", "not", B),
    "not a is b": ("not_", "not", ("is_", A, "is", B)),
    "a is not one of (b, c)": ("is_one_of", A, "is", "not", "one", "of", B, C),
    "a is not in b": ("is_in", A, "is", "not", "in", "b"),
    "a - b - c >= 0": ("compare", ("minus", ("minus", A, "-", B), "-", C), ">=", ("quantity", "0")),
    "a - b * c < 0": ("compare", ("minus", A, "-", ("times", B, "*", C)), "<", ("quantity", "0")),
    "-a * b < 0": ("compare", ("times", ("negative", "-", A), "*", B), "<", ("quantity", "0")),
    "50% of a / b > c": ("compare", ("over", ("share_of", ("percent", "50%"), "of", A), "/", B), ">", C),
}


@pytest.mark.parametrize(("text", "wanted"), CONDITIONS.items(), ids=CONDITIONS)
def test_no_word_of_a_condition_is_lost(text: str, wanted: object, parser: Lark) -> None:
    tree = shape(parser.parse(f"caution x when {text}"))
    assert tree == ("start", ("caution", "caution", "x", "when", wanted))


_PHRASES = {w for body in BODY_WORDS.values() for phrase in body for w in phrase.split()}
LINE_WORDS = sorted(w for w in _PHRASES - RESERVED if w.isidentifier())


@pytest.mark.parametrize("word", [*HEAD_WORDS, *LINE_WORDS])
def test_a_word_that_starts_a_line_is_a_name_elsewhere(word: str, parser: Lark) -> None:
    tree = shape(parser.parse(f"refuse {word} when body is one of ({word}, other) and {word} > 3"))
    assert tree[1][2] == word  # type: ignore[index]  # a tree of lists
    choice = shape(parser.parse(f"ask body: one of hatch, {word}"))
    assert word in choice[1][4]  # type: ignore[index]  # likewise
