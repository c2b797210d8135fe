"""Yes, no and not known, against SQL's three-valued logic.

The possible reading of small rules is held against sqlite3, where NULL is what is not known. Kleene's strong tables
(S. C. Kleene, Introduction to Metamathematics, 1952, section 64) are what SQL's AND, OR and NOT follow.
"""

from __future__ import annotations

import re
import sqlite3
from itertools import count, product
from random import Random

import pytest

from advisor.judging.sheet import Sheet
from advisor.language.answers import Answers
from advisor.readings.arithmetic import exact_arithmetic
from tests.programs import judge_of

Three = bool | None
NAMES = ("p", "q", "r", "s")
ALIASES = 96
"""A condition that says a thing and its opposite is refused as a slip, so that each use goes by a name of its own."""
HEAD = 'ruleset "Logic"\n    currency USD\n' + "".join(f'ask {n}: yes/no\n    "Is {n}?"\n' for n in NAMES)
HEAD += "".join(f"let {n}{i} = ({n})\n" for n in NAMES for i in range(ALIASES))


def possible(conditions: list[str], worlds: list[tuple[Three, ...]]) -> list[list[Three]]:
    """What each condition is in each world: yes, no, or either."""
    rules = "".join(f'refuse c{i} when {c}\n    because "So."\n' for i, c in enumerate(conditions))
    judge = judge_of(HEAD + rules + "verdict\n    pass otherwise\n")
    found = []
    with exact_arithmetic():
        for world in worlds:
            known = {n: v for n, v in zip(NAMES, world, strict=True) if v is not None}
            refuses = judge.readings.possible(*Sheet(judge.program, Answers("", None, dict(known))).possible())[2]
            found.append([t if t != f else None for t, f in refuses])
    return found


def in_sql(conditions: list[str], worlds: list[tuple[Three, ...]]) -> list[list[Three]]:
    """The same by sqlite3."""
    connection = sqlite3.connect(":memory:")
    columns = ", ".join(re.sub(r"([pqrs])\d+", r"\1", c) for c in conditions)
    source = ", ".join(f"? AS {n}" for n in NAMES)
    found = [connection.execute(f"SELECT {columns} FROM (SELECT {source})", w).fetchone() for w in worlds]
    connection.close()
    return [[None if v is None else bool(v) for v in row] for row in found]


WORLDS: list[tuple[Three, ...]] = list(product((False, None, True), repeat=4))


def test_kleenes_tables_on_all_pairs() -> None:
    conditions = ["p and q", "p or q", "not p", "not p or q", "not (p and q)", "(p and not q) or (q and not p)"]
    assert possible(conditions, WORLDS) == in_sql(conditions, WORLDS)


@pytest.mark.parametrize("seed", range(4))
def test_random_formulas(seed: int) -> None:
    random = Random(f"kleene {seed}")
    uses = count()

    def formula(depth: int) -> str:
        if depth == 0 or random.random() < 0.2:
            return f"{random.choice(NAMES)}{next(uses) % ALIASES}"
        if random.random() < 0.3:
            return f"not ({formula(depth - 1)})"
        word = random.choice((" and ", " or "))
        return word.join(f"({formula(depth - 1)})" for _ in range(random.randint(2, 3)))

    conditions = [formula(4) for _ in range(50)]
    assert possible(conditions, WORLDS) == in_sql(conditions, WORLDS)


def test_a_condition_or_its_opposite_is_not_known_either() -> None:
    """The excluded middle fails in Kleene's logic, and in SQL."""
    assert possible(["p0 or not p1", "p0 and not p1"], [(None,) * 4]) == [[None, None]]
    assert in_sql(["p0 or not p1", "p0 and not p1"], [(None,) * 4]) == [[None, None]]


def test_comparisons_of_what_is_not_known() -> None:
    """A number that is not known makes a comparison unknown, as NULL does, unless its range decides it."""
    text = """ruleset "Range"
    currency USD
ask miles: mi from 0 mi to 100 mi
    "How many?"
ask flag: yes/no
    "Is it so?"
refuse far when miles > 50 mi
    because "So."
refuse far_and when miles > 50 mi and flag
    because "So."
refuse beyond when miles + 10 mi > 120 mi
    because "So."
verdict
    pass otherwise
"""
    judge = judge_of(text)
    with exact_arithmetic():
        refuses = judge.readings.possible(*Sheet(judge.program, Answers("", None, {"flag": False})).possible())[2]
    assert refuses == ((True, True), (False, True), (False, True))
