"""Sections of the report: which lines stand in which, over several files."""

from __future__ import annotations

from advisor import resources
from advisor.language.checking import check
from advisor.language.linking import link
from advisor.language.parsing import grammar
from advisor.language.program import Program
from advisor.language.source import Source

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
