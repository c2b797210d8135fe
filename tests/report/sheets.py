"""Rulesets that the tests of the sheet stand on: every kind of answer, gates of every shape, and more of the same."""

from __future__ import annotations

import tempfile
from pathlib import Path

from attrs import evolve

from advisor.cli.rules import check_rules
from advisor.language import core
from advisor.language.program import Program

MANY_KINDS = """\
ruleset "Every kind"
    currency GBP
station "By the road"
    danger "Mind the street."
ask roof: one of fixed, folding, two_panels
    "What kind of roof is it?"
ask lamp: yes/no
    "Does the lamp go out?"
    major
ask doors: count from 0 to 7
    "How many doors?"
ask hot: yes/no
    "Is it hot, or warm?"
ask share: percent from 0% to 50%
    "How much of it is filler?"
ask tread: in from 0 in to 1 in
    "The shallowest tread?"
ask play: in from 0 in to 12 in
    "How far does the wheel turn?"
ask odometer: mi from 0 mi to 500,000 mi
    "What does the odometer read?"
ask age: year from 0 years to 40 years
    "How old are the tires?"
ask asks: money from £0 to £90,000
    "What is asked?"
ask rate: £/h from £0/h to £300/h
    "What does the shop take?"
ask frost: degC from -40 degC to 50 degC
    "How cold does the coolant get?"
ask sold: date from 1950-01-01 to 2030-12-31
    "When was it registered?"
ask said: text
    "What did the seller say?"
ask vin: code of 5 to 17
    "The number on the dash?"
ask plugs: 1 to 4 of mm from 0 mm to 3 mm
    "The gap of each plug?"
station "Under the roof"
ask frame: one of free, stiff
    "Does the roof go down twice?"
    only when roof is folding, else free
ask motor: one of runs, dead
    "Does the motor of the roof run?"
    only when frame is free, else runs
ask seal: yes/no
    "Is the seal whole?"
    only when roof is folding and frame is free, else yes
ask spare: yes/no
    "Is there a spare?"
    only when doors >= 3 or roof is not one of (folding, two_panels), else no
ask belt: yes/no
    "Is there a new belt?"
    only when not (hot and lamp), else no
ask paid: yes/no
    "Has it been paid for?"
    only when sold < 2001-03-04 and (odometer >= 100,000 mi or not hot), else yes
ask gauge: yes/no
    "Has anybody gauged it?"
    only when lowest(plugs) < 1 mm, else no
ask worn: yes/no
    "Worn by hand?"
    only when hard_used and today is in winter, else no
ask rust: yes/no
    "Does it rust?"
    only when old_rubber, else no
ask tire_code: code of 3 to 13
    "The date code of the oldest tire?"
ask tire_guess: year from 0 years to 40 years
    "How old may it be?"
    only when not (tire_age(tire_code, today) >= 0 years), else 8 years
let hard_used = odometer >= 100,000 mi
    "it has been driven hard"
let old_rubber = (age >= 6 years and not spare)
season winter
    open Nov 1 .. Mar 1
"""


def checked(text: str) -> Program:
    """The program of a ruleset that has nothing wrong with it but what is only advised against."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "rules.tell"
        path.write_text(text, encoding="utf-8")
        result, _ = check_rules(path)
    assert result.program is not None, result.problems
    return result.program


def grown(program: Program, count: int) -> Program:
    """The program with so many questions: some that no gate looks at left out, or more like those it has."""
    questions = list(program.questions.values())
    spare = [q.name for q in questions if q.name not in _looked_at(program)]
    surplus = max(len(questions) - count, 0)
    without = {spare[i * len(spare) // surplus] for i in range(surplus)}
    kept = [q for q in questions if q.name not in without]
    more = [evolve(questions[i * 7 % len(questions)], name=f"again_{i}") for i in range(count - len(kept))]
    by_station = sorted([*kept, *more], key=lambda q: -1 if q.station is None else q.station)
    return evolve(program, questions={q.name: q for q in by_station})


def _looked_at(program: Program) -> set[str]:
    """The questions that gates look at, through sums too."""
    found: set[str] = set()
    pending = [*program.gates.values()]
    while pending:
        names = {node.name for node in core.walk(pending.pop()) if isinstance(node, core.Ref)} - found
        found |= names
        pending += [program.lets[n].value for n in names if n in program.lets]
    return found
