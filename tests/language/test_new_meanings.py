"""`without` and a definition of one's own: what is said anew stands for what was dropped, and in its place."""

from __future__ import annotations

import pytest

from advisor import resources
from advisor.language.checking import check
from advisor.language.linking import link
from advisor.language.parsing import grammar
from advisor.language.program import Program
from advisor.language.source import Source

USED = """\
setting highest_offer = $9,000
    source house figure
setting tow = $150
    source house figure
station "Outside"
ask asking: money from $0 to $10,000
    "What is asked?"
ask mice: yes/no
    "Mice?"
station "Inside"
ask body: one of hatch, pickup
    "Body?"
season summer
    open Apr 1 .. Sep 30
table price by body
    hatch $0, pickup $400
fault worn when mice
    parts $100
    if left resale falls $300
    source house figure
let recon = sum(parts) + tow
let profit = $5,000 + price(body) - offer - recon - lost(resale)
let hot = today is in summer
caution smell when mice and hot
    because "It smells."
    source common practice
refuse dear when asking > $8,000
    because "Too dear."
    source common practice
require left: profit >= $0
    because "No loss."
    source common practice
verdict
    buy when ceiling >= asking
    pass otherwise
car known
    on 2026-05-01
    asking = $2,000
    mice = yes
    body = hatch
"""
ANEW = {
    "mice": 'ask mice: yes/no\n    "Droppings, or a nest?"\n',
    "body": 'ask body: one of pickup, hatch\n    "Which body?"\n',
    "tow": "setting tow = $10\n    source house figure\n",
    "summer": "season summer\n    open Jun 1 .. Jul 31\n",
    "price": "table price by body\n    hatch $1, pickup $2\n",
    "worn": "fault worn when mice\n    parts $1\n    if left resale falls $300\n    source house figure\n",
    "recon": "let recon = sum(parts)\n",
    "hot": "let hot = yes\n",
    "smell": 'caution smell when yes\n    because "Always."\n    source common practice\n',
    "dear": 'refuse dear when asking > $100\n    because "Dear."\n    source common practice\n',
    "left": 'require left: profit >= $10\n    because "A little."\n    source common practice\n',
    "known": "car known\n    asking = $1\n    mice = no\n    body = hatch\n",
    "verdict": "verdict\n    pass otherwise\n",
}


def of(main: str) -> tuple[Program | None, list[str]]:
    class Files:
        def find(self, target: str, user: str | None) -> Source:
            return Source("used.tell", USED)

    program, problems = check(link(grammar(resources.grammar_text()), Source("main.tell", main), Files()))
    return program, [f"{p.code}: {p.message}" for p in problems if p.stops]


@pytest.mark.parametrize("name", ANEW)
@pytest.mark.parametrize("order", ["behind it", "before it", "before the file"])
def test_a_name_of_each_kind_may_be_given_a_new_meaning(name: str, order: str) -> None:
    use, without, own = 'use "used"\n', f"without {name}\n", ANEW[name]
    main = {"behind it": use + without + own, "before it": use + own + without, "before the file": own + use + without}
    program, problems = of(main[order] + 'case "x" like known\n    gives asking = $1\n')
    assert program is not None, problems
    found = {
        "mice": lambda p: p.questions["mice"].text == "Droppings, or a nest?",
        "body": lambda p: p.questions["body"].type.options == ("pickup", "hatch"),
        "tow": lambda p: p.settings["tow"].value == 10,
        "summer": lambda p: p.seasons["summer"].windows[0][0].month == 6,
        "price": lambda p: p.tables["price"].entries[1][1] in (1, 2),
        "worn": lambda p: p.faults["worn"].parts.value == 1,
        "recon": lambda p: p.lets["recon"].value != of('use "used"\n')[0].lets["recon"].value,  # type: ignore[union-attr]  # it is right
        "hot": lambda p: p.lets["hot"].value.value is True,
        "smell": lambda p: p.rules["smell"].because == "Always.",
        "dear": lambda p: p.rules["dear"].because == "Dear.",
        "left": lambda p: p.rules["left"].because == "A little.",
        "known": lambda p: p.cases[0].answers["mice"] is False,
        "verdict": lambda p: len(p.ladder) == 1,
    }
    assert found[name](program)
    before, _ = of('use "used"\n')
    assert before is not None
    assert list(program.questions) == list(before.questions)
    assert [q.station for q in program.questions.values()] == [q.station for q in before.questions.values()]
    assert list(program.rules) == list(before.rules)


def test_without_a_without_it_is_twice() -> None:
    assert of('use "used"\n' + ANEW["tow"])[1] == ["N02: `tow` is defined twice"]
    assert of('use "used"\nwithout hot\n' + ANEW["tow"] + ANEW["hot"])[1] == ["N02: `tow` is defined twice"]
    assert of('use "used"\nwithout tow\n' + ANEW["tow"] + ANEW["tow"])[1] == ["N02: `tow` is defined twice"]


def test_its_own_station_says_where_it_is_asked() -> None:
    program, problems = of('use "used"\nwithout mice\nstation "At home"\n' + ANEW["mice"])
    assert program is not None, problems
    assert list(program.questions) == ["asking", "body", "mice"]
    station = program.questions["mice"].station
    assert station is not None
    assert program.stations[station].title == "At home"


def test_a_used_car_keeps_an_answer_that_fits() -> None:
    case = 'case "x" like known\n    gives asking = $2,000\n'
    program, problems = of('use "used"\nwithout mice\n' + ANEW["mice"] + case)
    assert program is not None, problems
    assert program.cases[0].answers["mice"] is True
    other = 'ask mice: one of none, some\n    "Mice?"\n    unsure assume none\n'
    drop = "without mice, worn, smell\n"
    program, problems = of('use "used"\n' + drop + other + case)
    assert program is not None, problems
    assert "mice" not in program.cases[0].answers


def test_it_has_to_fit_where_it_is_used() -> None:
    other = 'ask mice: one of none, some\n    "Mice?"\n    unsure assume none\n'
    assert {p[:3] for p in of('use "used"\nwithout mice\n' + other)[1]} == {"T04"}


def test_a_station_is_gone_on_with() -> None:
    text = 'use "used"\nstation "Outside"\n    danger "Mind the dog."\nask rust: yes/no\n    "Rust?"\n'
    program, problems = of(text + 'caution rusts when rust\n    because "It rusts."\n    source common practice\n')
    assert program is not None, problems
    assert list(program.questions) == ["asking", "mice", "rust", "body"]
    assert [(s.title, s.dangers) for s in program.stations] == [("Outside", ("Mind the dog.",)), ("Inside", ())]
    assert [q.station for q in program.questions.values()] == [0, 0, 0, 1]
