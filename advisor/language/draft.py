"""A ruleset while it is being checked.

What `naming.py`, `defining.py`, `ruling.py` and `casing.py` fill in, one after another, and `checking.py` makes a
`Program` of.
"""

from __future__ import annotations

from decimal import Decimal

from attrs import define, field

from advisor.language import catalogue, core, nodes
from advisor.language.asking import Asker
from advisor.language.converting import Exchange
from advisor.language.core import Core
from advisor.language.declaring import Declarer
from advisor.language.elaborating import Elaborator, Scope
from advisor.language.linking import Linked
from advisor.language.mending import Mender
from advisor.language.problems import Kind, Problem
from advisor.language.program import (
    FaultDef,
    LetDef,
    Question,
    Rule,
    SettingDef,
    Stage,
    StationDef,
)
from advisor.language.source import Span
from advisor.language.trends import Trends
from advisor.language.types import (
    BROKEN,
)

__all__ = ["STAGES", "Draft"]

STAGES: tuple[Stage, ...] = ("situation", "deal", "report")


@define
class Draft:
    """Everything known so far: blocks and names, definitions, problems, and the tools that make more of them."""

    linked: Linked
    currency_code: str = "USD"
    exchanges: dict[str, Exchange] = field(factory=dict)
    """For each file in another currency, what brings its amounts into ours."""
    scope: Scope = field(factory=Scope)
    named: dict[str, nodes.Named] = field(factory=dict)
    problems: list[Problem] = field(factory=list)
    questions: dict[str, Question] = field(factory=dict)
    gates: dict[str, Core] = field(factory=dict)
    """What each `only when` says."""
    settings: dict[str, SettingDef] = field(factory=dict)
    lets: dict[str, LetDef] = field(factory=dict)
    faults: dict[str, FaultDef] = field(factory=dict)
    rules: dict[str, Rule] = field(factory=dict)
    stages: dict[str, Stage] = field(factory=dict)
    stations: list[StationDef] = field(factory=list)
    station_of: dict[str, int] = field(factory=dict)
    dropped: set[str] = field(factory=set)
    taken_out: dict[str, str] = field(factory=dict)
    """What `keep` and `without` took out of the used files, and what each was."""
    ladder: nodes.Verdict | None = None
    comparables: nodes.Comparables | None = None
    tried: dict[int, tuple[Decimal, Decimal, Decimal]] = field(factory=dict)
    """For each curve, by its place among the blocks: lowest and highest value tried, and the step."""
    set_at: dict[tuple[str, str], Span] = field(factory=dict)
    unasked: dict[str, list[Span]] = field(factory=dict)
    circles: set[frozenset[str]] = field(factory=set)
    elab: Elaborator = field(init=False)
    declare: Declarer = field(init=False)
    asker: Asker = field(init=False)
    mender: Mender = field(init=False)
    trends: Trends = field(init=False)

    def say(self, kind: Kind, span: Span, /, **words: object) -> None:
        """Note a problem."""
        self.elab.report(kind, span, **words)

    def stage(self, node: Core) -> Stage:
        """When the value of an expression is known: from the answers, with the price, or after the ceiling."""
        found = 0
        for part in core.walk(node):
            match part:
                case core.Special(name="offer") | core.PlanFigure() | core.Chance() | core.Percentile():
                    found = max(found, 1)
                case core.Special(name="ceiling"):
                    found = 2
                case core.Ref(kind="let", name=name):
                    found = max(found, STAGES.index(self.stages.get(name, "situation")))
        return STAGES[found]

    @staticmethod
    def _decides(node: core.Core) -> bool:
        """Whether a part looks at the price by itself: a name or figure does, and so does whatever is drawn."""
        return not core.children(node) or isinstance(node, core.Chance | core.Percentile)

    def no_price(self, node: Core, what: str) -> None:
        """Complain about an expression that looks at the price where it must not; `what` names the place."""
        if node.type != BROKEN and self.stage(node) != "situation":
            culprit = next(p for p in core.walk(node) if self.stage(p) != "situation" and self._decides(p))
            cure = f"leave `{culprit.span.text}` out"
            if what.startswith(("`refuse", "`caution")):
                cure = f"make it a `require`, or {cure}"
            self.say(catalogue.PRICE_HERE, culprit.span, what=what, name=culprit.span.text, cure=cure)
