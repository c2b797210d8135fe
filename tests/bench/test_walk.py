"""How soon the walk is on the screen, and how long it takes from an answer to the next question, by the house rules."""

from __future__ import annotations

import time
from collections.abc import Iterator
from datetime import date
from itertools import count, repeat
from pathlib import Path
from random import Random
from statistics import median
from typing import Any

from advisor.cli.rules import load_rules
from advisor.judging.asking import QuickOrder
from advisor.judging.imagined import drawn_answers
from advisor.judging.judge import Judge
from advisor.language.answers import Answers
from advisor.walk.responding import respond
from advisor.walk.session import FileOrder, Judging, Order, Walk
from advisor.walk.telling import asked
from advisor.walk.typed import said
from tests.bench.test_start import best
from tests.cli.terminal import Terminal, run

DAY = date(2026, 5, 2)


HALF = 60
"""So many answers has a car that goes on half way through."""


def half_way(book: Path) -> str:
    """A car of the book that goes on half way through; what it asks next."""
    judging = Judging(load_rules(None)[0])
    program = judging.program
    car = drawn_answers(program, Random(7), judging.readings, DAY)
    walk, typed = Walk(judging, FileOrder(tuple(program.questions)), Answers(day=DAY)), []
    while (question := walk.question) is not None and len(typed) < HALF:
        value = car.get(question.name)
        typed.append("?" if value is None else str(said(value, question, program)))
        walk = respond(walk, typed[-1]).walk
    assert run(book, "walk", "half", typed="\n".join(typed) + "\n").returncode == 3
    assert walk.question is not None
    return f"{walk.number(walk.question.name)}. "


def test_the_first_question(tmp_path: Path, capsys: Any) -> None:
    """Warm: the rules are in the cache, and Python has its bytecode."""
    with Terminal(80, tmp_path / "book.sqlite3", "blue") as walk:
        walk.until("cars are in pieces")
        walk.type("0", "2. ")
    next_asked = half_way(tmp_path / "book.sqlite3")
    fresh = (f"car-{i}" for i in count())
    starts: dict[str, tuple[Iterator[str], tuple[str, ...], str]] = {
        "a new car": (fresh, (), "cars are in pieces"),
        "a new car, bare lines": (fresh, ("--plain",), "cars are in pieces"),
        "a new car, quick": (fresh, ("--quick",), "does the seller ask?"),
        "a car that goes on": (repeat("blue"), (), "2. "),
        f"a car that goes on behind {HALF} answers": (repeat("half"), (), next_asked),
    }
    bare = best("-c", "pass")
    for what, (names, flags, text) in starts.items():
        found = []
        for _ in range(7):
            start = time.perf_counter()
            with Terminal(80, tmp_path / "book.sqlite3", next(names), *flags) as walk:
                walk.appears(text)
                found.append(time.perf_counter() - start)
        with capsys.disabled():
            print(
                f"\nfirst question of {what}: {min(found):.3f} s at best, {median(found):.3f} at the median, "
                f"{min(found) / bare:.1f} times bare python (goal on two cores: 0.3 s)"
            )


def test_from_an_answer_to_the_next_question(capsys: Any) -> None:
    judge = Judge(load_rules(None)[0])
    program = judge.program
    orders: dict[str, Order] = {
        "file order": FileOrder(tuple(program.questions)),
        "quick order": QuickOrder(judge.readings),
    }
    for name, order in orders.items():
        car = drawn_answers(program, Random(7), judge.readings, DAY)
        walk = Walk(Judging(judge.readings), order, Answers(day=DAY)).weighed()
        asks, weighs = [], []
        while (question := walk.question) is not None and len(asks) < 30:
            value = car.get(question.name)
            typed = "?" if value is None else str(said(value, question, program))
            start = time.perf_counter()
            walk = respond(walk, typed).walk
            shown = walk.question
            if shown is not None:
                asked(walk, shown)
            asks.append(time.perf_counter() - start)
            start = time.perf_counter()
            walk = walk.weighed()
            weighs.append(time.perf_counter() - start)
        with capsys.disabled():
            print(
                f"\n{name}, {len(asks)} answers: the next question after {1000 * median(asks):.0f} ms at the median, "
                f"{1000 * max(asks):.0f} at most (goal on two cores: 50 ms); "
                f"its verdict after {1000 * median(weighs):.0f} more, {1000 * max(weighs):.0f} at most"
            )
        assert len(asks) > 5
