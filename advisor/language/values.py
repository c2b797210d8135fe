"""Reading values as people write them.

In: a piece of text such as `5 1/2 in`, `$1,250`, `30%`, `Apr 1`, `2026-04-11`, `$150 .. $300 .. $900`, `yes`.
Out: a `Literal`, or a value of a given type. Used for the literals of rules, for the answers of a recorded car
and for what is typed during a walk, so that all three mean the same.
"""

from __future__ import annotations

import re
from datetime import date
from decimal import Decimal
from fractions import Fraction
from functools import lru_cache

from attrs import frozen

from advisor.language import catalogue
from advisor.language.problems import Kind, Problem, nearest
from advisor.language.source import Span
from advisor.language.spelling import ELSEWHERE
from advisor.language.types import (
    FIRST_DAY,
    LAST_DAY,
    MONEY,
    Broken,
    Choice,
    Code,
    DateType,
    Estimate,
    ListOf,
    MonthDay,
    MonthDayType,
    Quantity,
    Text,
    Type,
    Value,
    YesNo,
    decimal,
    quantity,
)
from advisor.language.units import (
    ALIASES,
    DIMENSIONS,
    UNITS,
    grain,
    parse_unit,
    temperature_to_fahrenheit,
    unit_dims,
    unit_factor,
)

__all__ = [
    "MONTHS",
    "Literal",
    "Unreadable",
    "as_percentage",
    "read_literal",
    "read_month_day",
    "read_value",
    "unit_type",
]

MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
_DAYS = (31, 29, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)
_MOST_DIGITS = 15
_ESTIMATED = (quantity(labor="h").dims, quantity(calendar="day").dims)

_NUMBER = r"(?:\d+ \d+/\d+|\d+/\d+|\d[\d,]*(?:\.\d+)?|\.\d+)"
_LITERAL = re.compile(
    rf"(?P<sign>-\s*)?(?P<money>[$£€])?(?P<number>{_NUMBER})(?P<percent>\s*%)?\s*(?P<unit>/?[A-Za-z$£€]+(?:/[A-Za-z]+)*)?",
    re.ASCII,
)
_SIGN_BEHIND = re.compile(r"([$£€])\s*-\s*(\d\S*)", re.ASCII)
_TWO_WAYS = re.compile(r"[1-9]\d{0,2}\.000", re.ASCII)
"""A thousand and more as much of the world writes it, and a few as this language does."""
_RATIO = 2
"""Up to this a number without its `%` is as likely a factor, such as 1.3, as a percentage."""
_DATE = re.compile(r"(\d{4})-(\d{2})-(\d{2})", re.ASCII)


class Unreadable(Exception):
    """A text that is no value; `kind` and `words` make the problem once the caller adds the place."""

    def __init__(self, kind: Kind, /, **words: object) -> None:
        self.kind = kind
        self.words = words
        super().__init__(kind.message.format(**words))

    def in_currency(self, sign: str) -> Unreadable:
        """The same, with amounts of the cure in the currency of the rules."""

        def said(name: str, word: object) -> object:
            ours = isinstance(word, Quantity) or name in ("guess", "cure", "wanted")
            return str(word).replace("$", sign) if ours else word

        return Unreadable(self.kind, **{name: said(name, word) for name, word in self.words.items()})

    def at(self, span: Span) -> Problem:
        """The problem that it is at a place."""
        return self.kind.at(span, **self.words)  # type: ignore[arg-type]  # notes are never among the words


@frozen
class Literal:
    """A number as written: its stored value, its type, and the currency sign if it had one."""

    value: Decimal
    type: Quantity
    currency: str = ""


def unit_type(parts: tuple[str, ...]) -> Quantity:
    """The type of quantities in a parsed unit, shown in that unit."""
    names = [""] * len(DIMENSIONS)
    for part in parts:
        names[DIMENSIONS.index(UNITS[part].dimension)] = part
    return Quantity(unit_dims(parts), tuple(names))


@lru_cache(maxsize=4096)
def read_literal(text: str) -> Literal:
    """Read a number, percentage, amount of money or quantity. Raises `Unreadable`."""
    found = _LITERAL.fullmatch(text.strip())
    if not found:
        if behind := _SIGN_BEHIND.fullmatch(text.strip()):
            raise Unreadable(catalogue.SIGN_BEHIND, text=text.strip(), guess=f"-{behind[1]}{behind[2]}")
        raise Unreadable(catalogue.NOT_A_VALUE, text=text.strip(), wanted="a number")
    try:
        number = _read_number(found["number"])
    except Unreadable as error:
        if guess := error.words.get("guess"):
            raise Unreadable(error.kind, **error.words | {"guess": _instead(found, str(guess))}) from None
        raise
    _refuse_two_ways(found)
    if found["sign"]:
        number = -number
    unit = found["unit"]
    if found["money"]:
        parts = parse_unit("$" + (unit or "")) if not unit or unit.startswith("/") else None
        if parts is None:
            raise _unknown_unit(unit or "")
        return Literal(_stored(number, parts), unit_type(parts), found["money"])
    if found["percent"]:
        return _read_percent(number, unit)
    if not unit:
        return Literal(decimal(number), Quantity((0,) * len(DIMENSIONS), ("",) * len(DIMENSIONS)))
    parts = parse_unit(unit)
    if parts is None:
        raise _unknown_unit(unit)
    return Literal(_stored(number, parts), unit_type(parts))


def _refuse_two_ways(found: re.Match[str]) -> None:
    """`150.000 mi` and `$1.000` are a thousand times as much elsewhere; nobody writes three zeros to say nothing."""
    counted = found["money"] or (found["unit"] or "").split("/")[0] in ("mi", "miles", "km")
    if counted and _TWO_WAYS.fullmatch(found["number"]):
        many, few = (_instead(found, n) for n in (found["number"].replace(".", ","), found["number"][:-4]))
        raise Unreadable(catalogue.TWO_WAYS, text=found[0].strip(), many=many, few=few)


def _instead(found: re.Match[str], number: str) -> str:
    """A literal with another number in it."""
    return (found[0][: found.start("number")] + number + found[0][found.end("number") :]).strip()


def _read_percent(number: Fraction, unit: str | None) -> Literal:
    if not unit:
        zero = (0,) * len(DIMENSIONS)
        return Literal(decimal(number / 100), Quantity(zero, ("",) * len(DIMENSIONS), percent=True))
    parts = parse_unit(unit.lstrip("/"))
    if not unit.startswith("/") or parts is None:
        raise _unknown_unit(unit)
    below = unit_type(parts)
    dims = tuple(-e for e in below.dims)
    value = number / 100 / _size(parts) / grain(dims)
    return Literal(decimal(value), Quantity(dims, below.units, percent=True))


def _size(parts: tuple[str, ...]) -> Fraction:
    return unit_factor(parts) * grain(unit_dims(parts))


def _stored(number: Fraction, parts: tuple[str, ...]) -> Decimal:
    if parts[0] in ("degF", "degC") and len(parts) == 1:
        return decimal(temperature_to_fahrenheit(number, parts[0]))
    return decimal(number * unit_factor(parts))


def _unknown_unit(unit: str) -> Unreadable:
    word = unit.strip("/")
    usual = ELSEWHERE | {u.lower(): u for u in UNITS}
    guess = usual.get(word.lower()) or nearest(word, [*UNITS, *ALIASES])
    cure = f"did you mean `{guess}`?" if guess else f"units are {', '.join(u for u in UNITS if u != '$')}"
    return Unreadable(catalogue.UNKNOWN_UNIT, unit=unit, cure=cure)


def _read_number(text: str) -> Fraction:
    if sum(c.isdigit() for c in text) > _MOST_DIGITS:
        raise Unreadable(catalogue.NUMBER_TOO_LONG, most=_MOST_DIGITS)
    if "/" in text:
        whole, _, part = text.rpartition(" ")
        above, below = part.split("/")
        if int(below) == 0:
            raise Unreadable(catalogue.NOT_A_VALUE, text=text, wanted="a fraction with a bottom above zero")
        return Fraction(int(whole or 0)) + Fraction(int(above), int(below))
    if "," in text and not re.fullmatch(r"\d{1,3}(,\d{3})+(\.\d+)?", text):
        guess = text.replace(",", ".") if text.count(",") == 1 and "." not in text else text.replace(",", "")
        raise Unreadable(catalogue.BAD_THOUSANDS, text=text, guess=guess)
    return Fraction(text.replace(",", ""))


def read_month_day(text: str) -> MonthDay:
    """Read `Apr 1`. Raises `Unreadable`."""
    month, _, day = text.strip().partition(" ")
    if month not in MONTHS:
        guess = nearest(month, MONTHS) or month[:3].title()
        hint = f"did you mean `{guess}`?" if guess in MONTHS else "months are " + ", ".join(MONTHS)
        raise Unreadable(catalogue.UNKNOWN_MONTH, text=month, cure=hint)
    number = MONTHS.index(month)
    if not re.fullmatch(r" *[0-9]{1,2} *", day) or not 1 <= int(day) <= _DAYS[number]:
        raise Unreadable(catalogue.NO_SUCH_DAY, text=text.strip())
    return MonthDay(number + 1, int(day))


def read_date(text: str) -> date:
    """Read `2026-04-11`. Raises `Unreadable`."""
    found = _DATE.fullmatch(text.strip())
    if not found:
        raise Unreadable(catalogue.NOT_A_VALUE, text=text.strip(), wanted="a date such as 2026-04-11")
    try:
        day = date(int(found[1]), int(found[2]), int(found[3]))
    except ValueError:
        raise Unreadable(catalogue.NO_SUCH_DAY, text=text.strip()) from None
    if not FIRST_DAY <= day <= LAST_DAY:
        raise Unreadable(catalogue.NOT_A_VALUE, text=text.strip(), wanted="a date from 1900 to 2199")
    return day


def read_value(text: str, type_: Type, name: str) -> Value:
    """Read an answer or a setting of the given type; `name` is used in messages. Raises `Unreadable`."""
    text = text.strip()
    match type_:
        case YesNo():
            if text in ("yes", "no"):
                return text == "yes"
            raise Unreadable(catalogue.NOT_A_CHOICE, name=name, text=text, cure="say `yes` or `no`")
        case Choice(options):
            if text in options:
                return text
            guess = nearest(text, options)
            listed = ", ".join(f"`{o}`" for o in options)
            cure = f"did you mean `{guess}`?" if guess else f"say one of {listed}"
            raise Unreadable(catalogue.NOT_A_CHOICE, name=name, text=text, cure=cure)
        case Quantity():
            return _read_quantity(text, type_, name)
        case ListOf():
            return _read_list(text, type_, name)
        case DateType():
            return read_date(text)
        case MonthDayType():
            return read_month_day(text)
        case Code(shortest, longest):
            code = text.strip('"').replace(" ", "").upper()
            if not code.isascii() or not code.isalnum() or not shortest <= len(code) <= longest:
                length = str(longest) if shortest == longest else f"{shortest} to {longest}"
                raise Unreadable(catalogue.BAD_CODE, name=name, length=length)
            return code
        case Text():
            return text.strip('"')
        case Broken():
            return text


def _read_quantity(text: str, type_: Quantity, name: str) -> Decimal | Estimate:
    parts = [p.strip() for p in text.split("..")]
    if len(parts) not in (1, 3):
        raise Unreadable(catalogue.ESTIMATE_PARTS, name=name)
    ends = [_read_one(p, type_, name) for p in parts]
    if len(ends) == 1:
        return ends[0]
    if not ends[0] <= ends[1] <= ends[2]:
        raise Unreadable(catalogue.ESTIMATE_ORDER)
    return Estimate(*ends)


def _read_list(text: str, type_: ListOf, name: str) -> tuple[Decimal, ...]:
    readings = tuple(_read_one(p, type_.item, name) for p in re.split(r",\s+", text))
    if not type_.fewest <= len(readings) <= type_.most:
        raise Unreadable(catalogue.READINGS_COUNT, name=name, fewest=type_.fewest, most=type_.most, count=len(readings))
    return readings


def _read_one(text: str, type_: Quantity, name: str) -> Decimal:
    literal = read_literal(text)
    check_fits(literal, type_, name, text)
    if type_.whole and literal.value != literal.value.to_integral_value():
        raise Unreadable(catalogue.NOT_A_VALUE, text=text, wanted=f"a whole number for `{name}`")
    return literal.value


def check_fits(literal: Literal, type_: Quantity, name: str, text: str) -> None:
    """Raise `Unreadable` unless the literal can stand for a value of this type."""
    if literal.type.dims != type_.dims:
        if literal.type.plain and not literal.type.percent:
            raise Unreadable(
                catalogue.MISSING_UNIT,
                name=name,
                wanted=measured(type_),
                text=text.strip(),
                guess=with_unit(text, type_),
            )
        raise _misfit(literal, type_, name, text)
    if type_.plain and type_.percent != literal.type.percent and literal.value != 0:
        if type_.percent:
            raise Unreadable(
                catalogue.MISSING_UNIT,
                name=name,
                wanted=measured(type_),
                text=text.strip(),
                guess=as_percentage(literal.value),
            )
        raise _misfit(literal, type_, name, text)


def _misfit(literal: Literal, type_: Quantity, name: str, text: str) -> Unreadable:
    return Unreadable(
        catalogue.WRONG_DIMENSION, name=name, wanted=type_, text=text.strip(), found=literal.type, cure=fitting(type_)
    )


def measured(type_: Quantity) -> str:
    """What values of a type are given in, in words: `money`, `in miles`, `in $/h`."""
    if type_.plain:
        return "a percentage" if type_.percent else "a plain number"
    return "money" if type_ == MONEY else f"in {_SPELLED.get(type_.unit, type_.unit)}"


def fitting(type_: Quantity) -> str:
    """What to do about a value of another kind."""
    if type_.plain:
        return "give it as a percentage, such as `30%`" if type_.percent else "give it as a number without a unit"
    return "give it as an amount, such as `$100`" if type_ == MONEY else f"give it in `{type_.unit}`"


_SPELLED = {
    "h": "hours", "min": "minutes", "day": "days", "week": "weeks", "month": "months", "year": "years", "mi": "miles",
    "km": "kilometers", "in": "inches", "mm": "millimeters", "mil": "mils", "um": "micrometers", "V": "volts",
    "l": "liters", "gal": "gallons",
}  # fmt: skip


def with_unit(text: str, type_: Quantity) -> str:
    """The number as it would look with the unit of `type_`: a cure for a missing unit."""
    if type_.plain:
        return f"{text.strip()}%" if type_.percent else text.strip()
    unit = type_.unit
    return f"${text.strip()}{unit[1:]}" if unit.startswith("$") else f"{text.strip()} {unit}"


def as_percentage(value: Decimal) -> str:
    """The cure for a number without its `%`, to stand between backticks; both where it may well be a factor."""
    plain, factor = (f"{v.normalize():f}%" for v in (value, 100 * value))
    return f"{factor}`, or if that is meant `{plain}" if abs(value) <= _RATIO else plain


def estimable(type_: Type) -> bool:
    """Whether an answer may be an estimate: money, labor and calendar time may; what one reads off may not."""
    return isinstance(type_, Quantity) and (type_ == MONEY or type_.dims in _ESTIMATED)


def outside(value: Value, low: Value | None, high: Value | None) -> bool:
    """Whether a value, or a part of it, lies outside a question's range."""
    if low is None or high is None:
        return False
    match value:
        case Estimate():
            parts: tuple[object, ...] = (value.low, value.high)
        case tuple():
            parts = value
        case _:
            parts = (value,)
    return any(p < low or p > high for p in parts)  # type: ignore[operator]  # both are of the question's type
