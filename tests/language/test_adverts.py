"""Tables of comparables as spreadsheets save them: each cell read rightly, or refused with its place and its cure."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from advisor.language.adverts import COLUMNS, Adverts, read_adverts
from advisor.language.blocks import LARGEST, MOST_PROBLEMS
from advisor.language.source import Source
from advisor.trade.comparables import Comparable

D = Decimal
ON = date(2026, 4, 11)


def read(text: str, currency: str = "USD") -> Adverts:
    return read_adverts(Source("cars.csv", text), ON, currency)


def cell(column: str, text: str, currency: str = "USD") -> Comparable:
    """The one car of a table with a price and this cell."""
    quoted = '"' + text.replace('"', '""') + '"'
    table = f"price,{column}\n9400,{quoted}\n" if column != "price" else f"price\n{quoted}\n"
    found = read(table, currency)
    assert found.problems == ()
    (car,) = found.comparables
    return car


def refused(column: str, text: str, currency: str = "USD") -> tuple[str, str]:
    """The code and the cure of the one problem of a cell."""
    table = f'price,{column}\n9400,"{text}"\n' if column != "price" else f'price\n"{text}"\n'
    found = read(table, currency)
    assert found.comparables == ()
    (problem,) = found.problems
    assert problem.span.place.line == 2
    assert f"`{column}`" in problem.message
    return problem.code, problem.cure


# ---- the table -------------------------------------------------------------------------------------------------


def test_all_columns() -> None:
    text = ",".join(COLUMNS) + '\n"$9,400",asked,2026-04-02,"141,000",1993,good,private,12,no,clean,"red, one owner"\n'
    (car,) = read(text).comparables
    assert car == Comparable(
        D(9400), "asked", date(2026, 4, 2), D(141000), 1993, "good", "private", 12, False, "clean", "red, one owner", 2
    )


def test_only_prices() -> None:
    found = read("price\n9400\n8700\n")
    assert [c.price for c in found.comparables] == [9400, 8700]
    assert [c.row for c in found.comparables] == [2, 3]
    assert found.comparables[0] == Comparable(D(9400), row=2)


@pytest.mark.parametrize("sign", [",", ";", "\t"])
@pytest.mark.parametrize("mark", ["", "\ufeff"])
def test_any_order_case_sign_and_byte_order_mark(sign: str, mark: str) -> None:
    rows = (("Miles", " PRICE ", "Note"), ("141000", "9400", "red"), ("", "8700"))
    found = read(mark + "\n".join(sign.join(r) for r in rows))
    assert found.problems == ()
    assert [(c.price, c.miles, c.note) for c in found.comparables] == [(9400, 141000, "red"), (8700, None, "")]


def test_sign_named_by_the_spreadsheet() -> None:
    found = read("sep=;\nprice;miles\n9400;141000\n")
    assert [(c.price, c.row) for c in found.comparables] == [(9400, 3)]


def test_blank_lines_are_passed_over_and_rows_keep_their_numbers() -> None:
    found = read("\nprice,miles\n\n9400,141k\n,,\n   \n8700,99k\n")
    assert found.problems == ()
    assert [c.row for c in found.comparables] == [4, 7]


def test_note_over_two_lines() -> None:
    found = read('price,note\n9400,"red,\none owner"\n8700,blue\n')
    assert [(c.note, c.row) for c in found.comparables] == [("red, one owner", 2), ("blue", 4)]


def test_unknown_column_is_ignored_and_told() -> None:
    found = read("price,milage,phone,,\n9400,141k,555,,\n")
    assert found.comparables == (Comparable(D(9400), row=2),)
    assert found.notes == (
        "The column `milage` is not used; if it is `miles`, name it so.",
        "The column `phone` is not used.",
    )


def test_column_named_twice() -> None:
    (problem,) = read("price,miles,Price\n9400,141k,9500\n").problems
    assert (problem.code, problem.span.place.column) == ("S11", 13)


@pytest.mark.parametrize("text", ["", "\n\n", "9400,141k\n8700,99k\n", "\x00", '"'])
def test_no_head_is_told(text: str) -> None:
    found = read(text)
    assert found.comparables == ()
    assert "M01" in [p.code for p in found.problems]


def test_every_problem_in_one_run() -> None:
    found = read(
        "price,date,miles,gone\n"
        "cheap,2026-02-30,many,no\n"
        "9400,2026-04-01,141k,no\n"
        '8700,"2026"-04-01,99k,no\n'
        ",2026-04-01,99k,maybe\n"
        "8,700,2026-04-01,99k,no\n"
        '8600,"2026-04-01,99k,no\n'
        "1,2026-04-01,99k,yes\n"
    )
    told = [(p.span.place.line, p.code) for p in found.problems]
    assert told == [(2, "M03"), (2, "M05"), (2, "M03"), (4, "M07"), (5, "M03"), (6, "M06"), (7, "M07"), (8, "M05")]
    assert [c.row for c in found.comparables] == [3]


def test_place_of_a_cell() -> None:
    found = read('price,note,miles\n9400,"white, 141 x","14o,000"\n')
    (problem,) = found.problems
    assert problem.span.text == "14o,000"


def test_too_large_and_too_many() -> None:
    assert [p.code for p in read("price\n" + "9400\n" * (LARGEST // 5 + 1)).problems] == ["F01"]
    codes = [p.code for p in read("price\n" + "cheap\n" * 2000).problems]
    assert codes == ["M03"] * MOST_PROBLEMS + ["F09"]
    codes = [p.code for p in read("price\n" + '"a"b\n' * 2000).problems]
    assert codes == ["M07"] * MOST_PROBLEMS + ["F09"]


# ---- cells ---------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "price"),
    [
        ("9400", "9400"), ("$9,400", "9400"), ("$ 9,400.50", "9400.50"), ("9400.5", "9400.50"), ("USD 9,400", "9400"),
        ("9,400 usd", "9400"), ("9 400", "9400"), ("9\u00a0400", "9400"), ("9.4k", "9400"), ("$9.45K", "9450"),
        ("1,234,567", "1234567"), ("USD $9,400", "9400"), (" 9400 ", "9400"), ("0009400", "9400"),
    ],
)  # fmt: skip
def test_prices(text: str, price: str) -> None:
    assert cell("price", text).price == D(price)


@pytest.mark.parametrize(
    ("text", "code", "cure"),
    [
        ("1.200", "M04", "write `1200` or `1.2`"),
        ("1.200,00", "M04", "write `1200.00`, or `120000`"),
        ("1200,50", "M04", "write `1200.50`, or `120050`"),
        ("1.200.000", "M03", "write `1200000`"),
        ("12,00", "M04", "write `12.00`, or `1200`"),
        ("1,2000", "M03", "write it as `9400`"),
        ("-1200", "M05", "write the amount without its sign, if it is a price"),
        ("($1,200)", "M05", "write the amount without its sign, if it is a price"),
        ("0", "M05", "check it against the advertisement"),
        ("9.4", "M05", "check it against the advertisement; if it is in thousands, write `9.4k`"),
        ("99999999999", "M05", "check it against the advertisement"),
        ("9" * 400, "M03", "write it as `9400`"),
        ("9400 obo", "M03", "write `9400` alone; the rest belongs in `note`"),
        ("9400 or 9000", "M03", "write it as `9400`"),
        ("ask me", "M03", "write it as `9400`"),
        ("£9,400", "M03", "convert it to USD, or say `--currency GBP` if all are"),
        ("CAD 9400", "M03", "convert it to USD, or say `--currency CAD` if all are"),
        ("¥940000", "M03", "convert it to USD"),
        ("NaN", "M03", "write it as `9400`"),
        ("1e4", "M03", "write it as `9400`"),
        ("\u0661\u0662\u0660\u0660", "M03", "write it as `9400`"),
    ],
)
def test_prices_refused(text: str, code: str, cure: str) -> None:
    assert refused("price", text) == (code, cure)


def test_price_in_another_currency_that_was_named() -> None:
    assert cell("price", "£9,400", "GBP").price == 9400
    assert refused("price", "$9,400", "GBP")[1].startswith("convert it to GBP")


@pytest.mark.parametrize(
    ("text", "miles"),
    [
        ("141000", 141000), ("141,000", 141000), ("141,000 mi", 141000), ("141k", 141000), ("141.5k miles", 141500),
        ("141K", 141000), ("226,918 km", 141000), ("227k km", 141051), ("0 mi", 0), ("998 miles", 998),
        ("141,000 Mi.", 141000),
    ],
)  # fmt: skip
def test_miles(text: str, miles: int) -> None:
    # 226,918 km / 1.609344 = 141,000.3; the mile is 1,609.344 m by the agreement of 1959.
    assert cell("miles", text).miles == miles


@pytest.mark.parametrize(
    ("text", "code"),
    [("141", "M04"), ("141.000", "M04"), ("-5", "M05"), ("1,410,000", "M05"), ("low", "M03"), ("14o,000", "M03")],
)
def test_miles_refused(text: str, code: str) -> None:
    assert refused("miles", text)[0] == code


@pytest.mark.parametrize(
    "text",
    [
        "2026-04-02", "2026/4/2", "2026-04-02T10:15:00", "2026-04-02 00:00", "Apr 2, 2026", "2 April 2026",
        "April 2 2026", "2. Apr 2026",
    ],
)  # fmt: skip
def test_days(text: str) -> None:
    assert cell("date", text).day == date(2026, 4, 2)


@pytest.mark.parametrize(
    ("text", "day"),
    [("3/25/2026", date(2026, 3, 25)), ("25.3.2026", date(2026, 3, 25)), ("4/4/26", date(2026, 4, 4))],
)
def test_days_that_only_one_order_can_mean(text: str, day: date) -> None:
    assert cell("date", text).day == day


def test_other_rows_tell_the_order_of_day_and_month() -> None:
    found = read("price,date\n9400,3/2/2026\n8700,3/25/2026\n")
    assert [c.day for c in found.comparables] == [date(2026, 3, 2), date(2026, 3, 25)]
    assert found.notes == ("Dates such as 3/2/2026 are read as month/day, as 3/25/2026 in row 3 must be.",)
    found = read("price;date\n9400;3.2.2026\n8700;25.3.2026\n")
    assert [c.day for c in found.comparables] == [date(2026, 2, 3), date(2026, 3, 25)]
    assert "day/month" in found.notes[0]


def test_month_of_december_tells_no_order() -> None:
    found = read("price,date\n9400,12/11/2025\n8700,11/12/2025\n8600,12/12/2025\n")
    assert [(p.code, p.span.place.line) for p in found.problems] == [("M04", 2), ("M04", 3)]


def test_rows_that_contradict_each_other_tell_no_order() -> None:
    found = read("price,date\n9400,3/2/2026\n8700,3/25/2026\n8600,25/3/2026\n")
    assert [(p.code, p.span.place.line) for p in found.problems] == [("M04", 2)]


@pytest.mark.parametrize(
    ("text", "code", "cure"),
    [
        ("4/2/2026", "M04", "write `2026-04-02` or `2026-02-04`"),
        ("2026-02-29", "M05", "check the month and the day"),
        ("13/13/2026", "M05", "check the month and the day"),
        ("2026-04-12", "M05", "check the date, or say `--on`"),
        ("1026-04-02", "M05", "check the year"),
        ("46114", "M03", "format the column as a date; spreadsheets count 46114 as 2026-04-02"),
        ("last week", "M03", "write year, month and day, as `2026-04-11`"),
        ("Foo 2, 2026", "M03", "write year, month and day, as `2026-04-11`"),
    ],
)
def test_days_refused(text: str, code: str, cure: str) -> None:
    assert refused("date", text) == (code, cure)


@pytest.mark.parametrize(
    ("text", "code", "cure"),
    [
        ("93", "M03", "write `1993`"),
        ("'04", "M03", "write `2004`"),
        ("1993?", "M03", "write it with four digits, as `1993`"),
        ("1793", "M05", "check the year"),
        ("2028", "M05", "check the year"),
    ],
)
def test_years_refused(text: str, code: str, cure: str) -> None:
    assert refused("year", text) == (code, cure)


def test_years() -> None:
    assert cell("year", "1993").year == 1993
    assert cell("year", "1993.0").year == 1993
    assert cell("year", "2027").year == 2027


@pytest.mark.parametrize("yes", ["yes", "Y", "TRUE", "t", "1"])
@pytest.mark.parametrize("no", ["no", "n", "False", "F", "0"])
def test_gone(yes: str, no: str) -> None:
    assert cell("gone", yes).gone is True
    assert cell("gone", no).gone is False


def test_other_words() -> None:
    assert cell("kind", "Sold").kind == "sold"
    assert cell("kind", "asking").kind == "asked"
    assert cell("seller", "DEALER").seller == "dealer"
    assert cell("title", "Salvage").title == "salvage"
    assert cell("condition", "Fair").condition == "fair"
    assert cell("days", "45 days").days == 45
    assert cell("days", "0").days == 0
    assert cell("note", "a\u202eb").note == "a\u202eb"


@pytest.mark.parametrize(
    ("column", "text", "code", "cure"),
    [
        ("kind", "solled", "M03", "did you mean `sold`?"),
        ("kind", "swap", "M03", "write `asked` or `sold`"),
        ("seller", "uncle", "M03", "write `private`, `dealer` or `auction`"),
        ("condition", "tidy", "M03", "write `rough`, `fair`, `good` or `excellent`"),
        ("title", "rebuild", "M03", "did you mean `rebuilt`?"),
        ("days", "-3", "M05", "write for how many days it has stood for sale"),
        ("days", "99999", "M05", "write for how many days it has stood for sale"),
        ("days", "a week", "M03", "write a whole number, as `45`"),
        ("gone", "perhaps", "M03", "write `yes` or `no`"),
    ],
)
def test_words_refused(column: str, text: str, code: str, cure: str) -> None:
    assert refused(column, text) == (code, cure)


@given(st.text(st.characters(codec="utf-8"), max_size=300))
def test_whatever_comes_is_read_or_refused(text: str) -> None:
    for table in (text, f"price,miles,date,note\n{text}", f'price,miles,date\n9400,"{text}",2026-04-01\n'):
        found = read(table)
        for problem in found.problems:
            assert problem.cure
            assert 0 <= problem.span.start <= problem.span.end <= len(table)


def test_example_has_no_problem() -> None:
    path = Path(__file__).parents[2] / "examples" / "quail-hatches.csv"
    found = read(path.read_text(encoding="utf-8"))
    assert found.problems == ()
    assert found.notes == ()
    assert len(found.comparables) == 11
