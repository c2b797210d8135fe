"""Words that start a line.

Between lark's lexer and its parser. In: the tokens of one block. Out: the same tokens, with `_NL` between lines
and with the words that start a line turned into keywords. Which words those are depends on the block's first
word, so that `left`, `open` or `parts` stay free to be a choice or a name everywhere else.
"""

from __future__ import annotations

from collections.abc import Iterator

from lark import Token

__all__ = ["BODY_WORDS", "HEAD_WORDS", "MARKET_WORDS", "RESERVED", "LineWords"]

MARKET_WORDS = {
    "private": "private",
    "dealer": "dealer",
    "auction": "auction",
    "stands": "stands",
    "a year": "a_year",
    "each 10,000 miles": "per_10k",
    "rough": "rough",
    "fair": "fair",
    "excellent": "excellent",
    "branded": "branded",
    "spread": "spread",
    "drift": "drift",
}
"""The words of a `comparables` block that begin a figure of the market, and the fields of `Market` they fill."""
_SOURCE = {"source": "SOURCE"}
_RULE = {"because": "BECAUSE", "lesson": "LESSON"} | _SOURCE
_CAR = {"on": "ON", "note": "NOTE", "comparable": "COMPARABLE", "told": "TOLD", "denied": "DENIED"}

BODY_WORDS: dict[str, dict[str, str]] = {
    "ruleset": {"currency": "CURRENCY", "rate": "RATE"} | _SOURCE,
    "use": {},
    "without": {},
    "words": {},
    "keep": {},
    "set": _SOURCE,
    "setting": _SOURCE,
    "station": {"danger": "DANGER"} | _SOURCE,
    "ask": {
        "how": "HOW",
        "why": "WHY",
        "takes": "TAKES",
        "usually": "USUALLY",
        "unsure assume": "UNSURE_ASSUME",
        "refused assume": "REFUSED_ASSUME",
        "only when": "ONLY_WHEN",
        "can become": "CAN_BECOME",
        "fine": "FINE",
        "major": "MAJOR",
    }
    | _SOURCE,
    "fault": {
        "parts": "PARTS",
        "shop": "SHOP",
        "labor": "LABOR",
        "labour": "LABOR",
        "wait": "WAIT",
        "quote": "QUOTE",
        "if left": "IF_LEFT",
        "must be fixed": "MUST_BE_FIXED",
        "together with": "TOGETHER_WITH",
        "because": "BECAUSE",
    }
    | _SOURCE,
    "let": _SOURCE,
    "season": {"open": "OPEN"} | _SOURCE,
    "table": _SOURCE,
    "show": {},
    "section": {"leads": "LEADS", "on page two": "ON_PAGE_TWO", "drawn": "DRAWN"} | _SOURCE,
    "curve": {"over": "OVER_SETTING", "shows": "SHOWS", "most": "MOST"} | _SOURCE,
    "comparables": {"year": "SUBJECT", "miles": "SUBJECT"} | dict.fromkeys(MARKET_WORDS, "MARKET") | _SOURCE,
    "refuse": _RULE,
    "require": _RULE,
    "caution": _RULE | {"for safety": "FOR_SAFETY"},
    "verdict": _SOURCE,
    "never": _RULE,
    "always": _RULE,
    "car": _CAR,
    "case": _CAR | {"gives": "GIVES"},
}
"""For each word that opens a block, the words that may start a line inside it."""

HEAD_WORDS = {word: word.upper() for word in BODY_WORDS}

RESERVED = frozenset(
    [
        "and",
        "or",
        "not",
        "is",
        "in",
        "one",
        "of",
        "when",
        "otherwise",
        "else",
        "from",
        "to",
        "by",
        "like",
        "smaller",
        "larger",
        "yes",
        "no",
    ]
)
"""Words that cannot be names, because they mean something in the middle of a line."""

_CONTINUES_AFTER = {
    "PLUS",
    "MINUS",
    "TIMES",
    "OVER",
    "RANGE",
    "COMPARE",
    "COMMA",
    "EQUAL",
    "AND",
    "OR",
    "NOT",
    "IS",
    "OF",
}
_CONTINUES_BEFORE = {"PLUS", "TIMES", "OVER", "RANGE", "COMPARE", "AND", "OR", "IS", "RPAR", "COMMA"}
_INSIDE = {("case", "because"): "BECAUSE_OF", ("comparables", "for"): "FOR"}
"""Words that mean something in the middle of a line of one kind of block."""


class LineWords:
    """The lark post-lexer; `lark.Lark(..., postlex=LineWords())`."""

    always_accept = ()

    def process(self, stream: Iterator[Token]) -> Iterator[Token]:
        """Insert `_NL` and retag the first words of lines."""
        tokens = list(stream)
        if not tokens:
            return
        head = str(tokens[0])
        body = BODY_WORDS.get(head, {})
        depth, i = 0, 0
        previous: Token | None = None
        while i < len(tokens):
            token = tokens[i]
            first = previous is None or (token.line or 0) > (previous.line or 0)
            if previous is None:
                if head in HEAD_WORDS:
                    token = Token.new_borrow_pos(HEAD_WORDS[head], token.value, token)
            elif first and depth == 0 and not _continues(previous, token, tokens[i + 1 : i + 2]):
                yield Token.new_borrow_pos("_NL", "", token)
                # `told = yes` answers a question of that name.
                answer = head in ("car", "case") and [t.type for t in tokens[i + 1 : i + 2]] == ["EQUAL"]
                token, used = (token, 1) if answer else _line_word(tokens, i, body)
                i += used - 1
            elif (head, str(token)) in _INSIDE:
                token = Token.new_borrow_pos(_INSIDE[head, str(token)], token.value, token)
            depth += {"LPAR": 1, "RPAR": -1}.get(token.type, 0)
            yield token
            previous = tokens[i]
            i += 1


def _continues(previous: Token, token: Token, after: list[Token]) -> bool:
    """A line goes on where the one before ends in an operator or this one begins with one."""
    if previous.type in _CONTINUES_AFTER or token.type in _CONTINUES_BEFORE:
        return True
    if previous.type == token.type == "STRING":
        # A long text goes on as a second one; `"tag office" = "DVLA"` is a line of its own.
        return not (after and after[0].type == "EQUAL")
    # `- recon` goes on with a sum; `-$100 when ...` begins a branch.
    return token.type == "MINUS" and bool(after) and after[0].start_pos != token.end_pos


def _line_word(tokens: list[Token], i: int, body: dict[str, str]) -> tuple[Token, int]:
    """The token that begins a line, as a keyword of up to three words if it is one, and how many it used."""
    for count in (3, 2, 1):
        words = tokens[i : i + count]
        phrase = " ".join(words)
        if len(words) == count and phrase in body and words[-1].line == words[0].line:
            merged = Token.new_borrow_pos(body[phrase], phrase, words[0])
            merged.end_pos = words[-1].end_pos
            merged.end_line, merged.end_column = words[-1].end_line, words[-1].end_column
            return merged, count
    return tokens[i], 1
