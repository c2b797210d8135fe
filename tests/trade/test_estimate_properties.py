"""What must hold of every estimate, whatever the comparables: drawn by hypothesis."""

from __future__ import annotations

from datetime import date, timedelta
from decimal import Decimal

from attrs import evolve
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from advisor.trade.comparables import Comparable, Valuation, estimate
from tests.trade.cars import MARKET

D = Decimal
ON = date(2026, 4, 11)
OPTIONAL_YEAR = st.none() | st.integers(1980, 1999)
OPTIONAL_MILES = st.none() | st.integers(20, 300).map(lambda n: D(n * 1000))


@st.composite
def comparables(draw: st.DrawFn) -> list[Comparable]:
    """Up to twelve cars, most of them like each other, some standing long, some with little said of them."""
    drawn = []
    for i in range(draw(st.integers(0, 12))):
        kind = draw(st.sampled_from(["asked", "asked", "sold"]))
        drawn.append(
            Comparable(
                D(draw(st.integers(2_000, 12_000))),
                kind=kind,  # type: ignore[arg-type]  # one of the two words
                day=draw(st.none() | st.integers(0, 400).map(lambda n: ON - timedelta(days=n))),
                miles=draw(OPTIONAL_MILES),
                year=draw(OPTIONAL_YEAR),
                condition=draw(st.sampled_from(["", "rough", "fair", "good", "excellent"])),
                seller=draw(st.sampled_from(["", "private", "dealer", "auction"])),  # type: ignore[arg-type]  # as above
                days=draw(st.none() | st.integers(0, 120)),
                gone=draw(st.sampled_from([None, True, False])),
                title=draw(st.sampled_from(["", "clean", "rebuilt"])),
                note=f"car {i}",
                row=i + 2,
            )
        )
    return drawn


def figures(found: Valuation) -> tuple[Decimal | None, Decimal | None, Decimal | None]:
    return found.low, found.likely, found.high


def counts(found: Valuation) -> list[tuple[int, Decimal, Decimal, bool, str]]:
    return sorted((n.comparable.row, n.adjusted, n.weight, n.used, n.set_aside) for n in found.lines)


def judged(cars: list[Comparable], year: int | None, miles: Decimal | None) -> Valuation:
    return estimate(cars, year, miles, ON, MARKET)


SAME_FOR_ALL = settings(max_examples=150)


@SAME_FOR_ALL
@given(comparables(), OPTIONAL_YEAR, OPTIONAL_MILES)
def test_low_likely_high_in_order_and_lines_add_up(
    cars: list[Comparable], year: int | None, miles: Decimal | None
) -> None:
    found = judged(cars, year, miles)
    assert len(found.lines) == len(cars)
    if cars:
        assert found.low is not None
        assert found.likely is not None
        assert found.high is not None
        assert 0 < found.low <= found.likely <= found.high
        assert abs(sum(n.weight for n in found.lines) - 1) < D("0.02")
    for line in found.lines:
        assert line.comparable.price + sum(a for _, a in line.adjustments) == line.adjusted
        assert line.used == (line.weight > 0) or line.weight == 0
        assert not (line.used and line.set_aside)


@SAME_FOR_ALL
@given(comparables(), OPTIONAL_YEAR, OPTIONAL_MILES)
def test_same_again(cars: list[Comparable], year: int | None, miles: Decimal | None) -> None:
    assert judged(cars, year, miles) == judged(list(cars), year, miles)


@SAME_FOR_ALL
@given(comparables(), OPTIONAL_YEAR, OPTIONAL_MILES, st.randoms(use_true_random=False))
def test_order_of_rows_makes_no_difference(cars, year, miles, chance) -> None:  # type: ignore[no-untyped-def]  # hypothesis' Random has no public type
    shuffled = list(cars)
    chance.shuffle(shuffled)
    one, other = judged(cars, year, miles), judged(shuffled, year, miles)
    assert figures(one) == figures(other)
    assert counts(one) == counts(other)
    assert one.notes == other.notes


@SAME_FOR_ALL
@given(comparables(), OPTIONAL_YEAR, OPTIONAL_MILES)
def test_doubling_every_price_doubles_the_estimate(
    cars: list[Comparable], year: int | None, miles: Decimal | None
) -> None:
    one = judged(cars, year, miles)
    two = judged([evolve(c, price=2 * c.price) for c in cars], year, miles)
    for single, double in zip(figures(one), figures(two), strict=True):
        assert (single is None) == (double is None)
        if single is not None and double is not None:
            assert abs(double - 2 * single) <= D("0.02")


@SAME_FOR_ALL
@given(comparables(), OPTIONAL_YEAR, OPTIONAL_MILES, st.data())
def test_a_car_listed_twice_changes_nothing(
    cars: list[Comparable], year: int | None, miles: Decimal | None, data: st.DataObject
) -> None:
    assume(cars)
    twice = data.draw(st.sampled_from(cars))
    found = judged([*cars, evolve(twice, row=99)], year, miles)
    assert figures(found) == figures(judged(cars, year, miles))
    assert [n.set_aside for n in found.lines].count("same car") == 1


@SAME_FOR_ALL
@given(comparables(), OPTIONAL_YEAR, OPTIONAL_MILES, st.integers(500, 40_000), OPTIONAL_YEAR, OPTIONAL_MILES)
def test_a_long_standing_price_never_raises_the_estimate(
    cars: list[Comparable],
    year: int | None,
    miles: Decimal | None,
    price: int,
    its_year: int | None,
    its_miles: Decimal | None,
) -> None:
    assume(cars)
    stands = Comparable(D(price), year=its_year, miles=its_miles, days=90, note="still there", row=99)
    without, found = judged(cars, year, miles), judged([*cars, stands], year, miles)
    for before, after in zip(figures(without), figures(found), strict=True):
        assert before is not None
        assert after is not None
        assert after <= before
    dearer = judged([*cars, evolve(stands, price=stands.price * 3)], year, miles)
    assert dearer.likely is not None
    assert without.likely is not None
    assert dearer.likely <= without.likely
