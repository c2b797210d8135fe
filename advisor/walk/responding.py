"""From a typed line to what happens: the walk after it, what is said, what is kept.

In: a `Walk` and a line, already cleaned of control characters. Out: a `Step`. A mistake is told in one line that says
what would be right, and leaves everything as it was.
"""

from __future__ import annotations

from attrs import evolve, field, frozen

from advisor.language.problems import nearest
from advisor.language.program import Question, Unanswered
from advisor.language.types import Choice, Value
from advisor.walk.keys import KEYS, Claim, Key, Named, Said, Several, WhatIf, read_line
from advisor.walk.lines import Line
from advisor.walk.naming import question_named
from advisor.walk.session import Change, Walk
from advisor.walk.telling import brought, question_list, shown_answer, station_list, verdict_in_full
from advisor.walk.trying import tried
from advisor.walk.typed import Mistake, in_words

__all__ = ["Step", "respond", "with_note"]


@frozen
class Step:
    """The walk after a line, what to say, what to keep, and whether it is the end."""

    walk: Walk
    lines: list[Line] = field(factory=list)
    changes: tuple[Change, ...] = ()
    ends: bool = False
    asks: str = ""
    """What to ask next instead of the question: the text of a note."""
    missed: bool = False
    """Whether the line was meant for an answer, and is none."""


def respond(walk: Walk, line: str) -> Step:
    """What a line does."""
    act = read_line(line, walk.question, walk.program, walk.answers.day)
    try:
        match act:
            case Key() as key:
                return _key(walk, key)
            case Said(text):
                return _said(walk, text)
            case Named(name, text):
                asked = walk.question
                return _answered(walk, {name: text}, named=asked is None or asked.name != name)
            case Several() as several:
                return _several(walk, several)
            case WhatIf(text):
                return Step(walk, tried(walk, text))
            case Claim(kind, fault):
                return _claimed(walk, kind, fault)
    except Mistake as mistake:
        return Step(walk, [Line("wrong", str(mistake))], missed=isinstance(act, Said))


# ---- answers ----


def _said(walk: Walk, text: str) -> Step:
    question = walk.question
    if question is None:
        raise Mistake("no question stands here; Enter goes on, q ends, k shows the keys")
    return _answered(walk, {question.name: text})


def _answered(walk: Walk, typed: dict[str, str], *, named: bool = False) -> Step:
    """Answers by the names of their questions, all or none; `named` if they are not to what is asked."""
    program = walk.program
    given: dict[str, Value | Unanswered] = {}
    changes, lines = [], []
    for name, text in typed.items():
        question = program.questions[name]
        try:
            written = walk.written(question, text)
        except Mistake as mistake:
            raise Mistake(f"{walk.number(name)}: {mistake}" if len(typed) > 1 else str(mistake)) from None
        given[name] = walk.read(question, written)
        changes.append(Change("answered", name, written))
        understood = shown_answer(walk, question, given[name])
        if len(typed) > 1 or named:
            lines.append(Line("now", f"{walk.number(name)} {in_words(name)}: {understood}"))
        elif understood != text.strip():
            lines.append(Line("now", f"= {understood}"))
    after = walk.answered(given, named=named)
    return Step(after, lines + brought(walk, after), tuple(changes))


def _several(walk: Walk, several: Several) -> Step:
    """A whole station in one line; `rest` stands for the open questions of it that are left."""
    here = _station(walk)
    typed: dict[str, str] = {}
    passed: list[str] = []
    rest = ""
    for number, text in several.parts:
        if number is None:
            if rest:
                raise Mistake("`rest` stands twice in this line; say it once")
            rest = text.lower()
            continue
        question = walk.numbered(number)
        if question is None or question not in here:
            numbers = ", ".join(str(walk.number(q.name)) for q in here)
            raise Mistake(f"there is no question {number} in this station; it has {numbers}")
        if question.name in typed or question.name in passed:
            raise Mistake(f"question {number} has two answers in this line; give it one")
        if text.lower() in ("s", "skip"):
            passed.append(question.name)
        else:
            typed[question.name] = text
    if rest in ("skip", "s", "not looked at", "not"):
        step = _answered(walk, typed) if typed else Step(walk)
        gone = (*typed, *passed, *walk.answers.values, *walk.skipped)
        return _passed_over(step, [*passed, *(q.name for q in here if q.name not in gone)])
    if rest and rest not in ("ok", "fine"):
        raise Mistake("say `rest ok` for all as it should be, or `rest skip` for not looked at")
    looks: list[str] = []
    if rest:
        left = [q for q in here if q.name not in (*typed, *passed, *walk.answers.values)]
        typed |= {q.name: "ok" for q in left if q.fine is not None}
        looks = [str(walk.number(q.name)) for q in left if q.fine is None]
    if not typed and not passed:
        raise Mistake("nothing in this station can be `ok` without a look; answer it, or say `rest skip`")
    step = _passed_over(_answered(walk, typed) if typed else Step(walk), passed)
    if looks:
        step.lines.append(Line("told", f"still open, for nothing is fine there without a look: {', '.join(looks)}"))
    return step


def _passed_over(step: Step, names: list[str]) -> Step:
    """A step after which these questions are skipped, too."""
    if not names:
        return step
    walk = evolve(step.walk, at=None, back=False)
    for name in names:
        walk = walk.skip(name)
    told = Line("told", f"{len(names)} not looked at: none of them counts as fine")
    return Step(walk, [*step.lines, told], (*step.changes, *(Change("skipped", n) for n in names)))


def _station(walk: Walk) -> tuple[Question, ...]:
    """The questions of the station one stands at."""
    now = walk.question
    if now is None:
        raise Mistake("no question stands here; t lists the stations")
    return next(questions for at, questions in walk.stations() if now in questions)


def _claimed(walk: Walk, kind: str, fault: str) -> Step:
    faults = walk.program.faults
    if not fault and not walk.found:
        some = in_words(next(iter(faults), "worn_tires"))
        raise Mistake(f"say which fault was {kind}, as `{kind} {some}`: the last answer found none")
    names = (fault,) if fault else walk.found
    for name in names:
        if name not in faults:
            guess = nearest(name, faults)
            raise Mistake(
                f"there is no fault `{in_words(name)}`; "
                + (f"did you mean `{in_words(guess)}`?" if guess else "see `advisor judge NAME --all`")
            )
    after = walk
    for name in names:
        after = after.claimed("told" if kind == "told" else "denied", name)
    changes = tuple(Change("told" if kind == "told" else "denied", n) for n in names)
    how = "told: it is in the price already" if kind == "told" else "denied: an untruth to argue with"
    return Step(after, [Line("now", f"{', '.join(map(in_words, names))}: {how}"), *brought(walk, after)], changes)


# ---- keys ----


def _key(walk: Walk, key: Key) -> Step:
    question = walk.question
    match key.letter:
        case "":
            return _enter(walk)
        case "q":
            return Step(walk, ends=True)
        case "k":
            claims = Line("list", "told, denied: the seller told of what the last answer found, or denied it")
            return Step(walk, [*(Line("list", f"{letter} {what}") for letter, what in KEYS.items()), claims])
        case "b":
            before = walk.went_back()
            return Step(before) if before else Step(walk, [Line("wrong", "nothing was dealt with before this one")])
        case "u":
            return _cleared(walk)
        case "p":
            said_ = "no money on the screen; p shows it again" if not walk.pocket else "money is shown again"
            return Step(evolve(walk, pocket=not walk.pocket), [Line("told", said_)])
        case "v":
            return Step(walk, verdict_in_full(walk))
        case "m":
            return with_note(walk, key.rest) if key.rest else Step(walk, asks="note")
        case "i":
            if not key.rest:
                raise Mistake("say what to try, as: i asking 2,900")
            return Step(walk, tried(walk, key.rest))
        case "l":
            return _listed(walk, key.rest)
        case "t":
            return _to_station(walk, key.rest)
    if question is None:
        raise Mistake("no question stands here; Enter goes on, q ends, k shows the keys")
    match key.letter:
        case "s":
            return _skipped(walk, question)
        case "w":
            return Step(walk, [Line("told", question.why or "The rules give no reason.")])
        case "h":
            return Step(walk, [Line("told", question.how or "The rules do not say how.")])
    return _answered(walk, {question.name: key.letter})


def _enter(walk: Walk) -> Step:
    if walk.paused:
        return Step(evolve(walk, goes_on=True)) if walk.worth_a_look else Step(walk, ends=True)
    question = walk.question
    if question is None:
        return Step(walk, ends=True)
    if question.name in walk.answers.values:
        return Step(walk.moved_on())
    raise Mistake("an answer, or s to skip; k shows the keys")


def _skipped(walk: Walk, question: Question) -> Step:
    lines = []
    if isinstance(question.type, Choice) and (meant := [o for o in question.type.options if o.startswith("s")]):
        number = question.type.options.index(meant[0]) + 1
        lines = [Line("told", f"skipped; for {in_words(meant[0])} go back with b and type {number}")]
    kept = question.name in walk.answers.values
    return Step(walk.skip(question.name), lines, () if kept else (Change("skipped", question.name),))


def _cleared(walk: Walk) -> Step:
    name = walk.to_take_back()
    if name is None:
        raise Mistake("there is no answer yet to take back")
    told = Line("told", f"taken back: {walk.number(name)} {in_words(name)}; it counts as not asked")
    return Step(walk.cleared(name), [told], (Change("cleared", name),))


def with_note(walk: Walk, text: str) -> Step:
    """The walk with a note."""
    plain = text.strip().replace('"', "'")
    if not plain:
        return Step(walk, [Line("told", "no note made")])
    return Step(walk.noted(plain), [Line("told", "noted")], (Change("noted", text=plain),))


def _listed(walk: Walk, rest: str) -> Step:
    """Questions: of this station, the open ones, those passed over; or a jump to one by number or words."""
    word = rest.lower()
    if not word:
        names = walk.worth_a_look if walk.question is None else tuple(q.name for q in _station(walk))
        return Step(walk, question_list(walk, names))
    open_ = walk.open
    if word == "open":
        wanted = _matter(walk) | set(walk.worth_a_look) | walk.skipped
        return Step(walk, question_list(walk, tuple(n for n in walk.program.questions if n in wanted)))
    if word == "passed":
        matter = _matter(walk)
        return Step(walk, question_list(walk, tuple(n for n in open_ if n not in matter)))
    return Step(walk.jumped(_one(walk, word).name))


def _matter(walk: Walk) -> set[str]:
    standing = walk.weighed().standing
    return set(standing.matter) if standing else set()


def _one(walk: Walk, words: str) -> Question:
    """The question of a number, or the only one whose name or text has the words. Raises `Mistake`."""
    if words.isascii() and words.isdigit() and len(words) < 9:
        found = walk.numbered(int(words))
        if found is None:
            raise Mistake(f"there is no question {words}; the last is {len(walk.program.questions)}")
        return found
    return question_named(walk, words)


def _to_station(walk: Walk, rest: str) -> Step:
    """The stations; or a jump to one by number or words."""
    if not rest:
        return Step(walk, station_list(walk))
    stations = walk.program.stations
    if rest.isascii() and rest.isdigit():
        fits = [at for at, _ in walk.stations() if at is not None and at + 1 == int(rest[:9])]
        if not fits and 1 <= int(rest[:9]) <= len(stations):
            raise Mistake(f"nothing in station {rest} applies to this car, as it stands; t lists the others")
    else:
        fits = [at for at, _ in walk.stations() if at is not None and rest.lower() in stations[at].title.lower()]
    if len(fits) != 1:
        some = "; ".join(f"{at + 1} {stations[at].title}" for at in fits)
        raise Mistake(
            f"`{rest}` fits {some}; say the number" if fits else f"no station is called `{rest}`; t lists them"
        )
    questions = next(found for at, found in walk.stations() if at == fits[0])
    open_ = [q for q in questions if q.name not in walk.answers.values]
    return Step(walk.jumped((open_ or list(questions))[0].name))
