"""The `comparables` block: which question it answers, and the figures of the market."""

from __future__ import annotations

from decimal import Decimal

import pytest

from advisor.judging.valuing import market_of
from advisor.trade.market import Market
from tests.programs import checked, program_of

RULES = """\
ask resale: money
    "What will it bring?"
ask model_year: count from 1900 to 2100
    "What model year is it?"
ask odometer: mi
    "What does the odometer show?"
setting asked_private = 93%
    source house figure
setting long_standing = 6 weeks
    source house figure
setting guessed = 70% .. 80% .. 90%
    source house figure

comparables for resale
    year      model_year
    miles     odometer
    private   asked_private
    dealer    guessed
    auction   118%
    stands    long_standing
    a year    6%
    each 10,000 miles 4%
    rough     70%
    fair      85%
    excellent 112%
    branded   65%
    spread    15%
    source house figure
"""


def codes(text: str) -> list[str]:
    return [p.code for p in checked(text)[1] if p.stops]


def test_what_it_says() -> None:
    comparing = program_of(RULES).comparing
    assert comparing is not None
    assert (comparing.question, comparing.year, comparing.miles) == ("resale", "model_year", "odometer")
    assert comparing.figures["private"] == "asked_private"
    assert comparing.figures["auction"] == Decimal("1.18")
    assert "drift" not in comparing.figures


def test_it_makes_a_market() -> None:
    program = program_of(RULES + "    drift 0.5%\n")
    assert program.comparing is not None
    assert market_of(program, program.comparing) == Market(
        *map(Decimal, ("0.93", "0.8", "1.18", "42", "0.06", "0.04", "0.7", "0.85", "1.12", "0.65", "0.15", "0.005"))
    )


@pytest.mark.parametrize(
    ("old", "new", "found"),
    [
        ("for resale", "for resail", ["N01"]),
        ("for resale", "for odometer", ["T19"]),
        ("for resale", "for asked_private", ["N06"]),
        ("for resale", "of resale", ["S03"]),
        ("year      model_year", "year      resale", ["T19"]),
        ("year      model_year", "year      modelyear", ["N01"]),
        ("miles     odometer", "miles     model_year", ["T19"]),
        ("    year      model_year\n", "", []),
        ("    miles     odometer\n", "", []),
        ("    miles     odometer\n", "    miles     odometer\n    miles     odometer\n", ["S11"]),
        ("    spread    15%\n", "    spread    15%\n    spread    14%\n", ["S11"]),
        ("    spread    15%\n", "", ["R29"]),
        ("private   asked_private", "private   asked_privat", ["N01"]),
        ("private   asked_private", "private   long_standing", ["V08"]),
        ("private   asked_private", "private   resale", ["N06"]),
        ("auction   118%", "auction   1.18", ["V07"]),
        ("auction   118%", "auction   $118", ["V08"]),
        ("auction   118%", "auction   110% .. 118% .. 125%", []),
        ("auction   118%", "auction   0% .. 118% .. 125%", ["R30"]),
        ("a year    6%", "a year    -6%", []),
        ("a year    6%", "a year    -100%", ["R30"]),
        ("a year    6%", "a month   6%", ["S02"]),
        ("stands    long_standing", "stands    45", ["V07"]),
        ("stands    long_standing", "stands    45 h", ["V08"]),
        ("stands    long_standing", "stands    -1 day", ["R30"]),
        ("setting asked_private = 93%", "setting asked_private = 0%", ["R30"]),
    ],
)
def test_a_mistake_is_one_message(old: str, new: str, found: list[str]) -> None:
    assert codes(RULES.replace(old, new)) == found


def test_a_curve_over_a_figure_stays_believable() -> None:
    curve = 'curve "Asked"\n    over asked_private from 0% to 100% by 10%\n    shows resale\n'
    assert codes(RULES + curve) == ["R30"]
    assert codes(RULES + curve.replace("from 0%", "from 10%")) == []


def test_what_it_names_is_used() -> None:
    ladder = "verdict\n    pass otherwise\n"
    assert [p.code for p in checked(RULES + ladder)[1]] == ["A03"]  # the resale itself: nothing looks at it
    assert len(checked(RULES.partition("comparables")[0] + ladder)[1]) == 6
