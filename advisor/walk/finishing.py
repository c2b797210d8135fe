"""What is asked at the end of a walk, for the book: each partner's own number, and what was decided.

In: a typed line. Out: what it means. Raises `Mistake`.
"""

from __future__ import annotations

from advisor.language.program import Program
from advisor.language.spelling import spelled
from advisor.language.types import MONEY
from advisor.language.values import Unreadable, read_value
from advisor.language.wording import format_value
from advisor.walk.typed import Mistake

__all__ = ["decision", "own_number", "partners_asked"]

_DECISIONS = {"bought": "bought", "passed": "passed", "pass": "passed", "left": "left_open", "open": "left_open"}


def partners_asked(program: Program) -> bool:
    """Whether the rules ask for the partners' own numbers themselves, by questions called `number_of_...`."""
    return any(name.startswith("number_of_") for name in program.questions)


def own_number(line: str, program: Program) -> tuple[str, str]:
    """A partner's name, and the amount as a file writes it."""
    who, _, amount = line.strip().rpartition(" ")
    if not who:
        raise Mistake("say whose it is and how much, as: Ann 3,100")
    return who.replace('"', "'"), _amount(amount, program)


def decision(line: str, program: Program) -> tuple[str, str]:
    """What was decided, and the price as a file writes it, empty where there is none."""
    word, _, rest = line.strip().lower().partition(" ")
    known = [d for d in _DECISIONS if d.startswith(word) and len(word) > 1]  # one letter is a key elsewhere
    if len({_DECISIONS[d] for d in known}) != 1:
        raise Mistake("say bought and the price, passed, or left open")
    what = _DECISIONS[known[0]]
    rest = rest.removeprefix("at ").removeprefix("for ").strip()
    if what == "bought" and not rest:
        raise Mistake("at what price? say it as: bought 2,900")
    return what, _amount(rest, program) if what == "bought" else ""


def _amount(text: str, program: Program) -> str:
    plain = spelled(text.strip().lstrip(program.currency))
    try:
        value = read_value(f"{program.currency}{plain}", MONEY, "price")
    except Unreadable:
        raise Mistake(f"`{text}` is no amount; write it as 2,900") from None
    return format_value(value, MONEY, program.currency)
