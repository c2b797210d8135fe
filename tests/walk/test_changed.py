"""What has changed in the rules is told by its kind and name."""

from __future__ import annotations

import pytest

from advisor.walk.changed import changes, fingerprint
from tests.programs import program_of
from tests.short_walk import RULES

MORE = (
    RULES.replace(
        "let profit =",
        """\
season warm
    open   Apr 1 .. Sep 30

table upkeep by month
    Jan $1, Feb $2, Mar $3, Apr $4, May $5, Jun $6, Jul $7, Aug $8, Sep $9, Oct $10, Nov $11, Dec $12

let profit =""",
    )
    + """
caution cold when today is not in warm
    because "It sells slowly."
caution dear when upkeep(today) > $11
    because "It costs."
"""
)


@pytest.mark.parametrize(
    ("before", "after", "told"),
    [
        ('"And its top?"', '"And its roof?"', "other: question top"),
        ("only when body is convertible, else sound", "only when body is coupe, else sound", "other: question top"),
        ('danger "Somebody knows where you are."', 'danger "Tell somebody."', "other: station At home"),
        ("parts  $240", "parts  $250", "other: fault worn tires"),
        ("$4,000 - offer", "$4,100 - offer", "other: quantity profit"),
        ("highest_offer = $9,000", "highest_offer = $8,000", "other: setting highest offer"),
        ("profit >= $800", "profit >= $700", "other: rule pays"),
        ("ceiling >= 80% * asking", "ceiling >= 70% * asking", "other: verdict renegotiate"),
        ("Apr 1 .. Sep 30", "Apr 1 .. Sep 29", "other: season warm"),
        ("Mar $3", "Mar $4", "other: table upkeep"),
        ("rust is holes", "not (rust is none)", "other: rule holed"),
    ],
)
def test_another_part(before: str, after: str, told: str) -> None:
    assert before in MORE
    found = changes(fingerprint(program_of(MORE)), fingerprint(program_of(MORE.replace(before, after))))
    assert found[1:] == [told]


def test_new_and_gone_parts_and_none() -> None:
    more = RULES + 'caution rough when body is coupe\n    because "It is rough."\n'
    old, new = fingerprint(program_of(RULES)), fingerprint(program_of(more))
    assert changes(old, new)[1:] == ["new: rule rough"]
    assert changes(new, old)[1:] == ["gone: rule rough"]
    assert len(changes(old, old)) == 1
    assert "neither asks nor judges" in changes(old, old)[0]
