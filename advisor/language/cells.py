"""The cells of a table of comparables, as people and their spreadsheets write them.

In: the text of one cell. Out: its value. What could mean two things is not guessed: `CellProblem` says what is wrong
and what to write instead; whoever reads the table adds the place.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from datetime import date, timedelta
from decimal import ROUND_HALF_EVEN, Decimal
from typing import Literal

from advisor.language import catalogue
from advisor.language.problems import Kind, nearest
from advisor.language.units import CURRENCIES

__all__ = ["CellProblem", "DayOrder", "read_count", "read_day", "read_miles", "read_price", "read_word", "read_year"]

DayOrder = Literal["month first", "day first"]

_LEAST_PRICE, _MOST_PRICE = Decimal(20), Decimal(10_000_000)
"""Less is paid for no car, more for none of these: outside it a figure is mistyped or short of its thousands."""
_MOST_MILES = Decimal(1_000_000)
_MOST_DAYS = 3650
_FIRST_YEAR = 1886
"""The year of the first patent for a car with a gasoline engine."""
_KM = Decimal("1.609344")
"""Kilometers in a mile, exact by the international agreement of 1959."""
_FIGURE = re.compile(r"\d+(?:\.\d+)?|\d{1,3}(?:[, ]\d{3})+(?:\.\d+)?|\.\d+", re.ASCII)
_THOUSAND = re.compile(r"(.*\d) ?k", re.ASCII | re.IGNORECASE)


class CellProblem(Exception):
    """A cell that cannot be read; `kind` and `words` make the problem."""

    def __init__(self, kind: Kind, /, **words: str) -> None:
        self.kind, self.words = kind, words
        super().__init__(kind.title)


def _no(wanted: str, cure: str) -> CellProblem:
    return CellProblem(catalogue.UNREADABLE_CELL, wanted=wanted, cure=cure)


def _cannot_be(why: str, cure: str) -> CellProblem:
    return CellProblem(catalogue.UNBELIEVABLE, why=why, cure=cure)


def _either(cure: str) -> CellProblem:
    return CellProblem(catalogue.TWO_READINGS, cure=cure)


# ---- figures -----------------------------------------------------------------------------------------------------


def read_price(text: str, currency: str) -> Decimal:
    """An amount of money: `9400`, `$9,400`, `9.4k`, `USD 9,400.50`. Raises `CellProblem`."""
    bare = _without_currency(text, currency)
    if bare.startswith(("-", "\N{MINUS SIGN}", "(")):
        raise _cannot_be("is below zero", "write the amount without its sign, if it is a price")
    value = _figure(bare, "amount of money", "9400")
    if not _LEAST_PRICE <= value <= _MOST_PRICE:
        guess = f"; if it is in thousands, write `{bare}k`" if value and value * 1000 <= 500_000 else ""
        raise _cannot_be("is no price of a car", f"check it against the advertisement{guess}")
    return value.quantize(Decimal("0.01"), rounding=ROUND_HALF_EVEN)


def _without_currency(text: str, currency: str) -> str:
    """The amount without its own currency's sign or code."""
    found = re.search(r"[^\W\d_]{3}\b|[$£€¥]", text)
    word = found[0].upper() if found else ""
    if not found or (word not in CURRENCIES and word not in "$£€¥"):
        return text
    sign = CURRENCIES[currency]
    if word not in (currency, sign):
        other = next((c for c, s in CURRENCIES.items() if word in (c, s)), "")
        cure = f"convert it to {currency}" + (f", or say `--currency {other}` if all are" if other else "")
        raise _no(f"amount in {currency}", cure)
    left = (text[: found.start()] + text[found.end() :]).strip()
    return left.replace(sign, "", 1).strip() if word == currency else left


def read_miles(text: str) -> Decimal:
    """A mileage: `141,000`, `141k`, `141000 mi`, `227,000 km`; to the mile. Raises `CellProblem`."""
    found = re.fullmatch(r"(.*?)\s*(mi|miles?|kms?|kilometers?|kilometres?)?\.?", text, re.IGNORECASE)
    bare, unit = (found[1], (found[2] or "").lower()) if found else (text, "")
    if bare.startswith(("-", "\N{MINUS SIGN}")):
        raise _cannot_be("is below zero", "write the miles without a sign")
    value = _figure(bare, "mileage", "141,000")
    if not unit and value < 1000 and not _THOUSAND.fullmatch(bare):
        raise _either(f"write `{bare}k` for thousands, or `{bare} mi`")
    if unit.startswith("k"):
        value /= _KM
    if value >= _MOST_MILES:
        raise _cannot_be("is more than any odometer shows", "check the odometer's figure")
    return value.quantize(Decimal(1), rounding=ROUND_HALF_EVEN)


def _figure(text: str, wanted: str, example: str) -> Decimal:
    """A number with thousands grouped by commas or spaces, and a point before its decimals; `k` for thousands."""
    thousand = _THOUSAND.fullmatch(text)
    bare = thousand[1] if thousand else text
    if _FIGURE.fullmatch(bare) and len(bare) <= 20:
        plain = re.sub("[, ]", "", bare)
        if not thousand and re.fullmatch(r"[1-9]\d{0,2}\.\d{3}", bare):
            raise _either(f"write `{bare.replace('.', '')}` or `{bare.rstrip('0').rstrip('.')}`")
        return Decimal(plain) * (1000 if thousand else 1)
    if re.fullmatch(r"\d{1,3}(?:\.\d{3})*,\d{1,2}|\d+,\d{1,2}", bare):
        raise _either(f"write `{bare.replace('.', '').replace(',', '.')}`, or `{re.sub('[.,]', '', bare)}`")
    if re.fullmatch(r"\d{1,3}(?:\.\d{3}){2,}", bare):
        raise _no(wanted, f"write `{bare.replace('.', '')}`")
    zeros = re.sub("[oO]", "0", bare)
    if zeros != bare and _FIGURE.fullmatch(zeros):
        raise _no(wanted, f"write `{zeros}`, with zeros for the letter O")
    inside = re.findall(r"\d[\d,.]*\d|\d", bare)
    only = f"write `{inside[0]}` alone; the rest belongs in `note`" if len(inside) == 1 else f"write it as `{example}`"
    raise _no(wanted, only if bare != (inside or [""])[0] else f"write it as `{example}`")


def read_year(text: str, on: date) -> int:
    """A model year of four digits. Raises `CellProblem`."""
    found = re.fullmatch(r"(\d{4})(?:\.0+)?", text, re.ASCII)
    if not found:
        two = re.fullmatch(r"'?(\d\d)", text, re.ASCII)
        century = 2000 if two and 2000 + int(two[1]) <= on.year + 1 else 1900
        raise _no("model year", f"write `{century + int(two[1])}`" if two else "write it with four digits, as `1993`")
    year = int(found[1])
    if not _FIRST_YEAR <= year <= on.year + 1:
        raise _cannot_be("is no year a car was built in", "check the year")
    return year


def read_count(text: str) -> int:
    """A number of days: `45`, `45 days`. Raises `CellProblem`."""
    found = re.fullmatch(r"(\d{1,9})(?:\.0+)?\s*(?:d|days?)?", text, re.ASCII | re.IGNORECASE)
    if not found:
        if re.match(r"-\s*\d", text):
            raise _cannot_be("is below zero", "write for how many days it has stood for sale")
        raise _no("number of days", "write a whole number, as `45`")
    if int(found[1]) > _MOST_DAYS:
        raise _cannot_be("is more than ten years", "write for how many days it has stood for sale")
    return int(found[1])


# ---- days --------------------------------------------------------------------------------------------------------

_MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")
_CLOCK = r"(?:[T ]\d\d?:\d\d(?::\d\d(?:\.\d+)?)?\s*(?:[AaPp][Mm])?Z?)?"
_ISO = re.compile(rf"(\d{{4}})[-/.](\d\d?)[-/.](\d\d?){_CLOCK}", re.ASCII)
_SLASHED = re.compile(rf"(\d\d?)([-/.])(\d\d?)\2(\d{{4}}|\d\d){_CLOCK}", re.ASCII)
_NAMED = re.compile(r"(?:([A-Za-z]{3,9})\.? (\d\d?)|(\d\d?)\.? ([A-Za-z]{3,9})\.?),? (\d{4})", re.ASCII)


def slashed(text: str) -> tuple[int, int] | None:
    """The first two numbers of a date such as `4/11/2026`, whose order is a matter of custom."""
    found = _SLASHED.fullmatch(text)
    return (int(found[1]), int(found[3])) if found else None


def read_day(text: str, on: date, order: DayOrder | None) -> date:
    """A date: `2026-04-11`, `Apr 11, 2026`, or `4/11/2026` where `order` says which way. Raises `CellProblem`."""
    if found := _ISO.fullmatch(text):
        day = _day(int(found[1]), int(found[2]), int(found[3]))
    elif found := _SLASHED.fullmatch(text):
        day = _by_order(found, order)
    elif (found := _NAMED.fullmatch(text)) and (month := (found[1] or found[4])[:3].lower()) in _MONTHS:
        day = _day(int(found[5]), _MONTHS.index(month) + 1, int(found[2] or found[3]))
    elif re.fullmatch(r"[34]\d{4}", text):
        counted = date(1899, 12, 30) + timedelta(days=int(text))
        raise _no("date", f"format the column as a date; spreadsheets count {text} as {counted.isoformat()}")
    else:
        raise _no("date", "write year, month and day, as `2026-04-11`")
    if day > on:
        raise _cannot_be(f"is after {on.isoformat()}, for which the car is judged", "check the date, or say `--on`")
    if day.year < 1900:
        raise _cannot_be("is longer ago than any price counts", "check the year")
    return day


def _by_order(found: re.Match[str], order: DayOrder | None) -> date:
    first, second, year = int(found[1]), int(found[3]), int(found[4])
    year += 2000 if year < 100 else 0
    if first > 12 or order == "day first":
        return _day(year, second, first)
    if second > 12 or order == "month first" or first == second:
        return _day(year, first, second)
    one, other = _day(year, first, second), _day(year, second, first)
    raise _either(f"write `{one.isoformat()}` or `{other.isoformat()}`")


def _day(year: int, month: int, day: int) -> date:
    try:
        return date(year, month, day)
    except ValueError:
        raise _cannot_be("is a day that does not exist", "check the month and the day") from None


# ---- words -------------------------------------------------------------------------------------------------------


def read_word(text: str, words: dict[str, str], wanted: str) -> str:
    """One of some words, as each of their spellings leads to it. Raises `CellProblem`."""
    word = " ".join(text.lower().split())
    if word in words:
        return words[word]
    guess = nearest(word, words)
    raise _no(wanted, f"did you mean `{words[guess]}`?" if guess else f"write {_listed(dict.fromkeys(words.values()))}")


def _listed(words: Iterable[str]) -> str:
    quoted = [f"`{w}`" for w in words]
    return ", ".join(quoted[:-1]) + f" or {quoted[-1]}"
