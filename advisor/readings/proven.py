"""The ranges that the checker proved, for a program that is checked already.

In: a `Program`. Out: `Ranges` with every name in it, which tell the possible reading the signs of factors.
"""

from __future__ import annotations

from decimal import Decimal

from advisor.language.intervals import Interval, domain_range, value_range
from advisor.language.program import Program
from advisor.language.ranges import Ranges, plan_ranges

__all__ = ["static_ranges"]


def static_ranges(program: Program) -> Ranges:
    """The ranges of a program's names before any answer, for the signs of factors."""
    highest = program.settings.get("highest_offer")
    asking = program.questions.get("asking")
    # An offer that is tried is at most the highest; the one a report is about is the price asked.
    found = [value_range(highest.value) if highest else None]
    found.append(domain_range(asking.type, asking.low, asking.high) if asking else None)
    dearest = max((f.high for f in found if isinstance(f, Interval)), default=Decimal(0))
    ranges = Ranges(program.seasons, program.tables, dearest)
    everything = len(program.questions)
    ranges.plan = plan_ranges((), ranges)
    ranges.counts = dict.fromkeys(("unverified_majors", "cannot_tell", "refused_looks"), everything)
    for setting in program.settings.values():
        ranges.names[setting.name] = value_range(setting.value)
    for name in program.order:
        if name in program.questions:
            question = program.questions[name]
            ranges.names[name] = domain_range(question.type, question.low, question.high)
        elif name in program.lets:
            let = program.lets[name]
            ranges.names[name] = ranges.of(let.value)
        else:
            ranges.names[name] = ranges.truth(program.faults[name].when)
        # Faults come before whatever looks at the plan, so by then the bounds are those of all of them.
        if name in program.faults:
            ranges.plan = plan_ranges((f for f in program.faults.values() if f.name in ranges.names), ranges)
    return ranges
