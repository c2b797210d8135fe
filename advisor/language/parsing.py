"""From blocks of text to trees.

In: a `Source` and the grammar's text. Out: lark trees, one for each sound block, and a problem for each other.
lark stays inside this module and `words.py`; `building.py` reads the trees it makes.
"""

from __future__ import annotations

import re
from functools import lru_cache

from attrs import frozen
from lark import Lark, Token, Tree
from lark.exceptions import UnexpectedCharacters, UnexpectedToken

from advisor.language import catalogue
from advisor.language.blocks import DEEPEST, Chunk
from advisor.language.problems import Problem, nearest
from advisor.language.source import Span
from advisor.language.words import BODY_WORDS, HEAD_WORDS, RESERVED, LineWords

__all__ = ["Parsed", "grammar", "parse_chunk"]


@frozen
class Parsed:
    """A block and its tree; token positions in the tree count from the start of the block."""

    chunk: Chunk
    tree: Tree[Token]


@lru_cache(maxsize=1)
def grammar(text: str) -> Lark:
    """The parser for a grammar text. Conflicts are the tests' business, which build it with `strict=True`."""
    return Lark(
        text, parser="lalr", lexer="basic", postlex=LineWords(), propagate_positions=True, maybe_placeholders=False
    )


def parse_chunk(parser: Lark, chunk: Chunk) -> Parsed | Problem:
    """Parse one block."""
    if not chunk.head:
        return _indented_or_odd(chunk)
    if chunk.head not in HEAD_WORDS:
        return _unknown_head(chunk)
    try:
        tree = _tree(parser, chunk.text)
    except UnexpectedToken as error:
        return _unexpected(chunk, error)
    except UnexpectedCharacters as error:
        at = error.pos_in_stream or 0
        return catalogue.ODD_CHARACTER.at(_part(chunk, at, at + 1), found=chunk.text[at], cure=_odd_cure(chunk, at))
    if _depth(tree) > DEEPEST:
        return catalogue.TOO_DEEP.at(
            chunk.span.source.span(chunk.span.start, chunk.span.start + len(chunk.head)), most=DEEPEST
        )
    return Parsed(chunk, tree)


@lru_cache(maxsize=4096)
def _tree(parser: Lark, text: str) -> Tree[Token]:
    """A block's tree. Rulesets share most of their files: each block is parsed once in a run, whoever uses it."""
    return parser.parse(text)


def _depth(tree: Tree[Token]) -> int:
    """How deep the tree is, without recursion."""
    deepest, level = 0, [tree]
    while level:
        deepest += 1
        level = [child for node in level for child in node.children if isinstance(child, Tree)]
    return deepest


# ---- saying what is wrong -----------------------------------------------------------------------------------


def _indented_or_odd(chunk: Chunk) -> Problem:
    first = re.match(r"\s*\S*", chunk.text)
    assert first
    start = chunk.span.start + len(first[0]) - len(first[0].lstrip())
    return catalogue.NOT_A_BLOCK.at(
        chunk.span.source.span(start, chunk.span.start + max(first.end(), 1)),
        found=first[0].strip() or chunk.text[:1],
        cure="begin the line with a word such as `ask`, `fault`, `let` or `require`, without a blank before it",
    )


def _unknown_head(chunk: Chunk) -> Problem:
    guess = nearest(chunk.head, HEAD_WORDS)
    return catalogue.NOT_A_BLOCK.at(
        chunk.span.source.span(chunk.span.start, chunk.span.start + len(chunk.head)),
        found=chunk.head,
        cure=f"did you mean `{guess}`?" if guess else f"blocks begin with {', '.join(HEAD_WORDS)}",
    )


def _odd_cure(chunk: Chunk, at: int) -> str:
    c = chunk.text[at]
    if c == ".":
        return "write a zero before the point, as in `0.5`, and `..` between the ends of a range"
    if c == "%":
        return "join the sign to its number, as in `30%`"
    if c in "$£€" and (behind := re.match(r"\s*-\s*(\d\S*)", chunk.text[at + 1 :])):
        return f"write `-{c}{behind[1]}`"
    if c in "$£€":
        return "join the sign to its amount, as in `$1,250`"
    if c in "!=":
        return "compare with `is`, `is not`, `>=`, `<=`, `>` or `<`"
    if c in "[]{}":
        return "use round brackets"
    if c == "'" and (word := re.match(r"'([A-Za-z_]\w*)'", chunk.text[at:], re.ASCII)):
        return f'write `{word[1]}`, or put text between `"` and `"`'
    if c == "'":
        return 'put text between `"` and `"`'
    return "take it out, or put it in a text between quotes"


_WORDS = {
    "NAME": "a name", "STRING": "a text in quotes", "NUMBER": "a number", "MONEY": "an amount of money",
    "PERCENT": "a percentage", "DATE": "a date", "_NL": "the next line", "$END": "the end of the block",
    "COMPARE": "a comparison such as `>=`", "RANGE": "`..`", "UNITS": "a unit", "MONEY_UNIT": "a unit",
    "LPAR": "`(`", "RPAR": "`)`", "COMMA": "`,`", "COLON": "`:`", "EQUAL": "`=`",
    "PLUS": "`+`", "MINUS": "`-`", "TIMES": "`*`", "OVER": "`/`", "BECAUSE_OF": "`because`",
    "ONLY_WHEN": "`only when`", "CAN_BECOME": "`can become`",
    "UNSURE_ASSUME": "`unsure assume`", "REFUSED_ASSUME": "`refused assume`",
    "IF_LEFT": "`if left`", "ON_PAGE_TWO": "`on page two`",
    "OVER_SETTING": "`over`", "MUST_BE_FIXED": "`must be fixed`", "TOGETHER_WITH": "`together with`",
}  # fmt: skip
_OPENER = re.compile(r"[ \t]*[=:]")
_ARITHMETIC = {"PLUS", "MINUS", "TIMES", "OVER", "OF", "COMPARE", "IS", "AND", "OR", "RANGE"}
_VALUES = {"NUMBER", "MONEY", "PERCENT", "DATE"}


def _unexpected(chunk: Chunk, error: UnexpectedToken) -> Problem:
    token = error.token
    accepts = {str(a) for a in error.accepts or ()}
    wanted = _wanted(accepts)
    body = BODY_WORDS[chunk.head]
    before = chunk.text[: token.start_pos or 0]
    if token.type in ("_NL", "$END"):
        end = len(chunk.text.rstrip()) if token.type == "$END" else len(before.rstrip())
        end = len(re.sub(r"#[^\n]*\Z", "", chunk.text[:end]).rstrip())
        word = re.search(r"\S+\Z", chunk.text[:end])
        start = word.start() if word else 0
        return catalogue.LINE_UNFINISHED.at(_part(chunk, start, end), wanted=wanted, cure=_missing_cure(chunk, accepts))
    start, end = token.start_pos or 0, token.end_pos or len(chunk.text)
    span = _part(chunk, start, end)
    line_start = not before.rpartition("\n")[2].strip() and bool(before)
    if line_start and token.type == "NAME" and body:
        guess = nearest(str(token), body) or nearest(" ".join(chunk.text[start:].split()[:2]), body)
        cure = f"did you mean `{guess}`?" if guess else "lines here begin with " + ", ".join(f"`{w}`" for w in body)
        if not guess and (opener := _OPENER.match(chunk.text, end)):
            words = "`let` or `setting`" if opener[0].strip() == "=" else "`ask` or `require`"
            cure = f"if a block begins here, write {words} before it, at the left edge"
        return catalogue.NOT_A_LINE.at(span, found=token, block=chunk.head, cure=cure)
    # Where a sum, or a kind of answer, could stand, the word is out of place; it is nobody's idea of a name.
    names_something = "NAME" in accepts and not accepts & {"LPAR", "ONE"}
    if names_something and str(token) in RESERVED and token.type != "NAME":
        return catalogue.RESERVED_WORD.at(span, found=token)
    return catalogue.UNEXPECTED.at(span, found=str(token), wanted=wanted, cure=_cure(chunk, token, accepts, start))


def _part(chunk: Chunk, start: int, end: int) -> Span:
    return chunk.span.source.span(chunk.span.start + start, chunk.span.start + max(end, start + 1))


def _wanted(accepts: set[str]) -> str:
    words = []
    if "_NL" in accepts:
        accepts = accepts - {"$END"}
    if "MONEY" not in accepts:
        # After a name a number could make it a day, and a bracket a call: true, and no help.
        accepts = accepts - {"NUMBER", "LPAR"} or accepts
    if accepts & _VALUES and "LPAR" in accepts:
        words.append("a value")
        accepts = accepts - _VALUES - {"NAME", "LPAR", "MINUS", "SMALLER", "LARGER", "NOT"}
    if len(accepts & _ARITHMETIC) > 4:
        words.append("an operator")
        accepts = accepts - _ARITHMETIC - {"LPAR", "IN"}
    if len(accepts & _VALUES) > 2:
        words.append("a value")
        accepts = accepts - _VALUES - {"NAME", "STRING", "MINUS"}
    words += sorted({_WORDS.get(a, f"`{a.lower()}`") for a in accepts})
    if len(words) > 5:
        return ", ".join(words[:5]) + " and the like"
    return words[0] if len(words) == 1 else ", ".join(words[:-1]) + " or " + words[-1]


def _missing_cure(chunk: Chunk, accepts: set[str]) -> str:
    if accepts == {"RANGE"}:
        return "write low, likely and high: `$150 .. $300 .. $900`"
    if accepts == {"STRING"}:
        return 'add the text between `"` and `"`'
    if "RPAR" in accepts:
        return "close the bracket"
    return "finish the line, or take it out"


def _cure(chunk: Chunk, token: Token, accepts: set[str], start: int) -> str:
    text = str(token)
    before = chunk.text[:start].rstrip()
    if accepts == {"EQUAL"} and (line := before.rpartition("\n")[2].strip()) and chunk.head == "case":
        # Taken for an answer, as any word may be that begins no other line.
        guess = nearest(line, BODY_WORDS[chunk.head])
        return f"write `{guess} {text}`" if guess else "put `=` here"
    if text == "=" and "COMPARE" in accepts:
        return "to compare, write `is`, `>=`, `<=`, `>` or `<`"
    if token.type == "UNITS" and "/" in text:
        return "put blanks around `/` to divide"
    if before.endswith("one of") and "LPAR" in accepts:
        return "put the list in brackets, as in `is one of (salvage, missing)`"
    if token.type == "NAME" and (before[-1:].isdigit() or before.endswith("%")):
        return "check the unit, or the word that is missing here"
    if len(accepts) == 1:
        (only,) = accepts
        return f"put {_WORDS.get(only, f'`{only.lower()}`')} here"
    if token.type == "STRING" and "NAME" in accepts and re.fullmatch(r'"[A-Za-z_]\w*"', text, re.ASCII):
        return f"write `{text[1:-1]}`, without quotes"
    if token.type == "STRING":
        return "write the word it belongs to before it, or put it behind the text that it goes on with"
    return f"check the word before it, or take `{text}` out"
