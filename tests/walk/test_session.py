"""The walk without a screen: every key, back and change, a whole station in a line, what if, and what is kept of it."""

from __future__ import annotations

import re
from datetime import date
from decimal import Decimal
from functools import lru_cache
from pathlib import Path
from random import Random

import pytest
from attrs import evolve

from advisor.cli.rules import load_rules
from advisor.judging.imagined import drawn_answers
from advisor.judging.judge import Judge
from advisor.language.answers import Answers, read_answer
from advisor.language.cars import read_car
from advisor.language.source import Source
from advisor.walk.lines import Line
from advisor.walk.responding import Step, respond
from advisor.walk.session import FileOrder, Judging, Walk
from advisor.walk.telling import asked, certain, left_out, verdict_lines
from advisor.walk.typed import said
from tests.programs import judge_of
from tests.short_walk import RULES

DAY = date(2026, 5, 2)
README = Path(__file__).resolve().parents[2] / "README.md"


@lru_cache
def judge(name: str = "house") -> Judge:
    return Judge(load_rules(Path(name))[0])


def begun(name: str = "house") -> Walk:
    by = judge(name)
    return Walk(Judging(by.readings), FileOrder(tuple(by.program.questions)), Answers(day=DAY))


def typed(walk: Walk, *lines: str) -> Walk:
    for line in lines:
        walk = respond(walk, line).walk
    return walk


def words(step: Step) -> str:
    return "\n".join(line.text for line in step.lines)


def current(walk: Walk) -> str:
    assert walk.question is not None
    return walk.question.name


def test_questions_come_in_the_order_of_the_rules() -> None:
    walk = begun()
    names = []
    for line in ("1", "0", "0", "1", "40", "10"):
        names.append(current(walk))
        walk = typed(walk, line)
    assert names == list(judge().program.questions)[:6]


def test_back_keeps_the_answer_and_enter_keeps_it_again() -> None:
    walk = typed(begun(), "1", "0", "2", "b", "b")
    assert current(walk) == "sold_this_year"
    assert "now: 0; Enter keeps it" in [line.text for line in asked(walk, walk.question)]  # type: ignore[arg-type]  # one is asked
    walk = typed(walk, "", "5")
    assert current(walk) == "bought_to"
    assert walk.answers.values["sold_this_year"] == 0
    assert walk.answers.values["offered_this_year"] == 5
    assert respond(begun(), "b").lines == [Line("wrong", "nothing was dealt with before this one")]


def test_after_a_correction_it_goes_on_where_it_was() -> None:
    walk = typed(begun(), "seller_on_title = same_name", "body = hatch", "gearbox = manual")
    walk = typed(walk, "t wheels and tires", "3/32")
    here = current(walk)
    for correction in (("stage = looking",), ("l tread", "4/32")):
        walk = typed(walk, *correction)
        assert current(walk) == here
    walk = typed(walk, "seller_on_title = holds")
    assert current(walk) == "authority", "what the correction opened is asked at once"
    walk = typed(walk, "estate")
    assert current(walk) == here
    walk = typed(walk, "body = convertible", "gearbox = automatic")
    opened = []
    while current(walk) != here:
        opened.append(current(walk))
        walk = typed(walk, "?")
    assert set(opened) >= {"soft_top", "rear_window", "automatic_fluid"}
    assert current(typed(walk, "t cold start")) == "cold_start", "a jump to what is open goes another way"
    assert current(typed(walk, "t cold start", "allowed")) == "key_lamps"


def test_a_question_that_does_not_apply_can_be_looked_at() -> None:
    walk = typed(begun(), "body = hatch", "l soft_top")
    told = [line.text for line in asked(walk, judge().program.questions["soft_top"])]
    assert "it does not apply to this car: an answer counts for nothing" in told
    for line in ("l", "rest ok", "t", "s"):
        assert respond(walk, line).lines or line == "s"


def test_a_verdict_that_is_certain_anew_is_told_anew() -> None:
    walk = typed(begun(), "l title_state", "missing").weighed()
    assert walk.paused, "a missing title ends it"
    walk = typed(walk, "", "title_state = clean").weighed()
    assert not walk.certain
    assert typed(walk, "title_state = missing").weighed().paused


def test_an_answer_is_taken_back() -> None:
    walk = typed(begun(), "1", "0", "2")
    step = respond(walk, "u")
    assert words(step).startswith("taken back: 3 ")
    assert [(c.kind, c.about) for c in step.changes] == [("cleared", "offered_this_year")]
    assert current(step.walk) == "offered_this_year"
    assert "offered_this_year" not in step.walk.answers.values
    walk = typed(step.walk, "u")
    assert current(walk) == "sold_this_year", "this one had no answer: the last one goes"
    walk = typed(walk, "1", "l 1", "u")
    assert list(walk.answers.values) == ["sold_this_year"], "the one that was jumped to goes"
    assert respond(begun(), "u").lines == [Line("wrong", "there is no answer yet to take back")]


def test_a_changed_answer_asks_again_only_what_follows_from_it() -> None:
    walk = typed(begun(), "t papers", "clean", "none", "blank", "same_name", "only one")
    assert "authority" not in walk.answers.values
    walk = typed(walk, "l seller_on_title", "holds")
    assert current(walk) == "authority"
    walk = typed(walk, "estate")
    assert current(walk) == "address_fits"
    walk = typed(walk, "l seller_on_title", "same")
    assert current(walk) == "address_fits"
    assert walk.answers.values["authority"] == "estate_letter", "kept, and it counts for nothing"


def test_each_key_answers_at_every_question() -> None:
    walk = begun("quick")
    while (question := walk.question) is not None:
        for key, expected in (("w", question.why), ("h", question.how)):
            assert words(respond(walk, key)) == (expected or "The rules say nothing of it.")
        for key in ("v", "l", "t", "k", "m"):
            step = respond(walk, key)
            assert step.walk.answers == walk.answers
            assert step.lines or step.asks
        assert respond(walk, "?").walk.answers.values[question.name].how == "unsure"  # type: ignore[union-attr]  # said so
        assert respond(walk, "x").walk.answers.values[question.name].how == "refused"  # type: ignore[union-attr]  # said so
        assert respond(walk, "q").ends
        walk = typed(walk, "s")
        assert question.name in walk.skipped
        assert question.name not in walk.answers.values


def test_notes_and_claims() -> None:
    walk = typed(begun(), 'm she said "never hit"', "worn_tires = 3")
    assert walk.answers.notes == ("she said 'never hit'",)
    walk = typed(walk, "t under the hood", "injection", "even", "bubbling")
    assert walk.found == ("rusted_strut_tops",)
    step = respond(walk, "told")
    assert step.walk.answers.told == ("rusted_strut_tops",)
    assert step.changes[0].kind == "told"
    denied = typed(step.walk, "denied rusted_strut_tops")
    assert (denied.answers.told, denied.answers.denied) == ((), ("rusted_strut_tops",))
    assert "did you mean `rusted strut tops`?" in words(respond(walk, "told rusted_strut_top"))


def test_a_whole_station_in_a_line() -> None:
    (line,) = re.findall(r"`(\d+ 3/32, \d+ bulge, rest ok)`", README.read_text(encoding="utf-8"))
    step = respond(typed(begun(), "t wheels and tires"), line)
    values = step.walk.answers.values
    assert (values["sidewalls"], values["tire_makes"], values["rims"]) == ("bulge_or_cord", "four_alike", "straight")
    assert str(said(values["tread"], judge().program.questions["tread"], judge().program)) == "3/32 in"
    assert "oldest_tire" not in values, "a number is never fine without a look"
    assert "tire_code" not in values
    assert {c.about for c in step.changes} == values.keys() - begun().answers.values.keys()


def test_the_rest_not_looked_at_is_never_fine() -> None:
    walk = typed(begun(), "t wheels and tires")
    step = respond(walk, f"{walk.number('rims')} cracked, rest skip")
    assert step.walk.answers.values == {"rims": "cracked"}
    assert "none of them counts as fine" in words(step)
    assert {c.kind for c in step.changes} == {"answered", "skipped"}


def test_what_was_skipped_is_told_at_the_end() -> None:
    walk = evolve(begun("quick"), goes_on=True)
    first = current(walk)
    walk = typed(walk, "s")
    while walk.question is not None:
        walk = typed(walk, "?" if walk.question.unsure is not None else "ok" if walk.question.fine is not None else "1")
    walk = walk.weighed()
    assert walk.put_off == (first,)
    assert [line.text for line in left_out(walk)] == [
        f"Skipped: 1 {first}. `l 1` goes to one; Enter ends without them."
    ]
    assert current(typed(walk, "l 1")) == first
    assert respond(walk, "").ends


def test_the_verdict_so_far_says_what_must_be_known_first_and_what_its_rule_says() -> None:
    step = respond(typed(begun(), "1", "0"), "v")
    standing = begun().weighed().standing
    assert standing is not None
    (rule,) = standing.holding
    assert step.lines[-1].text == f"{rule}: {judge().program.rules[rule].because}"
    assert step.lines[-2].text.startswith("First: ")
    assert f"{len(standing.missing)} must be known first" in step.lines[0].text


def test_what_comparables_tell_may_be_left_to_them() -> None:
    text = (README.parent / "examples" / "quail-hatch.car").read_text(encoding="utf-8")
    answers, problems = read_car(Source("quail-hatch", text), judge().program)
    assert not problems
    assert len(answers.comparables) > 2
    walk = typed(evolve(begun(), answers=answers), "l resale")
    assert "resale" not in walk.open, "it is not asked by itself"
    assert f"the {len(answers.comparables)} comparables of this car tell it; s leaves it so" in [
        line.text for line in asked(walk, judge().program.questions["resale"])
    ]
    walk = typed(walk, "s")
    assert walk.weighed().standing == evolve(begun(), answers=answers).weighed().standing


def test_what_is_kept_is_what_was_typed() -> None:
    """Not what it comes to in another unit, rounded: read again it is the same answer, to the last digit."""
    walk = begun()
    for line, written in (
        ("tread = 2.4 mm", "2.4 mm"), ("odometer = 227,000 kms", "227,000 km"), ("asking = 3.4k", "$3,400"),
        ("body = 2", "sedan"), ("mice = n", "no"), ("rims = ?", "unsure"), ("title_from = refused", "refused"),
    ):  # fmt: skip
        step = respond(walk, line)
        (change,) = step.changes
        assert change.text == written
        question = judge().program.questions[change.about]
        assert read_answer(written, question) == step.walk.answers.values[change.about]


def test_a_mistake_in_a_station_changes_nothing() -> None:
    walk = typed(begun(), "t wheels and tires")
    step = respond(walk, f"{walk.number('rims')} cracked, 1 ok")
    assert step.walk is walk
    assert step.changes == ()
    assert step.lines[0].kind == "wrong"
    assert "there is no question 1 in this station" in step.lines[0].text
    step = respond(walk, f"{walk.number('rims')} cracked, {walk.number('sidewalls')} purple")
    assert step.walk is walk
    assert step.lines[0].text.startswith(f"{walk.number('sidewalls')}: `purple` is no answer here")


@pytest.mark.parametrize(
    "line",
    [
        "i asking 2,900",
        "what if asking were 2,900",
        "if asking = $2.9k",
        "what if the asking is 2900?",
        "if asking at 2900",
    ],
)
def test_what_if_is_tried_and_not_kept(line: str) -> None:
    walk = begun()
    step = respond(walk, line)
    assert step.walk is walk
    assert step.changes == ()
    assert step.lines[0].text == "if asking $2,900:"
    assert step.lines[-1].text == "(not recorded)"


def test_what_if_finds_a_question_by_its_answer() -> None:
    assert words(respond(begun(), "what if the rust is only on the surface")).startswith("if rust on the surface:")
    assert "say it as: i asking 2,900" in words(respond(begun(), "i hope so"))


def test_a_deal_breaker_is_told_at_the_answer_and_ends_it() -> None:
    walk = typed(begun(), "t papers")
    step = respond(walk, "salvage")
    assert "That ends it: No price makes up for a title" in words(step)
    assert step.walk.paused
    walk = step.walk.weighed()
    assert "It is certain: PASS" in certain(walk)[0].text
    assert walk.standing is not None
    assert walk.standing.possible == ("pass",)
    on = typed(walk, "")
    assert on.question is None or on.question.name in walk.standing.for_safety
    assert not on.paused


def test_pocket_mode_says_no_amount() -> None:
    walk = typed(begun(), "asking = 3,400", "resale = 5,200").weighed()
    shown = [line.text for line in verdict_lines(typed(walk, "p"), 80)]
    assert not any("$" in text for text in shown)
    back = typed(walk, "p", "l asking")
    assert "now: an amount; Enter keeps it" in [line.text for line in asked(back, back.question)]  # type: ignore[arg-type]  # one is asked


@pytest.mark.parametrize("width", [20, 40, 80])
@pytest.mark.parametrize("seed", range(4))
def test_the_verdict_takes_two_lines_at_most(seed: int, width: int) -> None:
    by = judge()
    car = drawn_answers(by.program, Random(seed), by.readings, DAY)
    walk = begun()
    for i, (name, value) in enumerate(car.items()):
        walk = walk.answered({name: value})
        if i % 30 == 0:
            walk = walk.weighed()
            lines = verdict_lines(walk, width)
            assert len(lines) <= 2
            assert all(len(line.text) <= width for line in lines)


def test_a_full_walk_says_what_the_judgment_says() -> None:
    by = judge()
    for seed in range(3):
        car = drawn_answers(by.program, Random(100 + seed), by.readings, DAY)
        walk = begun().answered(car).weighed()
        assert walk.standing is not None
        assert walk.standing.on_plan == by.judge(walk.answers, thorough=False).verdict
        if walk.standing.certain:
            assert walk.standing.possible == (walk.standing.on_plan,)


def test_what_holds_the_price_is_no_reason_to_buy() -> None:
    walk = typed(begun(), "1").weighed()
    assert walk.standing is not None
    rule = judge().program.of_kind("require")[0]
    best, *_, worst = judge().program.verdicts
    for verdict, reasons in ((best, []), (worst, [rule.because])):
        standing = evolve(walk.standing, possible=(verdict,), holding=(rule.name,))
        told = certain(evolve(walk, standing=standing))
        assert [line.text for line in told if line.kind == "rule"] == reasons


def test_why_it_is_certain_may_be_a_line_of_the_ladder() -> None:
    """Where neither a price nor a deal-breaker decides, what the rules look at is the reason."""
    lines = "verdict\n    renegotiate when body is coupe\n    buy         when ceiling >= asking\n"
    by = judge_of(RULES[: RULES.index("verdict\n")] + lines + "    pass        otherwise\n")
    walk = Walk(Judging(by.readings), FileOrder(tuple(by.program.questions)), Answers(day=DAY))
    walk = typed(walk, "2,900", "coupe", "none").weighed()
    assert [line.text for line in certain(walk)][:3] == [
        "It is certain: RENEGOTIATE, whatever the rest would say.",
        "The rules say so when body is coupe.",
        "At most $3,200 as planned; $2,950 to $3,200 whatever comes.",
    ]
    walk = typed(walk, "tread = 5/32").weighed()
    assert certain(walk)[2].text == "At most $3,200."


def test_the_price_that_is_called_certain_is() -> None:
    """Whatever the open answers turn out to be, the highest price lies between the ends that were told."""
    by = judge_of(RULES)
    early = 0
    for seed in range(60):
        random = Random(seed)
        car = drawn_answers(by.program, random, by.readings, DAY) | {"asking": Decimal(random.randint(1500, 3500))}
        walk = Walk(Judging(by.readings), FileOrder(tuple(by.program.questions)), Answers(day=DAY))
        for name in ("asking", "body", "rust"):
            walk = walk.answered({name: car[name]})
        stand = walk.weighed().standing
        assert stand is not None
        low, high = stand.bounds
        if stand.certain and low is not None and high is not None:
            last = walk.answered({n: v for n, v in car.items() if n not in walk.answers.values}).weighed().standing
            assert last is not None
            assert last.ceiling is not None
            assert low <= last.ceiling <= high, seed
            early += low < high
    assert early > 5


def test_what_was_told_can_be_denied_after_all() -> None:
    by = judge_of(RULES)
    walk = Walk(Judging(by.readings), FileOrder(tuple(by.program.questions)), Answers(day=DAY))
    walk = typed(walk, "tread = 1/32", "told", "denied")
    assert (walk.answers.told, walk.answers.denied) == ((), ("worn_tires",))


THIRDS = RULES.replace(
    'station "At the car"\n',
    """station "At the car"
ask owners: number from 1 to 50
    "How many owners?"
    unsure assume 1
let again = (asking / owners) * owners
fault dear when again >= asking
    "Dear"
    parts $2,500
    shop $0
    labor 1 h
    wait 1 day
    must be fixed
    source house figure
""",
)


def test_the_walk_computes_as_exactly_as_the_judgment() -> None:
    """A twenty-ninth of a price, times 29, is that price in 34 digits and less than it in 28."""
    by = judge_of(THIRDS)
    walk = Walk(Judging(by.readings), FileOrder(tuple(by.program.questions)), Answers(day=DAY))
    walk = typed(walk, "1,000", "29")
    exactly = by.judge(walk.answers, thorough=False, settle=False).deal
    assert exactly is not None
    assert ("dear" in walk.situation.faults) == any(h.fault.name == "dear" for h in exactly.bargain.repairs.held)
