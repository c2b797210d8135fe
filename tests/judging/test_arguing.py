"""What one argues with: the dearest faults that were seen and not told of, at a shop's price."""

from __future__ import annotations

from decimal import Decimal

from advisor.judging.judgment import Judgment
from advisor.language.cars import read_car
from advisor.language.source import Source
from tests.programs import judge_of

PRICES = {"a": 100, "b": 250, "c": 400, "d": 700}

RULES = (
    """
setting highest_offer = $25,000
    source house figure

ask asking: money from $0 to $50,000
    "What does the seller ask?"
"""
    + "".join(
        f"""
ask {n}: yes/no
    "Fault {n}?"
    usually no 80%, yes 20%

fault f{n} when {n}
    quote ${price}
    if left resale falls $10
    source house figure
"""
        for n, price in PRICES.items()
    )
    + """
let argument = argued(quotes)
let profit = $5,000 - lost(resale) - offer

require enough: profit + (10% of argued(quotes)) >= $500

verdict
    buy  when ceiling >= asking
    pass otherwise
"""
)


def judged(*lines: str, **answers: str) -> Judgment:
    judge = judge_of(RULES)
    said = {"asking": "$3,000"} | dict.fromkeys(PRICES, "yes") | answers
    text = "".join(f"{n} = {v}\n" for n, v in said.items()) + "".join(f"{line}\n" for line in lines)
    car, problems = read_car(Source("car", text), judge.program)
    assert not problems
    return judge.judge(car)


def argument(found: Judgment) -> tuple[Decimal, list[tuple[str, Decimal, bool]]]:
    assert found.deal is not None
    told = [(a.fault.name, a.quote, a.denied) for a in found.arguments]
    return found.deal.values["argument"], told


def test_the_three_dearest_argue() -> None:
    total, told = argument(judged())
    assert total == 1350
    assert told == [("fd", Decimal(700), False), ("fc", Decimal(400), False), ("fb", Decimal(250), False)]


def test_what_the_advertisement_told_is_in_the_price() -> None:
    total, told = argument(judged("told fd, fb"))
    assert total == 500
    assert [name for name, *_ in told] == ["fc", "fa"]


def test_what_the_seller_denied_counts_twice() -> None:
    total, told = argument(judged("denied fa, fb"))
    assert total == 700 + 500 + 400
    assert told == [("fd", Decimal(700), False), ("fb", Decimal(250), True), ("fc", Decimal(400), False)]


def test_what_nobody_saw_does_not_argue() -> None:
    total, told = argument(judged(d="unsure", c="no"))
    assert total == 350
    assert [name for name, *_ in told] == ["fb", "fa"]


def test_it_is_the_same_whatever_is_mended() -> None:
    found = judged()
    assert found.deal is not None
    repairs = found.deal.bargain.repairs
    assert len({repairs.totals(p)[-1] for p in range(1 << len(repairs.optional))}) == 1


def test_every_completion_argues_within_what_was_possible() -> None:
    said = judged(a="unsure", b="unsure", c="unsure", d="unsure")
    for whole in (
        {"a": "yes", "b": "no", "c": "yes", "d": "no"},
        dict.fromkeys(PRICES, "yes"),
        dict.fromkeys(PRICES, "no"),
    ):
        assert judged(**whole).verdict in said.possible
