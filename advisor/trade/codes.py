"""Trouble codes of on-board diagnosis: what their five characters say, their two bytes, and readiness.

In: a code, or a model year and how many monitors are not ready. Out: a word for rules, and a `Fact` for people. A
monitor that is not ready has found nothing yet: what it watches is unknown, not clean.
"""

from __future__ import annotations

import re
from decimal import Decimal
from typing import Literal

from advisor.trade.fact import Cited, Fact, Unanswerable
from advisor.trade.modelyear import a_model_year

__all__ = ["System", "code_fact", "from_bytes", "monitors_allowed", "readiness", "to_bytes", "trouble_code"]

System = Literal["powertrain", "chassis", "body", "network", "not_a_code"]
Readiness = Literal["ready", "unknown", "does_not_apply"]
Number = int | Decimal

FIRST_MODEL_YEAR = 1996
"""The first in which light vehicles sold in the United States have OBD-II."""
_FIRST_DIESEL = 1997
_LETTERS = "PCBU"
"""In the order of the two bits that stand for them."""
_SYSTEMS: dict[str, System] = {"P": "powertrain", "C": "chassis", "B": "body", "U": "network"}
_ABOUT = {
    "1": "fuel and air",
    "2": "fuel and air",
    "3": "ignition or misfire",
    "4": "auxiliary emission control",
    "5": "speed and idle control",
    "6": "the computer and its outputs",
    "7": "the transmission",
    "8": "the transmission",
    "9": "the transmission",
}
"""What the third place of a powertrain code says."""

_MANUAL = Cited("SAE J2012, ISO 15031-6, restated in a maker's manual", "quoted")
_P3 = Cited("P30 to P33 are the maker's, P34 to P39 generic", "from memory")
_NO_P = Cited("of chassis, body and network codes only those with 0 are generic", "from memory")
_BYTES = Cited("SAE J2012, codes in two bytes", "from memory")
_MANDATE = Cited("40 CFR 85.2207(a)-(c)", "published")
_OREGON = Cited("Oregon OAR 340-256-0355(2)", "published")
_EPA = Cited("EPA420-R-01-015 (June 2001), the same numbers for gasoline", "from memory")
_CLEARING = Cited("clearing codes, or taking the battery off, sets all monitors back", "common practice")

_WHERE_TO_LOOK = "A code names the circuit that complained, not the part that failed: test before you buy parts."
_OLDER = (
    f"Before model year {FIRST_MODEL_YEAR} OBD-II was not required: such a car may have codes of its maker's own kind."
)
_STRICTER = "Some states are stricter, and some do not inspect at all: ask yours."
_RETEST = "A car that failed for its catalyst or evaporative system must have that monitor ready when it comes back."


def _canonical(text: str) -> str | None:
    """A code in capitals, from its five characters or from two bytes as hexadecimal digits; None if it is neither."""
    code = "".join(text.upper().split()).replace("-", "")
    if re.fullmatch("[PCBU][0-3][0-9A-F]{3}", code):
        return code
    # Without 0X in front, C158 is as likely a C0158 with a zero lost.
    if re.fullmatch("0X[0-9A-F]{4}|[0-9][0-9A-F]{3}", code):
        return from_bytes(int(code.removeprefix("0X"), 16))
    return None


def from_bytes(two: int) -> str:
    """The code that two bytes stand for: bits 15 and 14 the letter, 13 and 12 the first digit, then three digits."""
    if not 0 <= two <= 0xFFFF:
        raise ValueError(f"{two} does not fit into two bytes")
    return f"{_LETTERS[two >> 14]}{two >> 12 & 3}{two & 0xFFF:03X}"


def to_bytes(code: str) -> int:
    """The two bytes of a code of five characters; raises ValueError for anything else."""
    known = _canonical(code)
    if known is None:
        raise ValueError(f"{code} is not a trouble code")
    return _LETTERS.index(known[0]) << 14 | int(known[1]) << 12 | int(known[2:], 16)


def trouble_code(code: str) -> System:
    """Which system a trouble code is of, given as five characters or as two bytes in hexadecimal, such as `0x0143`."""
    known = _canonical(code)
    return "not_a_code" if known is None else _SYSTEMS[known[0]]


def monitors_allowed(model_year: Number, diesel: bool = False) -> Decimal | None:
    """How many monitors may be not ready at an inspection, by Oregon's rule; None where no rule is known.

    Gasoline: 2 from model year 1996 and 1 from 2001 on. Diesel: 0 from 1997 and 1 from 2009 on.
    """
    for since, allowed in ((2009, 1), (_FIRST_DIESEL, 0)) if diesel else ((2001, 1), (FIRST_MODEL_YEAR, 2)):
        if model_year >= since:
            return Decimal(allowed)
    return None


def readiness(model_year: Number, not_ready: Number, diesel: bool = False) -> Readiness:
    """Whether so few monitors are not ready that an inspection takes the car; `unknown` where they are too many, or
    fewer than none."""
    allowed = monitors_allowed(model_year, diesel)
    if allowed is None:
        return "does_not_apply"
    return "ready" if 0 <= not_ready <= allowed else "unknown"


def code_fact(
    code: str | None = None,
    *,
    model_year: int | None = None,
    not_ready: int | None = None,
    monitors: int | None = None,
    stored: int | None = None,
    diesel: bool = False,
) -> Fact:
    """What a trouble code says, or what it means that monitors are not ready, or both.

    `monitors` is how many the car has, and `stored` how many codes it holds: where none is ready and no code is
    stored, somebody has probably cleared them. Raises `Unanswerable` with a cure.
    """
    if (code is None and not_ready is None) or (not_ready is not None and model_year is None):
        raise Unanswerable("name a code such as P0420, or a model year and how many monitors are not ready")
    year = None if model_year is None else a_model_year(model_year)
    facts = [] if code is None else [_about_code(code, year)]
    if year is not None and not_ready is not None:
        if not_ready < 0 or (monitors is not None and not_ready > monitors):
            raise Unanswerable(f"{not_ready} of {monitors or 'the'} monitors: count those that are not ready")
        facts.append(_about_readiness(year, not_ready, monitors, stored, diesel))
    return Fact(
        " ".join(fact.sentence for fact in facts),
        {name: value for fact in facts for name, value in fact.values.items()},
        tuple(dict.fromkeys(source for fact in facts for source in fact.sources)),
        tuple(limit for fact in facts for limit in fact.limits),
    )


def _about_code(text: str, model_year: int | None) -> Fact:
    code = _canonical(text)
    if code is None:
        raise Unanswerable(f"`{text}` is no trouble code: write five characters such as P0420, or two bytes as 0x0420")
    whose, source = _whose(code)
    older = model_year is not None and model_year < FIRST_MODEL_YEAR
    about = _ABOUT.get(code[2]) if code[0] == "P" else None
    meant = "the same for all makers" if whose == "generic" else whose
    sentence = f"{code} is a {_SYSTEMS[code[0]]} code, {meant}"
    sentence += f", about {about}." if about else "."
    if whose != "generic":
        sentence += " Look it up in the maker's manual for that model year."
    return Fact(
        sentence,
        {
            "code": code,
            "two_bytes": f"0x{to_bytes(code):04X}",
            "system": _SYSTEMS[code[0]],
            "whose": whose,
            "about": about,
        },
        tuple(dict.fromkeys((_MANUAL, source, _BYTES, *((_MANDATE,) if older else ())))),
        (_WHERE_TO_LOOK, *((_OLDER,) if older else ())),
    )


def _whose(code: str) -> tuple[str, Cited]:
    """Whether a code means the same for all makers, and who says so."""
    first, third = code[1], code[2]
    if first in "01":
        return ("generic" if first == "0" else "the maker's own"), _MANUAL
    if code[0] != "P":
        return "probably the maker's own", _NO_P
    if first == "2":
        return "generic", _MANUAL
    if third in "0123":
        return "the maker's own", _P3
    return ("generic" if third.isdigit() else "reserved"), _P3


def _about_readiness(model_year: int, not_ready: int, monitors: int | None, stored: int | None, diesel: bool) -> Fact:
    allowed = monitors_allowed(model_year, diesel)
    if allowed is None:
        return _without_monitors(model_year, diesel)
    cleared = monitors is not None and 0 < monitors == not_ready and stored == 0
    if not not_ready:
        sentence = "All its monitors are ready: each has run to its end since codes were last cleared."
    else:
        most = "an inspection allows" if not_ready <= allowed else "an inspection allows no more than"
        sentence = f"{not_ready} of its monitors {'is' if not_ready == 1 else 'are'} not ready; {most} {allowed}. "
        sentence += "What is not ready is unknown, not clean."
    if cleared:
        sentence += " None is ready and no code is stored: somebody has probably cleared them. Drive it and read again."
    return Fact(
        sentence,
        {
            "readiness": readiness(model_year, not_ready, diesel),
            "monitors_allowed": allowed,
            "probably_cleared": cleared,
        },
        (_OREGON, *(() if diesel else (_EPA,)), _MANDATE, *((_CLEARING,) if cleared else ())),
        (_STRICTER, _RETEST),
    )


def _without_monitors(model_year: int, diesel: bool) -> Fact:
    what, since = ("diesels", _FIRST_DIESEL) if diesel else ("cars", FIRST_MODEL_YEAR)
    return Fact(
        f"Monitors are read of {what} from model year {since} on: a {model_year} one has nothing to tell.",
        {"readiness": "does not apply", "monitors_allowed": None, "probably_cleared": None},
        (_OREGON,) if diesel else (_MANDATE, _OREGON),
        ("What cannot be asked is unknown, neither good nor bad.",),
    )
