"""A vehicle identification number: its shape, its check digit and the model year it tells.

In: the number as somebody types it, and a model year. Out: whether it agrees with itself, in a word for rules and as
a `Fact` for people. A number that agrees is consistent; nothing computed makes it genuine.
"""

from __future__ import annotations

from decimal import Decimal
from typing import Literal

from advisor.trade.fact import Cited, Fact, Unanswerable
from advisor.trade.figures import counted
from advisor.trade.modelyear import a_model_year, either

__all__ = ["Agreement", "check_digit", "cleaned", "faults", "model_years", "vin_check", "vin_fact", "vin_year"]

Agreement = Literal["fits", "does_not_fit", "not_checkable"]
"""Whether a part of the number agrees with the rest, or with the car."""

FIRST_MODEL_YEAR = 1981
"""The first for which 17 characters are compulsory."""
_LENGTH = 17
_CHECK, _YEAR, _CYCLE, _SMALL = 8, 9, 6, 2
"""Where the check digit, the model year, its cycle and the sign of a small maker stand, counted from 0."""
_VALUES = dict(zip("0123456789ABCDEFGHJKLMNPRSTUVWXYZ", map(int, "012345678912345678123457923456789"), strict=True))
"""What each character counts. S starts at 2 and not at 1; there is no O with 6 and no Q with 8."""
_WEIGHTS = (8, 7, 6, 5, 4, 3, 2, 10, 0, 9, 8, 7, 6, 5, 4, 3, 2)
_MODULUS = 11
_YEAR_CODES = "ABCDEFGHJKLMNPRSTVWXY123456789"
"""From 1980 on, and again from 2010 on."""
_CYCLES = 1980, 2010
_LAST_MODEL_YEAR = _CYCLES[1] + len(_YEAR_CODES) - 1
_NORTH_AMERICA = "12345"
_UNITED_STATES_TOO = "7", "FGHJKLMNPRSTUVWXYZ1234567890"
"""Numbers that begin with 7F to 70 were given to the United States later (from memory)."""
_LOOKALIKES = {"I": "1", "O": "0", "Q": "0"}
_JOINTS = " \t\n-\u2010\u2011\u2012\u2013\u2014.*"
"""What people write between groups, and what is stamped before and after the number."""

_SHAPE = Cited("49 CFR part 565: 17 characters without I, O and Q from model year 1981 on", "quoted")
_DIGIT = Cited("49 CFR 565.15(c), Tables III and IV", "quoted")
_OUTSIDE = Cited(
    "the first character is 1 to 5, or the first two 7F to 70, for North America, and only there is a check digit "
    "compulsory (ISO 3779 and 3780)",
    "from memory",
)
_CODES = Cited("49 CFR 565.15(d), the model-year codes of position 10", "quoted")
_POSITION_7 = Cited("73 FR 23367 (2008): position 7 is a digit until 2009, a letter from 2010 on", "published")
_FEW = Cited("49 CFR 565.15(a): a 9 in the third position", "published")

_SAME_VALUE = (
    "The check digit does not see a character taken for another of the same value: A, J and 1 count the same, so do B, "
    "K, S and 2, or C, L, T and 3."
)
_BY_CHANCE = "One made-up number in eleven fits by chance. Compare the plate, the door and the title."
_SOLD_HERE = (
    "A car that was built abroad and sold new in the United States has a check digit that fits: ask where it was sold "
    "first."
)
_LIGHT = (
    "Position 7 tells 1980-2009 from 2010-2039 for cars and light trucks only: not over 10,000 lb GVWR, and not for "
    "trailers, motorcycles and buses."
)
_SMALL_MAKER = (
    "Position 3 is 9, a maker of few vehicles: positions 12 to 14 belong to the maker's code, and only the last three "
    "count its cars."
)


def cleaned(text: str) -> str:
    """The number in capitals, without the spaces, hyphens and stars between its groups."""
    return "".join(c for c in text.upper() if c not in _JOINTS)


def faults(number: str) -> tuple[str, ...]:
    """What keeps a cleaned number from being a VIN of model year 1981 or later, each a phrase; none if nothing does."""
    found = [] if len(number) == _LENGTH else [f"{counted(len(number), 'character')} instead of {_LENGTH}"]
    for place, character in enumerate(number, start=1):
        if character in _LOOKALIKES:
            meant = {"0": "a zero", "1": "a one"}[_LOOKALIKES[character]]
            found.append(f"the letter {character} in position {place}, probably {meant}")
        elif character not in _VALUES:
            found.append(f"`{character}` in position {place}")
    return tuple(found)


def _north_american(number: str) -> bool:
    first, second = _UNITED_STATES_TOO
    return number[0] in _NORTH_AMERICA or (number[0] == first and number[1] in second)


def _weighted_sum(number: str) -> int:
    return sum(w * _VALUES[c] for w, c in zip(_WEIGHTS, number, strict=True))


def check_digit(number: str) -> str:
    """The digit, or X for ten, that position 9 of a well-formed number should have.

    49 CFR 565.15(c): each character's value times its position's weight, added up, and what is left over by 11.
    """
    left = _weighted_sum(number) % _MODULUS
    return "X" if left == _MODULUS - 1 else str(left)


def model_years(number: str) -> tuple[int, ...]:
    """The model years that position 10 of a well-formed number can mean, earliest first.

    Position 7 decides between the cycles where the maker is in North America; elsewhere both are possible.
    """
    place = _YEAR_CODES.find(number[_YEAR])
    if place < 0:
        return ()
    years = tuple(cycle + place for cycle in _CYCLES)
    if not _north_american(number):
        return years
    return years[:1] if number[_CYCLE].isdigit() else years[1:]


def vin_check(vin: str, model_year: int | Decimal) -> Agreement:
    """Whether the check digit fits.

    `not_checkable` before model year 1981, for a number that is not well formed, and for one that a maker outside
    North America gave and that does not fit: there no check digit is compulsory.
    """
    number = cleaned(vin)
    if model_year < FIRST_MODEL_YEAR or faults(number):
        return "not_checkable"
    return _agreement(number, number[_CHECK] == check_digit(number))


def vin_year(vin: str, model_year: int | Decimal) -> Agreement:
    """Whether positions 10 and 7 agree with the model year; `not_checkable` as in `vin_check`."""
    number = cleaned(vin)
    if not FIRST_MODEL_YEAR <= model_year <= _LAST_MODEL_YEAR or faults(number):
        return "not_checkable"
    return _agreement(number, model_year in model_years(number))


def _agreement(number: str, agrees: bool) -> Agreement:
    if agrees:
        return "fits"
    return "does_not_fit" if _north_american(number) else "not_checkable"


def vin_fact(text: str, model_year: int | None = None) -> Fact:
    """What can be said of a VIN; raises `Unanswerable` where nothing was typed, or the model year cannot be one."""
    number = cleaned(text)
    if not number:
        raise Unanswerable("type the VIN as it is stamped: 17 characters from model year 1981 on")
    if model_year is not None and a_model_year(model_year) < FIRST_MODEL_YEAR:
        return _before_the_rule(number, model_year)
    return _of_faulty(number) if faults(number) else _of_well_formed(number, model_year)


def _before_the_rule(number: str, model_year: int) -> Fact:
    why = f"17 characters and a check digit came with model year {FIRST_MODEL_YEAR}"
    sentence = (
        f"A {model_year} car has a number of its maker's own kind: {why}, so there is nothing to check. Compare "
        "the number with the title, character by character."
    )
    return Fact(
        sentence,
        {"vin": number, "shape": "no rule yet", "check_digit": "not checkable", "model_years": (), "why": why},
        (_SHAPE,),
        ("A number that cannot be checked is unknown, neither good nor bad.",),
    )


def _of_faulty(number: str) -> Fact:
    shape = "; ".join(faults(number))
    probably = "".join(_LOOKALIKES.get(c, c) for c in number)
    sentence = f"This is no VIN: {shape}. A VIN has {_LENGTH} digits and letters, and no I, O or Q: read it again."
    sources = [_SHAPE]
    repaired = None if probably == number or faults(probably) else probably
    if repaired:
        fits = repaired[_CHECK] == check_digit(repaired)
        sentence += f" Read as {repaired}, the check digit {'fits' if fits else 'does not fit'}."
        sources.append(_DIGIT)
    return Fact(
        sentence,
        {
            "vin": number,
            "shape": shape,
            "check_digit": "not checkable",
            "probably": repaired,
            "model_years": (),
            "why": "the number is not well formed",
        },
        tuple(sources),
        (f"Before model year {FIRST_MODEL_YEAR} numbers had other lengths: name the model year if it is older.",),
    )


def _of_well_formed(number: str, model_year: int | None) -> Fact:
    wanted, years, outside = check_digit(number), model_years(number), not _north_american(number)
    told = _agreement(number, number[_CHECK] == wanted)
    total = _weighted_sum(number)
    why = f"the weighted sum {total} leaves {total % _MODULUS} over {_MODULUS}, and position 9 is {number[_CHECK]}"
    limits = {"fits": [_SAME_VALUE, _BY_CHANCE], "not_checkable": [_SOLD_HERE], "does_not_fit": []}[told]
    limits = limits + [_LIGHT] * bool(years and not outside) + [_SMALL_MAKER] * (number[_SMALL] == "9")
    sources = [_SHAPE, _DIGIT, _CODES]
    sources += [_OUTSIDE] if outside else [_POSITION_7]
    sources += [_FEW] if number[_SMALL] == "9" else []
    return Fact(
        f"{_about_digit(number, wanted, told, outside)} {_about_year(number, years, model_year)}",
        {
            "vin": number,
            "shape": "well formed",
            "check_digit": told.replace("_", " "),
            "should_be": wanted,
            "model_years": years,
            "agrees_with_year": None if model_year is None else vin_year(number, model_year).replace("_", " "),
            "why": f"made outside North America: {why}" if told == "not_checkable" else why,
        },
        tuple(sources),
        tuple(limits),
    )


def _about_digit(number: str, wanted: str, told: Agreement, outside: bool) -> str:
    if told == "not_checkable":
        return (
            f"The check digit cannot be checked: a number that starts with {number[0]} was given outside North "
            "America, where position 9 may hold anything."
        )
    if told == "does_not_fit":
        return (
            f"The check digit does not fit: position 9 is {number[_CHECK]} and should be {wanted}. Read the number "
            "again; if it is so on the car, ask why before you pay."
        )
    sentence = "The check digit fits: the number is consistent. That does not make it genuine."
    return f"{sentence} It was given outside North America, where no check digit is asked for." if outside else sentence


def _about_year(number: str, years: tuple[int, ...], model_year: int | None) -> str:
    if not years:
        return f"Position 10 is {number[_YEAR]}, which stands for no model year."
    said = f"Position 10 stands for model year {either(years)}"
    if model_year is None:
        return f"{said}."
    if model_year in years:
        return f"{said}, which agrees with {model_year}."
    return f"{said}, not {model_year}: ask what the title says."
