"""The report as a page: well formed, whole, complete, and nobody else's code in it."""

from __future__ import annotations

import re
from html.parser import HTMLParser
from pathlib import Path

import pytest
from click.testing import CliRunner

from advisor.cli import main
from advisor.judging.judgment import Judgment
from advisor.report.composing import compose
from advisor.report.figures import Figures
from advisor.report.page import html_page
from advisor.report.styling import STYLE
from advisor.trade.curb import curb_price
from tests.report.cars import EXAMPLES, KINDS, NAMES, OUTSIDE, example, furnished, judged

VOID = {"meta", "br"}


class Reader(HTMLParser):
    """Reads a page: its tags, their attributes, its text; every tag must close."""

    def __init__(self, text: str) -> None:
        super().__init__(convert_charrefs=True)
        self.open: list[str] = []
        self.tags: list[str] = []
        self.attributes: list[tuple[str, str]] = []
        self.words: list[str] = []
        self.feed(text)
        self.close()
        assert self.open == []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append(tag)
        self.attributes += [(name, value or "") for name, value in attrs]
        if tag not in VOID:
            self.open.append(tag)

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        if "style" not in self.open:
            self.words.append(data)

    @property
    def text(self) -> str:
        return " ".join(" ".join(self.words).split())


def pages() -> list[object]:
    return [*KINDS, *NAMES]


def of(name: str) -> Judgment:
    return furnished(judged(name)) if name in KINDS else example(name)


@pytest.mark.parametrize("name", [*KINDS, *NAMES])
def test_whole_and_alone(name: str) -> None:
    text = html_page(compose(of(name)))
    page = Reader(text)
    assert text.startswith("<!DOCTYPE html>")
    assert {"script", "link", "img", "iframe", "object"} & set(page.tags) == set()
    assert {"href", "src", "srcset"} & {n for n, _ in page.attributes} == set()
    assert not [n for n, _ in page.attributes if n.startswith("on")]
    assert "url(" not in text
    assert "@import" not in text
    assert page.tags.count("main") == 1


@pytest.mark.parametrize("name", [*KINDS, *NAMES])
def test_every_figure_is_there(name: str) -> None:
    judgment = of(name)
    text = Reader(html_page(compose(judgment))).text
    figures = Figures(judgment.program)
    for show, value in judgment.shows:
        assert show.text in text
        ways = [figures.shown(show.name, value, page) for page in (1, 2)]
        assert any(w in text for w in (*ways, figures.leading(show.name, value))), show.name
    for fault in judgment.deal.bargain.repairs.held if judgment.deal else ():
        assert (fault.fault.text or fault.fault.name) in text
    for note in judgment.answers.notes:
        assert note in text
    if judgment.market:
        assert "$" in text
        assert all(f"{line.comparable.price:,.0f}" in text for line in judgment.market.lines)


def test_drawn_to_scale() -> None:
    text = html_page(compose(judged("buy")))
    widths = [float(w) for w in re.findall(r'style="width:([\d.]+)%"', text)]
    lefts = [float(w) for w in re.findall(r'style="left:([\d.]+)%"', text)]
    assert widths[0] == 100
    assert all(0 <= w <= 100 for w in widths)
    assert lefts == [0, 30.8, 100]  # 20 of 65 days


def test_nothing_from_outside_is_taken_for_a_tag() -> None:
    text = html_page(compose(judged("buy", OUTSIDE)))
    page = Reader(text)
    assert "script" not in page.tags
    assert '<script>alert(1)</script> & "quoted"' in page.text
    assert "\x1b" not in text
    assert "\u202e" not in text


def test_the_command_writes_it(tmp_path: Path) -> None:
    car, page = str(EXAMPLES / "quail-hatch.car"), tmp_path / "page.html"
    result = CliRunner().invoke(main, ["judge", car, "--html", str(page)])
    assert result.exit_code == 0, result.output
    assert "BUY" in result.stdout
    assert Reader(page.read_text(encoding="utf-8")).text.count("BUY") == 1
    assert "--all" in result.stdout
    everything = CliRunner().invoke(main, ["judge", car, "--all"])
    assert "Every fault" in everything.stdout
    assert "Every fault" not in result.stdout


def test_a_page_that_cannot_be_written_is_one_message(tmp_path: Path) -> None:
    car, page = str(EXAMPLES / "quail-hatch.car"), tmp_path / "missing" / "page.html"
    result = CliRunner().invoke(main, ["judge", car, "--html", str(page)])
    assert result.exit_code == 1
    assert not result.stdout
    assert len(result.stderr.splitlines()) == 1
    assert "cannot be written: No such file or directory" in result.stderr


def test_a_page_is_written_over_a_page_only(tmp_path: Path) -> None:
    before = (EXAMPLES / "quail-hatch.car").read_bytes()
    car, page = tmp_path / "some.car", tmp_path / "page.html"
    car.write_bytes(before)
    for _ in range(2):
        assert CliRunner().invoke(main, ["judge", str(car), "--html", str(page)]).exit_code == 0
    result = CliRunner().invoke(main, ["judge", str(car), "--html", str(car)])
    assert result.exit_code == 2
    assert "some.car is there already and is no page; name another file" in " ".join(result.stderr.split())
    assert not result.stdout
    assert car.read_bytes() == before
    page.write_bytes(b"")
    assert CliRunner().invoke(main, ["judge", str(car), "--html", str(page)]).exit_code == 0


def test_curb_prices_are_what_the_page_names() -> None:
    judgment = judged("renegotiate")
    assert judgment.ceiling is not None
    assert f"${curb_price(judgment.ceiling):,.0f}" in Reader(html_page(compose(judgment))).text


def test_no_type_in_print_is_too_small_to_read() -> None:
    printed = STYLE[STYLE.index("@media print") :]
    sizes = [float(size) for size in re.findall(r"font-size: ([\d.]+)pt", printed)]
    assert min(sizes) >= 8.5
    assert not re.search(r"font-size: [\d.]+(%|em|rem)", printed)
