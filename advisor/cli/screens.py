"""Where a walk is shown and typed: bare lines on a terminal, lines from a pipe, or a prompt with completion.

In: lines of the walk. Out: what was typed, without control characters; None at its end.
"""

from __future__ import annotations

import os
import sys
from typing import TYPE_CHECKING, Any, ClassVar

import click
from attrs import define

from advisor.cli.printing import page_width
from advisor.language.program import Question
from advisor.report.clean import clean
from advisor.report.wrapping import Page
from advisor.walk.lines import Kind, Line

if TYPE_CHECKING:
    from advisor.walk.prompt import Prompt

__all__ = ["FullScreen", "PipeScreen", "Screen"]

_HANG = {"list": 3, "answers": 3}


@define
class Screen:
    """Bare lines on a terminal."""

    waits: ClassVar[bool] = True
    """Whether somebody is there who can be asked to go on."""

    def width(self) -> int:
        """The columns there are now."""
        return page_width()

    def show(self, lines: list[Line]) -> None:
        """Say lines, each wrapped to the width."""
        for line in lines:
            if line.kind in ("station", "question"):
                self.write("", line)
            page = Page(self.width())
            page.add(line.text, hang=_HANG.get(line.kind, 2))
            for text in page.lines:
                self.write(text, line)

    def aside(self, text: str) -> None:
        """Something beside the results."""
        self.show([Line("told", text)])

    def write(self, text: str, line: Line) -> None:
        """One line that fits."""
        click.echo(text)

    def read(self, question: Question | None, what: str = "") -> str | None:
        """What was typed."""
        try:
            typed = input(f"{what}> " if what else "> ")
        except (EOFError, KeyboardInterrupt):
            click.echo("")
            return None
        return clean(typed).strip()


@define
class PipeScreen(Screen):
    """Answers from a file or a pipe: no prompt."""

    waits: ClassVar[bool] = False

    def aside(self, text: str) -> None:
        """Something beside the results."""
        click.echo(clean(text), err=True)

    def read(self, question: Question | None, what: str = "") -> str | None:
        """The next line; nothing, where there is no input at all."""
        try:
            line = sys.stdin.readline() if sys.stdin is not None else ""
        except KeyboardInterrupt:
            return None
        return clean(line.rstrip("\n")).strip() if line else None


_BLUE, _ORANGE, _VERMILION = (0x56, 0xB4, 0xE9), (0xE6, 0x9F, 0x00), (0xD5, 0x5E, 0x00)
"""Colors that color-blind people tell apart: M. Okabe and K. Ito, Color Universal Design, 2008 (from memory). Words and
signs always say the same."""
_STYLES: dict[Kind, dict[str, Any]] = {
    "station": {"bold": True},
    "danger": {"fg": _VERMILION},
    "question": {"bold": True},
    "verdict": {"fg": _BLUE},
    "effect": {"fg": _ORANGE},
    "rule": {"fg": _VERMILION},
    "wrong": {"fg": _ORANGE},
}


@define
class FullScreen(Screen):
    """A prompt with completion of choices, in colors where there are any."""

    prompt: Prompt | None = None
    """The line editor. It is loaded behind the first question, so that this one is on the screen at once."""

    def write(self, text: str, line: Line) -> None:
        """One line that fits, in the color of its kind."""
        plain = os.environ.get("NO_COLOR") or line.kind not in _STYLES
        click.echo(text if plain else click.style(text, **_STYLES[line.kind]))

    def read(self, question: Question | None, what: str = "") -> str | None:
        """What was typed; of what was pasted, the first line."""
        if self.prompt is None:
            from advisor.walk.prompt import Prompt

            self.prompt = Prompt()
        typed = self.prompt.read(question, f"{what}> " if what else "> ")
        if typed is None:
            return None
        first, _, rest = typed.strip().partition("\n")
        if rest.strip():
            self.show([Line("wrong", "only the first of these lines was taken")])
        return clean(first).strip()
