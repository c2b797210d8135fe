"""The full prompt: a line editor with completion of choices. The only module that knows prompt_toolkit.

In: the question that is asked. Out: the line that was typed; None where the input was closed or broken off. The prompt
stays two signs long, and everything else is written above it, line by line: nothing is cut or broken by the editor.
"""

from __future__ import annotations

import os

os.environ.setdefault("PROMPT_TOOLKIT_NO_CPR", "1")  # some terminals never answer where the cursor is

from prompt_toolkit import PromptSession
from prompt_toolkit.completion import WordCompleter
from prompt_toolkit.history import DummyHistory
from prompt_toolkit.key_binding import KeyBindings
from prompt_toolkit.keys import Keys

from advisor.language.program import Question
from advisor.language.types import Choice, YesNo

__all__ = ["Prompt"]


class Prompt:
    """Reads lines."""

    def __init__(self) -> None:
        keys = KeyBindings()
        # Signs of a mouse, from a paste or a finger on Escape, are no answer; as they come they may not even be whole.
        keys.add(Keys.Vt100MouseEvent, eager=True)(lambda event: None)
        self._session: PromptSession[str] = PromptSession(
            history=DummyHistory(), enable_open_in_editor=False, complete_while_typing=False, key_bindings=keys
        )

    def read(self, question: Question | None, sign: str) -> str | None:
        """What was typed, perhaps in several lines where it was pasted."""
        try:
            return self._session.prompt(sign, completer=WordCompleter(_words(question), ignore_case=True))
        except (EOFError, KeyboardInterrupt):
            return None


def _words(question: Question | None) -> list[str]:
    """What completes the first letters of a choice."""
    match question.type if question else None:
        case YesNo():
            return ["yes", "no"]
        case Choice(options):
            return list(options)
    return []
