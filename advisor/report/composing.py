"""From a judgment to the report about it.

In: a `Judgment`. Out: a `Document`. Page one is for the driveway: the verdict and what decides, the price to name, the
faults to argue, the plan, what was not checked, what would change the verdict. Page two is for the kitchen table. Where
a deal-breaker holds, page one keeps to it.
"""

from __future__ import annotations

from attrs import evolve

from advisor.judging.judgment import Judgment, Unknown
from advisor.language.program import Rule
from advisor.report import dealing, doubting, mending, pricing
from advisor.report.document import Bullet, Bullets, Document, Pair, Pairs, Paragraph, Section, Verdict
from advisor.report.figures import Figures, how_open

__all__ = ["compose"]

_CHECKS = 3
"""So many checks say where each answer leads; the others are only named."""
_TIGHTEST = 2
"""So many rules beside the one that decides are named on page one."""


def compose(judgment: Judgment, *, brief: bool = False) -> Document:
    """The report of one car; `brief` leaves out page two, and with it what only page two has to compute."""
    figures = Figures(judgment.program)
    day, program = judgment.answers.day, judgment.program
    why, cautions = _why(judgment, figures), doubting.cautions(judgment)
    prices = [] if _broken(judgment) else pricing.prices(judgment, figures)
    first = [*prices, *_first_check(judgment, figures)]
    if _broken(judgment):
        sections = [*first, *why, *cautions, *doubting.count_of_open(judgment), *doubting.not_asked_here(judgment)]
        if not brief:
            aside = (*_plan(judgment, figures), *_notes(judgment), *_further(judgment, figures))
            sections += [evolve(s, page=2) for s in aside]
    else:
        sections = [*first, *why, *_plan(judgment, figures), *cautions, *_notes(judgment)]
        sections += doubting.not_asked_here(judgment)
        sections += doubting.open_questions(judgment) if brief else _further(judgment, figures)
    return Document(
        title=judgment.answers.title or "A car",
        subtitle=f"{day.isoformat() if day else 'no day'}, by {program.title} ({program.digest[:8]})",
        verdict=_verdict(judgment, figures),
        sections=tuple(s for s in sections if s.page == 1 or not brief),
        closing=doubting.closing(judgment),
    )


def _plan(judgment: Judgment, figures: Figures) -> list[Section]:
    """What to do if it is bought: money, hours, days, repairs; what could go wrong, what would change the verdict."""
    return [
        *dealing.arguments(judgment, figures),
        *dealing.plan(judgment, figures),
        *mending.repairs(judgment, figures),
        *dealing.set_aside(judgment, figures),
        *doubting.not_checked(judgment, figures, [u.question.name for u in _checks(judgment)]),
        *doubting.changes(judgment, figures),
    ]


def _further(judgment: Judgment, figures: Figures) -> list[Section]:
    """What is only for those who read on; what has no answer is on page one where no fault was found."""
    return [
        *mending.every_fault(judgment, figures),
        *_every_rule(judgment, figures),
        *dealing.curves(judgment, figures),
        *dealing.comparables(judgment, figures),
        *doubting.open_questions(judgment),
    ]


def _broken(judgment: Judgment) -> bool:
    """Whether a deal-breaker is why."""
    return judgment.hopeless and any(r.kind == "refuse" for r in judgment.reasons)


# ---- the verdict ---------------------------------------------------------------------------------------------------


def _verdict(judgment: Judgment, figures: Figures) -> Verdict:
    word, details = judgment.verdict, []
    if word in ("buy", "renegotiate"):
        details += pricing.holding_down(judgment, _named(judgment), figures)
    elif _broken(judgment):
        rule = _deciding(judgment)
        details += [rule.lesson] if rule and rule.lesson else []
    elif judgment.hopeless:
        details += pricing.not_verified(judgment, _deciding(judgment))
    return Verdict(word, _sentence(judgment, figures), (*details, *_standing(judgment)))


def _named(judgment: Judgment) -> Rule | None:
    """The rule that the verdict is given with."""
    return _deciding(judgment) if judgment.hopeless else judgment.program.rules.get(judgment.binding or "")


def _sentence(judgment: Judgment, figures: Figures) -> str:
    stop = pricing.most(judgment)
    price = "no price" if stop is None else figures.whole(stop)
    asked = f"; asking {figures.whole(judgment.asking)}" if judgment.asking is not None else ""
    match judgment.verdict:
        case "buy" | "renegotiate" if stop is None:
            return f", whatever is found; how much to pay hangs on what is still open{asked}."
        case "buy":
            return f", and pay no more than {price}{asked}."
        case "renegotiate":
            return f": worth it up to {price}{asked}."
        case "unsettled":
            first = _first(judgment)
            return f": find out first: {first.question.text}" if first else "."
        case own if own in judgment.program.advice and not _broken(judgment):
            return f": {judgment.program.advice[own]}"
    rule = _deciding(judgment)
    return f". {rule.because if rule else 'No price that the rules allow is near what is asked.'}"


def _deciding(judgment: Judgment) -> Rule | None:
    """The one reason to name first: a deal-breaker, else the rule that allows least."""
    reasons = {r.name: r for r in judgment.reasons}
    broken = [r for r in judgment.reasons if r.kind == "refuse"]
    return next(iter(broken), None) or reasons.get(judgment.binding or "") or next(iter(judgment.reasons), None)


def _standing(judgment: Judgment) -> tuple[str, ...]:
    """Whether the verdict is certain; what it stands on if not."""
    if judgment.settled:
        return ("Settled: no open answer can change this verdict.",)
    others = [v for v in judgment.possible if v != judgment.verdict]
    could = doubting.listed(others)
    if judgment.verdict == "unsettled":
        return (f"No verdict before that: it could be {could}. Nobody should plan on a guess here.",)
    count = len(judgment.assuming)
    taken = f"{count} open {'answer' if count == 1 else 'answers'}" if count else "what is open"
    return (f"This is with {taken} taken as planned. Turning out otherwise, {_turning(judgment, others)}.",)


def _turning(judgment: Judgment, others: list[str]) -> str:
    """Which verdicts one open answer can lead to by itself, and which it takes several for."""
    alone = {v for u in judgment.unknown for _, verdicts in u.leads_to for v in verdicts}
    by_one, by_several = ([v for v in others if (v in alone) is one] for one in (True, False))
    if len(judgment.assuming) == 1:
        return f"it could make it {doubting.listed(others)}"
    count = len(judgment.unknown)
    found = []
    if by_one:
        which = "the one to check first" if count == 1 else f"each of the {count} to check first"
        found.append(f"{which} could make it {doubting.listed(by_one)}")
    if by_several:
        found.append(f"several together {'could make it ' if not by_one else ''}{doubting.listed(by_several)}")
    return ", ".join(found) if by_one else f"{found[0]}; no single answer does"


# ---- right under it ------------------------------------------------------------------------------------------------


def _first(judgment: Judgment) -> Unknown | None:
    """The check to make first: the most urgent one that nobody can plan with, else the quickest that can turn it."""
    unplanned = [u for u in judgment.unknown if not u.planned]
    if unplanned:
        return unplanned[0]
    return min(judgment.unknown, key=lambda u: u.question.minutes, default=None)


def _checks(judgment: Judgment) -> tuple[Unknown, ...]:
    """What to look at, in order: all that nobody can plan with, then all that can turn the verdict by itself."""
    first = _first(judgment)
    others = [u for u in judgment.unknown if u is not first]
    unplanned, turning = [u for u in others if not u.planned], [u for u in others if u.planned]
    return () if first is None else (first, *unplanned, *turning)


def _first_check(judgment: Judgment, figures: Figures) -> list[Section]:
    """What to look at first where that can turn the verdict, how long it takes, and where each answer leads."""
    checks = _checks(judgment)
    if not checks:
        return []
    first, *others = (_check(u, judgment, figures, u.planned and i >= _CHECKS) for i, u in enumerate(checks))
    how = checks[0].question.how
    first = evolve(first, more=(*([f"How: {how}"] if how else []), *first.more))
    found = [Section("Check first", (Bullets((first,)),))]
    return [*found, Section("Check next", (Bullets(tuple(others)),))] if others else found


def _check(item: Unknown, judgment: Judgment, figures: Figures, brief: bool) -> Bullet:
    takes = f"{how_open(item.cell)}; takes {doubting.minutes(item.question)}"
    leads = () if brief else tuple(doubting.leads(item, judgment, figures))
    return Bullet(f"{item.question.text} ({takes})", leads)


# ---- the reasons ---------------------------------------------------------------------------------------------------


def _why(judgment: Judgment, figures: Figures) -> list[Section]:
    """Deal-breakers beside the one named with the verdict, with what they teach; else the tightest rules beside it."""
    others = [r for r in judgment.reasons if r is not _named(judgment)]
    if _broken(judgment):
        items = [Bullet(r.because, (r.lesson,) if r.lesson else ()) for r in others if r.kind == "refuse"]
        return [Section("Broken as well", (Bullets(tuple(items)),))] if items else []
    tight = sorted(others, key=lambda r: judgment.own_ceilings.get(r.name) or -1)[:_TIGHTEST]
    if not tight:
        return []
    items = []
    for rule in tight:
        own = judgment.own_ceilings.get(rule.name)
        bound = f"allows {figures.price(own)}" if own is not None else "allows no price"
        items.append(Bullet(f"{rule.because} ({bound})", pricing.not_verified(judgment, rule)))
    rest = len(others) - len(tight)
    more = [Paragraph(f"{rest} more on page two.")] if rest else []
    return [Section("Also in the way", (Bullets(tuple(items)), *more))]


def _every_rule(judgment: Judgment, figures: Figures) -> list[Section]:
    """What each rule about the price would allow by itself, and which are why."""
    own = judgment.own_ceilings
    if not own:
        return []
    why = {r.name for r in judgment.reasons}
    highest = judgment.deal.bargain.highest if judgment.deal else None
    free = [n for n, c in own.items() if c == highest]
    names = sorted((n for n in own if n not in free), key=lambda n: own[n] if own[n] is not None else -1)  # type: ignore[arg-type, return-value]  # None is taken out
    bound = {n: figures.exact(c) if c is not None else "no price" for n, c in {**own, "": judgment.ceiling}.items()}
    rows = [Pair(f"{n}{' (why)' if n in why else ''}", bound[n]) for n in names]
    blocks: list[Pairs | Paragraph] = [Pairs((Pair("together", bound[""]), *rows))]
    if free:
        blocks.append(Paragraph(f"Up to the setting highest_offer, {figures.exact(highest)}: {', '.join(free)}."))
    if judgment.deal and not judgment.deal.bargain.proved:
        blocks.append(Paragraph("So many repairs that not every plan was tried."))
    return [Section("The highest price that each rule allows", tuple(blocks), 2)]


def _notes(judgment: Judgment) -> list[Section]:
    notes = tuple(Bullet(n) for n in judgment.answers.notes)
    return [Section("Notes", (Bullets(notes),), can_wait=True)] if notes else []
