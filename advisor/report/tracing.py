"""A derivation as plain lines: where a number comes from.

In: the steps of a derivation, the asked-for one first. Out: text. Answers and settings are told where they are first
used; what was told already is only named. How deep it goes is up to the reader.
"""

from __future__ import annotations

from attrs import define, field

from advisor.judging.derivation import Step
from advisor.report.wrapping import Page

__all__ = ["derivation_lines"]

_LEAVES = ("setting", "answer", "day", "price")


def derivation_lines(steps: tuple[Step, ...], width: int = 80, deep: bool = False) -> str:
    """A derivation: what was asked for and what it stands on directly, or with `deep` all of it."""
    return _Telling(steps, Page(width), deep).told()


@define
class _Telling:
    steps: tuple[Step, ...]
    page: Page
    deep: bool
    known: dict[str, Step] = field(init=False)
    said: set[str] = field(factory=set)

    def __attrs_post_init__(self) -> None:
        self.known = {s.name: s for s in self.steps}

    def told(self) -> str:
        asked, *others = self.steps
        near = {name for name, _ in asked.uses}
        blocks = [s for s in others if not self._inline(s)]
        shown = blocks if self.deep else [s for s in blocks if s.name in near]
        for step in (asked, *shown):
            if step is not asked:
                self.page.lines.append("")
            self._step(step)
        rest = len(blocks) - len(shown)
        if rest:
            self.page.lines.append("")
            self.page.add(f"{rest} more {'step' if rest == 1 else 'steps'} below these: --deep", hang=0)
        return self.page.text

    def _inline(self, step: Step) -> bool:
        """Whether a step is told where it is used, because nothing stands below it."""
        return step.kind in _LEAVES and not step.uses and not step.formula

    def _step(self, step: Step) -> None:
        page = self.page
        page.add(f"{step.name}: {step.value}", hang=4)
        self.said.add(step.name)
        if step.formula:
            page.add(f"= {step.formula}" if step.kind == "let" else step.formula, 4)
        for name, value in step.uses:
            sign = ":" if step.name in ("plan", "verdict") else " ="
            page.add(f"{name}{sign} {value}{self._leaf(name)}", 8)
        if step.note:
            page.add(step.note, 4)
        if step.place:
            page.add(f"[{step.kind}, {step.place}]", 4)

    def _leaf(self, name: str) -> str:
        """Where an answer or a setting stands, at its first use."""
        step = self.known.get(name)
        if step is None or not self._inline(step) or name in self.said:
            return ""
        self.said.add(name)
        return f"  [{step.kind}, {step.place}]" if step.place else f"  [{step.kind}]"
