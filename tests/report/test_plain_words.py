"""What the report says so that nothing contradicts, nothing is silent, and a phone can show it."""

from __future__ import annotations

import re
from datetime import timedelta
from decimal import Decimal

import pytest
from attrs import evolve

from advisor.judging.derivation import derive
from advisor.judging.judgment import Judgment
from advisor.language.answers import Answers
from advisor.language.program import Unanswered
from advisor.readings.arithmetic import exact_arithmetic
from advisor.report.composing import compose
from advisor.report.document import Calendar, Pairs
from advisor.report.lines import document_lines
from tests.programs import judge_of
from tests.report.cars import NAMES, example, furnished, house, judged, small


def words(judgment: Judgment, everything: bool = False) -> str:
    return " ".join(document_lines(compose(judgment), 100, everything).split())


def test_asking_between_the_rounded_and_the_exact_ceiling_contradicts_nothing() -> None:
    judgment = judged("buy")
    assert judgment.ceiling is not None
    assert judgment.ceiling % 50 > 1
    whole = judgment.ceiling // 1
    values = judgment.answers.values | {"asking": whole}
    between = small().judge(evolve(judgment.answers, values=values))
    assert between.verdict == "buy"
    text = document_lines(compose(between), 100)
    assert f"BUY, and pay no more than ${whole:,}; asking ${whole:,}." in text
    assert re.search(rf"Stop at \.+ \${whole:,}\n", text)
    assert f"What holds the price down (${whole:,}): " in text


def test_other_repairs_at_the_stop_price_are_told() -> None:
    judgment = example("quail-hatch")
    deal = judgment.deal
    assert deal is not None
    assert deal.ceiling.plan != deal.plan
    with exact_arithmetic():
        profit = deal.bargain.profit(deal.values["stop_price"], deal.ceiling.plan)
    text = words(judgment)
    assert "At the stop price less is fixed: leave Dull paint" in text
    assert f"${profit:,.0f} is left." in text


def test_a_repair_that_would_add_and_is_left_says_which_rule_it_breaks() -> None:
    judgment = example("quail-hatch")
    assert judgment.deal is not None
    values = judgment.answers.values | {"asking": judgment.deal.values["stop_price"]}
    dearer = house().judge(evolve(judgment.answers, values=values))
    assert [w for w in dearer.worth if not w.fixed and w.gain > 0]
    text = words(dearer)
    assert re.search(r"left although (it|they) would add: with (it|them) this price would no longer meet fair_", text)


def test_no_price_helps_where_a_rule_does_not_look_at_it() -> None:
    text = words(example("ocotillo-four-wheel"))
    assert "not even nothing" not in text
    assert re.search(
        r"no price changes that; apart from (it, the rules|these rules, the others) would allow up to \$\d+", text
    )
    asked = "How does the frame look, behind the cab and over the rear axle?"
    assert text.count(f"Not verified: {asked}") == 1


def test_a_pass_names_few_cautions_on_page_one() -> None:
    judgment = example("ocotillo-four-wheel")
    assert len(judgment.cautions) > 3
    first = words(judgment)
    assert len(re.findall(r"more on page two\. Notes", first)) == 1
    everything = words(judgment, True)
    assert all(r.because in everything for r, _ in judgment.cautions)


def test_the_calendar_counts_from_the_payment() -> None:
    judgment = example("ocotillo-four-wheel")
    assert judgment.deal is not None
    value = judgment.deal.values
    (calendar,) = [b for s in compose(judgment).sections for b in s.blocks if isinstance(b, Calendar)]
    told = {d.label: calendar.told(d) for d in calendar.items}
    paid, repaired = value["paid_day"], value["repaired_day"]
    assert told["Paid and collected"] == "2026-10-12" == paid.isoformat()
    assert told["Repaired"] == f"{repaired} (+{(repaired - paid).days} d)"
    before = calendar.told(evolve(calendar.items[0], day=paid - timedelta(days=1)))
    assert before == "2026-10-11", "what lies before the payment is told without a count"


@pytest.mark.parametrize("name", NAMES)
def test_the_money_adds_up_to_the_sale_price(name: str) -> None:
    judgment = example(name)
    if judgment.deal is None or not judgment.shows:
        return
    sale = judgment.deal.values["sale_price"]
    (section,) = [s for s in compose(judgment).sections if s.title == "Where the money goes"]
    together = section.blocks[-1]
    assert isinstance(together, Pairs)
    (pair,) = together.rows
    assert (pair.label, pair.value) == ("Together: Sale price to expect", f"${sale:,.0f}")


def test_a_comparable_set_aside_is_told_on_page_one() -> None:
    text = words(furnished(judged("buy")))
    assert re.search(
        r"1 of 4 comparables was set aside: \$61,000 is [\d.]+ times what the others lead to expect \(row 5\)", text
    )


def test_a_phone_is_not_filled_with_drawings() -> None:
    lines = document_lines(compose(example("quail-hatch"), brief=True), 40).splitlines()
    assert len(lines) <= 110
    assert not [line for line in lines if "###" in line]


def test_the_counters_can_be_asked_about() -> None:
    judgment = example("ocotillo-four-wheel")
    step, *_ = derive(house(), judgment.answers, "unverified_majors")
    assert step.value == str(len(step.uses)) == "2"
    assert [name for name, _ in step.uses] == ["truck_frame", "shifting"]
    said = [str(c.how) for c in judgment.answers.values.values() if isinstance(c, Unanswered)]
    for name, how in (("refused_looks", "refused"), ("cannot_tell", "unsure")):
        assert derive(house(), judgment.answers, name)[0].value == str(said.count(how))


def test_a_purchase_without_a_price_yet_says_so() -> None:
    judge = judge_of(
        'setting highest_offer = $2,000\nask asking: money from $0 to $6,000\n    "What is asked?"\n'
        'ask clock: yes/no\n    "Does the clock run?"\nfault stopped_clock when not clock\n    parts $1\n'
        "    must be fixed\nrequire cheap: offer <= $1,000\n"
        "verdict\n    buy when ceiling >= asking\n    pass otherwise\n"
    )
    judgment = judge.judge(Answers("", None, {"asking": Decimal(900)}))
    assert (judgment.verdict, judgment.settled, judgment.ceiling) == ("buy", True, None)
    text = words(judgment)
    assert "BUY, whatever is found; how much to pay hangs on what is still open; asking $900." in text
    assert "no price" not in text
