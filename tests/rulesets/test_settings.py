"""The page of the settings: it names each setting that the house rules stand on, as it stands in them today."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from advisor import resources

PAGE = Path(__file__).resolve().parents[2] / "rulesets" / "settings.md"
WALK = sorted(p.name for p in (PAGE.parent / "walkaround").glob("*.tell"))
FILES = ("house.tell", "money.tell", *(f"walkaround/{name}" for name in WALK))
BEGIN, END = "<!-- begin of settings -->\n", "<!-- end of settings -->\n"
FIRST = 8
"""How many settings a beginner should have to think about."""

TABLE = ("| setting | as it stands | believed | what it is | source |", "| --- | --- | --- | --- | --- |")
SETTING = re.compile(r'^setting (\w+) = ([^"\n]+?)(?: from ([^"\n]+))?\n((?:    .*\n)+)', re.MULTILINE)
HEADING = re.compile(r"^# ---- (.+?) -+$", re.MULTILINE)


def rules(name: str) -> str:
    return (resources.rulesets_folder() / name).read_text(encoding="utf-8")


def one_line(name: str, value: str, believed: str | None, body: str) -> str:
    """A setting as the page tells it: its name, value and range, what it is and where it comes from."""
    words = " ".join(re.findall(r'^    "(.*)"$', body, re.MULTILINE))
    (source,) = re.findall(r"^    source (.+)$", body, re.MULTILINE)
    source = source.replace("from memory ", "from memory: ").replace('"', "")
    return f"| `{name}` | `{value}` | {believed or ''} | {words.replace('|', '/')} | {source} |"


def section() -> str:
    """The tables of the page, from the rule files: a table for each part of a file that has settings."""
    lines: list[str] = []
    for name in FILES:
        text = rules(name)
        heads = [(m.start(), m[1]) for m in HEADING.finditer(text)]
        told = ""
        settings = list(SETTING.finditer(text))
        if settings:
            lines += ["", f"## In `{name}`"]
        for found in settings:
            heading = [words for start, words in heads if start < found.start()][-1:]
            if not heading and found is settings[0]:
                lines += ["", *TABLE]
            if heading and heading[0] != told:
                told = heading[0]
                lines += ["", f"### {told[0].upper()}{told[1:]}", "", *TABLE]
            lines.append(one_line(*found.groups()))
    return "\n".join(lines) + "\n\n"


def test_the_page_tells_every_setting_as_it_stands(request: pytest.FixtureRequest) -> None:
    text = PAGE.read_text(encoding="utf-8")
    before, _, rest = text.partition(BEGIN)
    held, _, after = rest.partition(END)
    if request.config.getoption("--accept", default=False) and held != section():
        PAGE.write_text(before + BEGIN + section() + END + after, encoding="utf-8")
        return
    assert held == section(), "run pytest --accept to write the settings into the page"


def test_it_names_every_setting_and_no_other() -> None:
    held = PAGE.read_text(encoding="utf-8").partition(BEGIN)[2].partition(END)[0]
    named = re.findall(r"^\| `(\w+)` \|", held, re.MULTILINE)
    declared = [m for name in FILES for m in re.findall(r"^setting (\w+)", rules(name), re.MULTILINE)]
    assert len(declared) == len(set(declared)) > 100
    assert sorted(named) == sorted(declared)


def test_what_to_set_first_is_short_and_what_the_rules_say() -> None:
    first = PAGE.read_text(encoding="utf-8").partition(BEGIN)[0]
    rows = re.findall(r"^\| `(\w+)` \| `([^`]+)` \| (.+) \|$", first, re.MULTILINE)
    stand = {name: value for text in map(rules, FILES) for name, value, *_ in SETTING.findall(text)}
    assert 0 < len(rows) <= FIRST
    assert [(name, value) for name, value, _ in rows if stand.get(name) != value] == []


def test_the_names_that_stand_for_figures_are_names_of_figures() -> None:
    """What the page of the rulesets tells people to ask `why` about."""
    told = (PAGE.parent / "README.md").read_text(encoding="utf-8").partition("## Which name stands for what")[2]
    names = re.findall(r"`(\w+)`", told)
    everything = "".join(map(rules, FILES))
    assert len(names) > 60
    assert [name for name in names if f"\nlet {name} =" not in everything] == []
