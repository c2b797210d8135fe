"""A judgment: what comes out for one car, with everything needed to explain it.

Made by `judge.py`, read by the reports. Two judgments are told apart. Whatever comes: the verdicts still possible
for any completion of the answers; one left is settled. On the plan: what is not answered takes its `assume`, or
brings its faults at their chance; where something is left that has no plan, there is none.
"""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from attrs import frozen

from advisor.judging.deal import Deal
from advisor.judging.repairs import Held
from advisor.language.answers import Answers
from advisor.language.program import CurveDef, FaultDef, Program, Question, Rule, ShowDef, Unanswered
from advisor.language.types import Value
from advisor.trade.comparables import Valuation

__all__ = [
    "Argument",
    "Assumption",
    "Change",
    "Curve",
    "CurvePoint",
    "Flip",
    "Judgment",
    "Trial",
    "Unknown",
    "Worth",
]


@frozen
class Trial:
    """What one answer would do, everything else as planned: whether a deal-breaker holds, the ceiling, the verdict,
    and how many verdicts are better than that."""

    value: Value
    refused: bool
    ceiling: Decimal | None
    verdict: str
    rank: int


@frozen
class Assumption:
    """Something planned with that nobody saw; `value` is None where its faults come at their chance."""

    question: Question
    cell: Unanswered | None
    value: Value | None
    trials: tuple[Trial, ...]

    @property
    def ceilings(self) -> tuple[Decimal | None, Decimal | None]:
        """The lowest and the highest ceiling that its answers could lead to."""
        known = [t.ceiling for t in self.trials if t.ceiling is not None]
        lowest = None if len(known) < len(self.trials) else min(known, default=None)
        return lowest, max(known, default=None)

    def worth(self, trial: Trial) -> tuple[bool, int, Decimal, Decimal]:
        """How good an answer is: no deal-breaker, then by its verdict, its ceiling, and how usual it is."""
        ceiling = trial.ceiling if trial.ceiling is not None else Decimal(-1)
        share = dict(self.question.usually).get(trial.value, Decimal(0))
        return not trial.refused, -trial.rank, ceiling, share


@frozen
class Unknown:
    """An open question that the verdict can depend on; `leads_to` says what each answer would make of it."""

    question: Question
    cell: Unanswered | None
    planned: bool
    leads_to: tuple[tuple[Value, tuple[str, ...]], ...]
    prices: tuple[tuple[Value, Decimal], ...] = ()
    """The ceiling under each answer that leaves one and settles the rest."""

    def can_lead_only_to(self, verdict: str) -> bool:
        """Whether some answer leaves no other verdict than this."""
        return any(verdicts == (verdict,) for _, verdicts in self.leads_to)


@frozen
class Worth:
    """A repair, decided one way and the other with all others as planned.

    `gain` is the profit with it mended less the profit with it left, at the price the report is about; `cost` money,
    `hours` our own labor (stored grain), `days` later until sold.
    """

    held: Held
    fixed: bool
    gain: Decimal
    cost: Decimal
    hours: Decimal
    days: Decimal


@frozen
class Change:
    """An answer that somebody can change, what it would become, and how."""

    question: Question
    value: Value
    how: str


@frozen
class Flip:
    """The fewest changes that lead to another verdict, tried for real."""

    changes: tuple[Change, ...]
    verdict: str
    ceiling: Decimal | None


@frozen
class CurvePoint:
    """One value of a setting, and what is shown under it."""

    value: Decimal
    shown: tuple[Any, ...]


@frozen
class Curve:
    """A setting tried over its range; `best` is the place of the point with the most of what should be most."""

    definition: CurveDef
    points: tuple[CurvePoint, ...]
    best: int | None


@frozen
class Argument:
    """A fault to argue with, and what a shop would ask for it."""

    fault: FaultDef
    quote: Decimal
    denied: bool


@frozen
class Judgment:
    """Everything said of one car."""

    program: Program
    answers: Answers
    verdict: str
    settled: bool
    possible: tuple[str, ...]
    deal: Deal | None
    assuming: tuple[Assumption, ...]
    unknown: tuple[Unknown, ...]
    reasons: tuple[Rule, ...]
    cautions: tuple[tuple[Rule, bool], ...]
    """Each caution that holds or may hold, and whether it surely does."""
    binding: str | None
    own_ceilings: dict[str, Decimal | None]
    worth: tuple[Worth, ...] = ()
    """Each repair that may be left, with what mending it adds; empty where none was asked for."""
    flips: tuple[Flip, ...] = ()
    """What would change the verdict."""
    curves: tuple[Curve, ...] = ()
    arguments: tuple[Argument, ...] = ()
    """The dearest faults to argue with, three at most: first those that must be fixed, whoever buys it."""
    market: Valuation | None = None
    """What the comparables say, where the car lists any."""
    draws: tuple[int, int] | None = None
    """How many outcomes were drawn, and the seed; None where nothing was."""
    set_aside: tuple[Question, ...] = ()
    """Questions that were answered and do not apply: the answers are kept, and count for nothing."""

    @property
    def hopeless(self) -> bool:
        """Whether the verdict is the worst that the rules know: to pass, of a price."""
        return self.verdict == self.program.verdicts[-1]

    @property
    def ceiling(self) -> Decimal | None:
        """The highest offer, if there is one and it can be told."""
        return self.deal.ceiling.offer if self.deal else None

    @property
    def asking(self) -> Decimal | None:
        """The asking price, if it was answered."""
        value = self.answers.known("asking")
        return value if isinstance(value, Decimal) else getattr(value, "planned", None)

    @property
    def shows(self) -> tuple[tuple[ShowDef, Any], ...]:
        """The lines of the report with their values."""
        if not self.deal:
            return ()
        values = self.deal.values
        found = []
        for show in self.program.shows:
            if show.name in values:
                found.append((show, values[show.name]))
            elif show.name in self.program.settings:
                found.append((show, self.program.settings[show.name].value))
            elif show.name in self.program.questions:
                at = list(self.program.questions).index(show.name)
                found.append((show, self.deal.arrays.plan[at]))
        return tuple(found)
