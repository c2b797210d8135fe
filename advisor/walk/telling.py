"""What the walk tells: the question, the verdict so far, what an answer did, lists of questions.

In: a `Walk`, perhaps the one before it, and the width there is. Out: lines. In pocket mode no line says an amount.
"""

from __future__ import annotations

from decimal import ROUND_HALF_UP, Decimal
from typing import TYPE_CHECKING

from attrs import evolve

from advisor.language.program import Program, Question, Unanswered
from advisor.language.types import MONEY, Choice, Quantity, Value, YesNo
from advisor.language.wording import format_value
from advisor.trade.curb import curb_price
from advisor.walk.lines import Line, fitting
from advisor.walk.session import Walk
from advisor.walk.typed import expects, in_words, numbered_choices, said

if TYPE_CHECKING:
    from advisor.judging.standing import Standing

__all__ = [
    "WIDE",
    "all_asked",
    "asked",
    "brought",
    "certain",
    "is_money",
    "left_out",
    "moved",
    "question_list",
    "shown_answer",
    "station_heading",
    "station_list",
    "verdict_in_full",
    "verdict_lines",
]


WIDE = 1000
"""Room for a line that is wrapped by whoever shows it."""
_FEW = 6


def money(value: Decimal, program: Program) -> str:
    """An amount in whole units."""
    return format_value(value, MONEY, program.currency, places=0)


# ---- the question ----


def station_heading(walk: Walk, at: int | None) -> list[Line]:
    """A station with its cautions, and again with those for safety that hold for this car: they are not forgotten."""
    program = walk.program
    if at is None:
        return []
    station = program.stations[at]
    place = f" ({at + 1} of {len(program.stations)})"
    dangers = [*station.dangers, *(walk.situation.hazards if walk.answers.values else ())]
    return [Line("station", station.title + place), *(Line("danger", f"! {d}") for d in dangers)]


def asked(walk: Walk, question: Question) -> list[Line]:
    """A question, what may be answered, and what was."""
    program = walk.program
    lines = [Line("question", f"{walk.number(question.name)}. {question.text}")]
    lines.append(Line("answers", _answers(question, program)))
    if question.name in walk.answers.values:
        now = shown_answer(walk, question, walk.answers.values[question.name])
        lines.append(Line("now", f"now: {now}; Enter keeps it"))
    elif walk.told_by_comparables(question.name):
        lines.append(
            Line("now", f"the {len(walk.answers.comparables)} comparables of this car tell it; s leaves it so")
        )
    if question.gated and not walk.gates[question.name]:
        lines.append(Line("now", "it does not apply to this car: an answer counts for nothing"))
    return lines


def is_money(question: Question) -> bool:
    """Whether an amount answers it."""
    return isinstance(question.type, Quantity) and question.type.unit.startswith("$")


def _answers(question: Question, program: Program) -> str:
    match question.type:
        case YesNo():
            return "(y or n)"
        case Choice(options):
            return numbered_choices(options)
    return f"({expects(question, program)})"


def shown_answer(walk: Walk, question: Question, value: Value | Unanswered) -> str:
    """An answer, without its amount in pocket mode."""
    if walk.pocket and is_money(question) and not isinstance(value, Unanswered):
        return "an amount"
    return said(value, question, walk.program)


# ---- the verdict ----


def verdict_lines(walk: Walk, width: int) -> list[Line]:
    """The verdict so far, in two lines at most, no wider than the width."""
    stand, program = walk.standing, walk.program
    if stand is None:
        return []
    matter = _mattering(walk, stand)
    if walk.pocket and stand.certain:
        return [Line("verdict", fitting(width, "It is certain; v shows the verdict", "certain; v: verdict"))]
    if walk.pocket:
        return [
            Line(
                "verdict",
                fitting(width, *(f"{m}; v shows the verdict" for m in matter[:2]), f"{matter[2]}; v: verdict"),
            )
        ]
    return [Line("verdict", _where(stand, program, width)), Line("verdict", _left(stand, matter, width))]


def verdict_in_full(walk: Walk) -> list[Line]:
    """The verdict so far, whatever its width, with money; what must be known first, and what the rule that holds it
    says."""
    walk = evolve(walk.weighed(), pocket=False)
    stand, rules = walk.standing, walk.program.rules
    assert stand is not None
    lines = verdict_lines(walk, WIDE)
    if stand.missing and not stand.certain:
        lines.append(Line("told", f"First: {_some(walk, stand.missing)}"))
    return lines + [Line("told", f"{name}: {rules[name].because}") for name in stand.holding[:1]]


def _mattering(walk: Walk, stand: Standing) -> tuple[str, str, str]:
    """How many answers still matter, said at length, plainly and shortly."""
    untold = sum(n in walk.answers.values for n in stand.matter)
    many = len(stand.matter) - untold
    plain = f"{many} answers still matter" if many != 1 else "1 answer still matters"
    if not untold:
        return plain, plain, f"{many} matter"
    told = f"{untold} that nobody could tell"
    if many:
        return f"{plain}, and {told}", plain, f"{many} matter"
    plain = f"{told} still {'matters' if untold == 1 else 'matter'}"
    return plain, plain, f"{untold} not told"


def _where(stand: Standing, program: Program, width: int) -> str:
    """The verdict on the plan and whatever comes."""
    if stand.certain:
        word = in_words(stand.possible[0]).upper()
        top = _top(stand, program) if stand.possible[0] == stand.on_plan else ""
        planned = " as planned" if top and not _same_price(stand) else ""
        return fitting(width, f"Certain: {word}{top}{planned}", f"Certain: {word}")
    others = [v for v in stand.possible if v != stand.on_plan]
    may = _listed(others)
    if stand.on_plan is None:
        asked = f"{len(stand.missing)} must be known first"
        top = _never_above(stand, program)
        return fitting(
            width, f"No verdict yet: {may}{top}; {asked}", f"No verdict yet{top}; {asked}", f"No verdict yet{top}",
            "No verdict yet",
        )  # fmt: skip
    word = f"On the plan: {in_words(stand.on_plan).upper()}{_top(stand, program)}"
    short = f"{in_words(stand.on_plan).upper()}{_top(stand, program)}"
    return fitting(
        width, f"{word}; still possible: {may}", f"Plan: {short}; or {may}", word, f"Plan: {short}", short,
        short.split(",")[0],
    )  # fmt: skip


def _never_above(stand: Standing, program: Program) -> str:
    """The highest price whatever comes, where the rules bound it below what can be asked at all."""
    from advisor.judging.sheet import highest_offer

    top = stand.bounds[1]
    if top is None or program.advice or top >= highest_offer(program):
        return ""
    return f", never above {money(curb_price(top), program)}"


def _listed(verdicts: list[str]) -> str:
    """Verdicts as one says which of them it may be."""
    words = list(map(in_words, verdicts))
    return " or ".join(filter(None, (", ".join(words[:-1]), *words[-1:])))


def _top(stand: Standing, program: Program) -> str:
    """The highest price, as it is named at the car."""
    if stand.ceiling is None or program.advice:
        return ""
    return f", at most {money(curb_price(stand.ceiling), program)}"


def _same_price(stand: Standing) -> bool:
    """Whether the highest price is the same whatever the rest would say."""
    low, high = stand.bounds
    return low is not None and high is not None and curb_price(low) == curb_price(high)


def _left(stand: Standing, matter: tuple[str, str, str], width: int) -> str:
    """How many answers still matter, and which rule holds the verdict or the price."""
    name = next(iter(stand.holding), None)
    if stand.certain:
        return fitting(width, f"held by {name}", name) if name else "nothing more can change it"
    if not name:
        return fitting(width, *matter)
    return fitting(width, *(f"{m}; held by {name}" for m in matter), f"{matter[2]}; {name}", *matter[1:])


def brought(before: Walk, after: Walk) -> list[Line]:
    """What surely holds now and did not before: deal-breakers, cautions, faults."""
    old, new = before.situation, after.situation
    lines = [Line("rule", f"That ends it: {r.because}") for r in new.refuses if r not in old.refuses]
    lines += [Line("rule", f"! {r.because}") for r in new.cautions if r not in old.cautions]
    if after.found and after.found is not before.found:
        faults = [after.program.faults[n].text.rstrip(".") or in_words(n) for n in after.found]
        lines.append(Line("told", f"found: {'; '.join(faults)} (told or denied, if the seller said so)"))
    return lines


def moved(walk: Walk, before: Standing | None, what: str = "the last answer") -> list[Line]:
    """What something has made of the ceiling and the verdict."""
    after, program, lines = walk.standing, walk.program, []
    if before is None or after is None or walk.pocket or walk.paused:
        return []
    old, new = before.ceiling, after.ceiling
    if old is not None and new is not None and abs(new - old) >= 1:
        change = money((abs(new - old)).to_integral_value(rounding=ROUND_HALF_UP), program)
        way = f"took {change} off the ceiling" if new < old else f"put {change} on the ceiling"
        lines.append(Line("effect", f"{what} {way}"))
    elif old is not None and new is None and after.on_plan is not None:
        lines.append(Line("effect", f"{what} leaves no price at which all rules are met"))
    if before.on_plan is not None and after.on_plan is not None and before.on_plan != after.on_plan:
        lines.append(Line("effect", f"on the plan it was {in_words(before.on_plan)}; now {in_words(after.on_plan)}"))
    return lines


def certain(walk: Walk) -> list[Line]:
    """That the verdict is certain, why, and what is still worth a look."""
    stand, program = walk.standing, walk.program
    assert stand is not None
    head = f"It is certain: {in_words(stand.possible[0]).upper()}, whatever the rest would say."
    lines = [Line("station", head), *(Line("rule", text) for text in _why(walk, stand))]
    if stand.possible[0] == stand.on_plan and not walk.pocket:
        lines += [Line("told", text) for text in _certain_price(stand, program)]
    worth = walk.worth_a_look
    safety = sum(n in stand.for_safety for n in worth)
    bargain = len(worth) - safety
    if walk.worth_a_look:
        told = [f"{n} for {what}" for n, what in ((safety, "safety"), (bargain, "the bargaining")) if n]
        lines.append(
            Line("told", f"Still worth a look: {', '.join(told)}. Enter goes on with these; l lists them; q ends.")
        )
    else:
        lines.append(Line("told", "Nothing more is worth a look. Enter or q ends."))
    return lines


def _certain_price(stand: Standing, program: Program) -> list[str]:
    """The highest price once the verdict is certain: what is open may still move it."""
    top = _top(stand, program).removeprefix(", ").capitalize()
    low, high = stand.bounds
    if not top:
        return []
    if _same_price(stand):
        return [f"{top}."]
    if low is None or high is None:
        return [f"{top} as planned; what is open can still bring it down."]
    ends = " to ".join(money(curb_price(end), program) for end in (low, high))
    return [f"{top} as planned; {ends} whatever comes."]


def _why(walk: Walk, stand: Standing) -> list[str]:
    """Why a certain verdict is what it is: a deal-breaker, what the rules advise, the price, or what they look at."""
    program, verdict = walk.program, stand.possible[0]
    rules = [program.rules[n] for n in stand.holding[:1]]
    if rules and rules[0].kind == "refuse":
        return [rules[0].because]
    if verdict in program.advice:
        return [program.advice[verdict]]
    if rules:
        asking, best = walk.answers.known("asking"), verdict == program.verdicts[0]
        at_least = best and not _same_price(stand)
        price = stand.bounds[0] if at_least else stand.bounds[1]
        if not isinstance(asking, Decimal) or price is None or walk.pocket:
            return [] if best else [rules[0].because]
        allowed = f"{'at least' if at_least else 'no more than'} {money(curb_price(price), program)}"
        told = f"The rules allow {allowed}; {money(asking, program)} is asked."
        return [told] if best else [told, f"What holds the price down: {rules[0].because}"]
    rungs = [r for r in program.ladder if r.verdict == verdict]
    conditions = [r.condition for r in rungs if r.condition is not None]
    if len(rungs) == len(conditions) == 1:
        return [f"The rules say so when {program.as_written(conditions[0].span)}."]
    return []


def all_asked() -> Line:
    """That nothing is left to ask."""
    return Line("told", "All is asked. Enter shows what it comes to; b goes back, l and a number to any question.")


def left_out(walk: Walk) -> list[Line]:
    """What was skipped, where nothing else is left to ask."""
    some, at = _some(walk, walk.put_off), walk.number(walk.put_off[0])
    return [Line("told", f"Skipped: {some}. `l {at}` goes to one; Enter ends without them.")]


def _some(walk: Walk, names: tuple[str, ...]) -> str:
    """The first few of some questions, with their numbers."""
    some = ", ".join(f"{walk.number(n)} {in_words(n)}" for n in names[:_FEW])
    return some + (f" and {len(names) - _FEW} more" if len(names) > _FEW else "")


# ---- lists ----


def question_list(walk: Walk, names: tuple[str, ...]) -> list[Line]:
    """Questions with their numbers and answers."""
    program, gates, found = walk.program, walk.gates, []
    for name in names:
        question = program.questions[name]
        answer = "skipped" if name in walk.skipped else "-"
        if name in walk.answers.values:
            answer = shown_answer(walk, question, walk.answers.values[name])
        aside = "" if gates[name] else " (does not apply)"
        found.append(Line("list", f"{walk.number(name)} {in_words(name)}: {answer}{aside}"))
    return found or [Line("told", "no question is left there")]


def station_list(walk: Walk) -> list[Line]:
    """The stations that have a question, with how many are answered."""
    lines = []
    for at, questions in walk.stations():
        answered = sum(q.name in walk.answers.values for q in questions)
        title = walk.program.stations[at].title if at is not None else "anywhere"
        lines.append(Line("list", f"{0 if at is None else at + 1} {title}: {answered} of {len(questions)}"))
    return lines
