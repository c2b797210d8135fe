"""`keep` leaves what it names and what that needs, and nothing else of the used files."""

from __future__ import annotations

from advisor import resources
from advisor.cli.library import DiskLibrary
from advisor.language.checking import check
from advisor.language.linking import link
from advisor.language.parsing import grammar
from advisor.language.problems import Problem
from advisor.language.program import Program
from advisor.language.source import Source

BASE = """
station "At a table"
    danger "Show no cash."

ask title: one of clean, dead
    "The title?"

station "Round it"
    danger "Mind the fan."

ask rust: yes/no
    "Rust?"

ask holes: count from 0 to 9
    "How many holes?"
    only when rust, else 0

ask radio: yes/no
    "Does the radio play?"

setting most_holes = 2
    "so many can be closed"
    source house figure

setting dull = 3
    "for nothing"
    source house figure

let too_many = (holes > most_holes)

refuse dead_title when title is dead
    because "Nobody can register it."
    source common practice

refuse rotten when too_many
    because "It is rotten."
    source common practice

fault silent when not radio
    parts $40
    source house figure

caution no_music when not radio
    because "It is silent."
    source house figure

car sound_car
    title = clean
    rust = no
    radio = yes

case "as it is" like sound_car
    gives buy

verdict
    buy  when title is clean
    pass otherwise
    source common practice
"""


class OneFile:
    """A library of one used file."""

    def find(self, target: str, user: str | None) -> Source:
        return Source(f"{target}.tell", BASE)


def checked(text: str) -> tuple[Program | None, tuple[Problem, ...]]:
    return check(link(grammar(resources.grammar_text()), Source("own.tell", text), OneFile()))


def test_a_rule_stays_with_all_that_it_needs_and_nothing_else() -> None:
    program, problems = checked(
        'use "base"\nkeep rotten, sound_car\n\nverdict\n    look otherwise "Look."\n\n'
        'case "mine" like sound_car\n    gives look\n'
    )
    assert program is not None, problems
    assert not problems
    assert list(program.questions) == ["rust", "holes"]
    assert list(program.settings) == ["most_holes"]
    assert list(program.lets) == ["too_many"]
    assert list(program.rules) == ["rotten"]
    assert not program.faults
    assert [s.title for s in program.stations] == ["Round it"]
    assert [q.station for q in program.questions.values()] == [0, 0]
    assert program.verdicts == ("look",)
    assert [c.title for c in program.cases] == ["mine"]
    assert set(program.cases[0].answers) == {"rust"}


def test_what_the_file_itself_declares_stays() -> None:
    program, problems = checked(
        'use "base"\nkeep dead_title\n\nask late: yes/no\n    "Is it late?"\n\n'
        'caution too_late when late\n    because "Sleep on it."\n    source common practice\n'
    )
    assert program is not None, problems
    assert not problems
    assert list(program.questions) == ["title", "late"]
    assert set(program.rules) == {"dead_title", "too_late"}


def test_a_name_that_nobody_declares_keeps_everything_and_is_told_once() -> None:
    for name, cure in (("dead_titel", "did you mean `dead_title`?"), ("mine", "it stays anyway")):
        text = f'use "base"\n\nask mine: yes/no\n    "Mine?"\n\nkeep {name}\n\ncaution own when mine or rust\n'
        text += '    because "x"\n    source common practice\n'
        _, problems = checked(text)
        assert [p.code for p in problems if p.stops] == ["N05"]
        assert cure in problems[0].cure


def test_the_parts_of_the_bundled_walk_can_be_kept() -> None:
    text = 'use "walkaround"\nkeep dead_title, no_cold_start\n'
    program, problems = check(link(grammar(resources.grammar_text()), Source("own.tell", text), DiskLibrary()))
    assert program is not None
    assert not problems
    assert {"title_state", "cold_start"} <= set(program.questions)
    assert len(program.questions) < 6
    assert all(q.station >= 0 for q in program.questions.values())


def test_what_is_gone_already_is_said_to_be_gone() -> None:
    for line in ("without verdict", "without radio", "keep rust"):
        _, problems = checked(f'use "base"\nkeep dead_title\n{line}\n')
        assert [p.code for p in problems if p.stops] == ["N05"]
        assert "took it out already" in problems[0].cure
