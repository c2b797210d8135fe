"""One complete car, judged exactly: every figure, the ceiling and the verdict.

In: what the exact reading makes of a car's answers. Out: a `Deal`, whose costlier parts are computed when they are
first asked for, each in exact arithmetic whatever the context it is asked in.
"""

from __future__ import annotations

from collections.abc import Callable, Set
from decimal import Decimal
from functools import cached_property
from typing import TYPE_CHECKING, Any

from attrs import frozen

from advisor.judging.bargain import Bargain, Ceiling
from advisor.judging.sheet import ExactArrays
from advisor.language.program import Program
from advisor.readings.arithmetic import exact_arithmetic
from advisor.readings.emitting import wanted

if TYPE_CHECKING:
    from advisor.judging.drawing import CarOutcomes

__all__ = ["Deal"]


@frozen(slots=False)
class Deal:
    """One complete car, judged exactly: every figure, the ceiling and the verdict."""

    program: Program
    arrays: ExactArrays
    bargain: Bargain
    refuses: tuple[bool, ...]
    cautions: tuple[bool, ...]
    situation: tuple[Any, ...]
    rungs: tuple[Any, Any]
    """The exact reading's functions of the rung that decides: under a ceiling, and without one."""
    reports: tuple[Any, Any]
    """The same of the values that stand on the price."""
    outcomes: Callable[[], CarOutcomes]
    """The car's outcomes, made when they are first asked for."""
    asking: Decimal
    today: Any
    ladder_looks_at_plan: bool
    ladder_climbs: bool

    @cached_property
    def ceiling(self) -> Ceiling:
        """The highest offer."""
        with exact_arithmetic():
            return self.bargain.ceiling()

    @cached_property
    def plan(self) -> int:
        """The repair plan at the asking price, which the report is about."""
        with exact_arithmetic():
            return self.bargain.plan_at(self.asking)

    def _under(self, functions: tuple[Any, Any], ceiling: Decimal | None, plan: int) -> Any:
        """What one of two functions says under a ceiling, the other without one."""
        with exact_arithmetic():
            figures = self.bargain.figures(plan)
            if ceiling is None:
                return functions[1](self.asking, figures)
            return functions[0](self.asking, figures, ceiling)

    def verdict_under(self, refused: bool, ceiling: Decimal | None) -> str:
        """The verdict if a deal-breaker holds or not, under a ceiling."""
        if refused:
            return self.program.verdicts[-1]
        # Where the ladder looks at nothing that a repair plan decides, any plan will do.
        rung = self._under(self.rungs, ceiling, self.plan if self.ladder_looks_at_plan else 0)
        return self.program.ladder[rung].verdict if rung is not None else self.program.verdicts[-1]

    @cached_property
    def verdict(self) -> str:
        """The verdict."""
        if any(self.refuses):
            return self.program.verdicts[-1]
        return self.verdict_under(False, self.ceiling.offer)

    def verdict_by(self, mended: Set[str]) -> str:
        """The verdict; where some plan at hand, the one that mends these faults, shows that the highest offer cannot
        change it, that one is not looked for."""
        if any(self.refuses) or not self.ladder_climbs:
            return self.verdict
        optional = self.bargain.repairs.optional
        plan = sum(1 << i for i, h in enumerate(optional) if h.fault.name in mended)
        least = self.bargain.borne(plan)
        if least is not None:
            found = self.verdict_under(False, least)
            if found == self.verdict_under(False, self.bargain.highest):
                return found
        return self.verdict

    @cached_property
    def values(self) -> dict[str, Any]:
        """Every quantity of the rules by name, planning values; None for one without a value."""
        todo = wanted(self.program)
        found = {let.name: v for (let, end), v in zip(todo.situation, self.situation, strict=True) if end == "plan"}
        reported = self._under(self.reports, self.ceiling.offer, self.plan)
        found |= {let.name: v for (let, end), v in zip(todo.report, reported, strict=True) if end == "plan"}
        found |= {"ceiling": self.ceiling.offer, "offer": self.asking, "today": self.today}
        return found
