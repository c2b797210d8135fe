"""Compression and leak-down: the rules' own worked figures, and engines on both sides of each limit."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from advisor.trade.engine import RULES, compression_fact, compression_fits, leak_down, leak_down_fact
from advisor.trade.fact import Unanswerable


def psi(*readings: float | str) -> list[Decimal]:
    return [Decimal(str(r)) for r in readings]


@pytest.mark.parametrize(
    ("readings", "three_quarters", "seventy", "ten"),
    [
        (psi(150, 148, 152, 110), False, True, False),  # 110 / 152 = 72.4 %: one engine, three verdicts
        (psi(160, 160, 160, 120), True, True, False),  # 75 % to the point
        (psi(160, 160, 160, "119.9"), False, True, False),
        (psi(150, 105), False, True, False),  # the worked figure of the rule of 70 %: 150 psi gives 105 psi
        (psi(150, "104.9"), False, False, False),
        (psi(125, 115), True, True, True),
        (psi(125, "114.9"), True, True, False),
        (psi(105, 99), True, False, True),  # 100 psi at least, whatever the highest
        (psi(105, 100), True, True, True),
        (psi(140, 140, 140), True, True, True),
        (psi(0, 150), False, False, False),
        (psi(0, 0), False, False, False),
    ],
)
def test_three_rules_on_one_engine(readings: list[Decimal], three_quarters: bool, seventy: bool, ten: bool) -> None:
    found = tuple(
        compression_fits(readings, rule) for rule in ("three_quarters", "seventy_and_100_psi", "within_10_psi")
    )
    assert found == (three_quarters, seventy, ten)


def test_worked_figure_in_kilopascals() -> None:
    """The manual rounds 70 % of 1035 kPa to 725 kPa; 690 kPa stands there for 100 psi."""
    kpa = Decimal("6.894757")
    assert compression_fits([Decimal(1035) / kpa, Decimal(725) / kpa], "seventy_and_100_psi")
    assert not compression_fits([Decimal(1035) / kpa, Decimal(724) / kpa], "seventy_and_100_psi")
    assert compression_fits([Decimal(690) / kpa] * 2, "seventy_and_100_psi")


def test_one_reading_compares_with_nothing() -> None:
    assert compression_fits(psi(150), "three_quarters") is None
    assert compression_fits([], "three_quarters") is None


@given(st.lists(st.decimals(0, 300, places=1), min_size=2, max_size=12), st.sampled_from(sorted(RULES)))
def test_order_does_not_matter(readings: list[Decimal], rule: str) -> None:
    assert compression_fits(readings, rule) == compression_fits(sorted(readings), rule)


def test_each_verdict_names_its_rule_and_source() -> None:
    fact = compression_fact(psi(150, 148, 152, 110))
    assert "110 psi (cylinder 4), is 72.4% of the highest, 152 psi" in fact.sentence
    assert "It fails the rule of three quarters" in fact.sentence
    assert "passes the rule of 70%" in fact.sentence
    assert "and fails the rule of 10 psi" in fact.sentence
    assert "The rules differ" in fact.sentence
    assert "differ" not in compression_fact(psi(150, 149, 148)).sentence
    assert [fact.values[rule] for rule in RULES] == [False, True, False]
    assert len(fact.sources) == 3
    assert fact.limits[0].startswith("The figure in the maker's own manual comes first")
    assert any("Fuel and spark must be off" in limit for limit in fact.limits)


def test_one_rule_alone() -> None:
    fact = compression_fact(psi(150, 148, 152, 110), "seventy_and_100_psi")
    assert "three quarters" not in fact.sentence
    assert fact.values["seventy_and_100_psi"] is True
    assert "three_quarters" not in fact.values


def test_a_share_is_not_rounded_up_to_the_limit() -> None:
    fact = compression_fact(psi(200, "149.95"), "three_quarters")  # 74.975 %
    assert "74.9% of the highest" in fact.sentence
    assert fact.values["three_quarters"] is False


@pytest.mark.parametrize(
    ("dry", "wet", "words"),
    [
        (psi(150, 90, 150, 150), psi(155, 120, 154, 153), "cylinder 2 goes from 90 to 120 psi, a marked rise, which"),
        (psi(150, 90, 150, 150), psi(155, 92, 154, 153), "little or none, which points to valves"),
        (psi(150, 90, 150, 150), psi(155, 97, 154, 153), "not clear either way"),
        (psi(150, 90, 92, 150), psi(155, 91, 93, 153), "Cylinders 2 and 3 are both low without a rise"),
        (psi(150, 150, 149, 150), psi(155, 156, 154, 153), "no cylinder is low"),
        (psi(150, 0, 150, 150), psi(155, 0, 154, 153), "points to valves"),
    ],
)
def test_what_oil_tells(dry: list[Decimal], wet: list[Decimal], words: str) -> None:
    fact = compression_fact(dry, "three_quarters", wet)
    assert words in fact.sentence
    assert any("wet test" in str(source) for source in fact.sources)
    assert any(str(source).startswith("house figure") for source in fact.sources)


def test_two_low_far_apart_are_no_gasket() -> None:
    fact = compression_fact(psi(90, 150, 150, 92), "three_quarters", psi(91, 155, 155, 93))
    assert "gasket" not in fact.sentence


@pytest.mark.parametrize(
    ("readings", "rule", "wet"),
    [
        (psi(150), None, None),
        ([], None, None),
        (psi(150, -1), None, None),
        (psi(150148152), None, None),
        (psi(0, 0), None, None),
        (psi(150, 140), "two_thirds", None),
        (psi(150, 140), None, psi(150)),
    ],
)
def test_what_cannot_be_answered(readings: list[Decimal], rule: str | None, wet: list[Decimal] | None) -> None:
    with pytest.raises(Unanswerable):
        compression_fact(readings, rule, wet)


@pytest.mark.parametrize(
    ("lost", "word"),
    [("0", "good"), ("0.0999", "good"), ("0.10", "fair"), ("0.25", "fair"), ("0.2501", "bad"), ("1", "bad")],
)
def test_bands_of_leak_down(lost: str, word: str) -> None:
    """Common practice; the aircraft's 60/80 (AC 43.13-1B, 8-14) is the 25 % where fair ends."""
    assert leak_down(Decimal(lost)) == word
    assert (80 - Decimal(60)) / 80 == Decimal("0.25")


def test_leak_down_is_called_common_practice() -> None:
    fact = leak_down_fact([Decimal("0.12")])
    assert fact.sentence.startswith("A loss of 12% is fair.")
    assert str(fact.sources[0]).startswith("common practice")
    assert any("aircraft" in limit for limit in fact.limits)


def test_the_worst_cylinder_is_named() -> None:
    fact = leak_down_fact([Decimal("0.08"), Decimal("0.30")])
    assert fact.values["verdict"] == "bad"
    assert fact.values["verdicts"] == ("good", "bad")
    assert "cylinder 2 loses 30%, bad" in fact.sentence


@pytest.mark.parametrize("lost", [[], [Decimal("1.01")], [Decimal("-0.1")], [Decimal("0.1"), Decimal(12)]])
def test_no_share(lost: list[Decimal]) -> None:
    with pytest.raises(Unanswerable):
        leak_down_fact(lost)
