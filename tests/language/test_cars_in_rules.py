"""Comparables, and what was told or denied, in the cars and cases of a ruleset."""

from __future__ import annotations

import pytest

from advisor.language.formatting import formatted
from tests.programs import checked, program_of

RULES = """\
setting highest_offer = $9,000
    source house figure
ask asking: money
    "What is asked?"
ask resale: money
    "What will it bring?"
ask rust: yes/no
    "Rust underneath?"
ask told: yes/no
    "Did he tell?"

fault rusted_floor when rust
    parts  $80
    source house figure
fault dead_battery when told
    parts  $90
    source house figure
fault brake_lines when rust
    parts  $90
    source house figure

let profit = resale - offer - sum(parts)

comparables for resale
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
    source    house figure

verdict
    pass  otherwise
"""
CARS = """
car base
    on 2026-04-11
    rust = yes
    told = yes
    comparable $5,400 asked, 1991
    comparable $5,100 asked, 1992
    told rusted_floor
    denied brake_lines

case "like it" like base
    gives pass

case "with its own" like base
    comparable $4,000 sold,
        1990
    told dead_battery
    told = no
    gives pass
"""


def test_a_car_has_those_of_the_one_it_is_like_or_its_own() -> None:
    like, own = program_of(RULES + CARS).cases
    assert [c.price for c in like.comparables] == [5400, 5100]
    assert (like.told, like.denied, like.answers["told"]) == (("rusted_floor",), ("brake_lines",), True)
    assert [(c.price, c.year) for c in own.comparables] == [(4000, 1990)]
    assert (own.told, own.denied, own.answers["told"]) == (("dead_battery",), ("brake_lines",), False)


def test_rows_are_lines_of_the_file() -> None:
    text = RULES + CARS
    like, own = program_of(text).cases
    lines = text.splitlines()
    assert [lines[c.row - 1].strip() for c in like.comparables] == [
        "comparable $5,400 asked, 1991",
        "comparable $5,100 asked, 1992",
    ]
    assert lines[own.comparables[0].row - 1].strip() == "comparable $4,000 sold,"


def test_layout_is_the_usual_one_and_means_nothing() -> None:
    assert formatted(RULES + CARS) == RULES + CARS
    shaken = CARS.replace("5,400 asked, 1991", "5,400   asked,  # here\n      1991  # there").replace(
        "    told", " told  "
    )
    once = formatted(RULES + shaken)
    assert formatted(once) == once
    assert [c.price for c in program_of(once).cases[0].comparables] == [5400, 5100]
    assert program_of(once).cases[0].comparables[0].year == 1991
    assert program_of(once).digest == program_of(RULES + shaken).digest


@pytest.mark.parametrize(
    ("line", "codes", "shown"),
    [
        ("comparable", ["C08"], ""),
        ("comparable private, $5,400", ["C08"], "private"),
        ("comparable $5,400,  # the paper\n        privat", ["C08"], "privat"),
        ("comparable $5,400 asked, 2026-04-12", ["C08"], "2026-04-12"),
        ("comparable $5,400 asked, one of two", ["C08"], "one of two"),
        ("comparable £5,400 asked", ["C08"], "£5,400"),
        ("comparable -$5,400 asked", ["C08"], "-$5,400"),
        ("told rust_floor", ["C10"], "rust_floor"),
        ("told rust", ["C10"], "rust"),
        ("told rusted_floor, rusted_floor", ["S11"], "rusted_floor"),
        ("told rusted_floor\n    denied rusted_floor", ["S11"], "rusted_floor"),
        ("told rusted_floor\n    told dead_battery", [], ""),
        ("told", ["S04"], "told"),
    ],
)
def test_a_mistake_is_told_where_it_is(line: str, codes: list[str], shown: str) -> None:
    _, problems = checked(RULES + f"\ncar some\n    on 2026-04-11\n    {line}\n")
    assert [p.code for p in problems if p.stops] == codes
    assert [p.span.text.strip() for p in problems if p.stops] == [shown] * len(codes)


def test_comparables_that_no_rule_looks_at_are_told_once() -> None:
    rules = RULES.partition("comparables")[0] + "verdict\n    pass  otherwise\n"
    assert [p.code for p in checked(rules + CARS)[1] if p.stops] == ["C09"]


def test_two_thousand_cars_are_read_once_each() -> None:
    cars = "car c0\n    told rusted_floor\n" + "".join(
        f"car c{i} like c{(i - 1) % 60}\n    comparable $5,400 asked, private\n    told rusted_floor\n"
        for i in range(1, 2000)
    )
    assert not any(p.stops for p in checked(RULES + cars)[1])
