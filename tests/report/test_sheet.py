"""The sheet for pencil: every question once, in order, with room for its answer, on four pages, safe to print."""

from __future__ import annotations

import re
from functools import cache
from unicodedata import east_asian_width

import pytest
from attrs import evolve

from advisor.language.program import Program
from advisor.report.sheet import LINE, Blanks, Checklist, Item, Ticks, checklist
from advisor.report.sheet_lines import PAGE_COLUMNS, PAGE_LINES, sheet_lines, sheet_pages
from advisor.report.sheet_page import SHEET_STYLE, sheet_page
from tests.report.cars import OUTSIDE, house, small
from tests.report.sheets import MANY_KINDS, checked, grown
from tests.report.test_page import Reader

MANY, PRINTED = 200, 220
"""So many questions, like those of the house rules, go on four pages: as text, and as a page that a browser prints."""
SHEETS = 4
"""So many sheets of paper, printed on both sides, hold the house rules whatever is added to them."""
QUICK = 30
"""Questions of a ruleset that one page should hold."""
NEUTRAL = ("grade", "score", "star", "rating", "green", "amber")


@cache
def many() -> Program:
    return checked(MANY_KINDS)


def program_of(name: str) -> Program:
    return many() if name == "many" else house().program if name == "house" else small().program


@cache
def sheet_of(name: str) -> Checklist:
    return checklist(program_of(name))


def words(text: str) -> str:
    return " ".join(text.split())


def item(name: str) -> Item:
    program = many()
    return sheet_of("many").items[list(program.questions).index(name)]


# ---- what is on it ----


@pytest.mark.parametrize("name", ["house", "small", "many"])
def test_every_question_once_and_in_the_order_of_the_walk(name: str) -> None:
    program = program_of(name)
    items = sheet_of(name).items
    assert [i.text for i in items] == [q.text for q in program.questions.values()]
    assert [i.number for i in items] == list(range(1, len(program.questions) + 1))
    assert [i.major for i in items] == [q.major for q in program.questions.values()]


def test_stations_in_order_with_their_dangers() -> None:
    program, sheet = house().program, sheet_of("house")
    assert [s.title for s in sheet.stops] == [s.title for s in program.stations]
    assert [s.dangers for s in sheet.stops] == [s.dangers for s in program.stations]
    text = words(sheet_lines(sheet, 80))
    places = [text.index(words(f"-- {s.title}")) for s in program.stations]
    assert places == sorted(places)
    for station in program.stations:
        assert all(f"! {danger}" in text for danger in station.dangers)


@pytest.mark.parametrize(
    ("name", "answer"),
    [
        ("roof", Ticks(("fixed", "folding", "two panels"))),
        ("lamp", Ticks(("yes", "no"))),
        ("doors", Blanks((4,))),
        ("share", Blanks((4,), after=" %")),
        ("tread", Blanks((4,), after="/32 in")),
        ("play", Blanks((4,), after=" in")),
        ("odometer", Blanks((9,), after=" mi")),
        ("age", Blanks((4,), after=" years")),
        ("asks", Blanks((9,), before="£")),
        ("rate", Blanks((4,), before="£", after="/h")),
        ("frost", Blanks((4,), after=" degC")),
        ("sold", Blanks((4, 2, 2), between="-")),
        ("said", Blanks((LINE,))),
        ("vin", Blanks((1,) * 17)),
        ("plugs", Blanks((4,) * 4, after=" mm")),
    ],
)
def test_room_for_every_kind_of_answer(name: str, answer: object) -> None:
    assert item(name).answer == answer


@pytest.mark.parametrize(
    ("name", "drawn"),
    [
        ("tread", "____/32 in"),
        ("asks", "£_________"),
        ("rate", "£____/h"),
        ("sold", "____-__-__"),
        ("plugs", "____ ____ ____ ____ mm"),
        ("vin", " ".join("_" * 17)),
        ("roof", "[ ] fixed [ ] folding [ ] two panels"),
    ],
)
def test_answers_as_text(name: str, drawn: str) -> None:
    assert drawn in words(sheet_lines(sheet_of("many"), 80))


def test_gates_stand_before_their_questions_and_only_there() -> None:
    sheet = sheet_of("house")
    gates = {g.gate: [i.text for i in g.items] for s in sheet.stops for g in s.groups if g.gate}
    belt = next(g for g in gates if g.startswith("if belt") and "receipt" in g)
    assert gates[belt] == ["How many miles has the belt done since that receipt?", "And how many years ago was that?"]
    program = house().program
    gated = [q.text for q in program.questions.values() if q.gated]
    assert [text for inside in gates.values() for text in inside if text not in gated] == []
    assert len([i for s in sheet.stops for g in s.groups if g.gate for i in g.items]) == len(gated)
    assert re.search(r"if the body is convertible \(\d+\):", sheet_lines(sheet, 80))


def test_majors_are_marked_by_a_word() -> None:
    sheet = sheet_of("house")
    majors = sum(i.major for i in sheet.items)
    assert majors > 5
    for text in (sheet_lines(sheet, 100), sheet_pages(sheet), Reader(sheet_page(sheet)).text):
        assert text.count("(major)") == majors


def test_a_condition_is_told_again_at_the_top_of_each_column() -> None:
    program = many()
    alike = {f"frame_{i}": evolve(program.questions["frame"], name=f"frame_{i}") for i in range(100)}
    gates = dict.fromkeys(alike, program.gates["frame"])
    sheet = checklist(evolve(program, questions={"roof": program.questions["roof"]} | alike, gates=gates))
    assert sheet_pages(sheet).count("if the roof is folding (1):") == 4
    assert sheet_lines(sheet, 80).count("if the roof is folding (1):") == 1


def test_head_and_foot_have_room_for_both_of_us() -> None:
    for text in (sheet_pages(sheet_of("house")), Reader(sheet_page(sheet_of("house"))).text):
        for label in ("Car", "Date", "Place", "Seller", "Asking"):
            assert len(re.findall(rf"\b{label}\b", text[:600])) == 1
        for who in ("First partner", "Second partner"):
            assert len(re.findall(rf"{who}, highest price \$[\s_]*signed", words(text))) == 1


def test_rules_without_a_price_have_no_prices_to_write_down() -> None:
    sheet = sheet_of("many")
    text = sheet_pages(sheet)
    assert "Asking £___" in text
    assert "highest price" not in text
    assert "Second partner, signed ___" in text


def test_the_legend_tells_what_there_is() -> None:
    house_text, small_text = (words(sheet_lines(sheet_of(n), 80)) for n in ("house", "small"))
    for text in (house_text, small_text):
        assert "Circle ? if you can't tell, x if you are not allowed to look." in text
    assert "Major:" in house_text
    assert "number in brackets" in house_text
    assert "Major:" not in small_text
    assert "number in brackets" not in small_text


def test_questions_without_a_station_stand_under_a_heading_of_their_own() -> None:
    program = many()
    first, *rest = program.questions
    loose = {n: program.questions[n] for n in rest} | {first: evolve(program.questions[first], station=None)}
    assert checklist(evolve(program, questions=loose)).stops[-1].title == "Anywhere"
    assert [s.title for s in sheet_of("small").stops] == [""]
    assert "--" not in sheet_lines(sheet_of("small"), 80).replace("____-__-__", "")


def test_a_ruleset_without_questions_still_prints() -> None:
    sheet = checklist(evolve(many(), questions={}))
    assert sheet.items == ()
    assert sheet_pages(sheet).count("\f") == 0
    Reader(sheet_page(sheet))
    assert "Second partner" in sheet_lines(sheet, 20)


def test_it_judges_nothing() -> None:
    for text in (sheet_pages(sheet_of("house")), Reader(sheet_page(sheet_of("house"))).text):
        assert not [w for w in NEUTRAL if re.search(rf"\b{w}s?\b", text, re.I)]
        assert not re.search(r"[★☆●○✓✗✔✘]", text)
    assert not re.search(r"red|green|yellow|orange|<svg|<img", sheet_page(sheet_of("small")).split("<body>")[1])


# ---- as text ----


@pytest.mark.parametrize("name", ["house", "small", "many"])
@pytest.mark.parametrize("width", [20, 40, 60, 80, 100])
def test_fits_any_terminal(name: str, width: int) -> None:
    text = sheet_lines(sheet_of(name), width)
    assert max(map(len, text.splitlines())) <= width
    assert "\f" not in text
    assert all(words(i.text) in words(text) for i in sheet_of(name).items)
    marked = [line for line in text.splitlines() if line.endswith("? x")]
    assert len(marked) == len(sheet_of(name).items)
    assert [line for line in marked if len(line) != width] == []


def question_starts(page: str) -> list[int]:
    """The numbers of the questions on a page, down the left column and then down the right one."""
    middle = PAGE_COLUMNS // 2 + 1
    columns = ([line[:middle] for line in page.splitlines()], [line[middle:] for line in page.splitlines()])
    found = (re.match(r" {0,4}(\d{1,3}) \S", line) for lines in columns for line in lines)
    return [int(m[1]) for m in found if m]


@pytest.mark.parametrize("name", ["house", "small", "many"])
def test_pages(name: str) -> None:
    sheet = sheet_of(name)
    text = sheet_pages(sheet)
    pages = text.split("\f")
    assert len(pages) <= 2 * SHEETS
    for i, page in enumerate(pages):
        lines = page.splitlines()
        assert len(lines) <= PAGE_LINES
        assert max(map(len, lines)) <= PAGE_COLUMNS
        assert lines[0].endswith(f"page {i + 1} of {len(pages)}")
    assert [n for page in pages for n in question_starts(page)] == [i.number for i in sheet.items]
    assert len(re.findall(r"\? x\b", text)) == len(sheet.items)


def test_four_pages_hold_as_many_questions_as_there_may_be() -> None:
    sheet = checklist(grown(house().program, MANY))
    assert len(sheet.items) == MANY
    assert len(sheet_pages(sheet).split("\f")) <= 4


def test_one_page_holds_a_quick_ruleset() -> None:
    sheet = checklist(grown(small().program, QUICK))
    assert len(sheet.items) == QUICK
    assert "\f" not in sheet_pages(sheet)


@pytest.mark.parametrize("count", [1, 45, 60, 75, 90, 105, 120, 150, 180])
def test_no_foot_stands_alone_and_nothing_is_lost(count: int) -> None:
    program = house().program
    some = evolve(program, questions=dict([*program.questions.items()][:count]))
    pages = sheet_pages(checklist(some)).split("\f")
    assert [n for page in pages for n in question_starts(page)] == list(range(1, len(some.questions) + 1))
    assert question_starts(pages[-1])
    assert "Second partner" in pages[-1]
    assert all(len(page.splitlines()) <= PAGE_LINES for page in pages)


def test_a_heading_stays_with_its_first_question() -> None:
    text = sheet_pages(checklist(grown(house().program, MANY)))
    middle = PAGE_COLUMNS // 2 + 1
    for page in text.split("\f"):
        lines = page.split("Each of you writes")[0].splitlines()
        for column in ([x[:middle].rstrip() for x in lines], [x[middle:].rstrip() for x in lines]):
            last = next((line for line in reversed(column) if line), "? x")
            assert last.endswith("? x"), last


def test_a_question_longer_than_a_page_is_cut_and_not_lost() -> None:
    program = small().program
    long = evolve(program.questions["brakes"], text=" ".join(f"word{i}" for i in range(1500)))
    text = sheet_pages(checklist(evolve(program, questions=program.questions | {"brakes": long})))
    assert all(len(page.splitlines()) <= PAGE_LINES for page in text.split("\f"))
    assert all(re.search(rf"\bword{i}\b", text) for i in range(1500))


def test_nothing_from_outside_reaches_a_printer_as_a_command() -> None:
    sheet = outside()
    for text in (sheet_lines(sheet, 40), sheet_pages(sheet).replace("\f", "")):
        assert not re.search("[\x00-\x09\x0b-\x1f\x7f-\x9f\u202e]", text)
        assert "evil" in text


def outside() -> Checklist:
    """A sheet with what nobody should write into its texts."""
    program = many()
    stations = tuple(evolve(s, title=OUTSIDE, dangers=(OUTSIDE,)) for s in program.stations)
    questions = {n: evolve(q, text=OUTSIDE) for n, q in program.questions.items()}
    return checklist(evolve(program, title=OUTSIDE, stations=stations, questions=questions))


def test_signs_that_take_two_columns() -> None:
    program = small().program
    wide = evolve(program.questions["brakes"], text="車のブレーキは大丈夫ですか" * 5)
    sheet = checklist(evolve(program, questions=program.questions | {"brakes": wide}))
    for text, width in ((sheet_lines(sheet, 40), 40), (sheet_pages(sheet), PAGE_COLUMNS)):
        assert max(sum(2 if east_asian_width(c) in "WF" else 1 for c in x) for x in text.splitlines()) <= width


# ---- as a page ----


@pytest.mark.parametrize("name", ["house", "small", "many"])
def test_the_page_is_whole_and_alone(name: str) -> None:
    sheet = sheet_of(name)
    text = sheet_page(sheet)
    page = Reader(text)
    assert text.startswith("<!DOCTYPE html>")
    assert {"script", "link", "img", "iframe", "object", "svg", "input"} & set(page.tags) == set()
    assert {"href", "src", "srcset", "style"} & {n for n, _ in page.attributes} == set()
    assert not [n for n, _ in page.attributes if n.startswith("on")]
    assert "url(" not in text
    assert "@import" not in text
    classes = [value for name, value in page.attributes if name == "class"]
    assert classes.count("number") == len(sheet.items)
    assert classes.count("marks") == len(sheet.items)
    ticks = sum(len(i.answer.options) for i in sheet.items if isinstance(i.answer, Ticks))
    assert classes.count("box") == ticks
    assert len(re.findall(r'<span class="number">(\d+)</span>', text)) == len(sheet.items)
    for question in sheet.items:
        assert words(question.text) in page.text


def test_nothing_from_outside_is_taken_for_a_tag() -> None:
    text = sheet_page(outside())
    page = Reader(text)
    assert "script" not in page.tags
    assert '<script>alert(1)</script> & "quoted"' in page.text
    assert "\x1b" not in text
    assert "\u202e" not in text


def test_no_type_in_print_is_too_small_to_read() -> None:
    printed = SHEET_STYLE[SHEET_STYLE.index("@media print") :]
    sizes = [float(size) for size in re.findall(r"(?:font-size|font): ([\d.]+)pt", printed)]
    assert len(sizes) >= 4
    assert min(sizes) >= 8.5
    assert not re.search(r"font-size: [\d.]+(%|em|rem)", printed)


POINT = 72 / 25.4
"""Points in a millimeter."""
COLUMN = (215.9 - 14 - 5) / 2 * POINT
"""The width of a printed column on letter paper, by the margins and the gap of the style."""
LETTER, A4 = (279.4 - 17) * POINT, (297 - 17) * POINT
"""The height of a printed page."""
SIGN, LINE_HEIGHT = 8.5 * 0.51, 8.5 * 1.1
"""How wide a sign is on average in the widest font that is asked for by name, fitted to pages that were set, and how
high a line."""


def lines_of(width: float, text: str) -> int:
    """How many lines a text takes, broken between words."""
    lines, left = 1, width
    for word in text.split():
        size = (len(word) + 1) * SIGN
        lines, left = (lines, left - size) if size <= left + SIGN else (lines + 1, width - size)
    return lines


def height(sheet: Checklist) -> float:
    """What the printed sheet comes to in one column, in points."""
    total = 0.0
    for stop in sheet.stops:
        total += 1 * POINT + 11 + sum(LINE_HEIGHT * lines_of(COLUMN - 9, d) + 0.5 for d in stop.dangers)
        for group in stop.groups:
            above = f"{group.gate}: " if len(group.items) == 1 and group.gate else ""
            total += LINE_HEIGHT * lines_of(COLUMN - 20, group.gate) if group.gate and not above else 0
            for question in group.items:
                room = COLUMN - (30 if group.gate and not above else 20)
                text = above + question.text + (" (major)" if question.major else "")
                if isinstance(question.answer, Ticks):
                    answer = " ".join(f"xxx{o.replace(' ', 'x')}" for o in question.answer.options) + " xxxxx"
                else:
                    answer = "xxxxxxx " * min(len(question.answer.room), 12) + "xxxxx xxxxx"
                lines = min(lines_of(room, f"{text} {answer}"), lines_of(room, text) + lines_of(room, answer))
                total += LINE_HEIGHT * lines + 0.2 * POINT
    return total


@pytest.mark.parametrize("paper", [LETTER, A4])
def test_four_printed_pages_hold_as_many_questions_as_there_may_be(paper: float) -> None:
    head_and_foot = 2 * 70
    sheet = checklist(grown(house().program, PRINTED))
    assert len(sheet.items) == PRINTED
    assert height(sheet) + head_and_foot * 2 < 8 * paper
    assert height(sheet) > 5 * paper, "the estimate is of the right size"
    assert height(sheet_of("house")) + head_and_foot * 2 < 4 * SHEETS * paper
    quick = checklist(grown(small().program, QUICK))
    assert height(quick) + head_and_foot * 2 < 2 * paper
