"""Seasons that wrap New Year, in rules for the south: every day counted one by one, in every reading."""

from __future__ import annotations

from datetime import date, timedelta
from decimal import Decimal

import pytest

from advisor.judging.judgment import Judgment
from advisor.language.answers import Answers
from advisor.language.program import SeasonDef
from advisor.readings.arithmetic import days_to, days_to_range, in_season, season_range
from tests.programs import judge_of, program_of

RULES = """ruleset "South"
    currency AUD
setting highest_offer = $9,000
ask asking: money from $0 to $9,000
    "What is asked?"
ask sold_on: date from 2026-01-01 to 2028-12-31
    "When will it be sold?"
season summer
    open Nov 15 .. Mar 15
season holidays
    open Dec 20 .. Jan 26
    open Apr 10 .. Apr 25
table factor by month
    Jan 1.06, Feb 1.04, Mar 1.00, Apr 0.96, May 0.93, Jun 0.91
    Jul 0.92, Aug 0.95, Sep 1.01, Oct 1.05, Nov 1.06, Dec 1.06
let until_open = days_to_open(summer, sold_on)
let until_over = days_to_close(summer, sold_on)
let brings = to_cent($1,000 * factor(sold_on))
verdict
    buy         when sold_on is in summer
    renegotiate when sold_on is in holidays
    pass        otherwise
"""
DAYS = [date(2026, 1, 1) + timedelta(days=n) for n in range(3 * 365)]  # a leap year among them


def summer() -> SeasonDef:
    return program_of(RULES).seasons["summer"]


def is_summer(day: date) -> bool:
    return day.month in (12, 1, 2) or (day.month == 11 and day.day >= 15) or (day.month == 3 and day.day <= 15)


def judged(day: date | None) -> Judgment:
    answers = {"asking": Decimal(100)} | ({"sold_on": day} if day else {})
    return judge_of(RULES).judge(Answers("", date(2026, 4, 11), answers))


def test_every_day_is_in_or_out() -> None:
    assert [in_season(day, summer()) for day in DAYS] == [is_summer(day) for day in DAYS]


def test_days_to_the_edges_are_counted_one_by_one() -> None:
    for day in DAYS:
        for edge, wanted in (("open", True), ("close", False)):
            count = next(n for n in range(400) if is_summer(day + timedelta(days=n)) is wanted)
            assert days_to(edge, summer(), day) == 12 * count, (edge, day)


def test_a_range_of_days_knows_what_lies_in_it() -> None:
    for start in DAYS[::73]:
        for length in (0, 1, 30, 200):
            days = [start + timedelta(days=n) for n in range(length + 1)]
            inside = {is_summer(day) for day in days}
            assert season_range(summer(), days[0], days[-1]) == (True in inside, False in inside)
            for edge in ("open", "close"):
                low, high = days_to_range(edge, summer(), days[0], days[-1])
                assert all(low <= days_to(edge, summer(), day) <= high for day in days[::23])


@pytest.mark.parametrize(
    ("day", "verdict", "until_open", "until_over", "brings"),
    [
        ("2026-11-14", "pass", 1, 0, "1060"),
        ("2026-11-15", "buy", 0, 121, "1060"),
        ("2026-12-31", "buy", 0, 75, "1060"),
        ("2027-01-01", "buy", 0, 74, "1060"),
        ("2027-03-15", "buy", 0, 1, "1000"),
        ("2027-03-16", "pass", 244, 0, "1000"),
        ("2028-02-29", "buy", 0, 16, "1040"),
        ("2027-04-10", "renegotiate", 219, 0, "960"),
        ("2027-06-30", "pass", 138, 0, "910"),
    ],
)
def test_a_southern_year(day: str, verdict: str, until_open: int, until_over: int, brings: str) -> None:
    found = judged(date.fromisoformat(day))
    assert found.deal is not None
    values = found.deal.values
    assert found.verdict == verdict
    assert (values["until_open"], values["until_over"]) == (12 * until_open, 12 * until_over)
    assert values["brings"] == Decimal(brings)


def test_a_day_that_is_not_known_may_be_in_any_season() -> None:
    assert set(judged(None).possible) == {"buy", "renegotiate", "pass"}
