"""What a car brings by its comparables: the grid, what is set aside, and what is said of few."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest
from attrs import evolve

from advisor.trade.comparables import Comparable, Line, Market, Valuation, estimate
from tests.trade.cars import MARKET, asked

D = Decimal
ON = date(2026, 4, 11)


def judged(*cars: Comparable, year: int | None = 1993, miles: int | None = 141_000, **figures: object) -> Valuation:
    market: Market = evolve(MARKET, **figures)
    return estimate(cars, year, None if miles is None else D(miles), ON, market)


def only(found: Valuation) -> Line:
    (line,) = found.lines
    return line


def adjustment(line: Line, name: str) -> Decimal:
    return dict(line.adjustments)[name]


# ---- the grid --------------------------------------------------------------------------------------------------


def test_net_and_gross_adjustment() -> None:
    # The usual grid of an appraiser: sold for 9,000, lacks new tires worth 600, has 20,000 fewer miles worth 1,000.
    line = Line(asked(9000), (("tires", D(600)), ("miles", D(-1000))), D(8600), D(1), True, False, "")
    assert line.comparable.price + sum(a for _, a in line.adjustments) == line.adjusted
    assert round(line.net * 100, 1) == D("-4.4")
    assert round(line.gross * 100, 1) == D("17.8")


def test_one_alike_is_its_price_brought_to_sold() -> None:
    found = judged(asked(10000, condition="good", day=ON))
    assert found.likely == D("9300.00")
    assert only(found).adjustments == (
        ("sold", D("-700.00")), ("age", D(0)), ("miles", D(0)), ("condition", D(0)), ("title", D(0)),
    )  # fmt: skip
    assert only(found).weight == 1
    assert found.low is not None
    assert found.high is not None
    # Two degrees of freedom, and the usual 15 %: 1.886 * 0.15 * sqrt(2) = 0.400.
    assert float(found.high / found.likely) == pytest.approx(1.4918, rel=2e-3)
    assert float(found.likely / found.low) == pytest.approx(1.4918, rel=2e-3)


@pytest.mark.parametrize(
    ("more", "name", "amount"),
    [
        ({"kind": "sold"}, "sold", 0),
        ({"seller": "dealer"}, "sold", -1700),
        ({"kind": "sold", "seller": "auction"}, "sold", 2000),
        ({"kind": "sold", "condition": "rough"}, "condition", 10000 / 0.7 - 10000),
        ({"kind": "sold", "condition": "excellent"}, "condition", 10000 / 1.1 - 10000),
        ({"kind": "sold", "title": "rebuilt"}, "title", 10000 / 0.7 - 10000),
        ({"kind": "sold", "title": "clean"}, "title", 0),
    ],
)
def test_adjustment_by_the_figures_of_the_market(more: dict[str, object], name: str, amount: float) -> None:
    line = only(judged(asked(10000, **more)))
    assert float(adjustment(line, name)) == pytest.approx(amount, abs=0.005)
    assert sum(abs(a) for n, a in line.adjustments if n not in (name, "sold")) == 0


def test_worse_adds_and_better_takes_off() -> None:
    older = only(judged(asked(10000, year=1992, kind="sold")))
    newer = only(judged(asked(10000, year=1994, kind="sold")))
    assert float(adjustment(older, "age")) == pytest.approx(10000 / 0.94 - 10000, abs=0.005)
    assert float(adjustment(newer, "age")) == pytest.approx(10000 * 0.94 - 10000, abs=0.005)
    more = only(judged(asked(10000, miles=151_000, kind="sold")))
    assert float(adjustment(more, "miles")) == pytest.approx(10000 / 0.97 - 10000, abs=0.005)


def test_date_is_adjusted_where_the_market_moves() -> None:
    line = only(judged(asked(10000, kind="sold", day=date(2025, 4, 11)), drift=D("0.01")))
    assert float(adjustment(line, "date")) == pytest.approx(10000 * 1.01**12 - 10000, rel=1e-3)
    undated = only(judged(asked(10000, kind="sold"), drift=D("0.01")))
    assert adjustment(undated, "date") == 0
    assert "date" in undated.remark


def test_every_line_adds_up() -> None:
    found = judged(
        asked("9417.35", 1989, 203_311, condition="rough", seller="dealer", title="rebuilt"),
        asked("8120.01", 1996, 99_500, condition="excellent"),
        asked("7333.33", 1992, 151_000, condition="fair", days=90),
        asked(6999, 1993, None),
    )
    assert len(found.lines) == 4
    for line in found.lines:
        assert line.comparable.price + sum(a for _, a in line.adjustments) == line.adjusted


def test_slopes_are_the_comparables_own_where_there_are_many() -> None:
    cars = [
        asked(round(20000 * 0.88 ** (1999 - y), 2), y, 141_000, note=str(i))
        for i in range(3)
        for y in range(1986, 2000)
    ]
    line = judged(*cars, private=D(1)).lines[0]
    year_older = float(line.adjusted / line.comparable.price) ** (1 / (1993 - 1986))
    assert 1 / year_older == pytest.approx(0.88, abs=0.003)  # usual is 0.94


# ---- few or none -----------------------------------------------------------------------------------------------


def test_nothing_to_go_by() -> None:
    found = judged()
    assert (found.low, found.likely, found.high, found.lines) == (None, None, None, ())
    assert "give a figure of your own" in found.notes[0]


def test_no_price_is_set_aside() -> None:
    found = judged(asked(0), asked(-5))
    assert found.likely is None
    assert [line.set_aside for line in found.lines] == ["no price", "no price"]
    found = judged(asked(9000, note="red"), asked(0, note="red", day=ON))
    assert [line.set_aside for line in found.lines] == ["", "no price"]


@pytest.mark.parametrize(("count", "words"), [(1, "One comparable is little"), (3, "Three comparables are little")])
def test_few_are_called_little(count: int, words: str) -> None:
    found = judged(*(asked(9000 + 100 * i, note=str(i)) for i in range(count)))
    assert found.notes[0].startswith(words)
    assert not judged(*(asked(9000 + 100 * i, note=str(i)) for i in range(5))).notes[0].startswith("Five")


def test_range_narrows_with_more_of_the_same() -> None:
    widths = []
    for count in (1, 2, 3, 6, 12):
        found = judged(*(asked(9000 + 60 * i, note=str(i)) for i in range(count)))
        assert found.low is not None
        assert found.high is not None
        widths.append(found.high / found.low)
    assert widths == sorted(widths, reverse=True)
    assert widths[-1] > D("1.13")  # like cars differ by 5 % at least, so the range never closes


def test_far_ones_give_a_wider_range() -> None:
    near = judged(*(asked(9000 + 100 * i, 1993, note=str(i)) for i in range(4)))
    far = judged(*(asked(9000 + 100 * i, 1983, note=str(i)) for i in range(4)))
    widths = [float(v.high / v.low) for v in (near, far) if v.low and v.high]
    assert widths[1] > 1.2 * widths[0]
    assert any(note.startswith("None of them is within 2 model years and 20,000 miles") for note in far.notes)


def test_near_ones_weigh_more() -> None:
    found = judged(asked(9000, 1993), asked(9000, 1991, note="b"), asked(9000, 1989, note="c"), per_10k=D("0.03"))
    weights = [line.weight for line in found.lines]
    assert weights[0] > weights[1] > weights[2] > 0


# ---- what is not given -----------------------------------------------------------------------------------------


def test_missing_miles_of_a_comparable_are_said() -> None:
    found = judged(asked(9000, row=2), asked(9200, miles=None, row=3))
    assert "miles" in found.lines[1].remark
    assert adjustment(found.lines[1], "miles") == 0
    assert any(note.startswith("Row 3 does not give the miles") for note in found.notes)


def test_missing_year_and_miles_of_this_car_are_said() -> None:
    found = judged(asked(9000), asked(9200, 1989, 99_000), year=None, miles=None)
    assert all(adjustment(line, name) == 0 for line in found.lines for name in ("age", "miles"))
    assert [line.weight for line in found.lines] == [D("0.5"), D("0.5")]
    assert any("year is not given" in note for note in found.notes)
    assert any("mileage is not given" in note for note in found.notes)


# ---- standing long, listed twice, mistyped -------------------------------------------------------------------------


NORMAL = tuple(asked(9000 + 150 * i, note=str(i)) for i in range(6))


def test_standing_long_is_an_upper_bound() -> None:
    plain = judged(*NORMAL)
    assert plain.likely is not None
    above = judged(*NORMAL, asked(11500, days=46, note="stands"))
    assert (above.low, above.likely, above.high) == (plain.low, plain.likely, plain.high)
    assert above.lines[-1].bound
    assert not above.lines[-1].used
    below = judged(*NORMAL, asked(8000, days=46, note="stands"))
    assert below.likely is not None
    assert below.likely < plain.likely
    assert below.lines[-1].used


@pytest.mark.parametrize(
    ("more", "bound"),
    [
        ({"days": 45}, False),
        ({"days": 46}, True),
        ({"days": 46, "gone": True}, False),
        ({"days": 46, "kind": "sold"}, False),
        ({"day": date(2026, 1, 1), "gone": False}, True),
        ({"day": date(2026, 1, 1)}, False),
    ],
)
def test_which_ones_stand_long(more: dict[str, object], bound: bool) -> None:
    assert judged(*NORMAL, asked(9000, note="this", **more)).lines[-1].bound is bound


def test_only_bounds_say_at_most() -> None:
    found = judged(asked(9000, days=60), asked(9900, days=90, note="b"))
    assert found.likely == found.high == D("8370.00")
    assert found.low is not None
    assert found.low < found.likely
    assert "no more than the lowest" in found.notes[0]


@pytest.mark.parametrize(
    ("one", "other", "same"),
    [
        (asked(9500), asked(9500), True),
        (asked(9500, None, None), asked(9500, None, None), True),
        (asked(9500, None, None, note="red"), asked(9500, None, None, note="blue"), False),
        (asked(9500, note="red, one owner"), asked(9200, note="Red, one owner"), True),
        (asked(9500, note="red"), asked(9500, note="blue"), False),
        (asked(9500, note="red"), asked(9500, days=12), True),
        (asked(9500), asked(9200), False),
        (asked(9500, 1992), asked(9500, 1993), False),
        (asked(9500, seller="private"), asked(9500, days=20, seller="private"), True),
    ],
)
def test_same_car_counts_once(one: Comparable, other: Comparable, same: bool) -> None:
    lines = judged(evolve(one, row=2), evolve(other, row=3)).lines
    assert [line.set_aside for line in lines].count("same car") == int(same)


def test_sale_counts_before_the_asking_price_and_the_later_before_the_earlier() -> None:
    first = asked(9500, note="red", day=date(2026, 1, 5), row=2)
    lower = asked(9100, note="red", day=date(2026, 3, 5), row=3)
    sold = asked(8700, note="red", day=date(2026, 2, 5), row=4, kind="sold")
    found = judged(first, lower)
    assert [line.used for line in found.lines] == [False, True]
    assert found.lines[0].remark == "same car as row 3"
    found = judged(first, lower, sold)
    assert [line.used for line in found.lines] == [False, False, True]
    assert "Row 2 is the same car as row 4 and is not counted again." in found.notes


def test_mistyped_price_is_set_aside_and_named() -> None:
    plain = judged(*NORMAL)
    found = judged(*NORMAL, asked(90500, note="typo", row=9))
    assert found.lines[-1].set_aside == "outlier"
    assert found.likely == plain.likely
    assert any(note.startswith("Row 9 is set aside: its price is 9.") for note in found.notes)


def test_prices_all_alike_flag_no_near_one() -> None:
    same = [asked(9000, note=str(i)) for i in range(6)]
    assert not any(line.set_aside for line in judged(*same, asked(9900, note="dear")).lines)
    assert judged(*same, asked(18000, note="dear")).lines[-1].set_aside == "outlier"


def test_mistyped_miles_do_not_bend_the_slope() -> None:
    cars = [asked(round(12000 * 0.97 ** (m / 10000)), 1993, m, note=str(m)) for m in range(90_000, 200_000, 10_000)]
    plain, found = judged(*cars), judged(*cars, asked(9000, 1993, 999_000, note="typo"))
    assert plain.likely is not None
    assert found.likely is not None
    assert abs(found.likely / plain.likely - 1) < D("0.02")


def test_figures_that_make_no_sense_are_refused() -> None:
    with pytest.raises(ValueError, match="private must be above zero"):
        evolve(MARKET, private=D(0))
    with pytest.raises(ValueError, match="a_year must lie between"):
        evolve(MARKET, a_year=D(6))


def test_whatever_comes_stays_finite() -> None:
    wild = (asked("0.01", 1, 10**9), asked(10**15, 9999, 0, note="b"), asked(1, 1900, 999_999, note="c"))
    found = judged(*wild)
    assert found.low is not None
    for line in found.lines:
        assert line.comparable.price + sum(a for _, a in line.adjustments) == line.adjusted
