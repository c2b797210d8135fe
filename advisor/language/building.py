"""From parsed trees to nodes.

In: what `parsing.py` parsed. Out: the nodes of `nodes.py`, made of what `phrasing.py` makes, and the problems found on
the way.
"""

from __future__ import annotations

from collections.abc import Callable

from attrs import define
from lark import Token, Tree

from advisor.language import nodes
from advisor.language.blocks import Chunk, without_comments
from advisor.language.phrasing import Phrases, after, single, tokens, trees
from advisor.language.problems import Problem
from advisor.language.source import Span

__all__ = ["build"]


def build(chunk: Chunk, tree: Tree[Token]) -> tuple[nodes.Block, list[Problem]]:
    """The node of one block and the problems found while building it."""
    builder = _Builder(chunk)
    (inner,) = tree.children
    assert isinstance(inner, Tree)
    return builder.block(inner), builder.problems


@define
class _Builder(Phrases):
    # ---- blocks ----

    def block(self, tree: Tree[Token]) -> nodes.Block:
        make: Callable[[Tree[Token]], nodes.Block] = getattr(self, f"make_{tree.data}")
        return make(tree)

    def make_ruleset(self, tree: Tree[Token]) -> nodes.Ruleset:
        currency = self.once(tree, "currency")
        name = self.name(tokens(currency, "NAME")[0]) if currency else None
        rates = tuple(self.rate(t) for t in trees(tree, "rate"))
        return nodes.Ruleset(self.words(tree), name, rates, self.source(tree), self.span(tree))

    def rate(self, tree: Tree[Token]) -> nodes.Rate:
        left, right = (nodes.Literal(str(t), self.span(t)) for t in tokens(tree, "MONEY"))
        of = tokens(tree, "NAME")
        return nodes.Rate(left, self.name(of[0]) if of else None, right, self.span(tree))

    def make_use(self, tree: Tree[Token]) -> nodes.Use:
        return nodes.Use(self.words(tree), self.span(tokens(tree, "STRING")[0]))

    def make_without(self, tree: Tree[Token]) -> nodes.Without:
        return nodes.Without(tuple(self.name(t) for t in tokens(tree, "NAME")), self.span(tree))

    def make_keep(self, tree: Tree[Token]) -> nodes.Keep:
        return nodes.Keep(tuple(self.name(t) for t in tokens(tree, "NAME")), self.span(tree))

    def make_words(self, tree: Tree[Token]) -> nodes.Words:
        entries = []
        for line in trees(tree, "word_line"):
            phrase, _, *texts = (c for c in line.children if isinstance(c, Token))
            said = " ".join(str(t)[1:-1] for t in texts)
            span = self.span(texts[0]).to(self.span(texts[-1]))
            entries.append((nodes.Line(str(phrase).strip('"'), self.span(phrase)), nodes.Line(said, span)))
        return nodes.Words(tuple(entries), self.span(tree))

    def make_set(self, tree: Tree[Token]) -> nodes.SetTo:
        name, value = tokens(tree, "NAME")[0], after(tree, "EQUAL")
        return nodes.SetTo(self.name(name), self.value(value), self.domain(tree), self.source(tree), self.span(tree))

    def make_setting(self, tree: Tree[Token]) -> nodes.Setting:
        text = self.words(tree) or self.line(tree, "text")
        name, value = self.name(tokens(tree, "NAME")[0]), self.value(after(tree, "EQUAL"))
        return nodes.Setting(name, value, self.domain(tree), text, self.source(tree), self.span(tree))

    def domain(self, tree: Tree[Token]) -> tuple[nodes.ValueText, nodes.ValueText] | None:
        """The values between which a setting lies."""
        return next(((self.value(d.children[1]), self.value(d.children[3])) for d in trees(tree, "domain")), None)

    def make_station(self, tree: Tree[Token]) -> nodes.Station:
        dangers = tuple(nodes.Line(self.words(t), self.span(t)) for t in trees(tree, "danger"))
        title = self.words(tree)
        return nodes.Station(title, dangers, self.source(tree), self.span(tree))

    def make_ask(self, tree: Tree[Token]) -> nodes.Ask:
        only, takes, fine = (self.once(tree, word) for word in ("only", "takes", "fine"))
        usually = self.once(tree, "usually")
        unsure, refused = self.once(tree, "unsure"), self.once(tree, "refused")
        type_ = next(trees(tree, "plain_type", "choice_type", "range_type", "list_type", "code_type"))
        return nodes.Ask(
            name=self.name(tokens(tree, "NAME")[0]),
            type=self.type(type_),
            text=self.line(tree, "text"),
            how=self.line(tree, "how"),
            why=self.line(tree, "why"),
            takes=self.value(takes.children[-1]) if takes else None,
            usually=tuple(self.share(t) for t in trees(usually, "share")) if usually else (),
            spread=next((self.value(t) for t in trees(usually, "spread")), None) if usually else None,
            unsure=self.value(unsure.children[-1]) if unsure else None,
            refused=self.value(refused.children[-1]) if refused else None,
            gate=self.expr(after(only, "ONLY_WHEN")) if only else None,
            otherwise=self.value(only.children[-1]) if only else None,
            becomes=tuple((self.value(after(t, "CAN_BECOME")), self.words(t)) for t in trees(tree, "becomes")),
            major=self.once(tree, "major") is not None,
            fine=self.value(fine.children[-1]) if fine else None,
            source=self.source(tree),
            span=self.span(tree),
        )

    def share(self, tree: Tree[Token]) -> tuple[nodes.Name, nodes.Literal]:
        name, percent = tokens(tree, "NAME", "PERCENT")
        return self.name(name), nodes.Literal(str(percent), self.span(percent))

    def type(self, tree: Tree[Token]) -> nodes.TypeNode:
        span = self.span(tree)
        numbers = [nodes.Literal(str(t), self.span(t)) for t in tokens(tree, "NUMBER")]
        units = [nodes.Unit(str(t.children[0]), self.span(t)) for t in trees(tree, "unit_name")]
        domains = [(self.value(d.children[1]), self.value(d.children[3])) for d in trees(tree, "domain")]
        match tree.data:
            case "choice_type":
                return nodes.ChoiceOf(tuple(self.name(t) for t in tokens(tree, "NAME")), span)
            case "range_type":
                return nodes.RangeType(units[0], *domains[0], span)
            case "list_type":
                return nodes.ListType(numbers[0], numbers[1], units[0], domains[0] if domains else None, span)
            case "code_type":
                return nodes.CodeOf(self.name(tokens(tree, "NAME")[0]), numbers[0], numbers[1], span)
        return nodes.PlainType(span.text, span)

    def make_fault(self, tree: Tree[Token]) -> nodes.Fault:
        figures = {kind: self.once(tree, kind) for kind in ("parts", "shop", "labor", "wait", "quote")}
        left, together = self.once(tree, "left"), self.once(tree, "together")
        return nodes.Fault(
            name=self.name(tokens(tree, "NAME")[0]),
            when=self.expr(after(tree, "WHEN")),
            text=self.line(tree, "text") or self.line(tree, "because"),
            **{kind: self.expr(t.children[-1]) if t else None for kind, t in figures.items()},
            effects=tuple(self.effect(t) for t in trees(left, "effect")) if left else (),
            must=self.once(tree, "must") is not None,
            together=tuple(self.name(t) for t in tokens(together, "NAME")) if together else (),
            source=self.source(tree),
            span=self.span(tree),
        )

    def effect(self, tree: Tree[Token]) -> nodes.Effect:
        words = " ".join(str(t) for t in tokens(tree, "NAME", "TO"))
        value = self.span(tree.children[-1])
        return nodes.Effect(words, nodes.Literal(single(value.text), value), self.span(tree))

    def make_let(self, tree: Tree[Token]) -> nodes.Let:
        branches = tuple(self.branch(t) for t in trees(tree, "branch"))
        value = branches or self.expr(after(tree, "EQUAL"))
        text = self.words(tree) or self.line(tree, "text")
        return nodes.Let(self.name(tokens(tree, "NAME")[0]), value, text, self.source(tree), self.span(tree))

    def branch(self, tree: Tree[Token]) -> nodes.Branch:
        condition = self.expr(tree.children[-1]) if tokens(tree, "WHEN") else None
        return nodes.Branch(self.expr(tree.children[0]), condition, self.span(tree))

    def make_season(self, tree: Tree[Token]) -> nodes.Season:
        windows = []
        for window in trees(tree, "window"):
            first, last = (
                nodes.MonthDayLiteral(single(self.span(t).text), self.span(t)) for t in trees(window, "month_day")
            )
            windows.append((first, last))
        return nodes.Season(self.name(tokens(tree, "NAME")[0]), tuple(windows), self.source(tree), self.span(tree))

    def make_table(self, tree: Tree[Token]) -> nodes.Table:
        name, by = tokens(tree, "NAME")
        entries = []
        for line in trees(tree, "entries"):
            for entry in trees(line, "entry"):
                key, value = entry.children
                assert isinstance(key, Token)
                entries.append((self.name(key), self.value(value)))
        return nodes.Table(self.name(name), self.name(by), tuple(entries), self.source(tree), self.span(tree))

    def make_show(self, tree: Tree[Token]) -> nodes.Show:
        return nodes.Show(self.name(tokens(tree, "NAME")[0]), self.words(tree), self.span(tree))

    def make_section(self, tree: Tree[Token]) -> nodes.Section:
        leads, page_two, drawn = (self.once(tree, kind) for kind in ("leads", "page_two", "drawn"))
        second = nodes.Line(" ".join(self.span(page_two).text.split()), self.span(page_two)) if page_two else None
        flags = leads is not None, second, drawn is not None
        return nodes.Section(self.words(tree), *flags, self.source(tree), self.span(tree))

    def make_curve(self, tree: Tree[Token]) -> nodes.Curve:
        over, shows, most = (self.once(tree, kind) for kind in ("over_range", "shows", "most"))
        return nodes.Curve(
            title=self.words(tree),
            setting=self.name(tokens(over, "NAME")[0]) if over else None,
            ends=(
                (self.value(after(over, "FROM")), self.value(after(over, "TO")), self.value(after(over, "BY")))
                if over
                else None
            ),
            shows=tuple(self.shown(t) for t in trees(shows, "shown")) if shows else (),
            most=self.name(tokens(most, "NAME")[0]) if most else None,
            source=self.source(tree),
            span=self.span(tree),
        )

    def shown(self, tree: Tree[Token]) -> tuple[nodes.Name, str]:
        return self.name(tokens(tree, "NAME")[0]), self.words(tree)

    def make_comparables(self, tree: Tree[Token]) -> nodes.Comparables:
        return nodes.Comparables(
            question=self.name(tokens(tree, "NAME")[0]),
            subject=tuple(
                (self.name(tokens(t, "SUBJECT")[0]), self.name(tokens(t, "NAME")[0])) for t in trees(tree, "subject")
            ),
            figures=tuple(
                (self.name(tokens(t, "MARKET")[0]), self.value(t.children[-1])) for t in trees(tree, "market")
            ),
            source=self.source(tree),
            span=self.span(tree),
        )

    def rule(self, tree: Tree[Token]) -> tuple[nodes.Name, nodes.Expr, str, str, nodes.Cited | None, Span]:
        return (
            self.name(tokens(tree, "NAME")[0]),
            self.expr(after(tree, "WHEN", "COLON")),
            self.line(tree, "because"),
            self.line(tree, "lesson"),
            self.source(tree),
            self.span(tree),
        )

    def make_refuse(self, tree: Tree[Token]) -> nodes.Refuse:
        return nodes.Refuse(*self.rule(tree))

    def make_caution(self, tree: Tree[Token]) -> nodes.Caution:
        name, when, because, lesson, source, span = self.rule(tree)
        return nodes.Caution(name, when, because, lesson, source, self.once(tree, "safety") is not None, span)

    def make_require(self, tree: Tree[Token]) -> nodes.Require:
        return nodes.Require(*self.rule(tree))

    def make_verdict(self, tree: Tree[Token]) -> nodes.Verdict:
        rungs = []
        for rung in trees(tree, "rung"):
            condition = self.expr(rung.children[2]) if tokens(rung, "WHEN") else None
            name = self.name(tokens(rung, "NAME")[0])
            rungs.append(nodes.Rung(name, condition, self.words(rung), self.span(rung)))
        return nodes.Verdict(tuple(rungs), self.source(tree), self.span(tree))

    def make_promise(self, tree: Tree[Token]) -> nodes.Promise:
        name, condition, because, _, source, span = self.rule(tree)
        return nodes.Promise(str(tree.children[0]), name, condition, because, source, span)

    # ---- cars and cases ----

    def make_car(self, tree: Tree[Token]) -> nodes.Car:
        names = [c for c in tree.children if isinstance(c, Token)]
        like = names[names.index(tokens(tree, "LIKE")[0]) + 1] if tokens(tree, "LIKE") else None
        title = self.words(tree) if tree.data == "case" or tokens(tree, "STRING") else ""
        name = None if tree.data == "case" or title else self.name(tokens(tree, "NAME")[0])
        on = self.once(tree, "on")
        day = tokens(on, "DATE")[0] if on else None
        return nodes.Car(
            name=name,
            title=title or (name.text if name else ""),
            like=self.name(like) if like else None,
            day=nodes.Literal(str(day), self.span(day)) if day else None,
            answers=tuple(self.answer(t) for t in trees(tree, "answer")),
            notes=tuple(self.words(t) for t in trees(tree, "note")),
            comparables=tuple(self.comparable(t) for t in trees(tree, "comparable")),
            claims=tuple(self.claim(t) for t in trees(tree, "told", "denied")),
            span=self.span(tree),
        )

    def claim(self, tree: Tree[Token]) -> tuple[str, tuple[nodes.Name, ...]]:
        return str(tree.data), tuple(self.name(t) for t in tokens(tree, "NAME"))

    def comparable(self, tree: Tree[Token]) -> nodes.ComparableLine:
        base, end = self.chunk.span.start, self.span(tree).end
        word = self.chunk.text[tokens(tree, "COMPARABLE")[0].end_pos or 0 : end - base]
        text = without_comments(word)
        span = self.chunk.span.source.span(end - len(text.lstrip()), end)
        return nodes.ComparableLine(single(text), text.strip(), span)

    def answer(self, tree: Tree[Token]) -> tuple[nodes.Name, nodes.ValueText]:
        values = tree.children[tree.children.index(tokens(tree, "EQUAL")[0]) + 1 :]
        span = self.span(values[0]).to(self.span(values[-1]))
        return self.name(tokens(tree, "NAME")[0]), nodes.ValueText(single(span.text), span)

    def make_case(self, tree: Tree[Token]) -> nodes.Case:
        gives = []
        for line in trees(tree, "gives"):
            names = [self.name(t) for t in tokens(line, "NAME")]
            equal = tokens(line, "EQUAL")
            if equal:
                gives.append(nodes.Gives(names[0], (), self.value(after(line, "EQUAL")), self.span(line)))
                continue
            gives.append(nodes.Gives(names[0], tuple(names[1:]), None, self.span(line)))
        return nodes.Case(self.words(tree), self.make_car(tree), tuple(gives), self.span(tree))
