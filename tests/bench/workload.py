"""One workload, twice: 80 answers, 20 quantities and 60 rules in Telltale, and the same by hand in Python.

The hand-written function takes the same decimals in the same order and gives the same 60 truths. It is what a
programmer would write who had these rules on paper and no need to explain, trace or change them.
"""

from __future__ import annotations

import random
from collections.abc import Callable
from decimal import Decimal
from typing import Any

__all__ = ["by_hand", "random_answers", "ruleset"]

MONEY, FLAGS, WORDS = 40, 20, 20
OPTIONS = ("fine", "fair", "poor")


def ruleset() -> str:
    """The rules as a person would write them."""
    lines = ['ruleset "Workload"', "    currency USD", "setting highest_offer = $90,000"]
    lines += ["ask asking: money from $0 to $90,000", '    "Asking?"']
    for i in range(MONEY - 1):
        lines += [f"ask m{i}: money from $0 to $10,000", f'    "Amount {i}?"']
    for i in range(FLAGS):
        lines += [f"ask f{i}: yes/no", f'    "Flag {i}?"']
    for i in range(WORDS):
        lines += [f"ask w{i}: one of {', '.join(OPTIONS)}", f'    "State {i}?"']
    for i in range(18):
        lines.append(f"let t{i} = m{i} + m{i + 1} * 1.25 - (30% of m{i + 2})")
    lines += ["let cost = t0 + t1 + t2 + t3 + offer", "let profit = m30 + m31 + m32 - cost"]
    for i in range(20):
        lines.append(f"refuse r{i} when (w{i} is poor and f{i}) or t{i % 18} > m{i + 10} * 3")
    for i in range(20):
        lines.append(f"caution c{i} when m{i} >= $5,000 and not f{i} and w{i} is one of (fair, poor)")
    for i in range(20):
        lines.append(f"require q{i}: m{i + 15} * 2 + t{i % 18} >= (60% of m{i}) - $500 and profit + m{i} >= -$40,000")
    lines += ["verdict", "    buy when ceiling >= asking", "    pass otherwise"]
    return "\n".join(lines) + "\n"


def _hand_written() -> str:
    names = [
        "asking",
        *(f"m{i}" for i in range(MONEY - 1)),
        *(f"f{i}" for i in range(FLAGS)),
        *(f"w{i}" for i in range(WORDS)),
    ]
    lines = [
        "D = Decimal",
        "A, B, C, E, F, G, H = D('1.25'), D('0.30'), D(3), D(5000), D(2), D('0.60'), D(500)",
        "I = D(-40000)",
        "def judge(v, offer):",
        f"    ({', '.join(names)}) = v",
    ]
    lines += [f"    t{i} = m{i} + m{i + 1} * A - B * m{i + 2}" for i in range(18)]
    lines += ["    cost = t0 + t1 + t2 + t3 + offer", "    profit = m30 + m31 + m32 - cost"]
    refuses = [f"(w{i} == 'poor' and f{i}) or t{i % 18} > m{i + 10} * C" for i in range(20)]
    cautions = [f"m{i} >= E and not f{i} and w{i} in ('fair', 'poor')" for i in range(20)]
    requires = [f"m{i + 15} * F + t{i % 18} >= G * m{i} - H and profit + m{i} >= I" for i in range(20)]
    lines.append(f"    return (({', '.join(refuses)}), ({', '.join(cautions)}), ({', '.join(requires)}))")
    return "\n".join(lines) + "\n"


def by_hand() -> Callable[[tuple[Any, ...], Decimal], tuple[tuple[bool, ...], ...]]:
    """The hand-written function."""
    names: dict[str, Any] = {"Decimal": Decimal}
    exec(compile(_hand_written(), "<by hand>", "exec"), names)
    judge: Callable[[tuple[Any, ...], Decimal], tuple[tuple[bool, ...], ...]] = names["judge"]
    return judge


def random_answers(seed: int) -> tuple[Any, ...]:
    """One car."""
    chance = random.Random(seed)
    money = [Decimal(chance.randrange(1_000_000)) / 100 for _ in range(MONEY)]
    flags = [chance.random() < 0.5 for _ in range(FLAGS)]
    words = [chance.choice(OPTIONS) for _ in range(WORDS)]
    return (*money, *flags, *words)
