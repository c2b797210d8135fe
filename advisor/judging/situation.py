"""What can hold of a car and what surely does, whatever its open answers turn out to be.

In: readings and answers. Out: a `Situation`, in which the possible reading is computed once, when first needed. Where
nothing surely holds, no rule is looked at: a kept program need not load them for it.
"""

from __future__ import annotations

from collections.abc import Iterable
from functools import cached_property
from typing import TYPE_CHECKING, Any, Literal

from attrs import define

if TYPE_CHECKING:  # the first question of a new car waits for neither
    from advisor.judging.sheet import Sheet
    from advisor.language.answers import Answers
    from advisor.language.program import Program, Rule
    from advisor.readings.compiled import Readings

__all__ = ["Situation"]


@define(slots=False, eq=False)
class Situation:
    """One car's answers, and what follows from them."""

    readings: Readings
    answers: Answers

    @property
    def program(self) -> Program:
        """The rules."""
        return self.readings.program

    @cached_property
    def sheet(self) -> Sheet:
        """The answers as the readings take them, with what comparables tell."""
        if self.answers.comparables:
            from advisor.judging.valuing import valuation, valued_sheet

            return valued_sheet(self.program, self.answers, valuation(self.program, self.answers))
        from advisor.judging.sheet import Sheet

        return Sheet(self.program, self.answers)

    @cached_property
    def possible(self) -> Any:
        """What the possible reading says."""
        from advisor.readings.arithmetic import exact_arithmetic

        with exact_arithmetic():
            return self.readings.possible(*self.sheet.possible())

    @cached_property
    def gates(self) -> dict[str, bool]:
        """Which questions apply, or may."""
        return {n: can for n, (can, _) in zip(self.program.questions, self.possible[-1], strict=True)}

    @cached_property
    def broken(self) -> bool:
        """Whether a deal-breaker surely holds."""
        return any(map(_surely, self.possible[2]))

    @cached_property
    def faults(self) -> tuple[str, ...]:
        """The faults that surely hold."""
        sides = self.possible[0]
        if not any(map(_surely, sides)):
            return ()
        return tuple(n for n, side in zip(self.program.faults, sides, strict=True) if _surely(side))

    @cached_property
    def refuses(self) -> tuple[Rule, ...]:
        """The deal-breakers that surely hold."""
        return self._sure("refuse", self.possible[2])

    @cached_property
    def cautions(self) -> tuple[Rule, ...]:
        """The cautions that surely hold."""
        return self._sure("caution", self.possible[3])

    @cached_property
    def hazards(self) -> tuple[str, ...]:
        """What the cautions for safety say that surely hold."""
        sides = zip(self.program.hazards, self.possible[3], strict=True)
        return tuple(text for text, side in sides if text and _surely(side))

    def _sure(self, kind: Literal["refuse", "caution"], sides: Iterable[tuple[bool, bool]]) -> tuple[Rule, ...]:
        if not any(map(_surely, sides)):
            return ()
        return tuple(r for r, side in zip(self.program.of_kind(kind), sides, strict=True) if _surely(side))


def _surely(side: tuple[bool, bool]) -> bool:
    can, not_ = side
    return can and not not_
