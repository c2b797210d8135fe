"""Trouble codes and readiness: the two-byte form, who gave a code, and how many monitors an inspection allows."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from advisor.trade.codes import code_fact, from_bytes, monitors_allowed, readiness, to_bytes, trouble_code
from advisor.trade.fact import Fact, Unanswerable

SYSTEMS = {"P": "powertrain", "C": "chassis", "B": "body", "U": "network"}


def shown(fact: Fact) -> str:
    return " | ".join(map(str, fact.sources))


# ---- five characters and two bytes ---------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("two", "code"),
    [
        # SAE J2012 from memory: bits 15 and 14 the letter, 13 and 12 the first digit, then three hexadecimal digits.
        (0x0143, "P0143"),
        (0x0420, "P0420"),
        (0x1171, "P1171"),
        (0x4035, "C0035"),
        (0x9234, "B1234"),
        (0xC158, "U0158"),
    ],
)
def test_two_bytes(two: int, code: str) -> None:
    assert from_bytes(two) == code
    assert to_bytes(code) == two
    assert trouble_code(f"0x{two:04x}") == SYSTEMS[code[0]]
    fact = code_fact(f"0x{two:04X}")
    assert fact.values["code"] == code
    assert fact.values["two_bytes"] == f"0x{two:04X}"
    assert "from memory: SAE J2012, codes in two bytes" in shown(fact)


def test_every_two_bytes_come_back_and_no_two_are_one() -> None:
    codes = [from_bytes(two) for two in range(0x10000)]
    assert len(set(codes)) == 0x10000
    assert [to_bytes(code) for code in codes] == list(range(0x10000))


@given(st.sampled_from("PCBU"), st.integers(0, 3), st.integers(0, 0xFFF))
def test_every_code_comes_back(letter: str, first: int, rest: int) -> None:
    code = f"{letter}{first}{rest:03X}"
    assert from_bytes(to_bytes(code.lower())) == code
    assert trouble_code(f" {code.lower()} ") == SYSTEMS[letter]
    # Read bit by bit, from the left.
    bits = f"{to_bytes(code):016b}"
    assert bits[:2] == {"P": "00", "C": "01", "B": "10", "U": "11"}[letter]
    assert (int(bits[2:4], 2), int(bits[4:], 2)) == (first, rest)


@pytest.mark.parametrize("two", [-1, 0x10000])
def test_more_than_two_bytes_are_refused(two: int) -> None:
    with pytest.raises(ValueError, match="does not fit into two bytes"):
        from_bytes(two)


@pytest.mark.parametrize("text", ["", "P420", "P04200", "X0420", "P4420", "P04G0", "42", "C158", "0x420", "0xC15G"])
def test_what_is_no_code(text: str) -> None:
    # C158 may be a C0158 that lost its zero as well as the bytes of U0158: it takes 0x in front.
    assert trouble_code(text) == "not_a_code"
    with pytest.raises(Unanswerable, match="write five characters such as P0420, or two bytes as 0x0420"):
        code_fact(text)
    with pytest.raises(ValueError, match="is not a trouble code"):
        to_bytes(text)


@given(st.text(max_size=8))
def test_anything_typed_is_a_system_or_no_code(text: str) -> None:
    assert trouble_code(text) in {*SYSTEMS.values(), "not_a_code"}


# ---- what the characters say ---------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("code", "whose", "about"),
    [
        # SAE J2012 as a maker's manual restates it: 0 and 2 generic, 1 the maker's; the third place says what about.
        ("P0171", "generic", "fuel and air"),
        ("P0201", "generic", "fuel and air"),
        ("P0301", "generic", "ignition or misfire"),
        ("P0420", "generic", "auxiliary emission control"),
        ("P0505", "generic", "speed and idle control"),
        ("P0605", "generic", "the computer and its outputs"),
        ("P0700", "generic", "the transmission"),
        ("P2101", "generic", "fuel and air"),
        ("P1345", "the maker's own", "ignition or misfire"),
        ("P0011", "generic", None),
        ("C0035", "generic", None),
        ("B1342", "the maker's own", None),
    ],
)
def test_anatomy(code: str, whose: str, about: str | None) -> None:
    fact = code_fact(code)
    assert (fact.values["whose"], fact.values["about"]) == (whose, about)
    assert about is None or about in fact.sentence
    assert "restated in a maker's manual, as quoted elsewhere" in shown(fact)
    assert ("maker's manual for that model year" in fact.sentence) == (whose != "generic")


@pytest.mark.parametrize(
    ("code", "whose"),
    [
        ("P3000", "the maker's own"),
        ("P3399", "the maker's own"),
        ("P3400", "generic"),
        ("P3999", "generic"),
        ("P3A00", "reserved"),
        ("C2001", "probably the maker's own"),
        ("U3001", "probably the maker's own"),
    ],
)
def test_who_gave_the_rarer_codes_is_from_memory(code: str, whose: str) -> None:
    fact = code_fact(code)
    assert fact.values["whose"] == whose
    from_memory = [s.text for s in fact.sources if s.standing == "from memory"]
    assert any("generic" in text for text in from_memory)
    assert not any("generic" in s.text for s in code_fact("P0420").sources)


def test_a_code_is_no_part() -> None:
    assert any("not the part that failed" in limit for limit in code_fact("P0420").limits)


def test_a_code_of_a_car_without_obd_ii() -> None:
    assert any("its maker's own kind" in limit for limit in code_fact("P0420", model_year=1995).limits)
    assert "40 CFR 85.2207(a)-(c)" in shown(code_fact("P0420", model_year=1995))
    assert not any("its maker's own kind" in limit for limit in code_fact("P0420", model_year=1996).limits)


# ---- readiness -----------------------------------------------------------------------------------------------------


# Oregon OAR 340-256-0355(2).
@pytest.mark.parametrize(
    ("model_year", "gasoline", "diesel"),
    [
        (1995, None, None),
        (1996, 2, None),
        (1997, 2, 0),
        (2000, 2, 0),
        (2001, 1, 0),
        (2008, 1, 0),
        (2009, 1, 1),
        (2026, 1, 1),
    ],
)
def test_monitors_allowed(model_year: int, gasoline: int | None, diesel: int | None) -> None:
    assert monitors_allowed(model_year) == gasoline
    assert monitors_allowed(Decimal(model_year), diesel=True) == diesel


@pytest.mark.parametrize(
    ("model_year", "not_ready", "told"),
    [
        (1995, 0, "does_not_apply"),
        (1996, 0, "ready"),
        (1996, 2, "ready"),
        (1996, 3, "unknown"),
        (2000, 2, "ready"),
        (2001, 2, "unknown"),
        (2001, 1, "ready"),
    ],
)
def test_readiness(model_year: int, not_ready: int, told: str) -> None:
    assert readiness(model_year, not_ready) == readiness(Decimal(model_year), Decimal(not_ready)) == told
    assert code_fact(model_year=model_year, not_ready=not_ready).values["readiness"] == told.replace("_", " ")


def test_where_the_numbers_stand() -> None:
    gasoline = shown(code_fact(model_year=1998, not_ready=1))
    assert "Oregon OAR 340-256-0355(2)" in gasoline
    assert "from memory: EPA420-R-01-015 (June 2001)" in gasoline
    assert "EPA" not in shown(code_fact(model_year=1998, not_ready=1, diesel=True))
    assert "40 CFR 85.2207(a)-(c)" in shown(code_fact(model_year=1989, not_ready=0))


def test_not_ready_is_unknown_and_not_clean() -> None:
    for not_ready in (1, 5):
        assert "unknown, not clean" in code_fact(model_year=2004, not_ready=not_ready).sentence
    assert "unknown" not in code_fact(model_year=2004, not_ready=0).sentence
    assert "has nothing to tell" in code_fact(model_year=1989, not_ready=0).sentence


@pytest.mark.parametrize(
    ("not_ready", "monitors", "stored", "cleared"),
    [(8, 8, 0, True), (7, 8, 0, False), (8, 8, 1, False), (8, None, 0, False), (8, 8, None, False), (0, 0, 0, False)],
)
def test_none_ready_and_no_code(not_ready: int, monitors: int | None, stored: int | None, cleared: bool) -> None:
    fact = code_fact(model_year=2004, not_ready=not_ready, monitors=monitors, stored=stored)
    assert fact.values["probably_cleared"] is cleared
    assert ("probably cleared" in fact.sentence) is cleared
    assert ("common practice" in shown(fact)) is cleared


def test_a_code_and_readiness_at_once() -> None:
    fact = code_fact("P0420", model_year=2004, not_ready=1)
    assert fact.values["code"] == "P0420"
    assert fact.values["readiness"] == "ready"
    assert fact.sentence.startswith("P0420 is a powertrain code, the same for all makers")
    assert "1 of its monitors is not ready; an inspection allows 1." in fact.sentence


@pytest.mark.parametrize(
    "asked",
    [{}, {"model_year": 2004}, {"not_ready": 1}, {"code": "P0420", "not_ready": 1}],
)
def test_what_is_missing(asked: dict[str, object]) -> None:
    with pytest.raises(Unanswerable, match="name a code such as P0420, or a model year"):
        code_fact(**asked)  # type: ignore[arg-type]  # each case lacks something


@pytest.mark.parametrize(("not_ready", "monitors"), [(-1, None), (9, 8)])
def test_counts_that_cannot_be(not_ready: int, monitors: int | None) -> None:
    with pytest.raises(Unanswerable, match="count those that are not ready"):
        code_fact(model_year=2004, not_ready=not_ready, monitors=monitors)


def test_fewer_than_no_monitors_are_no_answer() -> None:
    assert readiness(1996, -1) == "unknown"
    assert readiness(1996, 0) == "ready"
