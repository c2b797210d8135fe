"""`advisor sheet` as it is typed: pages for a printer, lines for a terminal, a page of HTML."""

from __future__ import annotations

import re
import sys
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from advisor.cli import main
from advisor.cli.sheets import sheet_text
from advisor.report.sheet_lines import PAGE_COLUMNS, PAGE_LINES
from tests.report.cars import HERE, house

SMALL = str(HERE / "small.tell")


def run(*args: str) -> Result:
    return CliRunner().invoke(main, ["sheet", *args])


def test_pages_of_the_house_rules() -> None:
    result = run()
    assert result.exit_code == 0, result.output
    pages = result.stdout.split("\f")
    assert 2 <= len(pages) <= 8
    assert all(len(page.splitlines()) <= PAGE_LINES for page in pages)
    assert all(len(line) <= PAGE_COLUMNS for page in pages for line in page.splitlines())
    assert pages[0].startswith("House rules (")
    assert len(re.findall(r"\? x\b", result.stdout)) == len(house().program.questions)


def test_other_rules_fit_on_one() -> None:
    result = run("--rules", SMALL)
    assert result.exit_code == 0, result.output
    assert "\f" not in result.stdout
    assert "page 1 of 1" in result.stdout
    assert "How are the brakes?" in result.stdout


@pytest.mark.parametrize("name", ["house", "walkaround", "money", "worked-deal", "telephone"])
def test_bundled_rules_by_their_bare_names(name: str) -> None:
    result = run("--rules", name)
    assert result.exit_code == 0, result.output
    assert result.stdout.count("\f") < 8


def test_a_terminal_has_no_pages(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys.stdout, "isatty", lambda: True, raising=False)
    for width in (20, 40, 80):
        text = sheet_text(house().program, width)
        assert "\f" not in text
        assert "page 1 of" not in text
        assert max(map(len, text.splitlines())) <= width


def test_a_page_to_print(tmp_path: Path) -> None:
    page = tmp_path / "sheet.html"
    for _ in range(2):
        result = run("--rules", SMALL, "--html", str(page))
        assert result.exit_code == 0, result.output
        assert not result.stdout
        assert "print it" in result.stderr
    assert page.read_text(encoding="utf-8").startswith("<!DOCTYPE html>")


def test_a_page_is_written_over_a_page_only(tmp_path: Path) -> None:
    rules = tmp_path / "mine.tell"
    before = (HERE / "small.tell").read_bytes()
    rules.write_bytes(before)
    result = run("--rules", str(rules), "--html", str(rules))
    assert result.exit_code == 2
    assert "is no page" in result.stderr
    assert rules.read_bytes() == before
    result = run("--rules", str(rules), "--html", str(tmp_path / "missing" / "sheet.html"))
    assert result.exit_code == 1
    assert len(result.stderr.splitlines()) == 1


def test_rules_with_a_mistake_print_no_sheet(tmp_path: Path) -> None:
    rules = tmp_path / "mine.tell"
    rules.write_text('ruleset "Mine"\nask paint: one of bright, dull\n', encoding="utf-8")
    result = run("--rules", str(rules))
    assert result.exit_code == 1
    assert not result.stdout
    assert "R13" in result.stderr
