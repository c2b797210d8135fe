"""Random formulas of rules, written as text: values of a measure, and conditions.

In: a source of random choices and the names defined so far. Out: text. `tests/programs.py` makes rulesets of it.
"""

from __future__ import annotations

from datetime import date, timedelta
from random import Random
from typing import Any

COUNTERS = ("unverified_majors", "cannot_tell", "refused_looks")
CODES = (
    "1M8GDM9AXKP042788", "1M8GDM9AXKP042789", "WM8GDM9A7KP042788", "OM8GDM9AXKP042788", "1M8GDM9AXKP04278",
    "3516", "0199", "0123", "449", "539", "000", "X449", "U2LLLMLR5107", "U2LLLMLR510", "P0143", "C1158", "U3FFF",
    "0143", "P4143",
)  # fmt: skip
"""Numbers of cars, date codes of tires and trouble codes; some fit and some are none."""
FIRST, LAST = date(1996, 1, 1), date(2031, 12, 31)


class Formulas:
    """Formulas over the names so far, by what they are measured in."""

    def __init__(self, random: Random, size: int) -> None:
        self.random = random
        self.size = size
        self.blocks: list[str] = []
        self.names: dict[str, list[str]] = {
            k: []
            for k in ("money", "number", "share", "hours", "days", "months", "length", "depth", "rate", "date", "flag")
        }
        self.estimates: list[str] = []
        self.choices: dict[str, tuple[str, ...]] = {}
        self.lists: list[str] = []
        self.codes: list[str] = []
        self.years: list[str] = []
        self.yearly: list[str] = []
        self.seasons: list[str] = []
        self.tables: list[tuple[str, str]] = []
        self.faults: list[str] = []
        self.cuts: dict[str, list[str]] = {}
        self.counters = False
        self.deal = False

    def chance(self, share: float) -> bool:
        return self.random.random() < share

    def pick(self, options: Any) -> Any:
        return self.random.choice(list(options))

    def day(self) -> str:
        return (FIRST + timedelta(days=self.random.randint(0, (LAST - FIRST).days))).isoformat()

    def literal(self, measure: str) -> str:
        r = self.random
        match measure:
            case "money":
                return self.pick((f"${r.randint(0, 1500):,}", f"${r.randint(0, 2000)}.{r.randint(10, 99)}"))
            case "number":
                return self.pick(
                    (f"{r.randint(1, 7)}", f"{r.randint(1, 15) / 2}", f"{r.randint(1, 9)}/{r.randint(2, 9)}")
                )
            case "share":
                return f"{r.randint(1, 99)}%"
            case "hours":
                return self.pick((f"{r.randint(1, 29)} h", f"{r.randint(1, 900)} min", f"{r.randint(1, 9)} 1/2 h"))
            case "days":
                return self.pick((f"{r.randint(1, 59)} days", f"{r.randint(1, 7)} weeks"))
            case "months":
                return self.pick((f"{r.randint(1, 29)} months", "1 year", "2 years"))
            case "length":
                return self.pick((f"{r.randint(1, 150)},000 mi", f"{r.randint(1, 300)},000 km"))
            case "depth":
                return self.pick((f"{r.randint(1, 31)}/32 in", f"{r.randint(1, 20)} mm", f"{r.randint(1, 900)} mil"))
            case "rate":
                return f"${r.randint(1, 60)}/h"
        return self.day()

    def value(self, measure: str, depth: int) -> str:
        """A formula for a value, up to `depth` operations inside one another."""
        if depth == 0 or self.chance(0.15):
            names = self.names[measure]
            return self.pick(names) if names and self.chance(0.8) else self.literal(measure)
        inner = {
            "money": self._money, "number": self._number, "share": self._share, "hours": self._hours,
            "days": self._days, "rate": self._rate, "date": self._date,
        }.get(measure)  # fmt: skip
        return inner(depth - 1) if inner else self.value(measure, 0)

    def _money(self, depth: int) -> str:
        a, b = self.value("money", depth), self.value("money", depth)
        shapes = [
            f"({a} + {b})", f"({a} - {b})", f"({self.value('share', depth)} of {a})",
            f"({a} * {self.value('number', depth)})",
            f"({a} / ({self.divisor(depth)}))", f"(larger of ({a}, {b}))", f"(smaller of ({a}, {b}))", f"to_cent({a})",
            f"rounded_down({a}, $50)", f"rounded_up({a}, $0.25)", f"rounded_up({a}, $0.10)",
            f"({self.value('rate', depth)} * {self.value('hours', depth)})", f"(-{a})",
            f"({self.value('days', depth)} * $3.50/day)",
            f"({self.value('date', depth)} - {self.value('date', 0)}) * $1/week",
        ]  # fmt: skip
        if self.estimates:
            shapes += [f"low({self.pick(self.estimates)}) * 1", f"high({self.pick(self.estimates)}) * 1"]
            shapes = [s for s in shapes if ("low(" not in s and "high(" not in s) or self._is_money(s)]
        shapes += [f"{table}({key})" for table, key in self.tables]
        return str(self.pick(shapes))

    def _is_money(self, text: str) -> bool:
        return any(name in text for name in self.names["money"])

    def divisor(self, depth: int) -> str:
        """A number that is surely above zero."""
        return f"(larger of ({self.value('number', depth)}, 1/2))"

    def _number(self, depth: int) -> str:
        a, b = self.value("number", depth), self.value("number", depth)
        day = self.value("date", depth)
        shapes = [
            f"({a} + {b})", f"({a} - {b})", f"({a} * {self.literal('number')})", f"({a} / {self.divisor(depth)})",
            f"(larger of ({a}, {b}, 2))", f"(smaller of ({a}, {b}))",
            f"power(larger of ({a}, 0), {self.random.randint(1, 4)})",
            f"count({self.condition(1)}, {self.condition(1)})",
            f"year({day})", f"month({day})", f"by_month({day})" if self.seasons else a, f"rounded_up({a}, 0.5)",
        ]  # fmt: skip
        shapes += [f"count({name})" for name in self.lists]
        if self.counters:
            shapes += COUNTERS
        return str(self.pick(shapes))

    def _share(self, depth: int) -> str:
        a, b = self.value("share", depth), self.value("share", depth)
        money = self.value("money", depth)
        return str(self.pick((f"({a} + {b})", f"(100% - {a})",
                              f"compounded({a}, larger of ({self.value('days', depth)}, 1 day))",
                              f"power(smaller of (larger of ({a}, 0%), 105%), {self.random.randint(1, 20)})",
                              f"({a} * {b})", f"(smaller of ({a}, 80%))",
                              f"({money} / (larger of ({self.value('money', depth)}, $1)))")))  # fmt: skip

    def _hours(self, depth: int) -> str:
        a, b = self.value("hours", depth), self.value("hours", depth)
        return str(self.pick((f"({a} + {b})", f"({a} * {self.value('number', depth)})", f"(larger of ({a}, {b}))",
                              f"(2 h/week * {self.value('days', depth)})", f"rounded_up({a}, 15 min)")))  # fmt: skip

    def _days(self, depth: int) -> str:
        a, b, day = self.value("days", depth), self.value("days", depth), self.value("date", depth)
        shapes = [f"({a} + {b})", f"(larger of ({a}, {b}))", f"({self.value('hours', depth)} / 4 h/week)",
                  f"(rounded_down({a}, 1 week))", f"({a} / 2)"]  # fmt: skip
        if self.seasons:
            shapes += [f"days_to_open(top_down, {day})", f"days_to_close(top_down, {day})"]
        return str(self.pick(shapes))

    def _rate(self, depth: int) -> str:
        hours = f"larger of ({self.value('hours', depth)}, 1 h)"
        return str(self.pick((f"({self.value('money', depth)} / ({hours}))", f"({self.value('rate', depth)} * 1.5)")))

    def _date(self, depth: int) -> str:
        day = self.value("date", depth)
        return str(self.pick(("today", f"next_day({self.pick(('Feb 29', 'Apr 1', 'Dec 31'))}, {day})",
                              f"({day} + {self.literal('days')})", f"({day} - {self.value('days', 0)})",
                              f"({day} + {self.value('months', 0)})",
                              f"({day} - {self.literal('months')})")))  # fmt: skip

    def condition(self, depth: int) -> str:
        """A formula that is yes or no."""
        if depth > 1 and self.chance(0.6):
            word = self.pick(("and", "or"))
            parts = [self.condition(depth - 1) for _ in range(self.random.randint(2, 3))]
            joined = f" {word} ".join(f"({p})" for p in parts)
            return f"not ({joined})" if self.chance(0.2) else joined
        shapes: list[Any] = [self._compared, self._compared, self._compared]
        if self.choices:
            shapes += [self._chosen, self._chosen]
        shapes.append(lambda: self.pick((self._traded_word, self._traded_flag, self._traded_limit))())
        if self.names["flag"]:
            shapes += [lambda: self.pick(self.names["flag"]), lambda: f"{self.pick(self.names['flag'])} is no"]
        if self.lists:
            shapes.append(lambda: f"{self.pick(('lowest', 'highest', 'median'))}({self.pick(self.lists)}) "
                                  f"{self.pick(('<', '>=', 'is'))} {self.random.randint(80, 200)} psi")  # fmt: skip
        if self.seasons:
            shapes.append(lambda: f"{self.value('date', 1)} is {self.pick(('in', 'not in'))} top_down")
        if self.faults:
            shapes.append(lambda: self.pick(self.faults))
        if self.chance(0.3):
            shapes.append(self._rated)
        if self.counters:
            shapes.append(lambda: f"{self.pick(COUNTERS)} >= {self.random.randint(1, 2)}")
        return str(self.pick(shapes)())

    def _compared(self) -> str:
        known = [m for m in self.names if m != "flag" and self.names[m]]
        measure = self.pick(known)
        left = self.pick(self.names[measure]) if self.chance(0.6) else self.value(measure, 1)
        right = self.literal(measure) if self.chance(0.6) else self.value(measure, 1)
        return f"{left} {self.pick(('>=', '<=', '>', '<', '>=', 'is'))} {right}"

    def yearly_rate(self) -> str:
        """The yearly rate of two to four payments; a value that may be missing."""
        if self.chance(0.3):
            return f"compounded({self.value('share', 1)}, {self.value('days', 1)})"
        first = f"-{self.literal('money')}, {self.day()}"
        payments = [f"{self.value('money', 1)}, {self.value('date', 1)}" for _ in range(self.random.randint(1, 3))]
        return f"yearly_rate({', '.join([first, *payments])})"

    def _rated(self) -> str:
        left = self.pick(self.yearly) if self.yearly and self.chance(0.5) else self.yearly_rate()
        return f"{left} {self.pick(('>=', '<=', '>', '<', 'is'))} {self.pick(('0%', self.literal('share')))}"

    # ---- functions of the trade ----

    def year(self) -> str:
        """A model year: a question, or a number written out."""
        return str(self.pick(self.years)) if self.years and self.chance(0.7) else str(self.random.randint(1978, 2012))

    def traded_word(self) -> tuple[str, tuple[str, ...]]:
        """A function that gives a choice, and its words."""
        counts = f"{self.value('number', 0)}, {self.value('number', 0)}"
        shapes = [
            (f"leak_down({self.value('share', 1)})", ("good", "fair", "bad")),
            (f"readiness({self.year()}, {self.value('number', 0)})", ("ready", "unknown", "does_not_apply")),
            (f"counts_as_dealer({counts})", ("neither", "ftc", "both")),
        ]
        for code in self.codes:
            check = self.pick(("vin_check", "vin_year"))
            shapes.append((f"{check}({code}, {self.year()})", ("fits", "does_not_fit", "not_checkable")))
            shapes.append((f"trouble_code({code})", ("powertrain", "chassis", "body", "network", "not_a_code")))
        return self.pick(shapes)  # type: ignore[no-any-return]  # one of them

    def _traded_word(self) -> str:
        call, words = self.traded_word()
        if self.chance(0.4):
            return f"{call} is {self.pick(('', 'not '))}one of ({', '.join(self.random.sample(words, 2))})"
        return f"{call} is {self.pick(('', 'not '))}{self.pick(words)}"

    def _traded_flag(self) -> str:
        """A function that gives yes or no."""
        depth = f"{self.value('depth', 0)}, {self.value('depth', 0)}"
        shapes = [
            f"odometer_exempt({self.year()}, {self.value('date', 1)})",
            f"odometer_rolled({self.random.randint(4, 6)}, {self.value('length', 0)}, {self.year()}, today)",
            f"toe_fits({depth})",
        ]
        rules = ("three_quarters", "seventy_and_100_psi", "within_10_psi")
        shapes += [f"compression_fits({name}, {self.pick(rules)})" for name in self.lists]
        return str(self.pick(shapes))

    def _traded_limit(self) -> str:
        """A number that a function gives, compared; it may be missing."""
        compare, volts = self.pick((">=", "<=", ">", "<", "is")), self.random.randint(112, 131) / 10
        shapes = [
            f"battery_charge({volts} V, {self.random.randint(20, 110)} degF) {compare} 75%",
            f"coolant_freezes({self.value('share', 1)}) {compare} {self.random.randint(-40, 20)} degF",
            f"steering_play_limit({self.value('depth', 0)}) {compare} 2 in",
            f"monitors_allowed({self.year()}) {compare} {self.random.randint(1, 2)}",
            f"{self.value('depth', 0)} {compare} tread_limit({self.pick(('us', 'uk'))})",
            f"{self.value('depth', 0)} {compare} lining_limit({self.pick(('riveted', 'bonded'))})",
        ]
        shapes += [
            f"tire_age({c}, {self.value('date', 0)}) {compare} {self.random.randint(1, 20)} years" for c in self.codes
        ]
        return str(self.pick(shapes))

    def _chosen(self) -> str:
        name, options = self.pick(self.choices.items())
        if len(options) > 2 and self.chance(0.5):
            return f"{name} is {self.pick(('', 'not '))}one of ({', '.join(self.random.sample(options, 2))})"
        return f"{name} is {self.pick(('', 'not '))}{self.pick(options)}"
