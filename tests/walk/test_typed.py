"""What is typed at the car is read as what it means, or told in one line what would be right."""

from __future__ import annotations

from datetime import date

import pytest

from advisor.language.program import Program
from advisor.walk.typed import Mistake, read_typed, said
from tests.programs import program_of

RULES = """\
ask asking: money from $0 to $100,000
    "Asking?"
ask tread: in from 0 in to 1 in
    "Tread?"
ask odometer: mi from 0 mi to 500,000 mi
    "Odometer?"
ask outside: degF from -30 degF to 120 degF
    "How warm?"
ask body: one of hatch, coupe, convertible, pickup_truck
    "Body?"
ask smell: yes/no
    "Fuel?"
ask sold: date from 1990-01-01 to 2030-12-31
    "When?"
ask psi: 1 to 6 of psi from 0 psi to 300 psi
    "Compression?"
ask share: percent
    "Share?"
ask number: code of 5 to 17
    "Number?"
ask words: text
    "Words?"
"""
TODAY = date(2026, 4, 11)


@pytest.fixture(scope="module")
def program() -> Program:
    return program_of(RULES)


def read(program: Program, name: str, line: str) -> str:
    question = program.questions[name]
    return said(read_typed(line, question, program, TODAY), question, program)


@pytest.mark.parametrize(
    ("name", "line", "meant"),
    [
        ("asking", "3400", "$3,400"),
        ("asking", "1,200", "$1,200"),
        ("asking", "$1.2k", "$1,200"),
        ("asking", "1.2 K", "$1,200"),
        ("asking", "$ 950", "$950"),
        ("asking", "3000 .. 3200 .. 3.5k", "$3,000 .. $3,200 .. $3,500"),
        ("tread", "3/32", "3/32 in"),
        ("tread", '3/32"', "3/32 in"),
        ("tread", "2.4 mm", "0.0945 in, about 3/32 in"),
        ("odometer", "141k", "141,000 mi"),
        ("odometer", "141k miles", "141,000 mi"),
        ("odometer", "227,000 kms", "141,051.26 mi"),
        ("outside", "30 °C", "86 degF"),
        ("outside", "-5", "-5 degF"),
        ("body", "h", "hatch"),
        ("body", "Hatch", "hatch"),
        ("body", "2", "coupe"),
        ("body", "conv", "convertible"),
        ("body", "pickup truck", "pickup truck"),
        ("body", "truck", "pickup truck"),
        ("smell", "y", "yes"),
        ("smell", "NO", "no"),
        ("smell", "don't know", "can't tell"),
        ("smell", "?", "can't tell"),
        ("body", "not allowed", "not allowed"),
        ("sold", "2026-03-01", "2026-03-01"),
        ("sold", "3/1/2026", "2026-03-01"),
        ("sold", "3/1/26", "2026-03-01"),
        ("sold", "Mar 1", "2026-03-01"),
        ("sold", "1 March 2025", "2025-03-01"),
        ("sold", "december 30", "2025-12-30"),
        ("sold", "today", "2026-04-11"),
        ("sold", "yesterday", "2026-04-10"),
        ("psi", "150, 148, 151 psi", "150 psi, 148 psi, 151 psi"),
        ("psi", "150 148 151", "150 psi, 148 psi, 151 psi"),
        ("psi", "150;148", "150 psi, 148 psi"),
        ("share", "30", "30%"),
        ("number", "1m8 gdm9a xkp042788", "1M8GDM9AXKP042788"),
        ("words", 'he said "fine"', "he said 'fine'"),
    ],
)
def test_it_is_read_as_what_it_means(program: Program, name: str, line: str, meant: str) -> None:
    assert read(program, name, line) == meant


@pytest.mark.parametrize(
    ("name", "line", "told"),
    [
        ("body", "co", "`co` could be coupe or convertible; type more of it"),
        ("body", "9", "there is no 9; the answers are 1 hatch, 2 coupe, 3 convertible, 4 pickup truck"),
        ("body", "hatsh", "`hatsh` is no answer here; did you mean hatch?"),
        ("body", "blimp", "`blimp` is no answer here; say 1 hatch, 2 coupe, 3 convertible, 4 pickup truck"),
        ("smell", "maybe", "`maybe` is no answer here; say yes or no"),
        ("asking", "cheap", "`cheap` is not a number; expected $0 to $100,000"),
        ("asking", "2,90", "`2,90` is not grouped in thousands; write `$2.90`"),
        ("asking", "€500", "`€` is not the currency of these rules, which is `$`; expected $0 to $100,000"),
        ("odometer", "141.000", "`141.000 mi` can be read in two ways; write `141,000 mi`, or `141 mi`"),
        ("tread", "12", "`12` is out of range; expected 0 in to 1 in; for 32nds of an inch write 12/32"),
        ("tread", "5 hours", "`5 hours` is labor time (h); expected 0 in to 1 in"),
        ("psi", "1000, 3", "`1000, 3` is out of range; expected 1 to 6 readings in psi, with commas between"),
        ("sold", "13/13/2026", "there is no day `13/13/2026`; write it as 2026-04-11"),
        ("sold", "soon", "`soon` is no date; write 2026-04-11, 4/11/2026 or Apr 11"),
        ("number", "abc", "this takes 5 to 17 letters and digits; copy it again, letter by letter"),
        ("asking", "9" * 40, "a number may have at most 15 digits; round it"),
        ("asking", "1e999999", "`1e999999` is not a number; expected $0 to $100,000"),
        ("asking", "nan", "`nan` is not a number; expected $0 to $100,000"),
    ],
)
def test_a_mistake_is_one_line_that_says_what_would_be_right(program: Program, name: str, line: str, told: str) -> None:
    with pytest.raises(Mistake) as mistake:
        read(program, name, line)
    assert str(mistake.value) == told
