"""From parsed trees to nodes.

In: what `parsing.py` parsed. Out: the nodes of `nodes.py`, and the problems that a grammar cannot see: a line
said twice, `and` mixed with `or`, `% of` beside a sum without brackets.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator

from attrs import define, field
from lark import Token, Tree

from advisor.language import catalogue, nodes
from advisor.language.blocks import Chunk
from advisor.language.problems import Problem
from advisor.language.source import Span
from advisor.language.words import BODY_WORDS

__all__ = ["build"]

Node = Tree[Token] | Token


def build(chunk: Chunk, tree: Tree[Token]) -> tuple[nodes.Block, list[Problem]]:
    """The node of one block and the problems found while building it."""
    builder = _Builder(chunk)
    (inner,) = tree.children
    assert isinstance(inner, Tree)
    return builder.block(inner), builder.problems


def _trees(tree: Tree[Token], *kinds: str) -> Iterator[Tree[Token]]:
    return (c for c in tree.children if isinstance(c, Tree) and c.data in kinds)


def _tokens(tree: Tree[Token], *kinds: str) -> list[Token]:
    return [c for c in tree.children if isinstance(c, Token) and c.type in kinds]


@define
class _Builder:
    chunk: Chunk
    problems: list[Problem] = field(factory=list)

    # ---- places and small parts ----

    def span(self, node: Node) -> Span:
        base = self.chunk.span.start
        if isinstance(node, Token):
            return self.chunk.span.source.span(base + (node.start_pos or 0), base + (node.end_pos or 0))
        if node.meta.empty:
            return self.chunk.span
        return self.chunk.span.source.span(base + node.meta.start_pos, base + node.meta.end_pos)

    def name(self, token: Token) -> nodes.Name:
        return nodes.Name(str(token), self.span(token))

    def value(self, node: Node) -> nodes.ValueText:
        span = self.span(node)
        return nodes.ValueText(_single(span.text), span)

    def words(self, tree: Tree[Token]) -> str:
        return " ".join(str(t)[1:-1] for t in _tokens(tree, "STRING"))

    def once(self, tree: Tree[Token], kind: str) -> Tree[Token] | None:
        """The line of this kind, complaining about a second one."""
        found = list(_trees(tree, kind))
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
        found = self.once(tree, kind)
        return self.words(found) if found else ""

    def source(self, tree: Tree[Token]) -> nodes.Cited | None:
        found = self.once(tree, "source")
        if not found:
            return None
        span = self.span(found)
        words = [str(t) for t in _tokens(found, "NAME", "FROM")]
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

    # ---- blocks ----

    def block(self, tree: Tree[Token]) -> nodes.Block:
        make: Callable[[Tree[Token]], nodes.Block] = getattr(self, f"make_{tree.data}")
        return make(tree)

    def make_ruleset(self, tree: Tree[Token]) -> nodes.Ruleset:
        currency = self.once(tree, "currency")
        name = self.name(_tokens(currency, "NAME")[0]) if currency else None
        return nodes.Ruleset(self.words(tree), name, self.span(tree))

    def make_use(self, tree: Tree[Token]) -> nodes.Use:
        return nodes.Use(self.words(tree), self.span(_tokens(tree, "STRING")[0]))

    def make_without(self, tree: Tree[Token]) -> nodes.Without:
        return nodes.Without(tuple(self.name(t) for t in _tokens(tree, "NAME")), self.span(tree))

    def make_set(self, tree: Tree[Token]) -> nodes.SetTo:
        name, value = _tokens(tree, "NAME")[0], _after(tree, "EQUAL")
        return nodes.SetTo(self.name(name), self.value(value), self.source(tree), self.span(tree))

    def make_setting(self, tree: Tree[Token]) -> nodes.Setting:
        text = self.words(tree) or self.line(tree, "text")
        value = self.value(_after(tree, "EQUAL"))
        return nodes.Setting(self.name(_tokens(tree, "NAME")[0]), value, text, self.source(tree), self.span(tree))

    def make_station(self, tree: Tree[Token]) -> nodes.Station:
        dangers = tuple(nodes.Line(self.words(t), self.span(t)) for t in _trees(tree, "danger"))
        title = self.words(tree)
        return nodes.Station(title, dangers, self.source(tree), self.span(tree))

    def make_ask(self, tree: Tree[Token]) -> nodes.Ask:
        only, takes = self.once(tree, "only"), self.once(tree, "takes")
        usually = self.once(tree, "usually")
        unsure, refused = self.once(tree, "unsure"), self.once(tree, "refused")
        type_ = next(_trees(tree, "plain_type", "choice_type", "range_type", "list_type", "code_type"))
        return nodes.Ask(
            name=self.name(_tokens(tree, "NAME")[0]),
            type=self.type(type_),
            text=self.line(tree, "text"),
            how=self.line(tree, "how"),
            why=self.line(tree, "why"),
            takes=self.value(takes.children[-1]) if takes else None,
            usually=tuple(self.share(t) for t in _trees(usually, "share")) if usually else (),
            unsure=self.value(unsure.children[-1]) if unsure else None,
            refused=self.value(refused.children[-1]) if refused else None,
            gate=self.expr(_after(only, "ONLY_WHEN")) if only else None,
            otherwise=self.value(only.children[-1]) if only else None,
            major=self.once(tree, "major") is not None,
            source=self.source(tree),
            span=self.span(tree),
        )

    def share(self, tree: Tree[Token]) -> tuple[nodes.Name, nodes.Literal]:
        name, percent = _tokens(tree, "NAME", "PERCENT")
        return self.name(name), nodes.Literal(str(percent), self.span(percent))

    def type(self, tree: Tree[Token]) -> nodes.TypeNode:
        span = self.span(tree)
        numbers = [nodes.Literal(str(t), self.span(t)) for t in _tokens(tree, "NUMBER")]
        units = [nodes.Unit(str(t.children[0]), self.span(t)) for t in _trees(tree, "unit_name")]
        domains = [(self.value(d.children[1]), self.value(d.children[3])) for d in _trees(tree, "domain")]
        match tree.data:
            case "choice_type":
                return nodes.ChoiceOf(tuple(self.name(t) for t in _tokens(tree, "NAME")), span)
            case "range_type":
                return nodes.RangeType(units[0], *domains[0], span)
            case "list_type":
                return nodes.ListType(numbers[0], numbers[1], units[0], domains[0] if domains else None, span)
            case "code_type":
                return nodes.CodeOf(self.name(_tokens(tree, "NAME")[0]), numbers[0], numbers[1], span)
        return nodes.PlainType(span.text, span)

    def make_fault(self, tree: Tree[Token]) -> nodes.Fault:
        figures = {kind: self.once(tree, kind) for kind in ("parts", "shop", "labor", "wait")}
        left, together = self.once(tree, "left"), self.once(tree, "together")
        return nodes.Fault(
            name=self.name(_tokens(tree, "NAME")[0]),
            when=self.expr(_after(tree, "WHEN")),
            text=self.line(tree, "text") or self.line(tree, "because"),
            **{kind: self.expr(t.children[-1]) if t else None for kind, t in figures.items()},
            effects=tuple(self.effect(t) for t in _trees(left, "effect")) if left else (),
            must=self.once(tree, "must") is not None,
            together=tuple(self.name(t) for t in _tokens(together, "NAME")) if together else (),
            source=self.source(tree),
            span=self.span(tree),
        )

    def effect(self, tree: Tree[Token]) -> nodes.Effect:
        words = " ".join(str(t) for t in _tokens(tree, "NAME", "TO"))
        value = self.span(tree.children[-1])
        return nodes.Effect(words, nodes.Literal(_single(value.text), value), self.span(tree))

    def make_let(self, tree: Tree[Token]) -> nodes.Let:
        branches = tuple(self.branch(t) for t in _trees(tree, "branch"))
        value = branches or self.expr(_after(tree, "EQUAL"))
        text = self.words(tree) or self.line(tree, "text")
        return nodes.Let(self.name(_tokens(tree, "NAME")[0]), value, text, self.source(tree), self.span(tree))

    def branch(self, tree: Tree[Token]) -> nodes.Branch:
        condition = self.expr(tree.children[-1]) if _tokens(tree, "WHEN") else None
        return nodes.Branch(self.expr(tree.children[0]), condition, self.span(tree))

    def make_season(self, tree: Tree[Token]) -> nodes.Season:
        windows = []
        for window in _trees(tree, "window"):
            first, last = (
                nodes.MonthDayLiteral(_single(self.span(t).text), self.span(t)) for t in _trees(window, "month_day")
            )
            windows.append((first, last))
        return nodes.Season(self.name(_tokens(tree, "NAME")[0]), tuple(windows), self.source(tree), self.span(tree))

    def make_table(self, tree: Tree[Token]) -> nodes.Table:
        name, by = _tokens(tree, "NAME")
        entries = []
        for line in _trees(tree, "entries"):
            for entry in _trees(line, "entry"):
                key, value = entry.children
                assert isinstance(key, Token)
                entries.append((self.name(key), self.value(value)))
        return nodes.Table(self.name(name), self.name(by), tuple(entries), self.source(tree), self.span(tree))

    def make_show(self, tree: Tree[Token]) -> nodes.Show:
        return nodes.Show(self.name(_tokens(tree, "NAME")[0]), self.words(tree), self.span(tree))

    def rule(self, tree: Tree[Token]) -> tuple[nodes.Name, nodes.Expr, str, str, nodes.Cited | None, Span]:
        return (
            self.name(_tokens(tree, "NAME")[0]),
            self.expr(_after(tree, "WHEN", "COLON")),
            self.line(tree, "because"),
            self.line(tree, "lesson"),
            self.source(tree),
            self.span(tree),
        )

    def make_refuse(self, tree: Tree[Token]) -> nodes.Refuse:
        return nodes.Refuse(*self.rule(tree))

    def make_caution(self, tree: Tree[Token]) -> nodes.Caution:
        return nodes.Caution(*self.rule(tree))

    def make_require(self, tree: Tree[Token]) -> nodes.Require:
        return nodes.Require(*self.rule(tree))

    def make_verdict(self, tree: Tree[Token]) -> nodes.Verdict:
        rungs = []
        for rung in _trees(tree, "rung"):
            condition = self.expr(rung.children[-1]) if _tokens(rung, "WHEN") else None
            rungs.append(nodes.Rung(self.name(_tokens(rung, "NAME")[0]), condition, self.span(rung)))
        return nodes.Verdict(tuple(rungs), self.source(tree), self.span(tree))

    def make_promise(self, tree: Tree[Token]) -> nodes.Promise:
        name, condition, because, _, source, span = self.rule(tree)
        return nodes.Promise(str(tree.children[0]), name, condition, because, source, span)

    # ---- cars and cases ----

    def make_car(self, tree: Tree[Token]) -> nodes.Car:
        names = [c for c in tree.children if isinstance(c, Token)]
        like = names[names.index(_tokens(tree, "LIKE")[0]) + 1] if _tokens(tree, "LIKE") else None
        title = self.words(tree) if tree.data == "case" or _tokens(tree, "STRING") else ""
        name = None if tree.data == "case" or title else self.name(_tokens(tree, "NAME")[0])
        on = self.once(tree, "on")
        day = _tokens(on, "DATE")[0] if on else None
        return nodes.Car(
            name=name,
            title=title or (name.text if name else ""),
            like=self.name(like) if like else None,
            day=nodes.Literal(str(day), self.span(day)) if day else None,
            answers=tuple(self.answer(t) for t in _trees(tree, "answer")),
            notes=tuple(self.words(t) for t in _trees(tree, "note")),
            span=self.span(tree),
        )

    def answer(self, tree: Tree[Token]) -> tuple[nodes.Name, nodes.ValueText]:
        values = tree.children[tree.children.index(_tokens(tree, "EQUAL")[0]) + 1 :]
        span = self.span(values[0]).to(self.span(values[-1]))
        return self.name(_tokens(tree, "NAME")[0]), nodes.ValueText(_single(span.text), span)

    def make_case(self, tree: Tree[Token]) -> nodes.Case:
        gives = []
        for line in _trees(tree, "gives"):
            names = [self.name(t) for t in _tokens(line, "NAME")]
            equal = _tokens(line, "EQUAL")
            if equal:
                gives.append(nodes.Gives(names[0], (), self.value(_after(line, "EQUAL")), self.span(line)))
                continue
            gives.append(nodes.Gives(names[0], tuple(names[1:]), None, self.span(line)))
        return nodes.Case(self.words(tree), self.make_car(tree), tuple(gives), self.span(tree))

    # ---- expressions ----

    def expr(self, node: Node) -> nodes.Expr:
        span = self.span(node)
        if isinstance(node, Token):
            return nodes.Name(str(node), span)
        kids = [c for c in node.children if isinstance(c, Tree)]
        match node.data:
            case "quantity" | "money" | "percent" | "date":
                return nodes.Literal(_single(span.text), span)
            case "month_day":
                return nodes.MonthDayLiteral(_single(span.text), span)
            case "name":
                return nodes.Name(span.text, span)
            case "bracket":
                return self.bracketed(kids[0])
            case "negative":
                return nodes.Negative(self.expr(kids[0]), span)
            case "plus" | "minus" | "times" | "over" | "share_of":
                return self.binary(node, kids, span)
            case "estimate":
                low, likely, high = (nodes.Literal(_single(self.span(k).text), self.span(k)) for k in kids)
                return nodes.ThreePoint(low, likely, high, span)
            case "call":
                return nodes.Call(self.name(_tokens(node, "NAME")[0]), tuple(self.expr(k) for k in kids), span)
            case "extreme":
                which = str(_tokens(node, "SMALLER", "LARGER")[0])
                return nodes.Extreme(which, tuple(self.expr(k) for k in kids), span)
            case "not_":
                return nodes.Not(self.expr(kids[0]), span)
            case "chain":
                return self.chain(node, kids, span)
            case "compare":
                op = str(_tokens(node, "COMPARE")[0])
                return nodes.Compare(op, self.expr(kids[0]), self.expr(kids[1]), span)
            case "is_" | "is_one_of":
                negated = bool(_tokens(node, "NOT"))
                options = tuple(self.expr(k) for k in kids[1:])
                return nodes.Is(self.expr(kids[0]), options, negated, node.data == "is_one_of", span)
            case "is_in":
                season = self.name(_tokens(node, "NAME")[0])
                return nodes.InSeason(self.expr(kids[0]), season, bool(_tokens(node, "NOT")), span)
        raise AssertionError(node.data)

    def bracketed(self, node: Tree[Token]) -> nodes.Expr:
        inner = self.expr(node)
        if isinstance(inner, nodes.Binary):
            return nodes.Binary(inner.op, inner.left, inner.right, inner.span, bracketed=True)
        if isinstance(inner, nodes.Chain):
            return nodes.Chain(inner.ops, inner.terms, inner.span, bracketed=True)
        return inner

    def binary(self, node: Tree[Token], kids: list[Tree[Token]], span: Span) -> nodes.Binary:
        op = str(_tokens(node, "PLUS", "MINUS", "TIMES", "OVER", "OF")[0])
        left, right = self.expr(kids[0]), self.expr(kids[1])
        if op in "+-":
            for side in (left, right):
                if isinstance(side, nodes.Binary) and side.op == "of" and not side.bracketed:
                    self.problems.append(catalogue.SHARE_NEEDS_BRACKETS.at(side.span, text=side.span.text))
        return nodes.Binary(op, left, right, span)

    def chain(self, node: Tree[Token], kids: list[Tree[Token]], span: Span) -> nodes.Chain:
        words = _tokens(node, "AND", "OR")
        ops = tuple(str(t) for t in words)
        if len(set(ops)) > 1:
            other = next(t for t in words if str(t) != ops[0])
            self.problems.append(catalogue.MIXED_AND_OR.at(self.span(other)))
        return nodes.Chain(ops, tuple(self.expr(k) for k in kids), span)


def _single(text: str) -> str:
    """A written value with single blanks, so that layout is no part of the tree."""
    return " ".join(text.split())


def _after(tree: Tree[Token], *kinds: str) -> Node:
    """What follows the first token of one of these kinds."""
    for i, child in enumerate(tree.children):
        if isinstance(child, Token) and child.type in kinds:
            return tree.children[i + 1]
    raise AssertionError(kinds)
