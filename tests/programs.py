"""Random rulesets, written as text and read by the real parser and checker, and random cars for them.

Everything comes from a seed. A draft that the checker refuses (a `require` that it cannot order, a divisor that
may be negative) is thrown away and the next seed is tried, so that what is left is what people could have written.
"""

from __future__ import annotations

from datetime import date, timedelta
from decimal import Decimal
from functools import lru_cache
from random import Random
from typing import Any

from advisor import resources
from advisor.judging.judge import Judge
from advisor.language import core
from advisor.language.cars import Answers
from advisor.language.checking import check
from advisor.language.linking import link
from advisor.language.parsing import grammar
from advisor.language.problems import Problem
from advisor.language.program import Program, Question, Unanswered
from advisor.language.source import Source
from advisor.language.types import Choice, DateType, Estimate, ListOf, Quantity, Value, YesNo
from advisor.language.values import estimable
from advisor.readings.compiled import Readings

COUNTERS = ("unverified_majors", "cannot_tell", "refused_looks")
FIRST, LAST = date(1996, 1, 1), date(2031, 12, 31)


class NoLibrary:
    """Rules of one file: there is nothing to use."""

    def find(self, target: str, user: str | None) -> Source:
        raise AssertionError(target)


def checked(text: str) -> tuple[Program | None, tuple[Problem, ...]]:
    """The program of a ruleset's text, and what the checker says of it."""
    return check(link(grammar(resources.grammar_text()), Source("random.tell", text), NoLibrary()))


def program_of(text: str) -> Program:
    """The program of a ruleset that must be right."""
    program, problems = checked(text)
    assert program is not None, [str(p) for p in problems if p.stops]
    return program


def judge_of(text: str) -> Judge:
    """A judge by a ruleset that must be right."""
    return Judge(Readings(program_of(text)))


@lru_cache(maxsize=1024)
def random_program(seed: int, size: int = 3) -> Program | None:
    """The program of a draft, if the checker takes it."""
    return checked(Draft(Random(seed), size).text())[0]


def random_programs(count: int, *, size: int = 3, start: int = 0) -> list[tuple[int, Program]]:
    """So many programs that the checker takes, with their seeds."""
    found: list[tuple[int, Program]] = []
    seed = start
    while len(found) < count:
        program = random_program(seed, size)
        if program is not None:
            found.append((seed, program))
        seed += 1
    return found


# ---- rulesets -------------------------------------------------------------------------------------------------------


class Draft:
    """A ruleset being written: the names so far, by what they are measured in."""

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

    def text(self) -> str:
        """The whole ruleset."""
        r = self.random
        self.add('ruleset "Random"', "currency USD")
        self.add(f"setting highest_offer = ${r.choice((900, 2000, 5000)):,}")
        self.settings()
        asking = ["ask asking: money from $0 to $6,000", '"What is asked?"']
        if self.chance(0.4):
            asking.append(f"unsure assume ${r.randint(0, 6000):,}")
        self.add(*asking)
        self.names["money"].append("asking")
        for i in range(r.randint(2, 2 + self.size)):
            self.question(f"q{i}")
        self.season_and_tables()
        for i in range(r.randint(1, 1 + self.size)):
            self.let(f"x{i}")
        for i in range(r.randint(1, 1 + self.size)):
            self.question(f"p{i}")
        self.counters = self.chance(0.5)
        for i in range(r.randint(0, self.size)):
            self.fault(f"broken{i}")
        for i in range(r.randint(1, self.size)):
            self.let(f"y{i}")
        self.rules()
        return "\n".join(self.blocks)

    def add(self, head: str, *lines: str) -> None:
        self.blocks.append("\n".join([head, *(f"    {line}" for line in lines)]))

    # ---- declarations ----

    def settings(self) -> None:
        r = self.random
        self.add(f"setting s_money = {self.literal('money')}")
        self.add(f"setting s_rate = {self.literal('rate')}")
        self.add(f"setting s_share = {r.randint(1, 99)}%")
        low, likely, high = sorted(r.sample(range(0, 900), 3))
        self.add(f"setting s_range = ${low} .. ${likely} .. ${high}")
        self.names["money"] += ["s_money", "s_range"]
        self.names["rate"].append("s_rate")
        self.names["share"].append("s_share")
        self.estimates.append("s_range")
        if self.chance(0.3):
            self.add(f"setting s_flag = {r.choice(('yes', 'no'))}")
            self.names["flag"].append("s_flag")
        if self.chance(0.3):
            self.add(f"setting s_day = {self.day()}")
            self.names["date"].append("s_day")

    def day(self) -> str:
        return (FIRST + timedelta(days=self.random.randint(0, (LAST - FIRST).days))).isoformat()

    def question(self, name: str) -> None:
        """A question of any type, perhaps behind a gate."""
        r = self.random
        kind = self.pick(("flag", "choice", "money", "number", "count", "share", "hours", "days", "weeks", "months",
                          "length", "tread", "date", "list"))  # fmt: skip
        answers: tuple[str, ...] = ()
        match kind:
            case "flag":
                head, value, measure = "yes/no", r.choice(("yes", "no")), "flag"
                answers = ("yes", "no")
            case "choice":
                answers = ("fine", "fair", "poor", "gone")[: r.randint(2, 4)]
                head, value, measure = f"one of {', '.join(answers)}", r.choice(answers), ""
            case "money":
                high = r.choice((100, 3000))
                head, value, measure = f"money from $0 to ${high:,}", f"${r.randint(0, high):,}", "money"
            case "number":
                head, value, measure = "number from 0 to 8", f"{r.randint(0, 16) / 2}", "number"
            case "count":
                head, value, measure = "count from 0 to 6", f"{r.randint(0, 6)}", "number"
            case "share":
                head, value, measure = "percent", f"{r.randint(0, 100)}%", "share"
            case "hours":
                head, value, measure = "h from 0 h to 30 h", f"{r.randint(0, 30)} h", "hours"
            case "days":
                head, value, measure = "day from 0 days to 60 days", f"{r.randint(0, 60)} days", "days"
            case "weeks":
                head, value, measure = "week from 0 weeks to 8 weeks", f"{r.randint(0, 8)} weeks", "days"
            case "months":
                head, value, measure = "month from 0 months to 30 months", f"{r.randint(0, 30)} months", "months"
            case "length":
                head, value, measure = "mi from 0 mi to 200,000 mi", f"{r.randint(0, 200000):,} mi", "length"
            case "tread":
                head, value, measure = "in from 0 in to 1 in", f"{r.randint(0, 32)}/32 in", "depth"
            case "date":
                head, value, measure = f"date from {FIRST} to {LAST}", self.day(), "date"
            case _:
                fewest = r.randint(1, 2)
                head, measure = f"{fewest} to 4 of psi from 60 psi to 220 psi", ""
                value = f"{r.randint(60, 220)} psi"
        lines = ['"What is it?"']
        if kind in ("money", "hours") and self.chance(0.3):
            unit = "${}" if kind == "money" else "{} h"
            value = " .. ".join(unit.format(n) for n in sorted(r.sample(range(0, 31), 3)))
        if self.chance(0.3) and kind != "list":
            lines.append(f"only when {self.condition(2)}, else {value}")
        if answers and self.chance(0.5):
            first = r.randint(1, 98)
            rest = (100 - first, *(0 for _ in answers[2:]))
            lines.append("usually " + ", ".join(f"{a} {s}%" for a, s in zip(answers, (first, *rest), strict=True)))
        elif kind != "list" and self.chance(0.5):
            lines.append(f"unsure assume {value}")
        if self.chance(0.25):
            lines.append("major")
        self.add(f"ask {name}: {head}", *lines)
        if kind == "choice":
            self.choices[name] = answers
        elif kind == "list":
            self.lists.append(name)
        else:
            self.names[measure].append(name)
            if kind in ("money", "hours", "days", "weeks"):
                self.estimates.append(name)

    def season_and_tables(self) -> None:
        r = self.random
        months = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
        windows = [
            f"open {r.choice(months)} {r.randint(1, 28)} .. {r.choice(months)} {r.randint(1, 28)}"
            for _ in range(r.randint(1, 2))
        ]
        self.add("season top_down", *windows)
        self.seasons.append("top_down")
        entries = ", ".join(f"{m} 0.{r.randint(50, 99)}" for m in months)
        self.add("table by_month by month", entries)
        for name, options in self.choices.items():
            if self.chance(0.7):
                self.add(f"table by_{name} by {name}", ", ".join(f"{o} ${r.randint(0, 900)}" for o in options))
                self.tables.append((f"by_{name}", name))

    def let(self, name: str) -> None:
        """A quantity, a condition or a day; one formula or several branches."""
        measure = self.pick(("money", "money", "number", "share", "hours", "days", "flag", "date", "rate"))
        if self.chance(0.12):
            self.add(f"let {name} = {self.yearly_rate()}")
            self.yearly.append(name)
            return
        if measure == "money" and self.chance(0.2):
            low, likely, high = sorted(self.random.sample(range(0, 900), 3))
            self.add(f"let {name} = ${low} .. ${likely} .. ${high}")
            self.estimates.append(name)
        elif measure == "flag" or self.chance(0.5):
            self.add(f"let {name} = " + (f"({self.condition(2)})" if measure == "flag" else self.value(measure, 2)))
        else:
            branches = [f"{self.value(measure, 1)} when {self.condition(1)}" for _ in range(self.random.randint(1, 3))]
            self.add(f"let {name} =", *branches, f"{self.value(measure, 1)} otherwise")
        self.names[measure].append(name)

    def fault(self, name: str) -> None:
        r = self.random
        lines = []
        for kind, measure in (("parts", "money"), ("shop", "money"), ("labor", "hours"), ("wait", "days")):
            if self.chance(0.6):
                lines.append(f"{kind} {self.figure(measure)}")
        if self.chance(0.8):
            effects = [f"resale falls {self.pick((f'{r.randint(0, 60)}%', f'${r.randint(0, 900)}'))}"]
            if self.chance(0.5):
                effects.append(f"days to sell rise {r.randint(0, 40)}")
            if self.chance(0.5):
                effects.append(f"buyers fall {r.randint(0, 60)}%")
            lines.append("if left " + ", ".join(effects))
        if self.chance(0.3):
            lines.append(f"quote {self.figure('money')}")
        if self.chance(0.25):
            lines.append("must be fixed")
        if self.faults and self.chance(0.5):
            lines.append(f"together with {', '.join(r.sample(self.faults, r.randint(1, min(2, len(self.faults)))))}")
        self.add(f"fault {name} when {self.condition(2)}", *lines)
        self.faults.append(name)

    def figure(self, measure: str) -> str:
        unit = {"money": "${}", "hours": "{} h", "days": "{} days"}[measure]
        if self.chance(0.4):
            return " .. ".join(unit.format(n) for n in sorted(self.random.sample(range(0, 60), 3)))
        if self.chance(0.2) and measure == "money":
            return f"larger of ($0, {self.value('money', 1)})"
        return unit.format(self.random.randint(0, 60))

    def rules(self) -> None:
        r = self.random
        worth = self.value("money", 1)
        self.add(f"let worth = larger of ($0, {worth}) + ${r.randint(200, 4000):,}")
        if self.faults:
            self.add("let work = sum(labor) + 2 h")
            repairs = "sum(parts) + sum(shop) + s_rate * work + (larger of (longest(wait), added(days))) * $2/day"
            income = "worth * kept(resale) * (larger of (kept(buyers), 50%)) - lost(resale)"
            if self.chance(0.5):
                self.add(f"setting shop_rate = ${r.randint(20, 120)}/h")
            if self.chance(0.5):
                income += " - (10% of argued(quotes))"
        else:
            self.add(f"let work = {r.randint(0, 5)} h + larger of (0 h, {self.value('hours', 1)})")
            repairs, income = "s_money", "worth"
        self.add(f"let profit = {income} - ({repairs}) - offer * 1.0{r.randint(1, 9)}")
        self.names["money"].append("worth")
        for i in range(r.choice((0, 0, 1, self.size))):
            self.add(f"refuse no{i} when ({self.condition(1)}) and ({self.condition(2)})", 'because "So."')
        for i in range(r.randint(0, 2)):
            self.add(f"caution mind{i} when {self.condition(2)}", 'because "So."')
        for i in range(r.randint(1, self.size)):
            self.add(f"require must{i}: {self.requirement()}", 'because "So."')
        self.deal = True
        self.ladder()

    def requirement(self) -> str:
        r = self.random
        costs = self.pick(("sum(parts)", "s_money")) if self.faults else "s_money"
        shapes = (
            lambda: f"offer <= {self.value('money', 2)} + ${r.randint(0, 3000):,}",
            lambda: f"offer + {costs} <= (s_share of worth) + ${r.randint(0, 2000):,}",
            lambda: f"profit >= {self.value('money', 1)} - ${r.randint(0, 3000):,}",
            lambda: f"profit / work >= {self.literal('rate')}",
            lambda: f"low(profit) >= -{self.literal('money')}",
            lambda: f"high(profit) > {self.literal('money')} - $1,000",
            lambda: f"offer < {self.literal('money')} or {self.condition(1)}",
            lambda: f"profit / worth >= {self.random.randint(1, 30)}%",
            lambda: f"compounded(profit / worth, {r.randint(1, 400)} days) >= {r.randint(1, 90)}%",
            lambda: f"{self.condition(1)} or (profit > {self.literal('money')} and offer <= {self.literal('money')})",
        )
        return str(self.pick(shapes)())

    def ladder(self) -> None:
        r = self.random
        extra = self.condition(1)
        if self.chance(0.4):
            self.add(
                "let room =", f"ceiling - {self.literal('money')} when {extra}", f"{self.value('money', 1)} otherwise"
            )
            first = self.pick(
                ("room >= asking", "room >= offer", f"room > {self.literal('money')}", "room / worth >= 20%")
            )
        else:
            first = self.pick(("ceiling >= asking", "asking <= ceiling", f"ceiling >= asking and not ({extra})"))
        if self.chance(0.2):
            first = f"{first} and not (yearly_rate(-ceiling, today, worth, today + 90 days) < {r.randint(1, 99)}%)"
        if self.chance(0.2) and self.faults:
            first = f"{first} and (sum(parts) <= {self.literal('money')} or ceiling > asking)"
        second = self.pick((f"ceiling >= {r.randint(30, 99)}% of asking",
                            f"ceiling + {self.literal('money')} >= asking",
                            f"ceiling > {self.literal('money')} and ({extra})"))  # fmt: skip
        self.add("verdict", f"buy when {first}", f"renegotiate when {second}", "pass otherwise")

    # ---- expressions ----

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

    def _chosen(self) -> str:
        name, options = self.pick(self.choices.items())
        if len(options) > 2 and self.chance(0.5):
            return f"{name} is {self.pick(('', 'not '))}one of ({', '.join(self.random.sample(options, 2))})"
        return f"{name} is {self.pick(('', 'not '))}{self.pick(options)}"


# ---- cars -----------------------------------------------------------------------------------------------------------


def thresholds(program: Program) -> dict[str, list[Any]]:
    """The written values that each question is compared with."""
    found: dict[str, list[Any]] = {}
    parts = [q.gate for q in program.questions.values()] + [v.value for v in program.lets.values()]
    parts += [f.when for f in program.faults.values()] + [r.condition for r in program.rules.values()]
    for node in (n for p in parts if p is not None for n in core.walk(p)):
        if isinstance(node, core.Compare):
            for this, that in ((node.left, node.right), (node.right, node.left)):
                if isinstance(this, core.Ref) and this.kind == "question" and isinstance(that, core.Const):
                    found.setdefault(this.name, []).append(that.value)
    return found


def random_answer(random: Random, question: Question, cuts: list[Any], *, estimates: bool = True) -> Value:
    """An answer inside a question's domain: often at its ends or at a value that rules compare it with."""
    match question.type:
        case YesNo():
            return random.random() < 0.5
        case Choice(options):
            return random.choice(options)
        case DateType():
            low, high = question.low or FIRST, question.high or LAST
            assert isinstance(low, date)
            assert isinstance(high, date)
            inside = [c for c in cuts if isinstance(c, date) and low <= c <= high]
            if random.random() < 0.3:
                return random.choice([low, high, *inside])
            return low + timedelta(days=random.randint(0, (high - low).days))
        case ListOf(fewest=fewest, most=most):
            return tuple(_reading(random, question, cuts) for _ in range(random.randint(fewest, most)))
    if estimates and estimable(question.type) and random.random() < 0.25:
        return Estimate(*sorted(_reading(random, question, cuts) for _ in range(3)))
    return _reading(random, question, cuts)


def _reading(random: Random, question: Question, cuts: list[Any]) -> Decimal:
    low, high = question.low, question.high
    assert isinstance(low, Decimal)
    assert isinstance(high, Decimal)
    inside = [c for c in cuts if isinstance(c, Decimal) and low <= c <= high]
    if random.random() < 0.35:
        return random.choice([low, high, *inside, *inside])
    type_ = question.type.item if isinstance(question.type, ListOf) else question.type
    assert isinstance(type_, Quantity)
    if type_.whole:
        return Decimal(random.randint(int(low), int(high)))
    return low + (high - low) * Decimal(random.randint(0, 1000)) / 1000


def random_car(random: Random, program: Program, answered: float, *, estimates: bool = True) -> Answers:
    """A car on which a share of the questions is answered; the others are unsure, refused or not asked."""
    cuts = thresholds(program)
    values: dict[str, Value | Unanswered] = {}
    for name, question in program.questions.items():
        if random.random() < answered:
            values[name] = random_answer(random, question, cuts.get(name, []), estimates=estimates)
        elif random.random() < 0.6:
            values[name] = Unanswered(random.choice(("unsure", "refused")))
    return Answers("", FIRST + timedelta(days=random.randint(0, 12000)), values)
