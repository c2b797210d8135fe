"""Functions of the trade over stored values and over what they can be: held against tables, order and soundness."""

from __future__ import annotations

from datetime import date, timedelta
from decimal import Decimal
from itertools import pairwise
from random import Random
from typing import Any

import pytest

from advisor.language.answers import Answers
from advisor.language.program import Unanswered
from advisor.language.signatures import TRADE, factor_of
from advisor.language.stored import scaled
from advisor.language.types import Choice, Code, DateType, ListOf, Quantity, Type, YesNo
from advisor.readings.called import Reach, trade, trade_mask, trade_range, trade_truth
from advisor.trade.called import CALLED
from tests.formulas import CODES
from tests.programs import judge_of
from tests.tables import called

SPANS = {"V": (10, 15), "degF": (-40, 130), "in": (-1, 26), "mm": (-10, 10), "mi": (0, 400_000), "day": (0, 800)}
"""In which units arguments are tried between which values, a little beyond what has a result."""
ONE_BY_ONE = sorted(set(TRADE) - {"yearly_rate"})
ORDERLY = [n for n in ONE_BY_ONE if TRADE[n].orderly]


def span(text: str, type_: Quantity) -> tuple[Decimal, Decimal]:
    """Between which stored values an argument is tried."""
    low, high = SPANS.get(type_.unit, (Decimal("-0.2"), Decimal("1.2")) if type_.percent else (0, 12))
    if "year" in text:
        low, high = 1960, 2060
    return scaled(Decimal(low), factor_of(type_)), scaled(Decimal(high), factor_of(type_))


def one(random: Random, text: str, type_: Type) -> Any:
    match type_:
        case Choice(options):
            return random.choice(options)
        case Code():
            return random.choice([*CODES, "B1234", ""])
        case DateType():
            return date(1975, 1, 1) + timedelta(days=random.randint(0, 30_000))
        case ListOf(item=item):
            factor = factor_of(item)
            count = random.randint(1, 8)
            return tuple(scaled(Decimal(random.randint(60, 200)), factor) for _ in range(count))
    assert isinstance(type_, Quantity)
    if "year" in text and random.random() < 0.2:
        return Decimal(1989)
    low, high = span(text, type_)
    found = low + (high - low) * random.randint(0, 200) / 200
    return found.to_integral_value() if type_.plain and not type_.percent else found


def arguments(random: Random, name: str) -> list[Any]:
    return [one(random, text, type_) for text, type_ in TRADE[name].takes]


def test_all_that_is_declared_is_computed() -> None:
    assert sorted(CALLED) == sorted(TRADE)


@pytest.mark.parametrize("name", ONE_BY_ONE)
def test_results_are_those_of_the_tables_and_within_what_is_told(name: str) -> None:
    random, signature = Random(name), TRADE[name]
    seen = set()
    for _ in range(600):
        values = arguments(random, name)
        found = trade(name, *values)
        plain = called(name, values)
        assert found == (bool(plain) if isinstance(signature.gives, YesNo) else plain), values
        seen.add(found)
        if isinstance(found, Decimal):
            assert signature.ends[0] <= found <= signature.ends[1]
        assert found is not None or signature.lacking
    if isinstance(signature.gives, Choice):
        assert seen == set(signature.gives.options)  # each word can come out
    assert len(seen) > 1
    assert (None in seen) is bool(signature.lacking)


@pytest.mark.parametrize("name", ORDERLY)
def test_every_argument_moves_an_orderly_result_one_way(name: str) -> None:
    random, signature = Random(name), TRADE[name]
    for place, (text, type_) in enumerate(signature.takes):
        assert isinstance(type_, Quantity)
        ways = set()
        for _ in range(40):
            values = arguments(random, name)
            low, high = span(text, type_)
            line = []
            for step in range(101):
                values[place] = low + (high - low) * step / 100
                line.append(trade(name, *values))
            if isinstance(signature.gives, Choice):
                line = [Decimal(signature.gives.options.index(str(w))) for w in line]
            told = [v for v in line if v is not None]
            steps = [b - a for a, b in pairwise(told)]  # type: ignore[operator]  # numbers
            moved = {s > 0 for s in steps if abs(s) > signature.slack}
            assert len(moved) <= 1, (text, values)
            ways |= moved
        assert ways, text


def reach(random: Random, text: str, type_: Type, value: Any) -> Reach:
    """What an argument can be, this value among it."""
    close = random.random() < 0.3
    match type_:
        case Choice(options):
            mask = 1 << options.index(value)
            return "mask", options, mask if close else mask | random.randint(0, (1 << len(options)) - 1)
        case Code() | ListOf():
            return "value", value if close or random.random() < 0.5 else None
        case DateType():
            room = 0 if close else random.choice((3, 30, 4000))
            return "ends", value - timedelta(days=random.randint(0, room)), value + timedelta(days=room)
    low, high = span(text, type_)  # type: ignore[arg-type]  # a quantity
    room = Decimal(0) if close else (high - low) * random.choice((1, 10, 60)) / 100
    whole = isinstance(type_, Quantity) and type_.plain and not type_.percent
    room = room.to_integral_value() if whole else room
    return ("whole" if whole else "ends"), value - room, value + room


@pytest.mark.parametrize("name", ONE_BY_ONE)
def test_what_can_come_out_holds_whatever_does(name: str) -> None:
    random, signature = Random(f"{name} reach"), TRADE[name]
    for _ in range(300):
        values = arguments(random, name)
        reaches = [reach(random, t, type_, v) for (t, type_), v in zip(signature.takes, values, strict=True)]
        found = trade(name, *values)
        match signature.gives:
            case YesNo():
                assert trade_truth(name, *reaches)[0 if found else 1]
            case Choice(options):
                assert trade_mask(name, *reaches) >> options.index(str(found)) & 1
            case _:
                low, high = trade_range(name, *reaches)
                if found is None:  # surely missing, or too wide for a number alone
                    assert low is None or low != high
                else:
                    assert isinstance(found, Decimal)
                    assert low is not None
                    assert high is not None
                    assert low <= found <= high


def test_few_open_answers_are_told_one_by_one_and_orderly_ones_by_their_ends() -> None:
    years = ("whole", Decimal(1995), Decimal(1997))
    assert trade_mask("readiness", years, ("whole", Decimal(3), Decimal(3))) == 0b110  # never ready
    assert trade_mask("leak_down", ("ends", Decimal("0.12"), Decimal("0.20"))) == 0b010
    assert trade_mask("leak_down", ("ends", Decimal("0.02"), Decimal("0.20"))) == 0b011
    low, high = trade_range("battery_charge", ("ends", Decimal("12.2"), Decimal("12.4")), ("ends", *[Decimal(80)] * 2))
    assert (low, high) == (Decimal("0.5"), Decimal("0.75"))
    assert trade_truth("odometer_exempt", years, ("ends", date(2026, 1, 1), date(2026, 12, 31))) == (True, True)
    assert trade_truth("odometer_exempt", years, ("ends", date(2026, 5, 1), date(2026, 5, 9))) == (True, False)


RULES = """ruleset "Codes"
    currency USD
ask vin: code of 5 to 17
    "What does the plate say?"
ask spare: yes/no
    "Is there a spare?"
ask dot: code of 3 to 20
    "What does its side say?"
    only when spare, else 000
let plate = vin_check(vin, 1989)
let age = tire_age(dot, today)
refuse other_plate when plate is does_not_fit
    because "It is from another car."
verdict
    go        when plate is fits "Go."
    look      when age < 6 years or not spare "Look."
    stay_home otherwise "Stay."
"""


@pytest.mark.parametrize(
    ("vin", "verdict", "possible"),
    [
        ("1M8GDM9AXKP042788", "go", {"go"}),
        ("1M8GDM9AXKP042789", "stay_home", {"stay_home"}),
        ("12345", "look", {"look"}),
        (Unanswered("unsure"), "look", {"go", "look", "stay_home"}),
        (None, "look", {"go", "look", "stay_home"}),
    ],
)
def test_a_code_that_nobody_read_is_planned_as_one_that_cannot_be_checked(
    vin: Any, verdict: str, possible: set[str]
) -> None:
    said = {"spare": False} | ({} if vin is None else {"vin": vin})
    found = judge_of(RULES).judge(Answers("", date(2026, 4, 11), said))
    assert (found.verdict, set(found.possible)) == (verdict, possible)
    assert found.deal is not None
    assert found.deal.values["age"] is None
