"""Whatever comes in, problems come out: 24,000 random inputs a run, and never an exception.

Random bytes, random heaps of the language's own words, blocks of the bundled rulesets with pieces cut out and put
elsewhere, and deep nests. Each is read, checked and, as a recorded car, read against a small program.
"""

from __future__ import annotations

import random
from collections.abc import Callable

import pytest

from advisor import resources
from advisor.cli.library import DiskLibrary
from advisor.judging.cases import run_cases
from advisor.judging.judge import Judge
from advisor.language.blocks import cut, lexemes
from advisor.language.cars import read_car
from advisor.language.checking import check
from advisor.language.linking import link
from advisor.language.parsing import grammar
from advisor.language.problems import Problem
from advisor.language.program import Program
from advisor.language.source import Source
from advisor.language.values import Unreadable
from advisor.language.words import BODY_WORDS, RESERVED
from advisor.readings.compiled import Readings
from advisor.report.problems import problem_data, render_problem

EACH = 4_000
"""Inputs of each of the six makes."""

SMALL = """\
ask tread: in from 0 in to 1 in
    "Shallowest tread on any tire?"
ask body: one of hatch, wagon
    "What body has it?"
ask asking: money
    "What does the seller ask?"
ask compression: 1 to 12 of psi
    "Compression, cylinder by cylinder?"
ask seen: date
    "When was it seen?"
ask vin: code of 5 to 17
    "What does the plate say?"
fault worn when tread < 3/32 in
    parts $80
comparables for asking
    private   93%
    dealer    82%
    auction   118%
    stands    45 days
    a year    6%
    each 10,000 miles 4%
    rough     70%
    fair      85%
    excellent 112%
    branded   65%
    spread    15%
"""
NAMES = [
    "tread",
    "body",
    "asking",
    "compression",
    "seen",
    "vin",
    "hatch",
    "profit",
    "a",
    "b",
    "c",
    "offer",
    "ceiling",
    "today",
]
VALUES = [
    "$100", "$1,250.50", "30%", "4/32 in", "5 1/2 in", "3 h", "2 weeks", "10 h/week", "$45/h", "2026-04-11", "Apr 1",
    "0", "1", "1,00", "$1 .. $2 .. $3", "yes", "unsure", "refused", "150 psi, 148 psi", "-3", "1e9", "0.5",
    "99999999999999999",
]  # fmt: skip
SIGNS = [
    "+",
    "-",
    "*",
    "/",
    "(",
    ")",
    ",",
    ", ",
    ":",
    "=",
    "..",
    ">=",
    "<=",
    "<",
    ">",
    "\n",
    "\n    ",
    '"',
    '"a text"',
    "#",
    "\t",
]
WORDS = [*BODY_WORDS, *(w for b in BODY_WORDS.values() for w in b), *RESERVED, *NAMES, *VALUES, *SIGNS]
NEW = ["profit", "a", "b", "c", "highest_offer", "lambda", "tread"]
FUNCTIONS = ("lowest", "count", "low", "sum", "year", "to_cent", "max", "chance")
HEADS = list(BODY_WORDS)

Rng = random.Random


def noise(rng: Rng) -> str:
    """Random bytes, as UTF-8 or as they come."""
    data = rng.randbytes(rng.randrange(60))
    encoding, errors = rng.choice(
        (("utf-8", "replace"), ("utf-8", "surrogateescape"), ("latin-1", "strict"), ("utf-16", "ignore"))
    )
    return data.decode(encoding, errors)


def heap(rng: Rng) -> str:
    """A heap of the language's own words and signs."""
    return rng.choice(HEADS) + " " + " ".join(rng.choice(WORDS) for _ in range(rng.randrange(25)))


def likely(rng: Rng) -> str:
    """Some blocks of the right shape with anything inside, behind questions that they may use."""

    def term(depth: int) -> str:
        match rng.randrange(9 if depth < 4 else 3):
            case 0 | 1:
                return rng.choice(VALUES)
            case 2:
                return rng.choice(NAMES)
            case 3:
                return f"({term(depth + 1)})"
            case 4:
                return f"{rng.choice(FUNCTIONS)}({term(depth + 1)})"
            case 5:
                return f"{rng.choice(('smaller', 'larger'))} of ({term(depth + 1)}, {term(depth + 1)})"
            case 6:
                return f"{term(depth + 1)} is one of ({rng.choice(NAMES)}, {rng.choice(NAMES)})"
            case 7:
                return f"not {term(depth + 1)}"
        sign = rng.choice(("+", "-", "*", "/", "of", ">=", "<", "is", "is not", "and", "or"))
        return f"{term(depth + 1)} {sign} {term(depth + 1)}"

    def block() -> str:
        name, other, value = rng.choice(NEW), rng.choice(NAMES), rng.choice(VALUES)
        return rng.choice(
            (
                f"let {name} = {term(0)}",
                f"let {name} =\n    {term(1)} when {term(1)}\n    {term(1)} otherwise",
                f"setting {name} = {rng.choice(VALUES)}",
                f"fault {name} when {term(0)}\n    parts {term(1)}\n    labor {value}\n    together with {other}",
                f"require {name}: {term(0)}",
                f"refuse {name} when {term(0)}",
                f'ask {name}: {rng.choice(VALUES)} from {rng.choice(VALUES)} to {rng.choice(VALUES)}\n    "?"',
                f'ask {name}: one of {other}, yes\n    "?"\n    only when {term(0)}, else {other}',
                f"table {name} by {other}\n    {rng.choice(NAMES)} {rng.choice(VALUES)}",
                f"season {name}\n    open Apr {rng.randrange(40)} .. Sep 30",
                f"verdict\n    buy when {term(0)}\n    pass otherwise",
                f"car {name} like {other}\n    {other} = {rng.choice(VALUES)}\n    on 2026-13-01",
                f'case "x" like {name}\n    {other} = {value}\n    gives {other} = {value}',
                f"set {name} = {rng.choice(VALUES)}",
                f"without {name}",
                f'show {name} "it"',
                f'section "it"\n    {rng.choice(("leads", "drawn", "on page two", name))}\nshow {other} "it"',
                f'curve "it"\n    over {name} from {value} to {value} by {value}\n    shows {other}',
                f"comparables for {other}\n    miles {other}\n    private {value}\n    spread {name}",
                f'ask {name}: one of {other}, b\n    "?"\n    can become {rng.choice(NAMES)} "so"',
                f"fault {name} when {term(0)}\n    quote {term(1)}",
                f"let {name} = yearly_rate({term(1)}, {rng.choice(NAMES)}, {value}, {term(1)}) >= {value}",
                f"let {name} = power({term(1)}, {rng.choice(VALUES)}) * compounded({term(1)}, {term(1)})",
                f"car {name}\n    {recorded_line(rng)}",
                f"never buy when {term(0)}",
            )
        )

    return SMALL.partition("comparables")[0] + "\n".join(block() for _ in range(rng.randrange(1, 4)))


PARTS = [
    "asked", "sold", "private", "privat", "gone", "still there", "good", "title clean", "title", "1991", "0000",
    "12 days", "131,000 mi", "131k", "9/4/2026", "2026-02-30", "2026-03-20", '"red"', '""', '"', "#", "-", "\u00bd",
    "\u0661 days",
]  # fmt: skip


def recorded_line(rng: Rng) -> str:
    """A line of a recorded car: a comparable, or what was told or denied."""
    if rng.random() < 0.2:
        return f"{rng.choice(('told', 'denied'))} {rng.choice(('', 'worn', 'worn, worn', 'tread', 'worn,', '3'))}"
    parts = [rng.choice(PARTS + VALUES) for _ in range(rng.randrange(7))]
    behind = rng.choice((", ", ",", " ", ", # x")).join(parts)
    return f"comparable {rng.choice(VALUES)}{rng.choice((' ', ', ', ','))}{behind}"


def recorded(rng: Rng) -> str:
    """A recorded car."""
    lines = [recorded_line(rng) for _ in range(rng.randrange(1, 4))]
    lines.insert(
        rng.randrange(len(lines) + 1), rng.choice(("on 2026-04-11", "on 2026-13-11", "asking = $1", 'car "x"'))
    )
    return rng.choice(("\n", "\n", "\n    ")).join(lines)


BLOCKS = [
    chunk.text
    for path in sorted(resources.rulesets_folder().glob("*.tell"))
    for chunk in cut(DiskLibrary().bundled(path.stem))[0]
    if len(chunk.text) < 900 and chunk.head != "use"
]


def cut_up(rng: Rng) -> str:
    """A bundled block with pieces dropped, doubled, moved, or taken from another."""
    tokens = [m[0] for m in lexemes(rng.choice(BLOCKS))]
    for _ in range(rng.randrange(1, 5)):
        i, j = rng.randrange(len(tokens) + 1), rng.randrange(len(tokens) + 1)
        match rng.randrange(4):
            case 0:
                del tokens[i : i + 3]
            case 1:
                tokens[i:i] = tokens[j : j + 3]
            case 2:
                tokens[i:i] = [m[0] for m in lexemes(rng.choice(BLOCKS))][:4]
            case _:
                tokens.insert(i, rng.choice(WORDS))
    text = rng.choice((" ", "\n    ")).join(tokens)
    at = rng.randrange(len(text) + 1)
    return text[:at] + rng.choice(("", "", "\n", '"', "\x00", "\u2028", "\u201c", "(", ".")) + text[at:]


def nest(rng: Rng) -> str:
    """Something deep, or long."""
    depth = rng.choice((1, 30, 62, 63, 64, 65, 66, 200))
    opening, closing = rng.choice(
        (
            ("(", ")"),
            ("not ", ""),
            ("-", ""),
            ("low(", ")"),
            ("1 + ", ""),
            ("smaller of (1, ", ")"),
            ("50% of ", ""),
            ("(", ""),
        )
    )
    inner = opening * depth + rng.choice(NAMES + VALUES) + closing * depth
    return rng.choice(
        ("let a = {}", "caution a when {}", "verdict\n    buy when {}\n    pass otherwise", "fault a when {}")
    ).format(inner)


class NoLibrary:
    """There is no other file."""

    def find(self, target: str, user: str | None) -> Source:
        return DiskLibrary().find(target, None) if target in ("money", "house") else self._none()

    def _none(self) -> Source:
        from advisor.language import catalogue

        raise Unreadable(catalogue.USE_MISSING, target="it", cure="check the name")


@pytest.fixture(scope="module")
def small() -> Program:
    program, problems = check(link(grammar(resources.grammar_text()), Source("small.tell", SMALL), NoLibrary()))
    assert program is not None, problems
    return program


@pytest.mark.parametrize("make", [noise, heap, likely, cut_up, nest, recorded])
def test_problems_come_out_and_nothing_else(make: Callable[[Rng], str], small: Program) -> None:
    rng = random.Random(f"{make.__name__} 1991")
    parser = grammar(resources.grammar_text())
    sound = 0
    for i in range(EACH):
        text = make(rng)
        source = Source("random.tell", text)
        try:
            program, problems = check(link(parser, source, NoLibrary()))
            _, odd = read_car(source, small)
            for problem in (*problems, *odd):
                assert isinstance(problem, Problem)
                problem_data(problem)
                assert "\x1b" not in render_problem(problem)
            if program is not None:
                run_cases(Judge(Readings(program)))
        except Exception as error:
            raise AssertionError(f"input {i}, {text!r}") from error
        assert program is not None or any(p.stops for p in problems), text
        sound += program is not None
    print(f"{sound} of {EACH} sound")
    # Some are sound by chance, and most are not; else the inputs would have nothing to say.
    assert sound < EACH / 2
