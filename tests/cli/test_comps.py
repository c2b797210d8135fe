"""`advisor comps` as its users type it: the range, the grid, data, and what ends it."""

from __future__ import annotations

import json
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result

from advisor.cli import main

EXAMPLE = str(Path(__file__).resolve().parents[2] / "examples" / "quail-hatches.csv")
CAR = ("--year", "1993", "--miles", "141000", "--on", "2026-04-11")


def run(*args: str, columns: int = 80) -> Result:
    return CliRunner(env={"COLUMNS": str(columns)}).invoke(main, ["comps", *args])


def said(*args: str) -> dict[str, Any]:
    result = run(*args, "--json")
    assert result.exit_code == 0, result.stderr
    data: dict[str, Any] = json.loads(result.stdout)
    return data


@pytest.fixture
def table(tmp_path: Path) -> Any:
    def write(text: str) -> str:
        path = tmp_path / "cars.csv"
        path.write_text(text, encoding="utf-8")
        return str(path)

    return write


def test_data_of_the_example() -> None:
    data = said(EXAMPLE, *CAR)
    assert set(data) >= {"low", "likely", "high", "used", "flagged", "notes", "grid", "same_car", "currency", "car"}
    assert data["used"] == [2, 4, 5, 6, 8, 9, 10, 12]
    assert data["flagged"] == [11]
    assert data["same_car"] == [3]
    low, likely, high = (Decimal(data[k]) for k in ("low", "likely", "high"))
    assert 6000 < low < likely < high < 9000
    assert all(len(data[k].split(".")[1]) == 2 for k in ("low", "likely", "high"))
    assert len(data["grid"]) == 11
    for line in data["grid"]:
        moved = sum(Decimal(a["amount"]) for a in line["adjustments"])
        assert Decimal(line["price"]) + moved == Decimal(line["adjusted"])
    assert data == said(EXAMPLE, *CAR)


def test_lines_of_the_example() -> None:
    result = run(EXAMPLE, *CAR)
    assert result.exit_code == 0
    lines = result.stdout.splitlines()
    assert lines[0] == "A car like these: 1993, 141,000 mi, 2026-04-11"
    likely = Decimal(said(EXAMPLE, *CAR)["likely"])
    assert lines[2] == f"It brings ${likely:,.0f} most likely."
    assert any("same car as row 10" in line for line in lines)
    assert any("Row 11 is set aside: its price is 10." in line for line in lines)


@pytest.mark.parametrize("columns", [40, 47, 59, 60, 72, 80, 100, 200])
def test_lines_stay_within_the_terminal(columns: int) -> None:
    lines = run(EXAMPLE, *CAR, columns=columns).stdout.splitlines()
    assert max(map(len, lines)) <= min(columns, 100)
    heads = [line for line in lines if line.startswith("row ") and " price" in line]
    assert len(heads) == (columns >= 60)


@pytest.mark.parametrize("columns", [40, 60, 100])
def test_amounts_of_a_row_add_up_as_shown(columns: int) -> None:
    text = run(EXAMPLE, *CAR, columns=columns).stdout
    if columns < 60:
        assert "brought to sold ................. -588" in text
        return
    head, *rows = (line for line in text.splitlines() if line[:3].strip() in ("row", *map(str, range(2, 13))))
    names = head.split()
    assert len(rows) == 11
    for row in rows:
        cells = row.split()[-len(names) + (1 if "what" in names else 0) :]
        shown = dict(zip([n for n in names if n != "what"][-len(cells) :], cells, strict=False))
        price, *moved = (int(shown[n].replace(",", "")) for n in ("price", "sale", "age", "miles", "state", "title"))
        assert price + sum(moved) == int(shown["worth"].replace(",", ""))


def test_few_are_called_little(table: Any) -> None:
    data = said(table("price,miles,year\n9400,140k,1993\n8900,150k,1993\n9100,120k,1992\n"), *CAR)
    assert data["notes"][0].startswith("Three comparables are little to go by")
    one = said(table("price\n9400\n"), *CAR)
    assert one["notes"][0].startswith("One comparable is little")
    assert Decimal(one["high"]) / Decimal(one["low"]) > 2


def test_none_gives_no_figure(table: Any) -> None:
    data = said(table("price,miles\n"), *CAR)
    assert (data["low"], data["likely"], data["high"]) == (None, None, None)
    assert "give a figure of your own" in data["notes"][0]
    result = run(table("price,miles\n"), *CAR)
    assert result.exit_code == 0
    assert "No figure." in result.stdout


def test_nothing_but_long_standing_prices_say_at_most(table: Any) -> None:
    text = "price,days\n10000,60\n12000,90\n"
    assert said(table(text), *CAR)["likely"] == "9300.00"
    assert "It brings $9,300 at most, and perhaps as little as $" in run(table(text), *CAR).stdout


def test_year_and_miles_may_be_missing() -> None:
    data = said(EXAMPLE, "--on", "2026-04-11")
    assert any("year is not given" in n for n in data["notes"])
    assert any("mileage is not given" in n for n in data["notes"])


def test_miles_as_people_write_them() -> None:
    plain = said(EXAMPLE, *CAR)
    for text in ("141k", "141,000", "141,000 mi", "226918 km"):
        assert said(EXAMPLE, "--year", "1993", "--miles", text, "--on", "2026-04-11") == plain


def test_today_is_the_day_where_none_is_named(table: Any) -> None:
    assert run(table("price,date\n9400,2026-04-01\n"), "--on", "2026-03-01").exit_code == 2
    assert run(table("price,date\n9400,2020-04-01\n")).exit_code == 0


def test_problems_are_all_told_and_nothing_is_estimated(table: Any) -> None:
    result = run(table("price,miles\n9400,141k\ncheap,99k\n8700,-5\n"), *CAR)
    assert result.exit_code == 2
    assert result.stdout == ""
    assert "line 3, column 1" in result.stderr
    assert "line 4, column 6" in result.stderr
    assert result.stderr.count("do: ") == 2
    assert "2 errors; no estimate before the file is right" in result.stderr


@pytest.mark.parametrize(
    ("args", "words"),
    [
        (("--miles", "141"), "write `141k` for thousands"),
        (("--miles", "many"), "write it as `141,000`"),
        (("--year", "93"), "write `1993`"),
        (("--on", "4/11/2026"), "2026-04-11"),
        (("--currency", "JPY"), "JPY"),
    ],
)
def test_wrong_options(args: tuple[str, str], words: str) -> None:
    result = run(EXAMPLE, *args)
    assert result.exit_code == 2
    assert words in result.stderr


def test_file_that_is_not_there() -> None:
    result = run(EXAMPLE.replace("hatches", "hatchs"), *CAR)
    assert result.exit_code == 2
    assert "did you mean `quail-hatches.csv`?" in result.stderr


def test_another_currency(table: Any) -> None:
    path = table("price\n£9400\n")
    assert run(path, *CAR).exit_code == 2
    assert "£" in run(path, *CAR, "--currency", "GBP").stdout
    assert said(path, *CAR, "--currency", "GBP")["currency"] == "GBP"


def test_nothing_of_a_note_reaches_the_terminal_as_a_command(table: Any) -> None:
    text = 'price,note,\x1b[31mred\n9400,"\x1b]0;title\x07",1\n'
    for columns in (40, 80):
        assert not set(run(table(text), *CAR, columns=columns).stdout) & {"\x1b", "\x07", "\u202e"}


def test_spreadsheet_of_another_country(tmp_path: Path) -> None:
    path = tmp_path / "cars.csv"
    path.write_bytes("\ufeffprice;miles;year\r\n9400;141000;1993\r\n8900;150000;1993\r\n".encode())
    assert said(str(path), *CAR)["used"] == [2, 3]


def test_a_recorded_car_is_judged_by_a_table() -> None:
    """The table's comparables come beside the car's own, and answer what the car leaves open."""
    car = str(Path(EXAMPLE).with_name("quail-hatch.car"))
    alone, both = (
        json.loads(CliRunner().invoke(main, ["judge", car, "--json", *more]).stdout)
        for more in ((), ("--comps", EXAMPLE))
    )
    grids = [(judged["comparables"] or {"grid": []})["grid"] for judged in (alone, both)]
    assert len(grids[1]) == len(grids[0]) + 11


def test_a_table_that_is_wrong_judges_nothing(table: Any) -> None:
    car = str(Path(EXAMPLE).with_name("quail-hatch.car"))
    result = CliRunner().invoke(main, ["judge", car, "--comps", table("price,date\n$5,000,2026-02-30\n")])
    assert result.exit_code == 2
    assert result.stdout == ""
    assert "M06" in result.stderr or "M05" in result.stderr


def test_rules_without_comparables_take_no_table(tmp_path: Path) -> None:
    rules = tmp_path / "small.tell"
    rules.write_text(
        'ask rust: yes/no\n    "Rust?"\nverdict\n    pass when rust\n    buy otherwise\n', encoding="utf-8"
    )
    result = run(EXAMPLE, *CAR, "--rules", str(rules))
    assert result.exit_code == 2
    assert "comparables for" in result.stderr
