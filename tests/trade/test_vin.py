"""VINs: the rule's own worked number, a second reckoning, and a library that checks digits too."""

from __future__ import annotations

import random
from decimal import Decimal

import pytest
import vininfo
from hypothesis import assume, given
from hypothesis import strategies as st

from advisor.trade.fact import Unanswerable
from advisor.trade.vin import check_digit, cleaned, faults, model_years, vin_check, vin_fact, vin_year

ALPHABET = "0123456789ABCDEFGHJKLMNPRSTUVWXYZ"
NUMBERS = st.text(ALPHABET, min_size=17, max_size=17)


def digit_by_formula(number: str) -> str:
    """The digit by another road: letters go round in nines, the last row one on; weights run down from 8 and 10."""
    total = 0
    for place, character in enumerate(number):
        row, column = divmod(ord(character) - ord("A"), 9)
        value = int(character) if character.isdigit() else column + 1 + (row == 2)
        weight = 8 - place if place < 7 else [10, 0][place - 7] if place < 9 else 18 - place
        total += value * weight
    return "0123456789X"[total % 11]


def made_to_fit(number: str) -> str:
    return number[:8] + check_digit(number) + number[9:]


# ---- the check digit -----------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("number", "digit"),
    [
        ("1G4AH59H45G118341", "4"),  # 49 CFR 565.15(c), Table V: the sum is 411 = 37 x 11 + 4
        ("1M8GDM9AXKP042788", "X"),  # 351 = 31 x 11 + 10
        ("11111111111111111", "1"),  # 89 = 8 x 11 + 1
        ("1FAPP64R7LH123456", "7"),  # 403 = 36 x 11 + 7
        ("1HGCM82633A004352", "3"),  # 311 = 28 x 11 + 3
    ],
)
def test_published_numbers_fit(number: str, digit: str) -> None:
    assert check_digit(number) == digit_by_formula(number) == digit
    assert vin_check(number, 1990) == "fits"
    assert vininfo.Vin(number).verify_checksum()


def test_a_last_digit_one_too_high() -> None:
    assert check_digit("1HGCM82633A004353") == "5"
    assert vin_check("1HGCM82633A004353", 2003) == "does_not_fit"
    assert "position 9 is 3 and should be 5" in vin_fact("1HGCM82633A004353").sentence


def test_the_sum_is_told() -> None:
    assert str(vin_fact("1G4AH59H45G118341").values["why"]).startswith("the weighted sum 411 leaves 4 over 11")


def test_ten_thousand_numbers_against_a_library() -> None:
    """vininfo refuses to check a few makers' numbers, whatever the digit; the formula above checks those as well."""
    chance, compared, fitting = random.Random(20_261_125), 0, 0
    for n in range(10_000):
        number = "".join(chance.choices(ALPHABET, k=17))
        number = made_to_fit(number) if n % 2 else number
        ours = number[8] == check_digit(number)
        assert check_digit(number) == digit_by_formula(number)
        theirs = vininfo.Vin(number)
        if theirs.assembler.uses_sae_checkdigit:
            assert theirs.verify_checksum(check_year=False) == ours, number
            compared, fitting = compared + 1, fitting + ours
    assert compared > 9_900
    assert 5_000 < fitting < 6_000


@given(NUMBERS, st.integers(0, 16), st.sampled_from(ALPHABET))
def test_one_character_of_another_value_breaks_the_digit(number: str, place: int, other: str) -> None:
    number = made_to_fit(number)
    changed = number[:place] + other + number[place + 1 :]
    if place == 8:
        assert (vin_check("1" + changed[1:], 1990) == "fits") == (other == check_digit("1" + changed[1:]))
        return
    same = digit_by_formula("0" * 16 + other) == digit_by_formula("0" * 16 + number[place])
    assert (check_digit(changed) == changed[8]) == same


@given(NUMBERS, st.integers(0, 15))
def test_neighbors_that_changed_places_break_the_digit(number: str, place: int) -> None:
    assume(place not in (7, 8))
    assume(digit_by_formula("0" * 16 + number[place]) != digit_by_formula("0" * 16 + number[place + 1]))
    number = made_to_fit(number)
    swapped = number[:place] + number[place + 1] + number[place] + number[place + 2 :]
    assert check_digit(swapped) != swapped[8]


@pytest.mark.parametrize("group", ["AJ1", "BKS2", "CLT3", "DMU4", "ENV5", "FW6", "GPX7", "HY8", "RZ9"])
def test_what_the_digit_cannot_see(group: str) -> None:
    numbers = [f"1M8GDM9AXKP04278{c}" for c in group]
    assert len({check_digit(n) for n in numbers}) == 1
    assert any("same value" in limit for limit in vin_fact("1M8GDM9AXKP042788").limits)


# ---- where it cannot be checked ------------------------------------------------------------------------------------


@pytest.mark.parametrize("number", ["1HGCM82633A004353", "1M8GDM9AXKP042788", "7Y84H112233"])
def test_before_1981_nothing_is_checked(number: str) -> None:
    assert vin_check(number, 1980) == vin_year(number, Decimal(1980)) == "not_checkable"
    fact = vin_fact(number, 1980)
    assert fact.values["check_digit"] == "not checkable"
    assert "came with model year 1981" in fact.sentence
    assert fact.values["model_years"] == ()


def test_from_1981_on_it_is() -> None:
    assert vin_check("1HGCM82633A004353", 1981) == "does_not_fit"


@given(NUMBERS, st.integers(1981, 2039))
def test_outside_north_america_nothing_is_held_against_a_number(number: str, year: int) -> None:
    assume(number[0] not in "123457")
    assert vin_check(number, year) == ("fits" if number[8] == check_digit(number) else "not_checkable")
    assert vin_year(number, year) != "does_not_fit"
    fact = vin_fact(number, year)
    assert "outside North America" in fact.sentence
    assert any(str(source).startswith("from memory") for source in fact.sources)


@pytest.mark.parametrize("first", ALPHABET)
def test_north_america_is_1_to_5(first: str) -> None:
    number = f"{first}A8GDM9A0KP042788"
    number = number[:8] + ("1" if check_digit(number) == "0" else "0") + number[9:]
    assert vin_check(number, 1989) == ("does_not_fit" if first in "12345" else "not_checkable")


def test_it_is_never_genuine() -> None:
    fact = vin_fact("1M8GDM9AXKP042788")
    assert fact.sentence.startswith("The check digit fits: the number is consistent. That does not make it genuine.")
    assert any("by chance" in limit for limit in fact.limits)


# ---- how it is typed -----------------------------------------------------------------------------------------------


def test_it_is_read_kindly() -> None:
    assert cleaned(" 1m8gdm9ax-KP-042788 ") == cleaned("*1M8 GDM 9AX KP0 42788*") == "1M8GDM9AXKP042788"
    assert vin_check("1m8 gdm9ax-kp042788", 1989) == "fits"


@pytest.mark.parametrize(
    ("typed", "shape"),
    [
        ("1M8GDM9AXKP04278", "16 characters instead of 17"),
        ("1M8GDM9AXKP0427888", "18 characters instead of 17"),
        ("1M8GDM9AXKPO42788", "the letter O in position 12, probably a zero"),
        ("IM8GDM9AXKP042788", "the letter I in position 1, probably a one"),
        ("1M8GDM9AXKPQ42788", "the letter Q in position 12, probably a zero"),
        ("1M8GDM9AXKP0427é8", "`É` in position 16"),
    ],
)
def test_what_is_wrong_with_its_shape(typed: str, shape: str) -> None:
    fact = vin_fact(typed)
    assert fact.values["shape"] == shape
    assert shape in fact.sentence
    assert fact.values["check_digit"] == "not checkable"
    assert vin_check(typed, 1989) == vin_year(typed, 1989) == "not_checkable"


def test_a_letter_for_a_digit_is_put_right_in_one_reading() -> None:
    assert vin_fact("IM8GDM9AXKPO42788").values["probably"] == "1M8GDM9AXKP042788"
    assert vin_fact("IM8GDM9AXKPO42788").sentence.endswith("Read as 1M8GDM9AXKP042788, the check digit fits.")
    assert vin_fact("1M8GDM9AXKPO42780").sentence.endswith("the check digit does not fit.")
    assert vin_fact("1M8O").values["probably"] is None


@given(st.text(max_size=25), st.one_of(st.none(), st.integers(1960, 2030)))
def test_whatever_is_typed_has_an_answer_or_a_cure(typed: str, year: int | None) -> None:
    number = cleaned(typed)
    if not number:
        with pytest.raises(Unanswerable, match="type the VIN"):
            vin_fact(typed, year)
        return
    fact = vin_fact(typed, year)
    assert fact.values["check_digit"] in ("fits", "does not fit", "not checkable")
    assert fact.sources
    assert (fact.values["shape"] == "well formed") == (not faults(number) and (year or 1981) >= 1981)


@pytest.mark.parametrize("year", [89, 19_890, 0])
def test_a_model_year_has_four_digits(year: int) -> None:
    with pytest.raises(Unanswerable, match="all four digits"):
        vin_fact("1M8GDM9AXKP042788", year)


# ---- the model year ------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("codes", "first"), [("ABCDEFGHJK", 1980), ("LMNPRSTVWX", 1990), ("Y123456789", 2000)])
def test_year_codes(codes: str, first: int) -> None:
    # 49 CFR 565.15(d): thirty characters without I, O, Q, U, Z and 0, and then again.
    for year, code in enumerate(codes, start=first):
        assert model_years(f"1M8GDM9AX{code}P042788") == (year,)
        assert model_years(f"1M8GDMAAX{code}P042788") == (year + 30,)
        assert model_years(f"JM8GDM9AX{code}P042788") == (year, year + 30)


def test_year_codes_are_those_of_a_library() -> None:
    for code in ALPHABET:
        number = f"1M8GDM9AX{code}P042788"
        assert set(model_years(number)) <= set(vininfo.Vin(number).years)
        assert bool(model_years(number)) == bool(vininfo.Vin(number).years)


@pytest.mark.parametrize("code", "UZ0")
def test_characters_that_stand_for_no_year(code: str) -> None:
    assert model_years(f"1M8GDM9AX{code}P042788") == ()
    assert vin_year(f"1M8GDM9AX{code}P042788", 1989) == "does_not_fit"
    assert vin_year(f"JM8GDM9AX{code}P042788", 1989) == "not_checkable"
    assert f"Position 10 is {code}, which stands for no model year" in vin_fact(f"1M8GDM9AX{code}P042788").sentence


def test_position_7_tells_the_cycle() -> None:
    # 73 FR 23367: K with a digit in position 7 is 1989, with a letter it is 2019.
    assert vin_year("1M8GDM9AXKP042788", 1989) == vin_year("1M8GDMAAXKP042788", 2019) == "fits"
    assert vin_year("1M8GDM9AXKP042788", 2019) == vin_year("1M8GDMAAXKP042788", 1989) == "does_not_fit"
    assert "1989, not 2019" in vin_fact("1M8GDM9AXKP042788", 2019).sentence
    assert any("10,000 lb" in limit for limit in vin_fact("1M8GDM9AXKP042788").limits)


def test_a_maker_of_few_vehicles_is_told() -> None:
    assert any("positions 12 to 14" in limit for limit in vin_fact("1M9GDM9AXKP042788").limits)
    assert not any("positions 12 to 14" in limit for limit in vin_fact("1M8GDM9AXKP042788").limits)


@pytest.mark.parametrize(("start", "home"), [("7F", True), ("7S", True), ("70", True), ("7A", False), ("7E", False)])
def test_later_american_numbers_are_checked_too(start: str, home: bool) -> None:
    """7F to 70 were given to the United States, 7A to 7E were not (from memory, as the fact says)."""
    number = start + "AYGDEE0NF000000"
    wrong = number[:8] + ("1" if check_digit(number) != "1" else "2") + number[9:]
    assert vin_check(wrong, 2022) == ("does_not_fit" if home else "not_checkable")
    assert vin_check(number[:8] + check_digit(number) + number[9:], 2022) == "fits"
