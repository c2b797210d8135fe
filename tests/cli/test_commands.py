"""The commands as their users type them: results, diagnostics, exit codes, and what is kept between runs."""

from __future__ import annotations

import json
import os
import stat
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result

from advisor import resources
from advisor.cli import main
from advisor.language.catalogue import KINDS

HERE = Path(__file__).resolve().parents[2]
EXAMPLES = HERE / "examples"
QUAIL = str(EXAMPLES / "quail-hatch.car")
KEYS = {
    *("verdict", "settled", "possible", "assuming", "ceiling", "binding"),
    *("asking", "reasons", "cautions", "unknown", "show"),
}
SMALL = """\
ruleset "Small"
    currency USD
setting highest_offer = $10,000
    source house figure
ask asking: money from $0 to $20,000
    "What does the seller ask?"
ask title: one of clean, missing
    "What does the title say?"
    takes 2 min
ask worth: money from $0 to $20,000
    "What is it worth?"
    unsure assume $5,000
let profit = worth - offer
show profit "Left"
refuse no_title when title is missing
    because "No title, no car."
    source common practice
require enough: profit >= $1,000
    because "Less is not worth it."
    source house figure
verdict
    buy when ceiling >= asking
    renegotiate when ceiling >= 80% of asking
    pass otherwise
"""


def run(*args: str, text: str | None = None) -> Result:
    """One command in this process."""
    return CliRunner().invoke(main, list(args), input=text)


@pytest.fixture
def small(tmp_path: Path) -> Path:
    """A small rule file."""
    path = tmp_path / "small.tell"
    path.write_text(SMALL)
    return path


@pytest.fixture
def car(tmp_path: Path) -> Callable[..., str]:
    """Writes a recorded car with these lines and gives its name."""

    def write(*lines: str) -> str:
        path = tmp_path / "some.car"
        path.write_text("\n".join(['car "Some car"', "on 2026-04-11", *lines]) + "\n")
        return str(path)

    return write


# ---- judge -----------------------------------------------------------------------------------------------------


def judged(rules: Path, car: str) -> dict[str, Any]:
    """What `judge --json` says."""
    result = run("judge", car, "--rules", str(rules), "--json")
    assert result.exit_code == 0, result.stderr
    data: dict[str, Any] = json.loads(result.stdout)
    return data


@pytest.mark.parametrize(
    ("lines", "verdict", "ceiling", "settled"),
    [
        (["asking = $4,000", "title = clean", "worth = $6,000"], "buy", "5000.00", True),
        (["asking = $5,000.01", "title = clean", "worth = $6,000"], "renegotiate", "5000.00", True),
        (["asking = $9,000", "title = clean", "worth = $6,000"], "pass", "5000.00", True),
        (["asking = $4,000", "title = missing", "worth = $6,000"], "pass", "5000.00", True),
        (["asking = $4,000", "title = clean"], "buy", "4000.00", False),
        (["asking = $4,000", "worth = $6,000"], "unsettled", None, False),
        (["asking = $4,000", "title = clean", "worth = $900"], "pass", None, True),
    ],
)
def test_judge_verdicts(
    small: Path, car: Callable[..., str], lines: list[str], verdict: str, ceiling: str | None, settled: bool
) -> None:
    data = judged(small, car(*lines))
    assert set(data) >= KEYS
    assert (data["verdict"], data["ceiling"], data["settled"]) == (verdict, ceiling, settled)


def test_judge_explains(small: Path, car: Callable[..., str]) -> None:
    data = judged(small, car("asking = $5,000.01", "title = clean", "worth = $6,000"))
    assert [r["name"] for r in data["reasons"]] == ["enough"]
    assert data["binding"] == "enough"
    assert data["asking"] == "5000.01"
    assert data["possible"] == ["renegotiate"]
    left = {"name": "profit", "text": "Left", "value": "999.99", "unit": "$", "shown": "$999.99", "section": None}
    assert data["show"] == [left]


def test_judge_names_what_is_missing(small: Path, car: Callable[..., str]) -> None:
    data = judged(small, car("asking = $4,000", "worth = $6,000"))
    assert [u["name"] for u in data["unknown"]] == ["title"]
    leads = {x["answer"]: x["verdicts"] for x in data["unknown"][0]["leads_to"]}
    assert leads == {"clean": ["buy"], "missing": ["pass"]}


def test_judge_lists_assumptions(small: Path, car: Callable[..., str]) -> None:
    data = judged(small, car("asking = $4,000", "title = clean", "worth = unsure"))
    (assumed,) = data["assuming"]
    assert (assumed["name"], assumed["answer"], assumed["assumed"]) == ("worth", "unsure", "$5,000")
    assert (assumed["ceiling_low"], assumed["ceiling_high"]) == (None, "10000.00")


@pytest.mark.parametrize(
    ("name", "verdict"),
    [
        ("quail-hatch", "buy"),
        ("ocotillo-pickup", "renegotiate"),
        ("brightwater-coupe", "pass"),
        ("harrow-sedan", "pass"),
        ("quail-wagon", "unsettled"),
    ],
)
def test_examples(name: str, verdict: str) -> None:
    result = run("judge", str(EXAMPLES / f"{name}.car"), "--json")
    assert result.exit_code == 0
    assert json.loads(result.stdout)["verdict"] == verdict
    words = run("judge", str(EXAMPLES / f"{name}.car"))
    assert words.exit_code == 0
    assert verdict.upper() in words.stdout.splitlines()[3]


def test_results_and_diagnostics_are_kept_apart(small: Path, car: Callable[..., str]) -> None:
    good = run("judge", car("asking = $4,000", "title = clean", "worth = $6,000"), "--rules", str(small))
    assert good.stdout
    assert not good.stderr
    bad = run("judge", car("asking = 4000", "titel = clean"), "--rules", str(small))
    assert bad.exit_code == 1
    assert not bad.stdout
    assert "V07" in bad.stderr
    assert "did you mean `title`?" in bad.stderr


def test_wrong_usage_is_2(small: Path) -> None:
    assert run("judge").exit_code == 2
    assert run("check").exit_code == 2
    assert run("check", "--explain", "Z99").exit_code == 2
    assert run("why", QUAIL, "proffit").exit_code == 2
    assert "did you mean profit?" in run("why", QUAIL, "proffit").stderr
    assert run("nonsense").exit_code == 2


def test_missing_files_are_1_with_a_cure(small: Path) -> None:
    result = run("judge", str(EXAMPLES / "quail-hatsh.car"))
    assert result.exit_code == 1
    assert "did you mean `quail-hatch.car`?" in result.stderr
    assert run("check", str(small.parent / "smal.tell")).exit_code == 1


def test_rules_with_an_error_do_not_judge(small: Path, car: Callable[..., str]) -> None:
    small.write_text(SMALL.replace("profit >= $1,000", "profit >= 1,000"))
    result = run("judge", car("asking = $4,000"), "--rules", str(small))
    assert result.exit_code == 1
    assert "`profit` is money; `1,000` has no unit" in result.stderr


def test_no_control_code_reaches_the_screen(small: Path, tmp_path: Path) -> None:
    path = tmp_path / "odd.car"
    path.write_text(
        'car "Red\x1b[31m \x9b2J \u202ecar"\non 2026-04-11\nasking = $4,000\ntitle = clean\nnote "a\x07b\x7f"\n'
    )
    small.write_text(SMALL.replace("No title, no car.", "No \x1b]0;title\x07."))
    for result in (
        run("judge", str(path), "--rules", str(small)),
        run("why", str(path), "no_title", "--rules", str(small)),
        run("check", str(small), "odd\x1b[2Jname.tell"),
    ):
        shown = result.stdout + result.stderr
        assert shown
        assert not [c for c in shown if (ord(c) < 32 and c != "\n") or 0x7F <= ord(c) < 0xA0 or c == "\u202e"]


# ---- check, why, fmt ---------------------------------------------------------------------------------------------


def test_check_runs_cases(small: Path) -> None:
    small.write_text(
        SMALL
        + "car sound\n    title = clean\n    worth = $6,000\n    asking = $4,000\n"
        + 'case "fine" like sound\n    gives buy\n'
        + 'case "dear" like sound\n    asking = $9,000\n    gives renegotiate because enough\n'
    )
    result = run("check", str(small))
    assert result.exit_code == 1
    assert "this case gives `pass` because enough, not `renegotiate`" in result.stderr
    assert "2 cases run" in result.stdout


def test_check_as_data(small: Path) -> None:
    small.write_text(SMALL.replace("title is missing", "title is mising"))
    result = run("check", str(small), "--json")
    assert result.exit_code == 1
    (problem,) = json.loads(result.stdout)["problems"]
    assert (problem["code"], problem["cure"]) == ("V06", "did you mean `missing`?")
    assert (problem["place"]["line"], problem["place"]["column"]) == (15, 31)


@pytest.mark.parametrize("code", sorted(KINDS))
def test_every_code_is_explained(code: str) -> None:
    result = run("check", "--explain", code.lower())
    assert result.exit_code == 0
    assert KINDS[code].title in result.stdout


def test_bundled_rules_are_clean() -> None:
    files = sorted(str(p) for p in (HERE / "rulesets").glob("*.tell"))
    result = run("check", *files)
    assert result.exit_code == 0, result.stderr
    assert "no problems" in result.stdout
    assert run("fmt", "--check", *files).exit_code == 0


def test_why_goes_down_to_answers_and_settings(small: Path, car: Callable[..., str]) -> None:
    name = car("asking = $4,000", "title = clean", "worth = $6,000")
    result = run("why", name, "enough", "--rules", str(small), "--json")
    steps = {s["name"]: s for s in json.loads(result.stdout)}
    assert steps["enough"]["value"] == "is met at $4,000"
    assert steps["enough"]["uses"] == [{"name": "profit", "value": "$2,000"}]
    assert steps["profit"]["formula"] == "worth - offer"
    assert steps["profit"]["uses"] == [{"name": "worth", "value": "$6,000"}, {"name": "offer", "value": "$4,000"}]
    assert steps["worth"]["place"].endswith("some.car:5")
    assert set(steps) == {"enough", "profit", "worth", "offer", "asking"}
    ceiling = run("why", name, "ceiling", "--rules", str(small))
    assert "enough = $5,000" in ceiling.stdout


def test_why_says_what_is_missing(small: Path, car: Callable[..., str]) -> None:
    result = run("why", car("asking = $4,000"), "no_title", "--rules", str(small))
    assert result.exit_code == 1
    assert "title" in result.stderr


def test_fmt(small: Path) -> None:
    ugly = SMALL.replace("    because", "  because").replace(" >= ", "  >=  ")
    small.write_text(ugly)
    assert run("fmt", "--check", str(small)).exit_code == 1
    assert small.read_text() == ugly
    assert run("fmt", str(small)).exit_code == 0
    assert run("fmt", "--check", str(small)).exit_code == 0
    assert 'because "No title, no car."' in small.read_text()
    small.write_text("ask broken\n")
    result = run("fmt", str(small))
    assert result.exit_code == 1
    assert small.read_text() == "ask broken\n"


# ---- walk ----------------------------------------------------------------------------------------------------------


def test_walk_with_a_closed_input(small: Path) -> None:
    result = run("walk", "--rules", str(small), text="")
    assert result.exit_code == 3
    assert "UNSETTLED" in result.stdout
    assert "questions are left open:\n  asking\n" in result.stderr


def test_walk_passes_over_what_does_not_apply(small: Path) -> None:
    gated = SMALL.replace(
        '    "What is it worth?"\n', '    "What is it worth?"\n    only when title is clean else $0\n'
    )
    small.write_text(gated)
    result = run("walk", "--rules", str(small), text="4000\nmissing\n")
    assert "What is it worth?" not in result.stdout
    assert "PASS" in result.stdout


# ---- what is kept between runs ---------------------------------------------------------------------------------------


def process(*args: str, cache: Path) -> subprocess.CompletedProcess[str]:
    """A run of its own, with a cache of its own."""
    environment = os.environ | {"ADVISOR_CACHE": str(cache)}
    return subprocess.run(
        [sys.executable, *args], cwd=HERE, env=environment, capture_output=True, text=True, check=False
    )  # fmt: skip


def test_a_warm_start_parses_nothing(tmp_path: Path) -> None:
    cold = process("-m", "advisor", "judge", QUAIL, cache=tmp_path)
    code = (
        "import sys; sys.argv[1:] = ['judge', sys.argv[1]]\n"
        "from advisor.cli import main\n"
        "main(standalone_mode=False)\n"
        "assert not {'lark', 'advisor.language.checking', 'advisor.readings.exact'} & set(sys.modules)"
    )
    warm = process("-c", code, QUAIL, cache=tmp_path)
    assert warm.returncode == 0, warm.stderr
    assert warm.stdout == cold.stdout


def test_the_cache_is_private_and_never_trusted_blindly(small: Path, car: Callable[..., str], tmp_path: Path) -> None:
    name = car("asking = $4,000", "title = clean", "worth = $6,000")
    judge = ("-m", "advisor", "judge", name, "--rules", str(small), "--json")
    assert json.loads(process(*judge, cache=tmp_path).stdout)["ceiling"] == "5000.00"
    folder = tmp_path / "telltale-advisor"
    assert stat.S_IMODE(folder.stat().st_mode) == 0o700
    (kept,) = folder.iterdir()
    # A changed rule is never judged by old code.
    small.write_text(SMALL.replace("$1,000", "$2,000"))
    assert json.loads(process(*judge, cache=tmp_path).stdout)["ceiling"] == "4000.00"
    # A damaged entry is read over.
    kept.write_bytes(b"garbage")
    assert json.loads(process(*judge, cache=tmp_path).stdout)["ceiling"] == "4000.00"
    # An entry that others can write is passed over: it is code, and would run.
    kept.write_bytes(b"cposix\nsystem\n(S'touch " + bytes(tmp_path / "ran") + b"'\ntR.")
    kept.chmod(0o666)
    assert json.loads(process(*judge, cache=tmp_path).stdout)["ceiling"] == "4000.00"
    assert not (tmp_path / "ran").exists()


def test_a_cache_that_cannot_be_written_is_no_error(small: Path, car: Callable[..., str], tmp_path: Path) -> None:
    (tmp_path / "file").write_text("")
    result = process(
        "-m", "advisor", "judge", car("asking = $1", "title = clean"), "--rules", str(small), cache=tmp_path / "file"
    )
    assert result.returncode == 0
    assert "BUY" in result.stdout


def test_rules_by_their_bare_name(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    bundled = run("judge", QUAIL)
    assert run("judge", QUAIL, "--rules", "house").stdout == bundled.stdout
    assert run("check", "walkaround").exit_code == 0
    wrong = run("judge", QUAIL, "--rules", "hous")
    assert (wrong.exit_code, "did you mean `house`?" in wrong.stderr) == (1, True)
    Path("house").write_text(SMALL)  # a file of that name is meant first
    assert run("judge", QUAIL, "--rules", "house").stdout != bundled.stdout


def test_an_empty_car_is_what_lacks_its_day(tmp_path: Path) -> None:
    path = tmp_path / "empty.car"
    path.write_text("")
    result = run("judge", str(path))
    assert result.exit_code == 1
    assert "C06" in result.stderr
    assert "empty.car" in result.stderr
    assert "house.tell" not in result.stderr


def test_a_car_is_judged_and_not_checked() -> None:
    result = run("check", QUAIL)
    assert result.exit_code == 2
    assert f"{QUAIL} is a recorded car: use `advisor judge {QUAIL}`" in result.stderr


def test_a_file_reached_on_two_ways_is_read_once(tmp_path: Path) -> None:
    """A bundled ruleset named by its whole path uses another by its bare name, and both use the same parts."""
    folder = resources.rulesets_folder()
    result = run("check", str((folder / "money.tell").resolve()))
    assert result.exit_code == 0, result.stderr
    (tmp_path / "b.tell").write_text("setting wash = $12\n    source house figure\n", encoding="utf-8")
    (tmp_path / "link.tell").symlink_to(tmp_path / "b.tell")
    (tmp_path / "a.tell").write_text('use "./b.tell"\nuse "./link.tell"\n', encoding="utf-8")
    assert run("check", str(tmp_path / "a.tell")).exit_code == 0
