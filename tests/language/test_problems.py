"""Every kind of problem: a small program, and exactly what is said about it.

`tests/cases/problems/CODE-what.tell` (or `.car`, or `.csv`) holds one mistake; the `.txt` beside it all that `advisor
check` (or `judge`, or `comps`) says. `pytest --accept` writes the texts anew, for review. A car is judged by the rules
of its own name in `tests/cases/rules/`, or else by `plain.tell` there. `tests/cases/good/` holds what must pass without
a word.
"""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from pathlib import Path

import pytest

from advisor.cli import main
from advisor.language.blocks import LARGEST
from advisor.language.catalogue import KINDS
from advisor.language.problems import Kind, Severity

CASES = Path(__file__).parents[1] / "cases"
PROBLEMS = sorted(p for p in (CASES / "problems").iterdir() if p.suffix in (".tell", ".car", ".csv"))
GOOD = sorted((CASES / "good").glob("*.tell"))
CODES = re.compile(r"^(?:error|advice|not yet) ([A-Z]\d\d):", re.MULTILINE)

Said = Callable[..., tuple[str, int]]


@pytest.fixture
def said(capsys: pytest.CaptureFixture[str]) -> Said:
    """What a command says, diagnostics first, and its exit code."""

    def run(*words: str) -> tuple[str, int]:
        with pytest.raises(SystemExit) as ended:
            main.main(list(words), prog_name="advisor")
        out, err = capsys.readouterr()
        code = ended.value.code
        assert isinstance(code, int)
        return (err if words[0] == "judge" else err + out), code

    return run


@pytest.mark.parametrize("path", PROBLEMS, ids=lambda p: p.name)
def test_each_case_says_exactly_this(
    path: Path, said: Said, expect: Callable[[Path, str], None], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(path.parent)  # so that messages name the file alone
    code = path.name[:3]
    if path.suffix == ".car":
        rules = Path("../rules", f"{path.stem}.tell")
        rules = rules if rules.exists() else Path("../rules/plain.tell")
        text, exit_code = said("judge", path.name, "--rules", str(rules))
    elif path.suffix == ".csv":
        text, exit_code = said("comps", path.name, "--on", "2026-04-11")
    else:
        text, exit_code = said("check", path.name)
    assert CODES.findall(text) == [code], text
    wrong = 2 if path.suffix == ".csv" else 1
    assert exit_code == (wrong if KINDS[code].severity is Severity.ERROR else 0)
    expect(path.with_suffix(".txt"), text)


def test_every_kind_has_a_case() -> None:
    shown = {p.name[:3] for p in (CASES / "problems").glob("*.txt")}
    assert shown == set(KINDS)


def test_no_message_is_without_its_case() -> None:
    made_by_tests = {"F01-too-large", "F07-too-many", "F09-too-many"}
    texts = {p.stem for p in (CASES / "problems").glob("*.txt")}
    assert texts - made_by_tests == {p.stem for p in PROBLEMS}


def test_a_file_too_large(
    tmp_path: Path, said: Said, expect: Callable[[Path, str], None], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    Path("F01-too-large.tell").write_text("# padding\n" * (LARGEST // 10 + 1), encoding="utf-8")
    text, exit_code = said("check", "F01-too-large.tell")
    assert exit_code == 1
    assert CODES.findall(text) == ["F01"], text
    expect(CASES / "problems/F01-too-large.txt", text)


def test_too_many_files(
    tmp_path: Path, said: Said, expect: Callable[[Path, str], None], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    for i in range(100):
        Path(f"part{i}.tell").write_text(f"setting part{i} = $80\n    source house figure\n", encoding="utf-8")
    uses = "".join(f'use "./part{i}.tell"\n' for i in range(100))
    Path("F07-too-many.tell").write_text(uses + "let all = part0 + part99\n", encoding="utf-8")
    text, exit_code = said("check", "F07-too-many.tell")
    assert exit_code == 1
    assert CODES.findall(text) == ["F07"], text
    expect(CASES / "problems/F07-too-many.txt", text)


def test_too_many_problems(
    tmp_path: Path, said: Said, expect: Callable[[Path, str], None], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    Path("F09-too-many.tell").write_text("stting pads = $80\n" * 600, encoding="utf-8")
    text, exit_code = said("check", "F09-too-many.tell")
    assert exit_code == 1
    assert CODES.findall(text) == ["S01"] * 500 + ["F09"]
    expect(CASES / "problems/F09-too-many.txt", text[text.index("error F09") :])


def test_five_mistakes_give_five_messages_in_order(tmp_path: Path, said: Said, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    Path("five.tell").write_text(FIVE, encoding="utf-8")
    text, exit_code = said("check", "five.tell")
    assert exit_code == 1
    assert CODES.findall(text) == ["V02", "S02", "N01", "T02", "S06"], text
    assert re.findall(r"line (\d+), column", text) == ["3", "9", "12", "19", "24"]


FIVE = """\
ruleset "Five mistakes"

setting target_rate = $4,5/h
    "what an hour of our own labor must earn"
    source house figure

ask tread: in from 0 in to 1 in
    "Shallowest tread on any tire?"
    taeks 3 min

caution worn when tread < 4/32 in
    and odometr > 100,000 mi
    because "Tires and miles together are dear."
    source common practice

setting own_labor = 31 h
    source house figure

let ready = own_labor + 12 days

let evening = target_rate * own_labor

setting pads = $80
    "what a set of pads costs
    source house figure

let brakes = pads + $40
"""


def test_json_says_the_same(tmp_path: Path, said: Said, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    Path("five.tell").write_text(FIVE, encoding="utf-8")
    text, exit_code = said("check", "--json", "five.tell")
    problems = json.loads(text)["problems"]
    assert exit_code == 1
    assert [p["code"] for p in problems] == ["V02", "S02", "N01", "T02", "S06"]
    assert problems[0] == {
        "code": "V02",
        "severity": "error",
        "message": "`4,5` is not grouped in thousands",
        "cure": "write `$4.5/h`",
        "place": {"file": "five.tell", "line": 3, "column": 23, "end_line": 3, "end_column": 29},
        "notes": [],
    }


@pytest.mark.parametrize("code", KINDS)
def test_every_kind_is_explained(code: str, said: Said) -> None:
    text, exit_code = said("check", "--explain", code.lower())
    assert exit_code == 0
    assert text.startswith(f"{code}: {KINDS[code].title} (")
    assert KINDS[code].page.split()[:3] == text.split("\n\n")[1].split()[:3]


def test_an_unknown_code_is_no_kind(said: Said) -> None:
    text, exit_code = said("check", "--explain", "X99")
    assert exit_code == 2
    assert "X99" in text


@pytest.mark.parametrize("kind", KINDS.values(), ids=KINDS)
def test_sentences_are_of_one_make(kind: Kind) -> None:
    """Lower case at the front, no full stop at the end, no name of ours in it."""
    for sentence in (kind.message, kind.cure):
        assert not sentence.endswith(".") or sentence.endswith("...")
        assert not sentence[:1].isupper()
        assert not re.search(r"\b[A-Z][a-z]+[A-Z]", sentence)


@pytest.mark.parametrize("path", GOOD, ids=lambda p: p.name)
def test_nothing_is_said_about_what_is_right(path: Path, said: Said, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(path.parent)
    text, exit_code = said("check", path.name)
    assert exit_code == 0
    assert not CODES.findall(text), text
    assert text.endswith(": no problems\n")
