"""Rules in one currency that use files in another: every amount is converted, exactly, and no other sign is left."""

from __future__ import annotations

import json
from decimal import Decimal
from pathlib import Path

import pytest

from advisor import resources
from advisor.judging.judge import Judge
from advisor.language.cars import read_car
from advisor.language.checking import check
from advisor.language.converting import Exchange
from advisor.language.formatting import formatted
from advisor.language.linking import link
from advisor.language.parsing import grammar
from advisor.language.program import Program
from advisor.language.source import Source
from advisor.language.types import Estimate
from advisor.readings.compiled import Readings

THEIRS = """\
ruleset "Theirs"
    currency USD
setting highest_offer = $25,000
    source house figure
setting tow = $90.50 .. $175 .. $350
    "a tow, $175 as a rule"
    source "The $100 handbook"
setting target_rate = $45/h
    source house figure
setting pads = $10
    source house figure
ask asking: money from $0 to $100,000
    "What is asked? Under $1,250.50 is cheap; $5 is not."
    unsure assume $3,000
    usually $1,000 .. $2,000 .. $9,000
ask hourly: $/h from $0/h to $100/h
    "What does the shop take?"
ask body: one of hatch, pickup
    "What body?"
ask bad: yes/no
    "Is it bad?"
table body_price by body
    hatch $0, pickup $400
fault worn when bad
    parts $100 + pads
    shop $200
    quote $300
    labor 2 h
    if left resale falls $300
    source house figure
let profit = $5,000 + body_price(body) - offer - sum(parts) - sum(shop) - lost(resale)
let parts_now = sum(parts)
let shop_now = sum(shop)
let steps = rounded_down(asking, $50)
refuse dear when asking > $4,000
    because "No more than $4,000."
    source common practice
verdict
    buy when ceiling >= asking
    pass otherwise
car known
    asking = $2,000
    hourly = $50/h
    body = pickup
    bad = yes
"""
OURS = """\
ruleset "Ours"
    currency GBP
    rate $1 = £0.80
use "theirs"
case "theirs, in ours" like known
    gives asking = £1,600
"""


def of(main: str, **files: str) -> tuple[Program | None, list[str]]:
    """The program of a main file that uses others, and what is said of it."""

    class Files:
        def find(self, target: str, user: str | None) -> Source:
            return Source(f"{target}.tell", ({"theirs": THEIRS} | files)[target])

    program, problems = check(link(grammar(resources.grammar_text()), Source("main.tell", main), Files()))
    return program, [f"{p.code}: {p.message}; {p.cure}" for p in problems if p.stops]


def right(main: str, **files: str) -> Program:
    program, problems = of(main, **files)
    assert program is not None, problems
    return program


def test_every_amount_of_a_used_file() -> None:
    program = right(OURS)
    assert program.currency, program.currency_code == ("£", "GBP")
    values = {n: s.value for n, s in program.settings.items()}
    assert values["highest_offer"] == 20_000
    assert values["tow"] == Estimate(Decimal("72.4"), Decimal(140), Decimal(280))
    assert values["target_rate"] == right(THEIRS).settings["target_rate"].value * Decimal("0.8")  # type: ignore[operator]  # a rate
    asking = program.questions["asking"]
    assert (asking.low, asking.high, asking.unsure) == (0, 80_000, 2_400)
    assert asking.spread == Estimate(Decimal(800), Decimal(1600), Decimal(7200))
    hourly, theirs = program.questions["hourly"], right(THEIRS).questions["hourly"]
    assert hourly.type == theirs.type
    assert hourly.high == theirs.high * Decimal("0.8")  # type: ignore[operator]  # likewise
    assert program.tables["body_price"].entries == (("hatch", 0), ("pickup", 320))
    assert program.faults["worn"].drop == 240


def test_amounts_in_texts_and_none_in_sources() -> None:
    program = right(OURS)
    assert program.questions["asking"].text == "What is asked? Under £1,000.40 is cheap; £4 is not."
    assert program.settings["tow"].text == "a tow, £140 as a rule"
    assert program.rules["dear"].because == "No more than £3,200."
    tow = program.settings["tow"].cited
    assert tow is not None
    assert tow.text == "The $100 handbook"


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ("$0.0034 a mile", "£0.00238 a mile"),
        ("$0.01 and $0.02, $0", "£0.007 and £0.01, £0"),
        ("$9k, $10K; $1,500k.", "£6.3k, £7K; £1,050k."),
        ("$9.55k", "£6.68k"),
        ("$9kg", "£6.30kg"),
        ("US$500, C$20, A$.50", "US$500, C$20, A$.50"),
        ("$.50 or ($.5)", "£0.35 or (£0.35)"),
        ("$5. Then $1,250.50.", "£3.50. Then £875.35."),
        ("$1.000k, $1,23, $ alone, €5k", "$1.000k, $1,23, $ alone, €5k"),
    ],
)
def test_amounts_as_people_write_them(text: str, wanted: str) -> None:
    assert Exchange("$", Decimal("0.7"), "£").prose(text) == wanted


def figures(program: Program) -> dict[str, Decimal]:
    judge = Judge(Readings(program))
    car = f'car "K"\nasking = {program.currency}1,000\nhourly = {program.currency}9/h\nbody = hatch\nbad = yes\n'
    answers, problems = read_car(Source("k.car", car), program)
    assert not problems
    deal = judge.judge(answers).deal
    assert deal is not None
    return deal.values


def test_figures_of_faults_by_their_own_rates() -> None:
    # Without them mending (£88 + £160) costs more than leaving it (£240): with cheap work it does not.
    plain = OURS.replace("£0.80\n", "£0.80\n    rate $1 of shop = £0.50\n")
    assert figures(right(plain))["shop_now"] == 100
    assert figures(right(plain))["parts_now"] == 88
    dear = plain.replace("£0.80\n", "£0.80\n    rate $1 of parts = £1.05\n")
    assert figures(right(dear))["parts_now"] == 105 + 8  # the setting goes by the plain rate
    quote = right(
        plain.replace('use "theirs"\n', 'use "theirs"\nlet argument = argued(quotes)\nshow argument "Argue"\n')
    )
    assert quote.faults["worn"].quote is not None
    assert quote.faults["worn"].quote.value == 150  # type: ignore[attr-defined]  # a written amount


def test_its_cars_and_the_cases_that_start_from_them() -> None:
    (case,) = right(OURS).cases
    assert case.answers["asking"] == 1600


def test_the_steps_that_rules_round_to() -> None:
    assert figures(right(OURS))["steps"] == 1000  # in steps of £40


def test_our_own_amounts_are_left_alone() -> None:
    program = right(OURS + 'set tow = £150\nsetting wash = £12\n    "£12 or $15"\n    source house figure\n')
    assert program.settings["tow"].value == 150
    assert program.settings["wash"].value == 12
    assert program.settings["wash"].text == "£12 or $15"


def test_a_file_without_a_currency_goes_with_its_user() -> None:
    part = "setting wash = $10\n    source house figure\n"
    below = right(OURS, theirs=THEIRS.replace("setting highest", 'use "part"\nsetting highest', 1), part=part)
    assert below.settings["wash"].value == 8
    assert of(OURS + 'use "part"\n', part=part)[1] == [
        "V14: `$` is not the currency of these rules, which is `£`; "
        "convert the amount, or name the other currency under `ruleset`"
    ]


def test_two_kinds_of_dollars() -> None:
    ours = OURS.replace("GBP", "AUD").replace("£0.80", "$1.50").replace("£1,600", "$3,000")
    program = right(ours)
    assert program.currency_code == "AUD"
    assert program.settings["highest_offer"].value == 37_500
    _, problems = of(ours.replace("    rate $1 = $1.50\n", ""))
    assert problems == [
        "V14: `USD` is not the currency of these rules, which is `AUD`; "
        "say under `ruleset` what $1 of that file comes to, such as `rate $1 = $0.80`"
    ]


def test_a_rate_is_short_enough_for_the_amounts_of_used_files() -> None:
    theirs = THEIRS.replace("= $25,000", "= $1234567.89")
    program = right(OURS.replace("£0.80", "£0.734568"), theirs=theirs)
    assert program.settings["highest_offer"].value == Decimal("1234567.89") * Decimal("0.734568")
    assert right(OURS.replace("£0.80", "£0.000734568")).settings["highest_offer"].value == Decimal("18.3642")
    assert right(OURS.replace("£0.80", "£0.80000000")).settings["highest_offer"].value == 20_000
    _, problems = of(OURS.replace("£0.80", "£0.7345678912"), theirs=theirs)
    assert [p for p in problems if not p.startswith("C02")] == [
        "V19: `rate $1 = £0.7345678912` is no use here: it has more than 6 digits; round it: `rate $1 = £0.734568`"
    ]


@pytest.mark.parametrize("rate", ["    rate $1 = £0.80\n", ""])
def test_two_foreign_currencies_with_one_sign_are_one_mistake(rate: str) -> None:
    ours = OURS.replace("    rate $1 = £0.80\n", rate) + 'use "north"\n'
    north = 'ruleset "North"\n    currency CAD\nsetting wash = $10\n    source house figure\n'
    program, problems = of(ours, north=north)
    assert program is None
    assert [p for p in problems if not p.startswith("C02")] == [
        "V14: `CAD` is not the currency of these rules, which is `GBP`; "
        "write the amounts of this file in GBP: a rate of `$` cannot tell CAD from USD"
    ]
    euros = north.replace("CAD", "EUR").replace("$", "€")
    assert right(OURS.replace("0.80\n", "0.80\n    rate €1 = £0.90\n") + 'use "north"\n', north=euros).settings[
        "wash"
    ].value == Decimal(9)
    if rate:
        assert right(ours, north=north.replace("CAD", "USD")).settings["wash"].value == 8


def test_rates_of_used_files_count_and_the_main_file_is_right() -> None:
    mine = 'ruleset "Mine"\n    currency GBP\nuse "ours"\n'
    assert right(mine, ours=OURS).settings["highest_offer"].value == 20_000
    other = mine.replace("GBP\n", "GBP\n    rate $1 = £0.70\n")
    assert right(other, ours=OURS).settings["highest_offer"].value == 17_500


@pytest.mark.parametrize(
    ("line", "code"),
    [
        ("rate $2 = £1.60", "V19"),
        ("rate $1 = $0.80", "V19"),
        ("rate $1 = £0", "V19"),
        ("rate $1 = £0.7345678912", "V19"),
        ("rate $1 = £1234567", "V19"),
        ("rate €1 = £0.90\n    rate $1 = £0.80", "V19"),
        ("rate $1 of tires = £1\n    rate $1 = £0.80", "V19"),
        ("rate $1 = £0.80\n    rate $1 = £0.90", "S11"),
        ("rate $1 of parts = £1", "V14"),
        ("rate = £0.80", "S03"),
        ("rate $1 £0.80", "S03"),
    ],
)
def test_a_mistake_is_one_message(line: str, code: str) -> None:
    _, problems = of(OURS.replace("rate $1 = £0.80", line))
    assert [p[:3] for p in problems if not p.startswith("C02")] == [code]


def test_no_dollar_is_left_of_the_house_rules(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    from advisor.cli import main

    rules, car = tmp_path / "uk.tell", tmp_path / "uk.car"
    rules.write_text('ruleset "In pounds"\n    currency GBP\n    rate $1 = £0.80\n\nuse "house"\n', encoding="utf-8")
    theirs = resources.rulesets_folder().parent / "examples" / "quail-hatch.car"
    car.write_text(theirs.read_text(encoding="utf-8").replace("$", "£"), encoding="utf-8")
    said = {}
    for words in (
        ("judge", "--all", "--rules"),
        ("judge", "--json", "--rules"),
        ("sheet", "--rules"),
        ("why", "--rules"),
    ):
        places = {"judge": [str(rules), str(car)], "sheet": [str(rules)], "why": [str(rules), str(car), "profit"]}
        with pytest.raises(SystemExit) as ended:
            main.main([*words, *places[words[0]]], prog_name="advisor")
        out, err = capsys.readouterr()
        assert ended.value.code == 0, err
        assert "$" not in out + err, [line for line in (out + err).splitlines() if "$" in line]
        assert "£" in json.loads(out)["currency"] if "--json" in words else "£" in out
        said[words[:2]] = out
    assert json.loads(said["judge", "--json"])["currency_code"] == "GBP"


def test_problems_speak_of_the_right_currency() -> None:
    ours = OURS + 'setting wash = 12\n    source house figure\nlet left = profit - 5\nshow left "L"\n'
    _, problems = of(ours)
    assert problems
    assert not [p for p in problems if "$" in p]
    ours = OURS + 'ask wage: £/h from £0/h to £10/h\n    "Wage?"\n    unsure assume 3\n'
    assert not [p for p in of(ours)[1] if "$" in p]
    program = right(OURS)
    _, found = read_car(Source("k.car", "hourly = 9 mi\nasking = 100\n"), program)
    assert len(found) == 2
    assert not [p for p in found if "$" in p.message + p.cure]


def test_the_layout() -> None:
    crowded = OURS.replace("    rate $1 = £0.80", "  rate   $1=£0.80\n  rate $1 of parts   = £1.00")
    assert formatted(crowded) == OURS.replace("£0.80", "£0.80\n    rate $1 of parts = £1.00")


def test_formulas_are_shown_in_the_currency_of_the_rules() -> None:
    program = right(OURS)
    assert program.as_written(program.lets["profit"].value.span).startswith("£4,000 + body_price(body) - offer")
    assert program.as_written(program.rules["dear"].condition.span) == "asking > £3,200"
    assert right(THEIRS).as_written(program.rules["dear"].condition.span) == "asking > $4,000"
