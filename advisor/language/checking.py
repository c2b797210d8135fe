"""From blocks to a checked `Program`.

In: what `linking.py` read. Out: the program, if nothing stops it, and every problem found. Names are collected,
arranged so that each comes after what it needs, given types one after another, and proved: no `require` gets
easier as the offer rises, no deal-breaker looks at the price, every ladder ends.
"""

from __future__ import annotations

from collections import Counter
from datetime import date
from decimal import Decimal
from typing import Literal

from attrs import define, evolve, field

from advisor.language import advice, catalogue, core, graph, nodes
from advisor.language.blocks import DEEPEST, MOST_PROBLEMS
from advisor.language.cars import read_answer
from advisor.language.core import Core
from advisor.language.coverage import clash, first_uncovered
from advisor.language.declaring import Declarer
from advisor.language.elaborating import SPECIAL, Elaborator, Scope
from advisor.language.linking import Linked
from advisor.language.problems import Problem, Severity, in_order, nearest
from advisor.language.program import (
    CaseDef,
    Expected,
    FaultDef,
    LetDef,
    Program,
    PromiseDef,
    Question,
    Rule,
    RungDef,
    SettingDef,
    ShowDef,
    Stage,
    StationDef,
    Unanswered,
)
from advisor.language.ranges import Ranges, domain_range, plan_ranges, value_range
from advisor.language.source import Span
from advisor.language.trends import Ends, Trends, Way
from advisor.language.types import (
    BROKEN,
    MONEY,
    YES_NO,
    Choice,
    Estimate,
    Quantity,
    Value,
)
from advisor.language.units import CURRENCIES
from advisor.language.values import Unreadable, estimable, format_value, read_date
from advisor.language.words import RESERVED

__all__ = ["VERDICTS", "check"]

_MOST_GUESSES = 50
"""Names that are looked up among those they resemble; a file with more unknown ones has another trouble."""
VERDICTS = ("buy", "renegotiate", "pass")
_STAGES: tuple[Stage, ...] = ("situation", "deal", "report")
_KINDS = {
    nodes.Ask: "question", nodes.Setting: "setting", nodes.Let: "let", nodes.Fault: "fault", nodes.Season: "season",
    nodes.Table: "table", nodes.Refuse: "refuse", nodes.Caution: "caution", nodes.Require: "require", nodes.Car: "car",
}  # fmt: skip


def check(linked: Linked) -> tuple[Program | None, tuple[Problem, ...]]:
    """Check a linked ruleset; the program is None if a problem stops it."""
    checker = _Checker(linked)
    program = checker.run()
    problems = in_order([*linked.problems, *_each_word_once(in_order(checker.problems))])
    if len(problems) > MOST_PROBLEMS:
        rest = catalogue.TOO_MANY_PROBLEMS.at(problems[MOST_PROBLEMS].span, most=MOST_PROBLEMS)
        problems = (*problems[:MOST_PROBLEMS], rest)
    if any(p.stops for p in problems):
        # What a mistake leaves unused or untold is not a second mistake.
        return None, tuple(p for p in problems if p.severity is not Severity.ADVICE)
    return program, problems


def _each_word_once(problems: tuple[Problem, ...]) -> list[Problem]:
    """One message where the same wrong answer stands in several places: often its question's own list is at fault."""
    counts = Counter(p.message for p in problems if p.kind is catalogue.NOT_A_CHOICE)
    kept: list[Problem] = []
    for problem in problems:
        times = counts.pop(problem.message, None)
        if problem.kind is not catalogue.NOT_A_CHOICE:
            kept.append(problem)
        elif times is not None:
            again = f", and is said {times} times" if times > 1 else ""
            kept.append(evolve(problem, message=problem.message + again))
    return kept


@define
class _Checker:
    linked: Linked
    scope: Scope = field(factory=Scope)
    named: dict[str, nodes.Named] = field(factory=dict)
    problems: list[Problem] = field(factory=list)
    questions: dict[str, Question] = field(factory=dict)
    settings: dict[str, SettingDef] = field(factory=dict)
    lets: dict[str, LetDef] = field(factory=dict)
    faults: dict[str, FaultDef] = field(factory=dict)
    rules: dict[str, Rule] = field(factory=dict)
    stages: dict[str, Stage] = field(factory=dict)
    stations: list[StationDef] = field(factory=list)
    station_of: dict[str, int] = field(factory=dict)
    dropped: set[str] = field(factory=set)
    ladder: nodes.Verdict | None = None
    set_at: dict[tuple[str, str], Span] = field(factory=dict)
    unasked: dict[str, list[Span]] = field(factory=dict)
    circles: set[frozenset[str]] = field(factory=set)
    elab: Elaborator = field(init=False)
    declare: Declarer = field(init=False)
    trends: Trends = field(init=False)

    def run(self) -> Program | None:
        """Everything, in order."""
        self._collect()
        ranges = Ranges(self.scope.seasons, self.scope.tables, Decimal(10) ** 9)
        self.elab = Elaborator(self.scope, ranges, Ends(ranges, self.scope.values, set(), lambda: 0), self.problems)
        self.elab.ends.fresh = self.elab.term
        self.declare = Declarer(self.elab)
        self.trends = Trends(ranges, self.scope.values)
        self._settings()
        order = self._definitions()
        self._rules()
        self._together()
        ladder = self._ladder()
        shows = self._shows()
        promises = self._promises()
        program = self._program(order, ladder, shows, promises)
        self._needed(program)
        self.problems.extend(self.elab.later)
        # Cases are read even where a rule is wrong: a mistake in one hides nothing in the other.
        program = evolve(program, cases=self._cases(program))
        self._unasked_names()
        self._unknown_names()
        self.problems.extend(advice.advice(program, self.linked, set(self.elab.unknown)))
        return program

    def _say(self, kind: object, span: Span, /, **words: object) -> None:
        self.elab.report(kind, span, **words)  # type: ignore[arg-type]  # a Kind of the catalogue

    # ---- names ----

    def _collect(self) -> None:
        """Gather named blocks; `without` and `set` change what used files declared."""
        self.scope.everything_broken = self.linked.incomplete
        self._currencies()
        station: dict[str, int] = {}
        for block in self.linked.blocks:
            match block:
                case nodes.Station():
                    station[block.span.source.name] = len(self.stations)
                    dangers = tuple(d.text for d in block.dangers)
                    self.stations.append(StationDef(block.title, dangers, block.span))
                case nodes.Without():
                    self._without(block)
                case nodes.Verdict():
                    if self.ladder:
                        self._twice("verdict", block.span, self.ladder.span)
                    self.ladder = self.ladder or block
                case nodes.Ruleset() | nodes.Use() | nodes.SetTo() | nodes.Show() | nodes.Promise() | nodes.Case():
                    pass
                case _:
                    if block.name is None:
                        self.problems.append(catalogue.CAR_NEEDS_NAME.at(block.span))
                        continue
                    self._define(block, block.name)
                    if isinstance(block, nodes.Ask):
                        self.station_of.setdefault(block.name.text, station.get(block.span.source.name, -1))
        # What a sound block defines is sound, whatever else a spoiled block might have meant.
        self.scope.broken.update(name for name in self.linked.broken if name not in self.named)

    def _currencies(self) -> None:
        """The main file's currency, which is that of every file it uses."""
        named = [b.currency for b in self.linked.blocks if isinstance(b, nodes.Ruleset) and b.currency]
        for currency in named:
            if currency.text not in CURRENCIES:
                known = ", ".join(CURRENCIES)
                self.problems.append(catalogue.UNKNOWN_CURRENCY.at(currency.span, text=currency.text, known=known))
                self.scope.mixed_money = True
        main = next((c for c in named if c.span.source == self.linked.main), None)
        if main is None or self.scope.mixed_money:
            return
        self.scope.currency = CURRENCIES[main.text]
        other = next((c for c in named if CURRENCIES[c.text] != self.scope.currency), None)
        if other:
            self.scope.mixed_money = True
            notes = [(other.span, "a used file names another")]
            found = CURRENCIES[other.text]
            self.problems.append(
                catalogue.OTHER_CURRENCY.at(main.span, notes=notes, found=found, wanted=self.scope.currency)
            )

    def _define(self, block: nodes.Named, name: nodes.Name) -> None:
        if name.text in RESERVED or name.text in SPECIAL or name.text in VERDICTS:
            self.problems.append(catalogue.RESERVED_WORD.at(name.span, found=name.text))
            self.scope.broken.add(name.text)
        elif name.text in self.named:
            first = self.named[name.text].name
            assert first is not None
            self._twice(name.text, name.span, first.span)
        else:
            self.named[name.text] = block
            self.scope.kinds[name.text] = _KINDS[type(block)]

    def _twice(self, name: str, span: Span, first: Span) -> None:
        self.problems.append(catalogue.DEFINED_TWICE.at(span, name=name, notes=[(first, "defined here first")]))

    def _without(self, block: nodes.Without) -> None:
        for name in block.names:
            found = self.ladder if name.text == "verdict" else self.named.get(name.text)
            if found is None or found.span.source == name.span.source:
                if name.text in self.linked.broken or name.text in self.scope.broken or self.linked.incomplete:
                    continue
                guess = nearest(name.text, self.named)
                cure = (
                    "it is declared in this very file: take it out there"
                    if found is not None
                    else f"did you mean `{guess}`?"
                    if guess
                    else "`without` takes out what a used file declares, after its `use`"
                )
                self.problems.append(catalogue.NOTHING_TO_DROP.at(name.span, name=name.text, cure=cure))
            elif name.text == "verdict":
                self.ladder = None
                self.dropped.add(name.text)
            else:
                self.dropped.add(name.text)
                del self.named[name.text]
                del self.scope.kinds[name.text]

    def _settings(self) -> None:
        for name, block in self.named.items():
            if isinstance(block, nodes.Setting):
                made = self.declare.setting(block)
                if made is None:
                    self.scope.broken.add(name)
                    continue
                self.settings[name] = made
        for set_to in self.linked.blocks:
            if isinstance(set_to, nodes.SetTo):
                self._set(set_to)
        for name, made in self.settings.items():
            self.scope.types[name] = made.type
            self.elab.ranges.names[name] = value_range(made.value)
            if isinstance(made.value, Estimate):
                self.elab.ends.estimates.add(name)
        highest = self.settings.get("highest_offer")
        if highest and isinstance(highest.value, Decimal):
            self.elab.ranges.highest_offer = highest.value

    def _set(self, node: nodes.SetTo) -> None:
        name = node.name.text
        made, declared = self.settings.get(name), self.named.get(name)
        own = declared is not None and declared.span.source == node.span.source
        if made is None or own:
            if name in self.scope.broken or self.linked.incomplete:
                return
            guess = nearest(name, (n for n, s in self.settings.items() if s.span.source != node.span.source))
            cure = f"did you mean `{guess}`?" if guess else "`set` changes a setting that a used file declares"
            if own:
                cure = "it is declared in this very file: change the `setting` itself"
            self._say(catalogue.NOT_A_SETTING, node.name.span, name=name, cure=cure)
            return
        if (first := self.set_at.get((node.span.source.name, name))) is not None:
            self._say(catalogue.SAID_TWICE, node.name.span, what=f"set {name}", notes=[(first, "here first")])
        self.set_at[node.span.source.name, name] = node.name.span
        value = self.declare.value(node.value, made.type, name)
        if value is not None:
            self.settings[name] = evolve(made, value=value, cited=node.source or made.cited, span=node.name.span)

    # ---- definitions in order ----

    def _edges(self) -> dict[str, list[str]]:
        edges: dict[str, list[str]] = {}
        faults = [n for n, b in self.named.items() if isinstance(b, nodes.Fault)]
        requires = [n for n, b in self.named.items() if isinstance(b, nodes.Require)]
        choices = graph.choices(self.named) | dict.fromkeys(SPECIAL, frozenset())
        for name, block in self.named.items():
            edges[name] = graph.needs(block, choices)
        for counter in ("unverified_majors", "cannot_tell", "refused_looks"):
            edges[counter] = [n for n, b in self.named.items() if isinstance(b, nodes.Ask)]
        edges[graph.PLAN] = faults
        edges[graph.CEILING] = [*requires, "profit"]
        return edges

    def _definitions(self) -> list[str]:
        order, circles = graph.arrange(self._edges())
        for circle in circles:
            words = [w.removeprefix("#") for w in circle]
            named = next((self.named[w] for w in circle if w in self.named), None)
            if named is None or named.name is None or any(w in self.scope.broken for w in circle):
                continue
            self._say(catalogue.CYCLE, named.name.span, path=" -> ".join(words))
            self.scope.broken.update(w for w in circle if w in self.named)
        for name in order:
            block = self.named.get(name)
            if name == graph.PLAN:
                self.elab.ranges.plan = plan_ranges(self.faults.values(), self.elab.ranges)
            elif name in self.scope.broken:
                continue
            elif isinstance(block, nodes.Season):
                if season := self.declare.season(block):
                    self.scope.seasons[name] = season
                else:
                    self.scope.broken.add(name)
            elif isinstance(block, nodes.Table):
                self._table(block)
            elif isinstance(block, nodes.Ask):
                self._question(block)
            elif isinstance(block, nodes.Let):
                self._let(block)
            elif isinstance(block, nodes.Fault):
                self._fault(block)
        return [n for n in order if n in self.questions or n in self.lets or n in self.faults]

    def _table(self, node: nodes.Table) -> None:
        by = None if node.by.text == "month" else self.scope.types.get(node.by.text)
        if node.by.text != "month" and not isinstance(by, Choice):
            if node.by.text not in self.scope.broken:
                self._say(catalogue.TABLE_BY, node.by.span, text=node.by.text)
            self.scope.broken.add(node.name.text)
            return
        made = self.declare.table(node, by)
        if made:
            self.scope.tables[node.name.text] = made
        else:
            self.scope.broken.add(node.name.text)

    def _question(self, node: nodes.Ask) -> None:
        name = node.name.text
        gate = self.elab.condition(node.gate) if node.gate else None
        if gate is not None and gate.type == BROKEN:
            gate = None
        if gate is not None:
            self._no_price(gate, node.gate, f"`only when` of `{name}`")  # type: ignore[arg-type]  # gate is set
        self.declare.station = self.station_of.get(name, -1)
        if self.declare.station < 0:
            self.declare.station = None
        made = self.declare.question(node, gate)
        self.questions[name] = made
        self.scope.types[name] = made.type
        self.elab.ranges.names[name] = domain_range(made.type, made.low, made.high)
        if estimable(made.type):
            self.elab.ends.estimates.add(name)

    def _let(self, node: nodes.Let) -> None:
        name = node.name.text
        value = self._branches(node, node.value) if isinstance(node.value, tuple) else self.elab.expr(node.value)
        if value.type == BROKEN:
            self.scope.broken.add(name)
            return
        self.stages[name] = self._stage(value)
        self.scope.values[name] = value
        self.scope.types[name] = value.type
        self.elab.ranges.names[name] = self.elab.ranges.of(value)
        if isinstance(value, core.Const) and isinstance(value.value, Estimate):
            self.elab.ends.estimates.add(name)
        self.elab.ends.note(name)
        self.lets[name] = LetDef(
            name, value.type, value, node.text, self.stages[name], None, None, node.source, node.name.span
        )

    def _branches(self, node: nodes.Let, branches: tuple[nodes.Branch, ...]) -> Core:
        """`value when condition` lines: one type, and nothing left uncovered."""
        pairs: list[tuple[Core | None, Core]] = []
        broken = False
        for i, branch in enumerate(branches):
            condition = self.elab.condition(branch.condition) if branch.condition else None
            value = self.elab.expr(branch.value)
            if isinstance(value.type, Quantity):
                value = self.elab.valued(value)
            broken = broken or value.type == BROKEN or (condition is not None and condition.type == BROKEN)
            if condition is None and i + 1 < len(branches):
                self._say(catalogue.AFTER_OTHERWISE, branches[i + 1].span)
                return self.elab.broken(node.span)
            first = pairs[0][1] if pairs else value
            if not broken and value.type != first.type:
                self._say(
                    catalogue.BRANCHES_DISAGREE, branch.value.span, text=branch.value.span.text, found=value.type,
                    first=branches[0].value.span.text, first_is=first.type,
                )  # fmt: skip
                broken = True
            pairs.append((condition, value))
        if broken:
            return self.elab.broken(node.span)
        *conditional, (last_condition, otherwise) = pairs
        if last_condition is not None and not self._covered(node, [c for c, _ in pairs if c is not None]):
            return self.elab.broken(node.span)
        done = tuple((c, v) for c, v in conditional if c is not None)
        return core.Select(pairs[0][1].type, node.span, self.elab.term(), done, otherwise)

    def _covered(self, node: nodes.Let, conditions: list[Core]) -> bool:
        missed = first_uncovered(conditions, self.elab.ranges, dict(self.scope.types))
        if missed is True:
            return True
        if missed is None or missed is False:
            self._say(catalogue.NO_OTHERWISE, node.name.span, name=node.name.text, last="...")
            return False
        name, value, alone = missed
        shown = format_value(value, self.scope.types[name], self.scope.currency)
        cure = "use `>=` or `<=` at the edge, or end with `otherwise`"
        if isinstance(value, str):
            what, cure = f"`{name} is {value}`", "add a branch for it, or end with `otherwise`"
        else:
            what = f"exactly {shown}" if alone else f"`{name}` at {shown}, for one,"
        self._say(catalogue.GAP, node.name.span, what=what, name=node.name.text, cure=cure)
        return False

    def _fault(self, node: nodes.Fault) -> None:
        name = node.name.text
        when = self.elab.condition(node.when)
        self._clashes(when)
        if when.type != BROKEN:
            self._no_price(when, node.when, f"`fault {name}`")
        made = self.declare.fault(node, when)
        for kind in ("parts", "shop", "labor", "wait"):
            figure = getattr(made, kind)
            if figure is not None:
                self._no_price(figure, getattr(node, kind), f"the figures of `{name}`")
        self.faults[name] = made
        self.scope.types[name] = YES_NO if when.type != BROKEN else BROKEN
        self.elab.ranges.names[name] = self.elab.ranges.truth(when)

    def _stage(self, node: Core) -> Stage:
        found = 0
        for part in core.walk(node):
            match part:
                case core.Special(name="offer") | core.PlanFigure():
                    found = max(found, 1)
                case core.Special(name="ceiling"):
                    found = 2
                case core.Ref(kind="let", name=name):
                    found = max(found, _STAGES.index(self.stages.get(name, "situation")))
        return _STAGES[found]

    def _no_price(self, node: Core, written: nodes.Expr, what: str) -> None:
        if node.type != BROKEN and self._stage(node) != "situation":
            culprit = next(p for p in core.walk(node) if self._stage(p) != "situation" and not core.children(p))
            cure = f"leave `{culprit.span.text}` out"
            if what.startswith(("`refuse", "`caution")):
                cure = f"make it a `require`, or {cure}"
            self._say(catalogue.PRICE_HERE, culprit.span, what=what, name=culprit.span.text, cure=cure)

    # ---- rules ----

    def _rules(self) -> None:
        self.elab.ranges.counts = {
            "unverified_majors": sum(q.major for q in self.questions.values()),
            "cannot_tell": len(self.questions),
            "refused_looks": len(self.questions),
        }
        for name in self.lets:  # in order, so that no trend has to look further back than one definition
            self.trends.known[name] = self.trends.of(self.scope.values[name])
        for name, block in self.named.items():
            if isinstance(block, nodes.Refuse | nodes.Caution | nodes.Require):
                kind: Literal["refuse", "caution", "require"] = _KINDS[type(block)]  # type: ignore[assignment]
                written = block.condition if isinstance(block, nodes.Require) else block.when
                if name in self.scope.broken:
                    continue
                condition = self.elab.condition(written)
                self._clashes(condition)
                if condition.type == BROKEN:
                    continue
                if kind != "require":
                    self._no_price(condition, written, f"`{kind} {name}`")
                else:
                    self._harder(name, condition, block.name)
                self.rules[name] = Rule(
                    kind,
                    name,
                    condition,
                    block.because,
                    block.lesson,
                    block.source,
                    block.name.span,
                )

    def _harder(self, name: str, condition: Core, at: nodes.Name) -> None:
        """Prove that the rule never gets easier as the offer rises."""
        trend = self.trends.of(condition)
        if trend.way is Way.UP:
            self._say(catalogue.GETS_EASIER, at.span, name=name)
        elif trend.way is Way.UNKNOWN:
            part = trend.culprit or condition
            self._say(
                catalogue.NOT_PROVED_HARDER, at.span, name=name, part=part.span.text, notes=[(part.span, "this part")]
            )

    def _clashes(self, condition: Core) -> None:
        for part in core.walk(condition):
            if isinstance(part, core.All):
                pair = clash(part.args, self.elab.ranges, dict(self.scope.types))
                if pair:
                    first, second = pair
                    self._say(
                        catalogue.NEVER_HOLDS, second.span, first=first.span.text, second=second.span.text,
                        notes=[(first.span, "cannot hold beside this")],
                    )  # fmt: skip

    def _together(self) -> None:
        for block in self.named.values():
            if isinstance(block, nodes.Fault):
                for name in block.together:
                    if name.text in self.faults or name.text in self.scope.broken:
                        continue
                    if name.text in self.scope.kinds:
                        self._say(
                            catalogue.WRONG_KIND_OF_NAME, name.span, name=name.text, kind=self.scope.kinds[name.text]
                        )
                    else:
                        self.elab.miss(name.text, name.span)

    def _ladder(self) -> tuple[RungDef, ...]:
        if self.ladder is None:
            return ()
        rungs = []
        for i, rung in enumerate(self.ladder.rungs):
            if rung.verdict.text not in VERDICTS:
                guess = nearest(rung.verdict.text, VERDICTS)
                cure = f"did you mean `{guess}`?" if guess else "verdicts are `buy`, `renegotiate` and `pass`"
                self._say(catalogue.UNKNOWN_VERDICT, rung.verdict.span, text=rung.verdict.text, cure=cure)
            condition = self.elab.condition(rung.condition) if rung.condition else None
            if condition is None and i + 1 < len(self.ladder.rungs):
                self._say(catalogue.AFTER_OTHERWISE, self.ladder.rungs[i + 1].span)
                break
            rungs.append(RungDef(rung.verdict.text, condition, rung.span))
        if rungs and rungs[-1].condition is not None and len(rungs) == len(self.ladder.rungs):
            self._say(catalogue.NO_OTHERWISE, self.ladder.rungs[-1].span, name="verdict", last="pass")
        return tuple(rungs)

    def _shows(self) -> tuple[ShowDef, ...]:
        shows = []
        for block in self.linked.blocks:
            if isinstance(block, nodes.Show):
                name = block.name.text
                if name in self.scope.types or name in SPECIAL:
                    shows.append(ShowDef(name, block.text, block.name.span))
                elif name in self.scope.kinds and name not in self.scope.broken:
                    self._say(catalogue.WRONG_KIND_OF_NAME, block.name.span, name=name, kind=self.scope.kinds[name])
                elif name not in self.scope.broken:
                    self.elab.miss(name, block.name.span)
        return tuple(shows)

    def _promises(self) -> tuple[PromiseDef, ...]:
        made = []
        for block in self.linked.blocks:
            if isinstance(block, nodes.Promise):
                if block.verdict.text not in VERDICTS:
                    self._say(
                        catalogue.UNKNOWN_VERDICT, block.verdict.span, text=block.verdict.text,
                        cure="verdicts are `buy`, `renegotiate` and `pass`",
                    )  # fmt: skip
                condition = self.elab.condition(block.condition)
                made.append(PromiseDef(block.word, block.verdict.text, condition, block.because, block.span))
                self.elab.later.append(catalogue.PROMISE_LATER.at(block.span, word=block.word))
        return tuple(made)

    def _unknown_names(self) -> None:
        """Each unknown name once, however often it is used."""
        if self.scope.everything_broken:
            return
        known = [*self.scope.types, *self.scope.kinds, *SPECIAL]
        guesses = {
            name: nearest(name, known) if i < _MOST_GUESSES else None for i, name in enumerate(self.elab.unknown)
        }
        # A block that lost its name defines one of these: most likely one that resembles no other name.
        excused = sorted(guesses, key=lambda name: guesses[name] is not None)[: self.linked.nameless]
        for name, used in self.elab.unknown.items():
            if name in excused:
                continue
            spans = list(dict.fromkeys(used))  # a car that others are like is read for each of them
            cure = (
                f"did you mean `{guess}`?"
                if (guess := guesses[name])
                else self.elab.cures.get(name)
                or f"define it: `ask {name}: ...`, `setting {name} = ...` or `let {name} = ...`"
            )
            again = f", and is used {len(spans)} times" if len(spans) > 1 else ""
            self.problems.append(catalogue.UNKNOWN_NAME.at(spans[0], name=name, again=again, cure=cure))

    def _unasked_names(self) -> None:
        """Each name that a car answers and no rule asks, once; where rules use it too, it is an unknown name."""
        for i, (name, used) in enumerate(self.unasked.items()):
            spans = list(dict.fromkeys(used))  # a car that others are like is read for each of them
            if name in self.elab.unknown or (self.linked.nameless and name not in self.scope.kinds):
                for span in spans:
                    self.elab.miss(name, span)
                continue
            again = f", and it is answered {len(spans)} times" if len(spans) > 1 else ""
            guess = nearest(name, self.questions) if i < _MOST_GUESSES else None
            cure = f"did you mean `{guess}`?" if guess else "answer only what the rules ask"
            if name in self.scope.kinds:
                cure = f"it is a {self.scope.kinds[name]}; answer only what the rules ask"
            self._say(catalogue.NOT_ASKED, spans[0], name=name, again=again, cure=cure)

    # ---- cases ----

    def _cases(self, program: Program) -> tuple[CaseDef, ...]:
        made: list[CaseDef] = []
        for block in () if self.scope.mixed_money else self.linked.blocks:
            if isinstance(block, nodes.Case) and block.span.source != self.linked.main:
                continue  # a used file's cases are about that file, before `set` and `without`
            if isinstance(block, nodes.Case):
                day, values = self._car(block.car, program, [])
                expected = tuple(e for g in block.gives if (e := self._expected(g, program)))
                if not block.gives:
                    self._say(
                        catalogue.EMPTY, block.span, what="case", wanted="a `gives` line that says what must come out"
                    )
                made.append(CaseDef(block.title, day, values, expected, block.span))
            elif isinstance(block, nodes.Car):
                self._car(block, program, [block.name.text] if block.name else [])
        return tuple(made)

    def _car(
        self, car: nodes.Car, program: Program, path: list[str]
    ) -> tuple[date | None, dict[str, Value | Unanswered]]:
        """The day and the answers of a car, on top of those of the car it is like."""
        day: date | None = None
        values: dict[str, Value | Unanswered] = {}
        if car.like:
            name = car.like.text
            base = self.named.get(name)
            if name in path:
                self._car_circle(car.like, [*path[path.index(name) :], name])
            elif len(path) >= DEEPEST:
                if not any(p.kind is catalogue.TOO_DEEP and p.span.text in self.named for p in self.problems):
                    self._say(catalogue.TOO_DEEP, car.like.span, most=DEEPEST)
            elif isinstance(base, nodes.Car):
                day, values = self._car(base, program, [*path, name])
            elif name in self.scope.kinds:
                self._say(catalogue.WRONG_KIND_OF_NAME, car.like.span, name=name, kind=self.scope.kinds[name])
            elif name not in self.scope.broken and not self.linked.incomplete:
                self.elab.miss(name, car.like.span, f"write a block `car {name}` with its answers")
        if car.day:
            try:
                day = read_date(car.day.text)
            except Unreadable as error:
                self._say(error.kind, car.day.span, **error.words)
        seen: dict[str, Span] = {}
        for name_node, text in car.answers:
            name = name_node.text
            question = program.questions.get(name)
            if name in self.dropped and car.span.source != self.linked.main:
                continue  # a used file's car still answers what this file does not ask
            if question is None or question.type == BROKEN:
                if name not in self.scope.broken and name not in self.questions and not self.linked.incomplete:
                    self.unasked.setdefault(name, []).append(name_node.span)
                continue
            if name in seen:
                self._say(catalogue.ANSWERED_TWICE, name_node.span, name=name, notes=[(seen[name], "here first")])
            seen[name] = name_node.span
            try:
                values[name] = read_answer(text.text, question, program.currency)
            except Unreadable as error:
                self._say(error.kind, text.span, **error.words)
        return day, values

    def _car_circle(self, at: nodes.Name, path: list[str]) -> None:
        """Cars that are like each other, told once for each circle."""
        if frozenset(path) not in self.circles:
            self.circles.add(frozenset(path))
            self._say(catalogue.CYCLE, at.span, path=" -> ".join(path))

    def _expected(self, gives: nodes.Gives, program: Program) -> Expected | None:
        name = gives.name.text
        if gives.value is None:
            if name not in (*VERDICTS, "unsettled"):
                guess = nearest(name, (*VERDICTS, "unsettled"))
                cure = (
                    f"did you mean `{guess}`?" if guess else "verdicts are `buy`, `renegotiate`, `pass` and `unsettled`"
                )
                self._say(catalogue.UNKNOWN_VERDICT, gives.name.span, text=name, cure=cure)
                return None
            for rule in gives.because:
                kind = self.scope.kinds.get(rule.text)
                if rule.text in self.scope.broken or kind in ("refuse", "require"):
                    continue
                if kind:
                    self._say(catalogue.WRONG_KIND_OF_NAME, rule.span, name=rule.text, kind=kind)
                else:
                    self.elab.miss(rule.text, rule.span, "name a `refuse` or a `require`")
            return Expected(name, tuple(r.text for r in gives.because), None, gives.span)
        type_ = SPECIAL.get(name) or program.type_of(name)
        if type_ is None:
            kind = self.scope.kinds.get(name)
            if kind and kind not in ("question", "setting", "let") and name not in self.scope.broken:
                self._say(catalogue.WRONG_KIND_OF_NAME, gives.name.span, name=name, kind=kind)
            elif not kind and name not in self.scope.broken:
                self.elab.miss(name, gives.name.span, "name a quantity of the rules")
            return None
        if type_ == BROKEN:
            return None
        if name == "ceiling" and gives.value.text == "none":
            return Expected(name, (), None, gives.span)
        if isinstance(type_, Quantity) and type_.plain and "%" in gives.value.text:
            type_ = evolve(type_, percent=True)
        value = self.declare.value(gives.value, type_, name)
        return Expected(name, (), value, gives.span) if value is not None else None

    # ---- the whole ----

    def _program(
        self,
        order: list[str],
        ladder: tuple[RungDef, ...],
        shows: tuple[ShowDef, ...],
        promises: tuple[PromiseDef, ...],
    ) -> Program:
        ends = self.elab.ends.lets
        lets = {n: evolve(d, low=ends.get((n, "low")), high=ends.get((n, "high"))) for n, d in self.lets.items()}
        ruleset = next(
            (b for b in self.linked.blocks if isinstance(b, nodes.Ruleset) and b.span.source == self.linked.main), None
        )
        program = Program(
            title=ruleset.title if ruleset else self.linked.main.name,
            currency=self.scope.currency,
            sources=tuple(self.linked.sources),
            digest=self.linked.digest,
            terms=self.elab.terms,
            questions={n: self.questions[n] for n in self.named if n in self.questions},
            settings=self.settings,
            lets=lets,
            faults={n: self.faults[n] for n in self.named if n in self.faults},
            rules=self.rules,
            seasons=self.scope.seasons,
            tables=self.scope.tables,
            stations=tuple(self.stations),
            ladder=ladder,
            shows=shows,
            promises=promises,
            cases=(),
            order=tuple(order),
            today_used=False,
        )
        today = any(
            isinstance(p, core.Special) and p.name == "today" for e in program.expressions() for p in core.walk(e)
        )
        chance = advice.chance_questions(program)
        questions = {n: evolve(q, chance=n in chance) for n, q in program.questions.items()}
        stops = tuple(
            catalogue.NOT_YET.at(p.span, function=p.span.text.partition("(")[0])
            for p in self.elab.later
            if p.kind is not catalogue.PROMISE_LATER
        )
        return evolve(program, questions=questions, today_used=today, later=stops)

    def _needed(self, program: Program) -> None:
        """What the judging itself asks of a ruleset: an asking price, a highest offer, a profit."""
        if self.linked.incomplete:
            return
        first = next((r for r in program.of_kind("require")), None)
        span = first.span if first else self.ladder.span if self.ladder else None
        uses_ceiling = first is not None or any(
            isinstance(p, core.Special) and p.name in ("ceiling", "offer")
            for e in program.expressions()
            for p in core.walk(e)
        )
        if span is None or not uses_ceiling:
            return
        wanted = {
            "asking": ("ask asking: money from $0 to $100,000", self.questions),
            "highest_offer": ("setting highest_offer = $50,000", self.settings),
        }
        if any(not f.must for f in program.faults.values()):
            wanted["profit"] = ("let profit = ...", self.lets)
        for name, (line, table) in wanted.items():
            if name in self.scope.broken:
                continue
            found = table.get(name)  # type: ignore[attr-defined]  # three dictionaries by name
            if found is None:
                self._say(catalogue.NEEDED, span, name=name, line=line)
            elif found.type != MONEY and found.type != BROKEN:
                self._say(catalogue.NEEDED, found.span, name=name, line=line)
