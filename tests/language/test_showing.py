"""What the report is asked to show: sections over several files, and curves."""

from __future__ import annotations

from decimal import Decimal

import pytest

from advisor import resources
from advisor.language.checking import check
from advisor.language.linking import link
from advisor.language.parsing import grammar
from advisor.language.program import Program
from advisor.language.source import Source
from tests.programs import checked, program_of

USED = """\
setting wash = $12 "a wash"
    source house figure

show wash "Before any section"

section "The calendar"
    on page two
    drawn
show today "Looked at"
"""
MAIN = """\
setting wax = $9 "a tin of wax"
    source house figure

section "In short"
    leads
show wax "Wax"

use "./used.tell"

show wash "Wash"

section "The rest"
show wax "Wax again"
"""


class OneFile:
    def find(self, target: str, user: str | None) -> Source:
        return Source("used.tell", USED)


def program(text: str) -> Program:
    made, problems = check(link(grammar(resources.grammar_text()), Source("main.tell", text), OneFile()))
    assert made is not None, [p.message for p in problems]
    return made


def test_a_line_stands_in_the_section_before_it_in_its_own_file() -> None:
    shown = {s.text: s.section.title if s.section else None for s in program(MAIN).shows}
    assert shown == {
        "Wax": "In short",
        "Before any section": None,
        "Looked at": "The calendar",
        "Wash": "In short",
        "Wax again": "The rest",
    }


def test_a_section_says_where_and_how_it_stands() -> None:
    sections = {s.section.title: s.section for s in program(MAIN).shows if s.section}
    found = {title: (s.page, s.leads, s.drawn) for title, s in sections.items()}
    assert found == {"In short": (1, True, False), "The calendar": (2, False, True), "The rest": (1, False, False)}


def test_the_hash_of_the_rules_knows_sections_and_not_their_layout() -> None:
    wide = MAIN.replace("section ", "section   ").replace("    leads", "        leads   # first")
    assert program(wide).digest == program(MAIN).digest
    assert program(MAIN.replace("    leads\n", "")).digest != program(MAIN).digest


CURVE = """\
setting list_at = 100% "asked for, over what it will bring"
    source house figure
setting highest_offer = $9,000
    source house figure
ask asking: money from $0 to $9,000
    "What is asked?"

let list_price = list_at * asking
    "List it at"

curve "Asking" "more"
    over list_at from 86% to 112% by 2%
    shows list_price, asking, ceiling "At most", list_at
    most list_price
"""


def test_a_curve() -> None:
    (curve,) = program_of(CURVE).curves
    assert (curve.title, curve.setting, curve.most) == ("Asking more", "list_at", "list_price")
    assert (curve.low, curve.high, curve.step) == (Decimal("0.86"), Decimal("1.12"), Decimal("0.02"))
    assert [(s.name, s.text) for s in curve.shows] == [
        ("list_price", "List it at"),
        ("asking", "asking"),
        ("ceiling", "At most"),
        ("list_at", "asked for, over what it will bring"),
    ]


def test_what_a_curve_shows_is_used() -> None:
    _, problems = checked(CURVE + "verdict\n    pass otherwise\n")
    assert [p.code for p in problems] == []
    _, problems = checked(CURVE.partition("curve")[0] + "verdict\n    pass otherwise\n")
    assert [p.code for p in problems] == ["A04"]


def test_the_rules_are_proved_for_every_try() -> None:
    """A setting that is tried below zero turns a rule round, whatever its own value is."""
    rule = "require some: (asking - offer) * list_at >= $0\n"
    assert [p.code for p in checked(CURVE + rule)[1] if p.stops] == []
    below = CURVE.replace("from 86% to 112% by 2%", "from -10% to 110% by 10%")
    assert [p.code for p in checked(below + rule)[1] if p.stops] == ["R07"]
    assert [p.code for p in checked(below + "let part = asking / list_at\n")[1] if p.stops] == ["R08"]


@pytest.mark.parametrize(
    ("old", "new", "codes"),
    [
        ("over list_at", "over list", ["N01"]),
        ("over list_at", "over list_price", ["N06"]),
        ("from 86% ", "from 86 ", ["V07"]),
        ("by 2%", "by $2", ["V08"]),
        ("by 2%", "by 1% .. 2% .. 3%", ["R27"]),
        ("by 2%", "by -2%", ["R28"]),
        ("by 2%", "by 0.13%", []),
        ("by 2%", "by 0.129%", ["R28"]),
        ("shows list_price, asking", "shows list_prise, asking", ["N01"]),
        ("most list_price", "most today", ["T05"]),
        ("most list_price", "most list_prise", ["N01"]),
        ("most list_price", "most list_price\n    most asking", ["S11"]),
    ],
)
def test_a_mistake_in_a_curve_is_one_message(old: str, new: str, codes: list[str]) -> None:
    assert [p.code for p in checked(CURVE.replace(old, new))[1] if p.stops] == codes
