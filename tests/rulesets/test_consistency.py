"""Two figures of one deal never contradict each other: prices, dates, hours and rates of the bundled rules.

Each is worked out a second time here, in plain sums, from other figures of the same deal.
"""

from __future__ import annotations

from datetime import date, timedelta
from decimal import Decimal, localcontext

import pytest
from attrs import evolve

from advisor.language.cars import read_car
from advisor.language.source import Source
from advisor.language.stored import DAY
from advisor.language.types import end_of
from advisor.readings.arithmetic import exact_arithmetic
from tests.rulesets.test_conservation import CARS, CENT, EXAMPLES, judge, random_deal

GRAIN = Decimal("0.0001")
"""A yearly rate is told to a hundredth of a percent."""


def setting(name: str) -> Decimal:
    value = end_of(judge().program.settings[name].value, "plan")
    assert isinstance(value, Decimal)
    return value


def days(first: date, last: date) -> int:
    return (last - first).days


@pytest.mark.parametrize("seed", range(0, CARS, 3))
def test_open_aim_stop_and_what_the_seller_takes_stand_in_order(seed: int) -> None:
    _, _, deal = random_deal(seed)
    value = deal.values
    assert value["seller_floor"] <= value["expected_price"] <= deal.asking
    if deal.ceiling.offer is None:
        return
    assert 0 <= value["opening_price"] <= value["aim_price"] <= value["stop_price"] <= deal.ceiling.offer
    assert value["aim_price"] <= value["expected_price"]
    assert value["opening_price"] <= deal.asking


@pytest.mark.parametrize("seed", range(0, CARS, 3))
def test_nothing_is_listed_before_it_can_be_sold_nor_sold_before_it_is_listed(seed: int) -> None:
    _, _, deal = random_deal(seed)
    value = deal.values
    assert value["paid_day"] <= min(value["title_day"], value["repaired_day"])
    assert (
        max(value["title_day"], value["repaired_day"]) <= value["ready_day"] <= value["list_day"] <= value["sale_day"]
    )
    assert value["last_day_to_buy"] < value["season_closes"]
    assert value["first_drop_day"] < value["second_drop_day"] < value["third_drop_day"] < value["trade_day"]
    prices = [value[n] for n in ("listed_at", "first_drop_to", "second_drop_to", "third_drop_to")]
    assert prices == sorted(prices, reverse=True)


@pytest.mark.parametrize("seed", range(0, CARS, 3))
def test_the_money_costs_its_rate_from_the_day_on_which_it_is_paid(seed: int) -> None:
    """Each outlay with its own date, one at a time, against the one sum of the rules."""
    _, _, deal = random_deal(seed)
    value = deal.values
    sold, paid, repaired = value["sale_day"], value["paid_day"], value["repaired_day"]
    parts = paid + timedelta(days=int(setting("slot_queue") / DAY))
    outlays = [
        (deal.asking, paid), (value["buying"], paid), (value["insurance_line"], paid), (value["parts_in_all"], parts),
        *((value[n], repaired) for n in ("shop_line", "service_line", "cleaning_line", "unseen")),
    ]  # fmt: skip
    with exact_arithmetic():
        dated = sum((amount * days(day, sold) for amount, day in outlays), Decimal(0))
        dated += (value["parking_line"] + value["vehicle_tax_line"]) * days(paid, sold) / 2
        assert abs(dated * Decimal("0.08") / 365 - value["money_line"]) <= CENT


@pytest.mark.parametrize("seed", range(0, CARS, 3))
def test_hours_and_lines_add_up(seed: int) -> None:
    _, _, deal = random_deal(seed)
    value = deal.values
    with exact_arithmetic():
        hours = ("bench_hours", "collecting_hours", "selling_hours")
        fixed = setting("cleaning_hours") + setting("paper_hours")
        assert sum((value[n] for n in hours), fixed) == value["own_labor"]
        assert value["all_hours"] == value["own_labor"] + value["hunt_hours"]
        papers = ("title_line", "registration_line", "arrears_line", "search_line", "paying_line", "tag_line")
        bought = ("tax_line", "collecting_line", "tow_line", "inspection_line", *papers)
        assert sum(value[n] for n in bought) == value["buying"]
        sold = ("fee_line", "advertising_line", "certificate_line", "comeback_line")
        assert sum(value[n] for n in sold) == value["selling"]
        assert value["fear"] <= value["buying"] + value["recon"]


@pytest.mark.parametrize("seed", range(0, CARS, 3))
def test_what_can_be_lost_at_once_is_what_does_not_come_back(seed: int) -> None:
    _, _, deal = random_deal(seed)
    value = deal.values
    with exact_arithmetic():
        assert value["most_to_lose"] == max(Decimal(0), deal.asking + value["buying"] - value["way_out"])
        assert value["bad_day"] == value["back_on_bad_day"] - value["money_in"] <= value["profit"]
        # Half an hour's drive away nobody pays more for it as it stands than it brings when all is done.
        assert value["way_out"] <= max(value["parted_out"], value["sale_price"])


@pytest.mark.parametrize("seed", range(0, CARS, 3))
def test_the_price_at_which_nothing_is_left_leaves_nothing(seed: int) -> None:
    """The fixed lines, and the shares of the price, against the price: to the cent, and a cent less is too little."""
    _, _, deal = random_deal(seed)
    value = deal.values
    share = setting("selling_fee") + setting("comeback")
    with exact_arithmetic():
        fixed = value["money_in"] + setting("selling_fee_flat") + value["advertising_line"] + value["certificate_line"]
        price = value["break_even_sale"]
        assert price * (1 - share) >= fixed > (price - CENT) * (1 - share)


@pytest.mark.parametrize("seed", range(0, CARS, 3))
def test_yearly_rates_are_what_they_say(seed: int) -> None:
    """Simple: 365 over the days. Compounded: what grows to the return in those days. Dated: nothing is left over."""
    _, _, deal = random_deal(seed)
    value = deal.values
    held = days(value["paid_day"], value["sale_day"])
    with localcontext() as context:
        context.prec = 60
        once = value["profit"] / value["money_in"]
        assert abs(value["yearly_return"] - once * 365 / held) < Decimal("1e-12")
        if once > -1:
            assert abs((1 + once) ** (Decimal(365) / held) - 1 - value["yearly_compounded"]) <= GRAIN / 2


def test_a_rate_of_dated_cash_leaves_nothing_over() -> None:
    """The payments of an example, discounted one by one at the rate that was found."""
    found = 0
    for path in EXAMPLES:
        answers, problems = read_car(Source(path.name, path.read_text(encoding="utf-8")), judge().program)
        assert not problems
        deal = judge().judge(answers, thorough=False, settle=False).deal
        if deal is None or deal.values["rate_of_the_cash"] is None:
            continue
        value = deal.values
        paid = value["paid_day"]
        parts = paid + timedelta(days=int(setting("slot_queue") / DAY))
        later = ("shop_line", "service_line", "cleaning_line", "unseen", "parking_line", "vehicle_tax_line")
        cash = [
            (-deal.asking - value["buying"] - value["insurance_line"], paid), (-value["parts_in_all"], parts),
            (-sum(value[n] for n in later), value["repaired_day"]),
            (value["sale_price"] - value["selling"], value["sale_day"]),
        ]  # fmt: skip
        ends = (float(value["rate_of_the_cash"] + by) for by in (-GRAIN, GRAIN))
        less, more = (sum(float(a) / (1 + rate) ** (days(paid, day) / 365) for a, day in cash) for rate in ends)
        assert less > 0 > more, path.name
        found += 1
    assert found >= 3


def test_a_worse_seller_costs_more() -> None:
    """One untruth doubles what is kept for the unseen, to the cent, and touches no other line of the repairs."""
    _, answers, _ = random_deal(0)
    plain = (
        judge()
        .judge(evolve(answers, values=answers.values | {"untruths": Decimal(0)}), thorough=False, settle=False)
        .deal
    )
    lied = (
        judge()
        .judge(evolve(answers, values=answers.values | {"untruths": Decimal(1)}), thorough=False, settle=False)
        .deal
    )
    assert plain is not None
    assert lied is not None
    assert abs(lied.values["unseen"] - 2 * plain.values["unseen"]) <= CENT
    assert lied.values["service_line"] == plain.values["service_line"]
