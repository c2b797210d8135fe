"""A deal as events and as text: one becomes the other, and nothing is lost on the way."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from advisor.book.record import Event, Record, events_of, fold, record_text
from advisor.language.cars import read_car
from advisor.language.source import Source
from tests.programs import program_of

NAMES = st.sampled_from(["asking", "tread", "body", "rust"])
FAULTS = st.sampled_from(["worn", "dented", "rusty"])
TEXTS = st.text(st.characters(blacklist_categories=("Cc", "Cs", "Zl", "Zp"), blacklist_characters='"#'), max_size=30)
MONEY = st.integers(1, 90_000).map(lambda n: f"${n:,}")
EVENTS = st.one_of(
    st.builds(Event, st.just("answered"), NAMES, st.sampled_from(["unsure", "refused", "3/32 in", "hatch", "$3,400"])),
    st.builds(Event, st.sampled_from(["cleared", "skipped"]), NAMES),
    st.builds(Event, st.just("stood"), NAMES, st.sampled_from(["", "back", "goes_on pocket"])),
    st.builds(Event, st.just("noted"), text=TEXTS),
    st.builds(Event, st.sampled_from(["told", "denied"]), FAULTS),
    st.builds(Event, st.just("compared"), text=MONEY.map(lambda m: f'{m}, sold, 2026-02-14, 1990, "one owner"')),
    st.builds(Event, st.just("own"), st.sampled_from(["Ann", "Ben", "Zoë"]), MONEY),
    st.builds(Event, st.just("decided"), st.just("bought"), MONEY),
    st.builds(Event, st.just("decided"), st.sampled_from(["passed", "left_open"])),
    st.builds(Event, st.just("ruled"), text=st.sampled_from(["0abc", "1def", "2"])),
)
BEGUN = (Event("began", text="1991 Quail hatch"), Event("dated", text="2026-05-01"), Event("ruled", "", "0abc"))


@given(st.lists(EVENTS, max_size=30))
def test_text_and_events_say_the_same(events: list[Event]) -> None:
    record = fold([*BEGUN, *events])
    text = record_text(record)
    again = fold(events_of(text))
    assert again == record
    assert record_text(again) == text


@given(st.lists(EVENTS, max_size=30), st.integers(0, 30))
def test_a_record_goes_on_where_it_stopped(events: list[Event], cut: int) -> None:
    assert fold(events[cut:], fold(events[:cut])) == fold(events)


def test_the_latest_word_stands() -> None:
    record = fold(
        [
            *BEGUN,
            Event("answered", "rust", "none"),
            Event("skipped", "body"),
            Event("answered", "body", "hatch"),
            Event("answered", "rust", "bubbles"),
            Event("told", "worn"),
            Event("denied", "worn"),
            Event("decided", "left_open"),
            Event("decided", "bought", "$2,900"),
        ]
    )
    assert record.values == {"rust": "bubbles", "body": "hatch"}
    assert record.trail == ("body", "rust")
    assert record.skipped == ()
    assert (record.told, record.denied) == ((), ("worn",))
    assert record.decided == ("bought", "$2,900")


def test_a_verdict_goes_when_its_answers_change() -> None:
    judged = fold([*BEGUN, Event("answered", "rust", "none"), Event("judged", "buy"), Event("noted", text="dusty")])
    assert judged.verdict == "buy"
    assert fold([Event("answered", "rust", "holes")], judged).verdict == ""


def test_hand_written_text_comes_in_with_all_it_says() -> None:
    text = (
        'car "1991 Quail" # ours\non 2026-05-01\nasking = $3,400 # named twice\n'
        'comparable $5,400, asked,\n    2026-03-20, "has # in it"\ntold worn,\n    dented\nnote "one"\n    "and more"\n'
        'note "two"\n\n    # why\n    "after a gap"\n# the end\n'
    )
    assert fold(events_of(text)) == Record(
        title="1991 Quail",
        day="2026-05-01",
        values={"asking": "$3,400"},
        comparables=('$5,400, asked, 2026-03-20, "has # in it"',),
        told=("worn", "dented"),
        notes=("one and more", "two after a gap"),
    )


def test_what_the_book_writes_the_language_reads() -> None:
    program = program_of('ask asking: money from $0 to $9,000\n    "Asking?"\ncaution a when asking > $1\n')
    record = fold([*BEGUN, Event("answered", "asking", "$900"), Event("skipped", "body"), Event("own", "Ann", "$3,000"),
                   Event("decided", "bought", "$2,900"), Event("noted", text="one")])  # fmt: skip
    answers, problems = read_car(Source("a.car", record_text(record)), program)
    assert problems == []
    assert list(answers.values) == ["asking"]
    assert answers.notes == ("one",)
    for bad in ('own "Ann" cheap\n', "decided bought at none\n", "decided sold\n", "skipped 3\n"):
        assert read_car(Source("a.car", record_text(record).replace("decided bought at $2,900\n", "") + bad), program)[
            1
        ]
