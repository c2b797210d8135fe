"""`advisor fact` as its users type it: each fact once right and once wrong, as data, and at any width."""

from __future__ import annotations

import json
import random
import shlex
from datetime import date
from typing import Any

import click
import pytest
from click.testing import CliRunner, Result
from hypothesis import given, settings
from hypothesis import strategies as st

from advisor.cli import main
from advisor.cli.facts import fact


def run(line: str, *more: str, columns: int = 80) -> Result:
    return CliRunner(env={"COLUMNS": str(columns)}).invoke(main, ["fact", *shlex.split(line), *more])


def said(line: str) -> dict[str, Any]:
    result = run(line, "--json")
    assert result.exit_code == 0, result.stderr
    data: dict[str, Any] = json.loads(result.stdout)
    return data


GOOD = {
    "vin 1M8GDM9AXKP042788 --year 1989": {"shape": "well formed", "check_digit": "fits", "model_years": [1989]},
    "vin '1m8gd m9axkp 042788'": {"check_digit": "fits"},
    "vin 1HGCM82633A004353": {"check_digit": "does not fit", "should_be": "5"},
    "odometer 2010 --on 2019-12-31": {"statement_required": True},
    "odometer 2010 --on 2020-01-01": {"statement_required": False, "exempt_from": "2020-01-01"},
    "odometer 2011 --on 2031-01-01": {"statement_required": False},
    "odometer 1975 --on 2026-04-11 --reading '34,500 mi' --digits 5": {"may_have_started_over": True},
    "odometer 2008 --on 2010-06-01 --gvwr '16,001 lb'": {"statement_required": False},
    "sales --on 2026-04-11": {"sold": 0, "dealing": "neither"},
    "sales 2026-01-10, 2026-03-02 --offered 2026-04-01 --on 2026-04-11": {"sold": 2, "sold_or_offered": 3},
    "tire 3623 --on 2026-04-11": {"week": 36, "years": [2023]},
    "tire 319 --on 2026-04-11": {"years": [1979, 1989, 1999], "advice": "replace"},
    "tread 3/32": {"us": True, "uk": True, "depth_mm": "2.38125"},
    "tread 2/32 in": {"us": True, "uk": False},
    "tread 1.6 mm": {"us": True, "uk": True},
    "paint 110 115 112 118 121 109 340": {"standing_out": 1, "high": ["340"], "median_um": "115"},
    "paint 4.1, 4.4, 4.6, 4.2, 12 mil": {"standing_out": 1, "high": ["304.8"], "high_places": [5]},
    "rim 1/8 --radial 3.2mm": {"fits": False},
    "steering 15 --play 2.1": {"fits": False, "limit_in": "2"},
    "steering 17 in --play 53.34mm --linkage 1/4": {"fits": True, "limit_in": "2.125", "linkage_fits": True},
    "toe 3/32 --makers 1/16": {"fits": True},
    "toe -1/16 --makers 1/16": {"fits": False},
    "lining bonded 1/16": {"fits": True, "limit_in": "0.0625"},
    "lining Riveted 0.031": {"fits": False},
    "lining riveted": {"fits": None},
    "pedal 6 --pressed 1.2": {"fits": True, "used_percent": "80"},
    "battery 12.4": {"charge_percent": "75", "volts": "12.4"},
    "battery 12.4 V --temperature 40": {"charge_percent": "63", "volts_at_80_degF": "12.304"},
    "battery 12.4 --temperature '40 °F'": {"charge_percent": "63"},
    "battery 12.4 --temperature 35degC": {"temperature_degF": "95"},
    "battery 14.2": {"charge_percent": None, "state": "not rested"},
    "coolant 50": {"freezes_degF": "-34", "freezes_degC": "-37"},
    "coolant 56%": {"freezes_degF": "-50"},
    "compression 150 148 152 110": {"three_quarters": False, "seventy_and_100_psi": True, "within_10_psi": False},
    "compression 160 160 160 120 psi --rule three-quarters": {"three_quarters": True, "low_cylinders": []},
    "compression '1035, 725 kPa' --rule seventy_and_100_psi": {"seventy_and_100_psi": True},
    "compression 150 90 150 150 --wet '155 120 154 153'": {
        "low_cylinders": [2],
        "wet_psi": ["155", "120", "154", "153"],
    },
    "leak-down 12%": {"verdict": "fair", "lost_percent": ["12"]},
    "leak-down 8 72/80 26%": {"verdict": "bad", "verdicts": ["good", "fair", "bad"], "lost_percent": ["8", "10", "26"]},
    "code P0420": {"system": "powertrain"},
    "code 'p 0420'": {"code": "P0420"},
    "readiness 1997 --not-ready 3": {"readiness": "unknown", "monitors_allowed": "2"},
    "readiness 1995 --not-ready 3": {"readiness": "does not apply"},
}
"""Each as somebody types it, and some of its values. What they should be, the tests of `trade` have the sources of."""


@pytest.mark.parametrize("line", GOOD)
def test_values(line: str) -> None:
    data = said(line)
    assert {name: data[name] for name in GOOD[line]} == GOOD[line]
    assert data["sentence"].endswith((".", "?"))
    assert data["sources"]
    for source in data["sources"]:
        assert source["standing"] in ("published", "quoted", "from memory", "common practice", "house figure")
    assert all(limit.endswith(".") for limit in data["limits"])


@pytest.mark.parametrize("columns", [20, 33, 80])
@pytest.mark.parametrize("line", GOOD)
def test_lines_stay_within_the_terminal(line: str, columns: int) -> None:
    result = run(line, columns=columns)
    assert result.exit_code == 0, result.stderr
    assert max(map(len, result.stdout.splitlines())) <= columns
    told, data = " ".join(result.stdout.split()), said(line)
    if columns == 80:  # below, a long word may be cut
        assert told.startswith(data["sentence"])
        assert all(limit in told for limit in data["limits"])
        assert all(source["text"] in told for source in data["sources"])
        assert told.count(" - ") >= len(data["limits"]) + len(data["sources"])


BAD = {
    "vin ''": "17 characters",
    "vin 1M8GDM9AXKP042788 --year 89": "write `1989`",
    "odometer 99": "write `1999`",
    "odometer 1999 --on 4/11/2026": "2026-04-11",
    "odometer 1999 --reading 345": "write `345k` for thousands",
    "odometer 1999 --reading 34,500 --digits five": "not a number",
    "odometer 1999 --reading 134,500 --digits 5": "digits",
    "sales yesterday": "2026-04-11",
    "sales 2026-05-01 --on 2026-04-11": "after 2026-04-11",
    "tire 5499": "weeks are 01 to 53",
    "tire": "Missing argument",
    "tread 3/32 V": "give it in",
    "tread 9 in": "`3/32 in`",
    "tread three": "not a number",
    "paint 110 115": "5 at least",
    "paint 4.1 4.4 4.6 4.2 12": "write `mil`",
    "rim -1/16": "without its sign",
    "steering 40": "from 10 to 22 in",
    "steering 15 furlongs": "units are h, min",
    "toe 3/32": "--makers",
    "toe 3/32 --makers 0": "maker's own tolerance",
    "lining glued": "`riveted` or `bonded`",
    "pedal 6 --pressed 7": "free pedal's height",
    "battery abc": "not a number",
    "battery 12,4": "write `12.4`",
    "battery 24": "0 to 18 V",
    "battery 12.4 --temperature 900": "from -40 to 160 degF",
    "battery 12.4 --temprature 40": "Did you mean '--temperature'?",
    "battery --josn": "No such option '--josn'",
    "coolant 68": "sources differ",
    "coolant 0.5": "write `50%`",
    "compression 150": "every cylinder",
    "compression 150,148,152,110": "in order, as `150 148 152 110`",
    "compression 150 148 --rule two-thirds": "three_quarters",
    "compression 150 148 --wet 160": "give 2 wet readings",
    "leak-down 112%": "from 0% to 100%",
    "leak-down 0.12": "write `12%`",
    "code P9": "P0420",
    "readiness 1997": "--not-ready",
    "readiness 1997 --not-ready -1": "`-1` is no whole number",
    "readiness 1997 --not-ready 1.5": "no whole number",
    "nothing": "`advisor fact` alone lists them",
    "--nothing": "No such option",
    "lining --bonded": "No such option",
    "readiness --not-redy 3": "--not-ready",
}


@pytest.mark.parametrize("line", BAD)
def test_wrong_use_is_one_message_that_says_what_to_do(line: str) -> None:
    result = run(line)
    assert result.exit_code == 2
    assert result.stdout == ""
    assert BAD[line] in result.stderr
    assert result.stderr.count("Error:") == 1
    assert "Traceback" not in result.stderr
    assert "For example: advisor fact" in result.stderr or "lists them" in result.stderr


def test_every_fact_is_tried_right_and_wrong() -> None:
    names = set(fact.commands)
    assert {line.split()[0] for line in GOOD} == names
    assert {line.split()[0] for line in BAD} >= names


def test_alone_it_lists_every_fact_with_an_example_that_works() -> None:
    result = run("")
    assert result.exit_code == 0
    examples = [line.strip() for line in result.stdout.splitlines() if line.startswith("  advisor fact ")]
    assert [e.split()[2] for e in examples] == list(fact.commands)
    for example in examples:
        assert run(example.removeprefix("advisor fact ")).exit_code == 0, example


def test_list_at_twenty_columns() -> None:
    assert max(map(len, run("", columns=20).stdout.splitlines())) <= 20


@pytest.mark.parametrize("name", sorted(fact.commands))
def test_help_names_every_option(name: str) -> None:
    result = run(name, "--help")
    assert result.exit_code == 0
    command = fact.commands[name]
    assert command.help
    for parameter in command.params:
        if isinstance(parameter, click.Option):
            assert parameter.opts[0] in result.stdout
            assert parameter.help


BITES = "\x1b]0;title\x07\u202e\x9b31m"


@pytest.mark.parametrize("name", sorted(fact.commands))
@pytest.mark.parametrize("text", [BITES, f"--{BITES}", f"--on={BITES}", "\udc80", "9" * 4000, "1e999", "NaN", "1/0"])
def test_nothing_typed_reaches_the_terminal_as_a_command_nor_ends_in_a_traceback(name: str, text: str) -> None:
    more = {"toe": ["--makers", text], "pedal": ["--pressed", text], "readiness": ["--not-ready", text]}.get(name, [])
    result = CliRunner().invoke(main, ["fact", name, text, *more])
    assert result.exit_code in (0, 2)
    assert result.exception is None or isinstance(result.exception, SystemExit)
    assert not set(result.output) & set("\x1b\x07\u202e\x9b\udc80")


JUNK = st.one_of(
    st.text(max_size=12),
    st.from_regex(r"\A-?[0-9.,/ ]{0,20}( ?(%|V|in|mm|mi|psi|degC|um|mil|h|\$))?\Z"),
    st.sampled_from(["", "-", "--", "NaN", "1e99", "0", "999999999999999", "0.000000000000001 mm", "1/3", "2010"]),
)


@settings(max_examples=400)
@given(st.sampled_from(sorted(fact.commands)), st.lists(JUNK, max_size=9), st.lists(JUNK, min_size=6, max_size=6))
def test_junk_gives_an_answer_or_a_message(name: str, typed: list[str], behind: list[str]) -> None:
    """Junk as values, and as what stands behind each option."""
    options = [p.opts[0] for p in fact.commands[name].params if isinstance(p, click.Option) and not p.is_flag]
    more = [part for option, text in zip(options, behind, strict=False) for part in (option, text)]
    result = CliRunner(env={"COLUMNS": "40"}).invoke(main, ["fact", name, *more, *typed])
    assert result.exit_code in (0, 2), result.exception
    assert all(c.isprintable() or c == "\n" for c in result.output if ord(c) < 160)


@pytest.mark.parametrize("line", GOOD)
def test_slips_of_the_finger_give_an_answer_or_a_message(line: str) -> None:
    chance = random.Random(line)
    for _ in range(25):
        letters = list(line)
        place = chance.randrange(line.index(" ") + 1, len(line))
        letters[place : place + chance.randrange(3)] = chance.choice(
            ["", " ", "-", ".", "/", "9", "0", ",", "%", "x", "é"]
        )
        typed = "".join(letters).replace("'", "").split()
        result = CliRunner().invoke(main, ["fact", *typed])
        assert result.exit_code in (0, 2), (typed, result.exception)
        assert ("Error: " in result.stderr) == (result.exit_code == 2)


def test_a_wrong_name_and_a_wrong_option_are_safe_too() -> None:
    for text in (BITES, f"--{BITES}"):
        result = run("", text)
        assert result.exit_code == 2
        assert not set(result.output) & set("\x1b\x07\u202e\x9b")


def test_today_is_the_day_where_none_is_named() -> None:
    year = date.today().year
    assert said(f"odometer {year - 20}")["statement_required"] is False
    assert said(f"odometer {year - 1}")["statement_required"] is True


def test_recalled_and_house_figures_say_so_on_the_screen() -> None:
    told = run("battery 12.4 --temperature 40").stdout
    assert "from memory: carried over to volts" in " ".join(told.split())
    assert "house figure: between the table's rows" in told
    assert "common practice: good under 10%" in run("leak-down 12").stdout
