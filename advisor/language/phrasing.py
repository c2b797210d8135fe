"""The parts that every block is made of: names, values, texts, sources and expressions.

In: parts of the trees that `parsing.py` made. Out: their nodes, and the problems that a grammar cannot see: a line
said twice, `and` mixed with `or`, `% of` beside a sum without brackets. `building.py` makes blocks of them.
"""

from __future__ import annotations

from collections.abc import Iterator

from attrs import define, field
from lark import Token, Tree

from advisor.language import catalogue, nodes
from advisor.language.blocks import Chunk
from advisor.language.problems import Problem
from advisor.language.source import Span
from advisor.language.words import BODY_WORDS

__all__ = ["Node", "Phrases", "after", "single", "tokens", "trees"]

Node = Tree[Token] | Token


def trees(tree: Tree[Token], *kinds: str) -> Iterator[Tree[Token]]:
    """The subtrees of these kinds, in order."""
    return (c for c in tree.children if isinstance(c, Tree) and c.data in kinds)


def tokens(tree: Tree[Token], *kinds: str) -> list[Token]:
    """The tokens of these kinds that stand directly in a tree."""
    return [c for c in tree.children if isinstance(c, Token) and c.type in kinds]


@define
class Phrases:
    """Makes the nodes of one block's parts."""

    chunk: Chunk
    problems: list[Problem] = field(factory=list)

    # ---- places and small parts ----

    def span(self, node: Node) -> Span:
        """Where a part of the block stands in its file."""
        base = self.chunk.span.start
        if isinstance(node, Token):
            return self.chunk.span.source.span(base + (node.start_pos or 0), base + (node.end_pos or 0))
        if node.meta.empty:
            return self.chunk.span
        return self.chunk.span.source.span(base + node.meta.start_pos, base + node.meta.end_pos)

    def name(self, token: Token) -> nodes.Name:
        """A name as written."""
        return nodes.Name(str(token), self.span(token))

    def value(self, node: Node) -> nodes.ValueText:
        """A value that is read once its type is known."""
        span = self.span(node)
        return nodes.ValueText(single(span.text), span)

    def words(self, tree: Tree[Token]) -> str:
        """The texts of a line, joined."""
        return " ".join(str(t)[1:-1] for t in tokens(tree, "STRING"))

    def once(self, tree: Tree[Token], kind: str) -> Tree[Token] | None:
        """The line of this kind, complaining about a second one."""
        found = list(trees(tree, kind))
        if len(found) > 1:
            first, second = self.span(found[0]), self.span(found[1])
            if kind == "text":
                self.problems.append(self.stray_text(second))
            else:
                self.problems.append(
                    catalogue.SAID_TWICE.at(second, what=second.text.split()[0], notes=[(first, "here first")])
                )
        return found[0] if found else None

    def stray_text(self, span: Span) -> Problem:
        """A second text without a word before it: most likely the word was left out."""
        words = [w for w in ("how", "why", "because", "source") if w in BODY_WORDS[self.chunk.head]]
        wanted = " or ".join(f"`{w}`" for w in words[:2])
        cure = "write the word it belongs to before it, or put it behind the text that it goes on with"
        return catalogue.UNEXPECTED.at(span, found=span.text, wanted=wanted, cure=cure)

    def line(self, tree: Tree[Token], kind: str) -> str:
        """The text of the one line of a kind; empty if there is none."""
        found = self.once(tree, kind)
        return self.words(found) if found else ""

    def source(self, tree: Tree[Token]) -> nodes.Cited | None:
        """The source that a block names."""
        found = self.once(tree, "source")
        if not found:
            return None
        span = self.span(found)
        words = [str(t) for t in tokens(found, "NAME", "FROM")]
        text = self.words(found)
        match words:
            case []:
                return nodes.Cited("published", text, span)
            case ["common", "practice"]:
                return nodes.Cited("practice", "common practice", span)
            case ["house", "figure"]:
                return nodes.Cited("house", "house figure", span)
            case ["from", "memory"]:
                return nodes.Cited("memory", text, span)
        self.problems.append(catalogue.ODD_SOURCE.at(span))
        return nodes.Cited("practice", "", span)

    # ---- expressions ----

    def expr(self, node: Node) -> nodes.Expr:
        """An expression."""
        span = self.span(node)
        if isinstance(node, Token):
            return nodes.Name(str(node), span)
        kids = [c for c in node.children if isinstance(c, Tree)]
        match node.data:
            case "quantity" | "money" | "percent" | "date":
                return nodes.Literal(single(span.text), span)
            case "month_day":
                return nodes.MonthDayLiteral(single(span.text), span)
            case "name":
                return nodes.Name(span.text, span)
            case "bracket":
                return self.bracketed(kids[0])
            case "negative":
                return nodes.Negative(self.expr(kids[0]), span)
            case "plus" | "minus" | "times" | "over" | "share_of":
                return self.binary(node, kids, span)
            case "estimate":
                low, likely, high = (nodes.Literal(single(self.span(k).text), self.span(k)) for k in kids)
                return nodes.ThreePoint(low, likely, high, span)
            case "call":
                return nodes.Call(self.name(tokens(node, "NAME")[0]), tuple(self.expr(k) for k in kids), span)
            case "extreme":
                which = str(tokens(node, "SMALLER", "LARGER")[0])
                return nodes.Extreme(which, tuple(self.expr(k) for k in kids), span)
            case "not_":
                return nodes.Not(self.expr(kids[0]), span)
            case "chain":
                return self.chain(node, kids, span)
            case "compare":
                op = str(tokens(node, "COMPARE")[0])
                return nodes.Compare(op, self.expr(kids[0]), self.expr(kids[1]), span)
            case "is_" | "is_one_of":
                negated = bool(tokens(node, "NOT"))
                options = tuple(self.expr(k) for k in kids[1:])
                return nodes.Is(self.expr(kids[0]), options, negated, node.data == "is_one_of", span)
            case "is_in":
                season = self.name(tokens(node, "NAME")[0])
                return nodes.InSeason(self.expr(kids[0]), season, bool(tokens(node, "NOT")), span)
        raise AssertionError(node.data)

    def bracketed(self, node: Tree[Token]) -> nodes.Expr:
        """An expression that stood in brackets."""
        inner = self.expr(node)
        if isinstance(inner, nodes.Binary):
            return nodes.Binary(inner.op, inner.left, inner.right, inner.span, bracketed=True)
        if isinstance(inner, nodes.Chain):
            return nodes.Chain(inner.ops, inner.terms, inner.span, bracketed=True)
        return inner

    def binary(self, node: Tree[Token], kids: list[Tree[Token]], span: Span) -> nodes.Binary:
        """A sum, a difference, a product, a quotient or a share."""
        op = str(tokens(node, "PLUS", "MINUS", "TIMES", "OVER", "OF")[0])
        left, right = self.expr(kids[0]), self.expr(kids[1])
        if op in "+-":
            for side in (left, right):
                if isinstance(side, nodes.Binary) and side.op == "of" and not side.bracketed:
                    self.problems.append(catalogue.SHARE_NEEDS_BRACKETS.at(side.span, text=side.span.text))
        return nodes.Binary(op, left, right, span)

    def chain(self, node: Tree[Token], kids: list[Tree[Token]], span: Span) -> nodes.Chain:
        """What `and` or `or` joins."""
        words = tokens(node, "AND", "OR")
        ops = tuple(str(t) for t in words)
        if len(set(ops)) > 1:
            other = next(t for t in words if str(t) != ops[0])
            self.problems.append(catalogue.MIXED_AND_OR.at(self.span(other)))
        return nodes.Chain(ops, tuple(self.expr(k) for k in kids), span)


def single(text: str) -> str:
    """A written value with single blanks, so that layout is no part of the tree."""
    return " ".join(text.split())


def after(tree: Tree[Token], *kinds: str) -> Node:
    """What follows the first token of one of these kinds."""
    for i, child in enumerate(tree.children):
        if isinstance(child, Token) and child.type in kinds:
            return tree.children[i + 1]
    raise AssertionError(kinds)
