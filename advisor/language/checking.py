"""From blocks to a checked `Program`.

In: what `linking.py` read. Out: the program, if nothing stops it, and every problem found. Names are collected,
arranged so that each comes after what it needs, given types one after another, and proved: no `require` gets
easier as the offer rises, no deal-breaker looks at the price, every ladder ends.
"""

from __future__ import annotations

from collections import Counter
from decimal import Decimal

from attrs import evolve

from advisor.language import (
    advice,
    casing,
    catalogue,
    core,
    curves,
    defining,
    likening,
    naming,
    needs,
    nodes,
    rewording,
    ruling,
    showing,
)
from advisor.language.asking import Asker
from advisor.language.blocks import MOST_PROBLEMS
from advisor.language.declaring import Declarer
from advisor.language.draft import Draft
from advisor.language.elaborating import Elaborator
from advisor.language.linking import Linked
from advisor.language.mending import Mender
from advisor.language.problems import Problem, Severity, in_currency, in_order
from advisor.language.program import (
    Program,
    PromiseDef,
    RungDef,
    ShowDef,
)
from advisor.language.ranges import Ranges
from advisor.language.trends import Ends, Trends

__all__ = ["check"]


def check(linked: Linked) -> tuple[Program | None, tuple[Problem, ...]]:
    """Check a linked ruleset; the program is None if a problem stops it."""
    draft = Draft(linked)
    program = _drafted(draft)
    found = [*linked.problems, *_each_word_once(in_order(draft.problems))]
    problems = in_order(in_currency(p, draft.scope.currency) for p in found)
    if len(problems) > MOST_PROBLEMS:
        rest = catalogue.TOO_MANY_PROBLEMS.at(problems[MOST_PROBLEMS].span, most=MOST_PROBLEMS)
        problems = (*problems[:MOST_PROBLEMS], rest)
    if any(p.stops for p in problems):
        # What a mistake leaves unused or untold is not a second mistake.
        return None, tuple(p for p in problems if p.severity is not Severity.ADVICE)
    return program, problems


def _each_word_once(problems: tuple[Problem, ...]) -> list[Problem]:
    """One message where the same wrong answer stands in several places: often its question's own list is at fault."""
    counts = Counter(p.message for p in problems if p.kind is catalogue.NOT_A_CHOICE)
    kept: list[Problem] = []
    for problem in problems:
        times = counts.pop(problem.message, None)
        if problem.kind is not catalogue.NOT_A_CHOICE:
            kept.append(problem)
        elif times is not None:
            again = f", and is said {times} times" if times > 1 else ""
            kept.append(evolve(problem, message=problem.message + again))
    return kept


def _drafted(draft: Draft) -> Program:
    """Every step, in order; what has a problem is left out of the program."""
    naming.collect(draft)
    ranges = Ranges(draft.scope.seasons, draft.scope.tables, Decimal(10) ** 9)
    draft.elab = Elaborator(draft.scope, ranges, Ends(ranges, draft.scope.values, set(), lambda: 0), draft.problems)
    draft.elab.ends.fresh = draft.elab.term
    draft.declare = Declarer(draft.elab)
    draft.asker, draft.mender = Asker(draft.declare), Mender(draft.elab)
    draft.trends = Trends(ranges, draft.scope.values)
    defining.settings(draft)
    order = defining.definitions(draft)
    ruling.rules(draft)
    ruling.together(draft)
    ladder = ruling.ladder(draft)
    shows = showing.shows(draft)
    promises = ruling.promises(draft)
    drawn = curves.curves(draft)
    program = evolve(_program(draft, order, ladder, shows, promises), curves=drawn, comparing=likening.comparing(draft))
    program = needs.quoted(draft, program)
    needs.needed(draft, program)
    needs.drawn(draft, program)
    draft.problems.extend(draft.elab.later)
    # Cases are read even where a rule is wrong: a mistake in one hides nothing in the other.
    program = evolve(program, cases=casing.cases(draft, program))
    naming.unasked_names(draft)
    naming.unknown_names(draft)
    draft.problems.extend(advice.advice(program, draft.linked, set(draft.elab.unknown)))
    return rewording.reworded(draft, program)


def _program(
    draft: Draft,
    order: list[str],
    ladder: tuple[RungDef, ...],
    shows: tuple[ShowDef, ...],
    promises: tuple[PromiseDef, ...],
) -> Program:
    ends = draft.elab.ends.lets
    lets = {n: evolve(d, low=ends.get((n, "low")), high=ends.get((n, "high"))) for n, d in draft.lets.items()}
    ruleset = next(
        (b for b in draft.linked.blocks if isinstance(b, nodes.Ruleset) and b.span.source == draft.linked.main), None
    )
    program = Program(
        title=ruleset.title if ruleset else draft.linked.main.name,
        currency=draft.scope.currency,
        currency_code=draft.currency_code,
        exchanges=draft.exchanges,
        sources=tuple(draft.linked.sources),
        digest=draft.linked.digest,
        terms=draft.elab.terms,
        questions={n: draft.questions[n] for n in draft.named if n in draft.questions},
        gates={n: draft.gates[n] for n in draft.named if n in draft.gates},
        settings=draft.settings,
        lets=lets,
        faults={n: draft.faults[n] for n in draft.named if n in draft.faults},
        rules=draft.rules,
        seasons=draft.scope.seasons,
        tables=draft.scope.tables,
        stations=tuple(draft.stations),
        ladder=ladder,
        shows=shows,
        promises=promises,
        cases=(),
        order=tuple(order),
        today_used=False,
        taken_out=draft.taken_out,
    )
    today = any(isinstance(p, core.Special) and p.name == "today" for e in program.expressions() for p in core.walk(e))
    chance, weighed = advice.chance_questions(program), advice.weighed_questions(program)
    questions = {n: evolve(q, chance=n in chance, weighed=n in weighed) for n, q in program.questions.items()}
    return evolve(program, questions=questions, today_used=today)
