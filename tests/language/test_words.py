"""`words`: what a ruleset says instead, where it says it, and what is left alone."""

from __future__ import annotations

import pytest

from advisor import resources
from advisor.judging.judge import Judge
from advisor.language.cars import read_car
from advisor.language.checking import check
from advisor.language.formatting import formatted
from advisor.language.linking import link
from advisor.language.parsing import grammar
from advisor.language.program import Program
from advisor.language.saying import found_in, said
from advisor.language.source import Source
from advisor.readings.compiled import Readings
from advisor.report.composing import compose
from tests.programs import checked, program_of

WORDS = (("hood", "bonnet"), ("tire", "tyre"), ("tag office", "DVLA"), ("gas station", "garage"), ("gas", "petrol"))


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ("Lift the hood.", "Lift the bonnet."),
        ("Hood up? HOOD UP!", "Bonnet up? BONNET UP!"),
        ("Four tires, one tire.", "Four tyres, one tyre."),
        ("TIRES", "TYRES"),
        ("tired entire tirelike attire", "tired entire tirelike attire"),
        ("under-hood light, the hood's edge", "under-bonnet light, the bonnet's edge"),
        ("Ask the tag office, or tag  offices.", "Ask the DVLA, or DVLAs."),
        ("a tag to the office", "a tag to the office"),
        ("The gas station has gas.", "The garage has petrol."),
        ("hood_latch", "hood_latch"),
        ("See https://hood.example.com/hood, hood.", "See https://hood.example.com/hood, bonnet."),
        ("(https://example.com/tires) tires", "(https://example.com/tires) tyres"),
        ("a hood://gas is no hood", "a hood://gas is no bonnet"),
        ("Write `hood` for a hood, `tires`.", "Write `hood` for a bonnet, `tires`."),
        ("Ask `Is the hood up?`, `hood`.", "Ask `Is the bonnet up?`, `hood`."),
        ("one ` alone, a hood", "one ` alone, a bonnet"),
        ("", ""),
    ],
)
def test_whole_words_in_their_capitals(text: str, wanted: str) -> None:
    assert said(text, WORDS) == wanted


@pytest.mark.parametrize(
    ("words", "text", "wanted"),
    [
        ((("door", "lid"), ("lid", "hatch")), "door, lid, door", "lid, hatch, lid"),
        ((("title", "V5C"),), "A title, the Title", "A V5C, the V5C"),
        ((("US", "UK"),), "Tell us of the US.", "Tell us of the UK."),
        ((("VIN", "chassis number"),), "The VIN. VIN plate.", "The chassis number. Chassis number plate."),
        ((("truck", "estate"), ("owner", "keeper")), "A truck, an owner, a car.", "An estate, a keeper, a car."),
        ((("hour", "evening"),), "It takes an hour.", "It takes an evening."),
        ((("hood", "cover (front)"),), "hoods", "cover (front)s"),
        ((("fender", "wings"),), "both fenders", "both wings"),
        ((("tire", "tyre"), ("tires", "rubber")), "a tire, tires", "a tyre, rubber"),
    ],
)
def test_one_reading_from_left_to_right(words: tuple[tuple[str, str], ...], text: str, wanted: str) -> None:
    assert said(text, words) == wanted


@pytest.mark.parametrize(
    ("other", "article"),
    [
        *((w, "a") for w in ("minute", "used car", "user", "usual one", "unit", "union", "unique part", "uniform")),
        *(
            (w, "a")
            for w in ("one-owner car", "European car", "ute", "V5C", "UK form", "house", "9 mm key", "12 V lamp")
        ),
        *((w, "an") for w in ("hour", "honest man", "heir", "estate", "unsound car", "uninsured car", "umbrella")),
        *((w, "an") for w in ("HGV", "MOT", "LPG tank", "X-ray", "M6 bolt", "8 mm key", "11 mm key", "onerous job")),
        ("SORN", "an"),  # the limit: it is said as a word
    ],
)
def test_the_article_goes_with_the_first_sound(other: str, article: str) -> None:
    for before in ("a truck", "an hour"):
        words = ((before.split()[1], other),)
        assert said(f"Take {before}.", words) == f"Take {article} {other}."
        assert said(before.capitalize(), words) == f"{article.capitalize()} {other}"


def test_the_article_of_a_word_that_is_put_in_capitals() -> None:
    assert said("A TRUCK", (("truck", "lorry"),)) == "A LORRY"  # no L-O-R-R-Y


USED = """\
ruleset "Hood rules"
    currency USD
setting highest_offer = $5,000
    "the most for a hood"
    source "Hood gazette"
station "At the hood"
    danger "A hood falls."
ask asking: money from $0 to $6,000
    "What is the price, hood included?"
ask hood: one of sound, bent_hood
    "How is the hood?"
    how "Lift the hood."
    why "A hood is dear."
    can become sound "A new hood."
    usually sound 80%, bent_hood 20%
fault bad_hood when hood is bent_hood
    "Hood bent"
    parts $100
    must be fixed
    source "Hood gazette"
let left = offer - sum(parts)
    "what the hood leaves"
section "Hoods"
show left "After the hood"
caution hooded when hood is bent_hood
    because "That hood rattles."
    lesson "Hoods first."
    source "Hood gazette"
never buy when hood is bent_hood
    because "A hood!"
verdict
    buy when ceiling >= asking
    pass otherwise
"""
MINE = """\
ruleset "Hood rules of mine"
    currency USD
use "./used.tell"
words
    hood = "bonnet"
show ceiling "At most, for a hood"
"""
CAR = 'car "Hood gone"\non 2026-04-11\nasking = $900\nhood = bent_hood\nnote "The hood was off."\n'


class Files:
    """The used file, by its name."""

    def find(self, target: str, user: str | None) -> Source:
        return Source("used.tell", USED)


def of(text: str) -> tuple[Program | None, list[str]]:
    program, problems = check(link(grammar(resources.grammar_text()), Source("mine.tell", text), Files()))
    return program, [f"{p.code} {p.message}" for p in problems]


def test_every_text_of_the_used_file_and_no_name() -> None:
    program, _ = of(MINE)
    assert program is not None
    question, rule = program.questions["hood"], program.rules["hooded"]
    texts = [
        program.settings["highest_offer"].text, program.stations[0].title, *program.stations[0].dangers,
        program.questions["asking"].text, question.text, question.how, question.why, question.becomes[0][1],
        program.faults["bad_hood"].text, program.lets["left"].text, rule.because, rule.lesson,
        *(s.text for s in program.shows), program.promises[0].because,
    ]  # fmt: skip
    assert program.shows[0].section is not None
    texts.append(program.shows[0].section.title)
    assert not [t for t in texts if "hood" in t.lower()]
    assert all("bonnet" in t.lower() for t in texts)
    assert str(question.type) == "a choice (sound, bent_hood)"
    assert program.title == "Hood rules of mine"
    assert rule.cited is not None
    assert rule.cited.text == "Hood gazette"


def test_the_report_says_it_and_leaves_notes_and_sources_alone() -> None:
    program, _ = of(MINE)
    assert program is not None
    answers, problems = read_car(Source("hood.car", CAR), program)
    assert not problems
    text = repr(compose(Judge(Readings(program)).judge(answers)))
    assert "Bonnet bent" in text
    left = [w for w in text.split('"') if "hood" in w.lower()]
    for allowed in ("Hood rules of mine", "Hood gone", "The hood was off.", "Hood gazette", "bad_hood", "bent_hood"):
        text = text.replace(allowed, "")
    assert "hood" not in text.lower(), left


def test_the_file_that_is_judged_by_has_the_last_word(monkeypatch: pytest.MonkeyPatch) -> None:
    theirs = USED + 'words\n    hood = "lid"\n    price = "sum"\n    boot = "trunk"\n'
    monkeypatch.setattr(Files, "find", lambda self, target, user: Source("used.tell", theirs))
    for text in (MINE, 'words\n    hood = "bonnet"\n' + MINE.replace('words\n    hood = "bonnet"\n', "")):
        program, problems = of(text)
        assert program is not None
        assert program.questions["asking"].text == "What is the sum, bonnet included?"
        assert not [p for p in problems if p.startswith("A06")]  # what a used file has too much is its own matter


def test_an_entry_that_no_text_needs_is_advised_about_once() -> None:
    assert found_in("https://hood.example.com `tire` gas", WORDS) == {"gas"}
    _, problems = of(MINE.replace("words\n", 'words\n    boot = "trunk"\n    "hood gazette" = "sheet"\n'))
    assert [p for p in problems if p.startswith("A06")] == [
        "A06 no text of these rules says `boot`",
        "A06 no text of these rules says `hood gazette`",  # which stands in sources alone
    ]


def test_a_choice_counts_as_a_text() -> None:
    _, problems = of(MINE.replace("words\n", 'words\n    "bent hood" = "bent bonnet"\n'))
    assert not [p for p in problems if p.startswith("A06")]


def test_mistakes_are_one_message_each() -> None:
    twice = 'words\n    hood = "bonnet"\nwords\n    "hood" = "lid"\n'
    for text, found in (
        ("words\n", ["R21"]),
        ('words\n    hood = ""\n', ["R21"]),
        (twice, ["S11"]),
        ('words\n    hood "bonnet"\n', ["S03"]),
        ("words\n    hood = bonnet\n", ["S03"]),
        ("words\n    hood =\n", ["S04"]),
        ('words\n    of = "from"\n', ["S08"]),
    ):
        _, problems = checked(text)
        assert [p.code for p in problems if p.stops] == found, text


def test_the_layout() -> None:
    plain = 'words\n    hood = "bonnet"\n    "tag office" = "DVLA,"\n        "in Swansea"\n    tire = "tyre"\n'
    assert formatted(plain) == plain
    assert formatted('words\n  hood="bonnet"\n  "tag office"="DVLA,"\n  "in Swansea"\n  tire  =  "tyre"\n') == plain
    assert program_of(plain + "verdict\n    pass otherwise\n").words[1] == ("tag office", "DVLA, in Swansea")


def test_choices_are_said_where_they_are_shown_as_words() -> None:
    from advisor.report.sheet import checklist

    program, _ = of(MINE)
    assert program is not None
    text = repr(checklist(program))
    assert "bent bonnet" in text
    assert "bent hood" not in text
