"""Random rulesets, written as text and read by the real parser and checker, from the formulas of `tests/formulas.py`.

Everything comes from a seed. A draft that the checker refuses (a `require` that it cannot order, a divisor that
may be negative) is thrown away and the next seed is tried, so that what is left is what people could have written.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache
from random import Random

from advisor import resources
from advisor.cli.rules import load_rules
from advisor.judging.deal import Deal
from advisor.judging.judge import Judge
from advisor.judging.valuing import valuation
from advisor.language.answers import Answers
from advisor.language.checking import check
from advisor.language.linking import link
from advisor.language.parsing import grammar
from advisor.language.problems import Problem
from advisor.language.program import Program
from advisor.language.source import Source
from advisor.readings.arithmetic import exact_arithmetic
from advisor.readings.compiled import Readings
from tests.formulas import CODES, FIRST, LAST, Formulas


class NoLibrary:
    """Rules of one file: there is nothing to use."""

    def find(self, target: str, user: str | None) -> Source:
        raise AssertionError(target)


def checked(text: str) -> tuple[Program | None, tuple[Problem, ...]]:
    """The program of a ruleset's text, and what the checker says of it."""
    return check(link(grammar(resources.grammar_text()), Source("random.tell", text), NoLibrary()))


@lru_cache(maxsize=256)
def program_of(text: str) -> Program:
    """The program of a ruleset that must be right."""
    program, problems = checked(text)
    assert program is not None, [str(p) for p in problems if p.stops]
    return program


@lru_cache(maxsize=256)
def judge_of(text: str) -> Judge:
    """A judge by a ruleset that must be right."""
    return Judge(Readings(program_of(text)))


@lru_cache
def house() -> Judge:
    """A judge by the bundled rules, the same for all tests of a process."""
    return Judge(load_rules(None)[0])


def deal_on_plan(judge: Judge, answers: Answers) -> Deal:
    """A car that has a plan for all that is open, on that plan: without what else could come, and without reasons."""
    with exact_arithmetic():
        deal = judge.planned_deal(judge.sheet(answers, valuation(judge.program, answers)))
    assert deal is not None
    return deal


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


@lru_cache(maxsize=256)
def _random_judge(seed: int, size: int) -> Judge:
    program = random_program(seed, size)
    assert program is not None
    return Judge(Readings(program))


def random_judges(count: int, *, size: int = 3, start: int = 0) -> Iterator[tuple[int, Judge]]:
    """Judges by as many random programs. Tests that begin with the same seed share them, and so what was compiled."""
    for seed, _ in random_programs(count, size=size, start=start):
        yield seed, _random_judge(seed, size)


# ---- rulesets -------------------------------------------------------------------------------------------------------


class Draft(Formulas):
    """A ruleset being written."""

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

    def question(self, name: str) -> None:
        """A question of any type, perhaps behind a gate."""
        r = self.random
        kind = self.pick(("flag", "choice", "money", "number", "count", "share", "hours", "days", "weeks", "months",
                          "length", "tread", "date", "list", "code", "year"))  # fmt: skip
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
            case "code":
                head, value, measure = "code of 3 to 17", r.choice(CODES[5:]), ""
            case "year":
                head, value, measure = "count from 1975 to 2020", f"{r.randint(1975, 2020)}", "number"
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
        elif kind == "code":
            self.codes.append(name)
        else:
            self.names[measure].append(name)
            if kind == "year":
                self.years.append(name)
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
