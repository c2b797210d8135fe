"""A checked, linked ruleset: what every reading reads.

Out of `checking.py`. It holds everything that the files said, with names resolved and types and units settled, in
an order in which each thing can be computed from those before it. A program that was pickled unpickles the questions at
once, and what judges by them when it is first looked at.
"""

from __future__ import annotations

import pickle
from collections.abc import Iterable, Iterator
from datetime import date
from decimal import Decimal
from functools import cached_property
from typing import TYPE_CHECKING, Any, Literal

from attrs import evolve, field, frozen

from advisor.language.cited import Cited
from advisor.language.saying import Words, said
from advisor.language.source import Source, Span
from advisor.language.types import Estimate, MonthDay, Type, Value

if TYPE_CHECKING:  # the first question waits for none of them
    from advisor.language.converting import Exchange
    from advisor.language.core import Core
    from advisor.trade.market import Comparable

__all__ = [
    "VERDICTS",
    "CaseDef",
    "ComparingDef",
    "CurveDef",
    "Expected",
    "FaultDef",
    "LetDef",
    "Program",
    "PromiseDef",
    "Question",
    "Rule",
    "RungDef",
    "SeasonDef",
    "SectionDef",
    "SettingDef",
    "ShowDef",
    "Stage",
    "StationDef",
    "TableDef",
    "Unanswered",
]

VERDICTS = ("buy", "renegotiate", "pass")
"""The verdicts about a price, the best first."""

Stage = Literal["situation", "deal", "report"]
"""When a value is known: from the answers alone, once offer and repair plan are given, or after the ceiling."""


@frozen
class Unanswered:
    """An answer that is none: `unsure` or `refused`."""

    how: Literal["unsure", "refused"]


@frozen
class Question:
    """A question, its domain, and what to plan with when it is not answered.

    `low` and `high` bound a number, quantity or date, each reading of a list too. `usually` holds the shares of
    the answers of a yes/no question or a choice, `spread` how a number, an amount or a reading of a list usually comes
    out. `chance` is true where those shares may stand in for an answer, because the question decides nothing but
    faults; no spread ever does.
    """

    name: str
    type: Type
    low: Value | None
    high: Value | None
    text: str
    how: str
    why: str
    minutes: Decimal
    usually: tuple[tuple[Value, Decimal], ...]
    unsure: Value | None
    refused: Value | None
    gated: bool
    otherwise: Value | None
    major: bool
    chance: bool
    station: int | None
    cited: Cited | None
    span: Span = field(eq=False, repr=False)
    becomes: tuple[tuple[Value, str], ...] = ()
    """What somebody can make of the answer, and how: a lien paid off, a title fetched."""
    spread: Estimate | None = None
    """How the answer usually comes out: nothing is planned with it, but invented cars are drawn from it."""
    fine: Value | None = None
    """The answer to a yes/no question or a choice that means that all is as it should be, where one does."""
    weighed: bool = True
    """Whether it is more than something that only cautions look at."""

    def counted(self, counter: str) -> bool:
        """Whether a counter, such as `cannot_tell`, counts it where it applies and has no answer."""
        return self.major if counter == "unverified_majors" else self.weighed


@frozen
class SettingDef:
    """A named constant that a using file may change."""

    name: str
    type: Type
    value: Value
    text: str
    cited: Cited | None
    span: Span = field(eq=False, repr=False)
    low: Value | None = None
    high: Value | None = None
    """Between which values it is believed; None for any."""


@frozen
class LetDef:
    """A named quantity or condition; `low` and `high` are its variants where `low(...)` or `high(...)` need them."""

    name: str
    type: Type
    value: Core
    text: str
    stage: Stage
    low: Core | None
    high: Core | None
    cited: Cited | None
    span: Span = field(eq=False, repr=False)


@frozen
class FaultDef:
    """Something wrong with the car.

    Figures are expressions, or None where the file gives none; `ends` holds the low and the high end of those that
    stand on estimates by name. Effects of leaving it: `falls` (a share of the
    resale), `drop` (money off the resale), `days` (to sell), `buyers` (share of buyers lost).
    """

    name: str
    when: Core
    text: str
    parts: Core | None
    shop: Core | None
    labor: Core | None
    wait: Core | None
    falls: Decimal
    drop: Decimal
    days: Decimal
    buyers: Decimal
    must: bool
    together: tuple[str, ...]
    ends: dict[str, tuple[Core, Core]]
    cited: Cited | None
    span: Span = field(eq=False, repr=False)
    quote: Core | None = None
    """What a shop would ask for it; where the file does not say, it is reckoned from parts, shop and labor."""

    @property
    def figures(self) -> tuple[tuple[Core, Core, Core] | None, ...]:
        """Parts, shop, labor, wait and quote, each as its low end, its planning value and its high end."""
        found = []
        for kind in ("parts", "shop", "labor", "wait", "quote"):
            plan: Core | None = getattr(self, kind)
            low, high = self.ends.get(kind, (plan, plan))
            found.append((low, plan, high) if low is not None and plan is not None and high is not None else None)
        return tuple(found)


@frozen
class Rule:
    """A `refuse`, `require` or `caution`."""

    kind: Literal["refuse", "require", "caution"]
    name: str
    condition: Core
    because: str
    lesson: str
    cited: Cited | None
    span: Span = field(eq=False, repr=False)
    safety: bool = False
    """Whether a caution is about what can hurt somebody: it is said at once, and looked for to the end."""


@frozen
class RungDef:
    """One line of the verdict ladder; the last has no condition. A word of the ruleset's own has a text."""

    verdict: str
    condition: Core | None
    text: str
    span: Span = field(eq=False, repr=False)


@frozen
class SectionDef:
    """A part of the report: its heading, its page, whether it stands right under the verdict, and whether it is drawn
    as bars (money) or along a line of days (dates)."""

    title: str
    page: Literal[1, 2] = 1
    leads: bool = False
    drawn: bool = False
    span: Span | None = field(default=None, eq=False, repr=False)


@frozen
class ShowDef:
    """A line of the report, in its section."""

    name: str
    text: str
    span: Span = field(eq=False, repr=False)
    section: SectionDef | None = None


@frozen
class CurveDef:
    """A setting tried over a range, everything else as it is: what is shown of each try, and what should be most."""

    title: str
    setting: str
    low: Decimal
    high: Decimal
    step: Decimal
    shows: tuple[ShowDef, ...]
    most: str | None
    span: Span = field(eq=False, repr=False)


@frozen
class ComparingDef:
    """How a question about money is answered from comparables: the questions that tell the car's year and miles, and
    the figures of the estimate (see `advisor.trade.comparables.Market`) by the names of settings or as values."""

    question: str
    year: str | None
    miles: str | None
    figures: dict[str, str | Decimal]
    span: Span = field(eq=False, repr=False)


@frozen
class StationDef:
    """A place of the walk with its cautions."""

    title: str
    dangers: tuple[str, ...]
    span: Span = field(eq=False, repr=False)


@frozen
class SeasonDef:
    """Windows of the year, ends included; a window whose end comes before its start runs across New Year."""

    name: str
    windows: tuple[tuple[MonthDay, MonthDay], ...]
    span: Span = field(eq=False, repr=False)


@frozen
class TableDef:
    """A value for each month (`by` is None, twelve entries) or for each option of a choice."""

    name: str
    by: str | None
    type: Type
    entries: tuple[tuple[str, Decimal], ...]
    span: Span = field(eq=False, repr=False)


@frozen
class PromiseDef:
    """What must be true of every possible car."""

    word: str
    verdict: str
    condition: Core
    because: str
    span: Span = field(eq=False, repr=False)


@frozen
class Expected:
    """What a case expects: a verdict with reasons, or the value of a quantity."""

    name: str
    because: tuple[str, ...]
    value: Value | None
    span: Span = field(eq=False, repr=False)


@frozen
class CaseDef:
    """A car inside a ruleset and what the rules must say of it."""

    title: str
    day: date | None
    answers: dict[str, Value | Unanswered]
    expected: tuple[Expected, ...]
    span: Span = field(eq=False, repr=False)
    comparables: tuple[Comparable, ...] = ()
    told: tuple[str, ...] = ()
    denied: tuple[str, ...] = ()


_JUDGED_BY = ("gates", "settings", "lets", "faults", "rules", "ladder", "shows", "promises", "cases", "order", "curves")


@frozen(slots=False)
class Program:
    """A whole ruleset, checked.

    `order` lists questions, lets and faults so that each comes after what it needs. `digest` is the hash of the
    canonical rules: the same for two rulesets that differ in comments and blanks only.
    """

    title: str
    currency: str
    sources: tuple[Source, ...]
    digest: str
    terms: int
    questions: dict[str, Question]
    gates: dict[str, Core]
    """What `only when` says, for each question that has one."""
    settings: dict[str, SettingDef]
    lets: dict[str, LetDef]
    faults: dict[str, FaultDef]
    rules: dict[str, Rule]
    seasons: dict[str, SeasonDef]
    tables: dict[str, TableDef]
    stations: tuple[StationDef, ...]
    ladder: tuple[RungDef, ...]
    shows: tuple[ShowDef, ...]
    promises: tuple[PromiseDef, ...]
    cases: tuple[CaseDef, ...]
    order: tuple[str, ...]
    today_used: bool
    curves: tuple[CurveDef, ...] = ()
    comparing: ComparingDef | None = None
    currency_code: str = "USD"
    """The currency by its three letters; `currency` is its sign."""
    exchanges: dict[str, Exchange] = field(factory=dict)
    """For each file in another currency, what has brought its amounts into this one."""
    taken_out: dict[str, str] = field(factory=dict)
    """What `keep` and `without` took out of the used files, and what each was: `question`, `fault`."""
    words: Words = ()
    """Phrases and what these rules say for each; every text in here has been said so already."""

    @cached_property
    def judges(self) -> bool:
        """Whether there is a ladder that leads to a verdict."""
        return bool(self.ladder)

    @cached_property
    def hazards(self) -> tuple[str, ...]:
        """What each caution says, if it is for safety, else nothing."""
        return tuple(r.because if r.safety else "" for r in self.of_kind("caution"))

    @property
    def verdicts(self) -> tuple[str, ...]:
        """The verdicts that can come, the best first: those about a price, or the ladder's own words in its order.

        The last one is what a deal-breaker leads to.
        """
        words = tuple(dict.fromkeys(rung.verdict for rung in self.ladder))
        return VERDICTS if set(words) <= set(VERDICTS) else words

    @property
    def advice(self) -> dict[str, str]:
        """What each verdict of the ruleset's own advises; empty where the verdict is about a price."""
        return {rung.verdict: rung.text for rung in self.ladder if rung.text}

    def as_written(self, span: Span) -> str:
        """What a file says at a place, without comments, its amounts in the currency of these rules."""
        lines = [line.partition("#")[0].split() for line in span.text.splitlines()]
        text = " ".join(word for line in lines for word in line)
        found = self.exchanges.get(span.source.name)
        return found.value(text) if found else text

    def said(self, text: str) -> str:
        """A text that does not stand in the rules, in their words."""
        return said(text, self.words)

    def of_kind(self, kind: Literal["refuse", "require", "caution"]) -> tuple[Rule, ...]:
        """The rules of one kind, in file order."""
        return tuple(r for r in self.rules.values() if r.kind == kind)

    def gates_of(self, names: Iterable[str]) -> list[Core]:
        """The gates of some names: whatever is no question with a gate has none."""
        return [self.gates[n] for n in names if n in self.gates]

    def ungated(self, names: Iterable[str]) -> Program:
        """The program that asks these questions of every car."""
        gone = set(names)
        return evolve(
            self,
            gates={n: g for n, g in self.gates.items() if n not in gone},
            questions={n: evolve(q, gated=False) if n in gone else q for n, q in self.questions.items()},
        )

    def expressions(self) -> Iterator[Core]:
        """Every expression: gates, lets and their ends, faults, rules, ladder and promises."""
        yield from self.gates.values()
        for let in self.lets.values():
            yield from (v for v in (let.value, let.low, let.high) if v is not None)
        for fault in self.faults.values():
            yield fault.when
            yield from (end for figure in fault.figures if figure for end in figure)
        yield from (r.condition for r in self.rules.values())
        yield from (r.condition for r in self.ladder if r.condition is not None)
        yield from (p.condition for p in self.promises)

    def type_of(self, name: str) -> Type | None:
        """The type of a question, setting or let."""
        for table in (self.questions, self.settings, self.lets):
            if name in table:
                return table[name].type
        return None

    # ---- to be kept ----

    def __getstate__(self) -> dict[str, Any]:
        later = {name: getattr(self, name) for name in _JUDGED_BY}
        first = {name: value for name, value in self.__dict__.items() if name not in later}
        first |= {"judges": self.judges, "hazards": self.hazards}
        return {**first, "_later": pickle.dumps(later, protocol=pickle.HIGHEST_PROTOCOL)}

    if not TYPE_CHECKING:  # else every attribute would seem to be there

        def __getattr__(self, name: str) -> Any:
            if name not in _JUDGED_BY or "_later" not in self.__dict__:
                raise AttributeError(f"a program has no {name}", name=name, obj=self)
            self.__dict__.update(pickle.loads(self.__dict__.pop("_later")))
            return self.__dict__[name]
