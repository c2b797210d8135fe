"""What the report says: on which page, in which words, in how much detail, and that nothing gets lost."""

from __future__ import annotations

import re
from collections.abc import Callable
from decimal import Decimal
from pathlib import Path

import pytest
from attrs import evolve

from advisor.judging.derivation import derive
from advisor.judging.judgment import Change, Flip, Judgment
from advisor.report.composing import compose
from advisor.report.data import judgment_data
from advisor.report.document import Bar, Bars, Calendar, Day, Document, Pairs, Table
from advisor.report.lines import document_lines, judgment_lines
from advisor.report.terminal import terminal_text
from advisor.report.tracing import derivation_lines
from advisor.trade.curb import curb_price
from tests.report.cars import HERE, KINDS, NAMES, OUTSIDE, example, furnished, judged, small


def shown(kind: str, everything: bool = False) -> str:
    return document_lines(compose(judged(kind)), 100, everything)


def titles(document: Document, page: int) -> list[str]:
    return [s.title for s in document.sections if s.page == page]


# ---- for review ----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("kind", KINDS)
def test_screens(kind: str, expect: Callable[[Path, str], None]) -> None:
    document = compose(furnished(judged(kind)))
    expect(HERE / "expected" / f"{kind}-80.txt", terminal_text(document, 80, everything=True))
    expect(HERE / "expected" / f"{kind}-40.txt", document_lines(document, 40, True))


@pytest.mark.parametrize("name", ["quail-hatch", "ocotillo-pickup", "brightwater-coupe"])
def test_screens_of_examples(name: str, expect: Callable[[Path, str], None]) -> None:
    document = evolve(compose(example(name)), subtitle="the day, the rules")  # the hash changes with every rule
    expect(HERE / "expected" / f"{name}-80.txt", terminal_text(document, 80))
    expect(HERE / "expected" / f"{name}-40.txt", document_lines(document, 40))


# ---- how wide ------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", NAMES)
def test_no_line_is_wider_than_the_terminal(name: str) -> None:
    document = compose(furnished_example(name))
    for width in range(20, 121):
        lines = document_lines(document, width, True).splitlines()
        assert max(map(len, lines)) <= width
    for width in range(60, 121):
        lines = terminal_text(document, width, everything=width % 6 == 0).splitlines()
        assert max(map(len, lines)) <= width


def furnished_example(name: str) -> Judgment:
    judgment = example(name)
    return evolve(judgment, market=furnished(judged("buy")).market)


@pytest.mark.parametrize("kind", KINDS)
def test_no_line_of_the_small_ones_is_wider(kind: str) -> None:
    document = compose(furnished(judged(kind)))
    for width in (*range(20, 66), 100):
        assert max(map(len, document_lines(document, width, True).splitlines())) <= width
        if width >= 60:
            assert max(map(len, terminal_text(document, width, everything=True).splitlines())) <= width


# ---- what is said --------------------------------------------------------------------------------------------------


def test_the_verdict_and_what_decides_come_first() -> None:
    lines = shown("buy").splitlines()
    assert lines[3].startswith("BUY, and pay no more than $")
    assert lines[4].startswith("What holds the price down ($5,044): Below this the weekend is better spent")
    assert lines[6:9] == ["", "What to say", lines[8]]
    assert lines[8].startswith("  Stop at ...")


def test_prices_are_rounded_down_at_the_curb_and_exact_on_page_two() -> None:
    assert [curb_price(Decimal(v)) for v in ("1499.99", "1500", "2049.99")] == [1475, 1500, 2000]
    judgment = judged("renegotiate")
    assert judgment.ceiling is not None
    assert judgment.ceiling % 50
    first = shown("renegotiate")
    assert f"${curb_price(judgment.ceiling):,.0f}" in first
    assert not re.search(r"\$[\d,]+\.\d", first)
    assert f"${judgment.ceiling:,.2f}" in shown("renegotiate", True)


def test_a_verdict_on_the_plan_is_told_apart_from_what_it_could_become() -> None:
    text = " ".join(shown("buy").split())
    assert "This is with 1 open answer taken as planned." in text
    assert re.search(r"Turning out otherwise, it could make it (renegotiate|pass)", text)
    assert "still possible" not in text
    assert "Check first - Can you push a screwdriver through the floor? (could not tell; takes 2 min)" in text
    assert "Settled: no open answer can change this verdict." in shown("renegotiate")


def test_a_pass_by_money_says_what_would_have_been_right() -> None:
    text = shown("dear")
    ceiling = judged("dear").ceiling
    assert ceiling is not None
    assert f"It would have been right at ${curb_price(ceiling):,.0f} or less. Asking is $6,900." in text
    assert "Stop at" not in text
    assert "Stop at" in shown("dear", True)
    hopeless = evolve(judged("dear"), deal=evolve_ceiling())
    assert "There is no price at which it would have been right" in document_lines(compose(hopeless), 100)


def evolve_ceiling() -> object:
    """The deal of the dear car without any price."""
    import copy

    deal = copy.copy(judged("dear").deal)
    assert deal is not None
    vars(deal)["ceiling"] = evolve(deal.ceiling, offer=None)
    return deal


def test_a_deal_breaker_keeps_page_one_short() -> None:
    lines = shown("broken").splitlines()
    assert lines[3].startswith("PASS. No price makes up for a title")
    assert lines[4] == "Ask for a photograph of the title before you drive."
    assert "  - It is cheap for what it is." in lines
    assert "2 questions have no answer; none could undo this." in lines
    assert len(lines) < 20
    assert titles(compose(judged("broken")), 1) == ["Caution", ""]


def test_unsettled_names_the_first_check_and_where_each_answer_leads() -> None:
    text = " ".join(shown("unsettled").split())
    assert "UNSETTLED: find out first: What does the title say?" in text
    assert "Check first - What does the title say? (not asked; takes 3 min) How: Read both sides of the paper." in text
    assert re.search(r"clean: buy, up to \$\d,\d{3}", text)
    assert "salvage: pass" in text


def test_the_list_of_repairs_adds_up() -> None:
    judgment = judged("renegotiate")
    assert judgment.deal is not None
    fixed = judgment.deal.bargain.repairs.fixed(judgment.deal.plan)
    total = sum(((h.parts[1] + h.shop[1]) * h.chance).quantize(Decimal(1)) for h in fixed)
    assert fixed
    assert f"What is to be fixed comes to ${total:,} and " in shown("renegotiate")
    assert "Overruns, first service and small stuff come on top." in shown("renegotiate")


def test_what_was_not_checked_says_what_it_could_cost() -> None:
    judgment = evolve(judged("buy"), unknown=())
    text = " ".join(document_lines(compose(judgment), 100).split())
    (item,) = judgment.assuming
    worst = min(t.ceiling for t in item.trials if t.ceiling is not None)
    assert judgment.ceiling is not None
    loss = judgment.ceiling - worst
    assert f"if yes: ${loss:,.0f} off the highest price; the verdict would be" in text


def test_no_fault_found_is_not_called_sound() -> None:
    text = shown("faultless")
    assert "No fault found among what was looked at. What was not is in the lists." in text
    assert "safe" not in text


def test_changes_that_turn_it() -> None:
    judgment = judged("renegotiate")
    asking, rust = (judgment.program.questions[n] for n in ("asking", "rust_through"))
    flips = (
        Flip((Change(asking, Decimal("4310.55"), ""),), "buy", Decimal("4310.55")),
        Flip((Change(rust, False, "have it welded"),), "buy", Decimal("5210.55")),
    )
    text = shown_with(evolve(judgment, flips=flips))
    assert "  - the price at $4,300 or less: buy\n" in text
    assert "  - Can you push a screwdriver through the floor? no (have it welded): buy, up to $5,200\n" in text
    assert text.count("or less: buy") == 1
    assert "or less: buy" in shown_with(evolve(judgment, flips=()))


def shown_with(judgment: Judgment) -> str:
    return document_lines(compose(judgment), 120)


def test_arguments_and_a_denied_one() -> None:
    text = document_lines(compose(furnished(judged("renegotiate"))), 100)
    assert re.search(r"Rust through the floor, which the seller denies \.+ \$740", text)
    assert "To argue, at a shop's price" not in document_lines(compose(furnished(judged("dear"))), 100)


def test_cautions_come_once() -> None:
    judgment = judged("broken")
    twice = evolve(judgment, cautions=judgment.cautions * 2)
    assert document_lines(compose(twice), 100).count("It is cheap for what it is.") == 1


def test_chances_are_whole_percents() -> None:
    document = compose(judged("buy"))
    (chances,) = [s for s in document.sections if s.title == "Chances"]
    assert re.fullmatch(r"\d+%|under 1%|over 99%|none of 1,024", chances.blocks[0].rows[0].value)  # type: ignore[union-attr]  # a block of rows
    told = [b.text for s in document.sections for b in s.blocks if hasattr(b, "text")]
    assert any("1,024 outcomes, seed 1" in text for text in told)


def test_what_was_planned_with_and_decides_nothing_is_counted() -> None:
    judgment = judged("buy")
    (item,) = judgment.assuming
    idle = evolve(item, trials=tuple(evolve(t, verdict="buy", ceiling=judgment.ceiling) for t in item.trials))
    told = {n: document_lines(compose(evolve(judgment, unknown=(), assuming=(idle,) * n)), 100) for n in (1, 2)}
    assert "1 thing, which alone changes neither price nor verdict: page two." in told[1]
    assert "2 things, which alone change neither price nor verdict: page two." in told[2]
    mixed = document_lines(compose(evolve(judgment, unknown=(), assuming=(item, idle))), 100)
    assert "1 more thing, which alone changes neither price nor verdict: page two." in mixed


def test_sections_are_drawn_as_the_rules_say() -> None:
    document = compose(judged("buy"))
    blocks = {s.title: s.blocks for s in document.sections}
    assert isinstance(blocks["Where the money goes"][0], Bars)
    calendar = blocks["The calendar"][0]
    assert isinstance(calendar, Calendar)
    assert [calendar.after(d) for d in calendar.items] == [0, 20, 65]
    assert [s.page for s in document.sections if s.title == "More figures"] == [2]
    curve = blocks["Asking more than it brings"][0]
    assert isinstance(curve, Table)
    assert curve.marked is not None


def test_shows_without_a_section_have_a_place() -> None:
    judgment = example("quail-hatch")
    program = evolve(judgment.program, shows=tuple(evolve(s, section=None) for s in judgment.program.shows))
    (section,) = [s for s in compose(evolve(judgment, program=program)).sections if s.title.startswith("Figures")]
    (pairs,) = section.blocks
    assert isinstance(pairs, Pairs)
    assert section.page == 1
    assert len(pairs.rows) == len(program.shows)


def test_bars_and_calendars_to_scale() -> None:
    a, b, c = Bar("a", "$4", Decimal(4)), Bar("b", "-$2", Decimal(-2)), Bar("c", "$0", Decimal(0))
    bars = Bars((a, b, c))
    assert [bars.share(x) for x in (a, b, c)] == [1, Decimal("0.5"), 0]
    assert Bars((c,)).share(c) == 0
    from datetime import date

    only = Day("now", date(2026, 1, 1))
    calendar = Calendar((only,), date(2026, 1, 3))
    assert calendar.share(only) == 0
    assert calendar.told(only) == "2026-01-01"  # what comes before the payment is not counted from it


# ---- what comes from outside ---------------------------------------------------------------------------------------


@pytest.mark.parametrize("kind", KINDS)
def test_no_text_from_outside_reaches_the_terminal_as_a_command(kind: str) -> None:
    document = compose(judged(kind, OUTSIDE))
    plain = document_lines(document, 80, True) + terminal_text(document, 80, everything=True)
    assert not [c for c in plain if (ord(c) < 32 and c != "\n") or 0x7F <= ord(c) < 0xA0 or c == "\u202e"]
    assert plain.count("[red]x[/red]") >= 2  # not taken for a style
    colored = terminal_text(document, 80, everything=True, color=True)
    assert "\x1b[31m \x9b" not in colored
    assert "\u202e" not in colored


def test_signs_of_two_columns_are_counted_as_two() -> None:
    from rich.cells import cell_len

    document = compose(judged("buy", "1990 Quail " + "\u8eca" * 30 + " red " + "\u8eca" * 9))
    for width in range(20, 90):
        assert max(map(cell_len, document_lines(document, width, True).splitlines())) <= width
        if width >= 60:
            assert max(map(cell_len, terminal_text(document, width).splitlines())) <= width


def test_color_only_repeats(monkeypatch: pytest.MonkeyPatch) -> None:
    document = compose(judged("buy"))
    monkeypatch.delenv("NO_COLOR", raising=False)
    monkeypatch.setenv("TERM", "xterm-256color")
    colored = terminal_text(document, 80, color=True)
    bare = re.sub(r"\x1b\[[\d;]*m", "", colored)
    assert "\x1b[" in colored
    assert [line.rstrip() for line in bare.splitlines()] == terminal_text(document, 80).splitlines()
    monkeypatch.setenv("NO_COLOR", "1")
    assert not re.search(r"\x1b\[[\d;]*3[0-9]", terminal_text(document, 80, color=True))
    terminal_text(document, 80, signs=False).encode("ascii")


# ---- data and derivations ------------------------------------------------------------------------------------------

KEYS = {
    "arguments", "asking", "assuming", "at_the_ceiling", "binding", "car", "cautions", "ceiling", "comparables",
    "currency", "currency_code", "curves", "every_plan_tried", "fix_or_leave", "notes", "on", "on_the_plan", "outcomes",
    "own_ceilings", "possible", "reasons", "repairs", "repairs_total", "rules", "settled", "show", "unknown",
    "verdict", "without_answer", "would_change_it",
}  # fmt: skip


@pytest.mark.parametrize("kind", KINDS)
def test_data_has_it_all(kind: str) -> None:
    import json

    judgment = furnished(judged(kind))
    data = json.loads(json.dumps(judgment_data(judgment)))
    assert set(data) == KEYS
    assert data["comparables"]["grid"][3]["row"] == 5
    assert [a["quote"] for a in data["arguments"]] == ["740.00", "310.00"]
    assert len(data["show"]) == (0 if kind == "unsettled" else len(judgment.program.shows))
    assert all(s["section"] for s in data["show"])
    units = {s["name"]: s["unit"] for s in data["show"]}
    assert kind == "unsettled" or (units["profit"], units["target_rate"]) == ("$", "$/h")
    assert [w["name"] for w in data["fix_or_leave"]] == [w.held.fault.name for w in judgment.worth]
    if kind == "unsettled":
        (title,) = data["unknown"]
        assert title["minutes"] == "3"
        assert title["leads_to"][0]["ceiling"] is not None


def test_data_tells_where_each_answer_leads_and_what_the_highest_price_means() -> None:
    judgment = judged("buy")
    data = judgment_data(judgment)
    (assumed,) = judgment.assuming
    leads = {x["answer"]: x["ceiling"] for x in data["unknown"][0]["leads_to"]}
    assert leads == {"yes" if t.value else "no": f"{t.ceiling:.2f}" for t in assumed.trials}
    assert {u["answer"]: u["share"] for u in data["assuming"][0]["usually"]} == {"no": "0.85", "yes": "0.15"}
    deal = judgment.deal
    assert deal is not None
    assert deal.ceiling.offer is not None
    at_it = data["at_the_ceiling"]
    assert at_it["fix"] == [h.fault.name for h in deal.bargain.repairs.fixed(deal.ceiling.plan)]
    assert Decimal(at_it["profit"]) < Decimal(next(s["value"] for s in data["show"] if s["name"] == "profit"))
    assert judgment_data(judged("unsettled"))["at_the_ceiling"] is None


def test_a_derivation_is_short_unless_asked_for() -> None:
    judgment = judged("buy")
    steps = derive(small(), judgment.answers, "fair_hourly")
    short, deep = derivation_lines(steps, 80), derivation_lines(steps, 80, deep=True)
    assert len(short.splitlines()) < len(deep.splitlines())
    assert re.search(r"\d+ more steps? below these: --deep", short)
    assert "--deep" not in deep
    heads = [line.partition(":")[0] for line in deep.splitlines() if line and not line.startswith(" ")]
    assert len(heads) == len(set(heads))
    for step in steps:
        assert step.name in deep
    # Where a folder has a long name, a line is wrapped inside the brackets.
    places = len(re.findall(r"\[setting,\s", deep))
    assert places == len({s.name for s in steps if s.kind == "setting"})


@pytest.mark.parametrize("kind", KINDS)
def test_page_one_is_the_same_without_page_two(kind: str) -> None:
    brief, whole = compose(judged(kind), brief=True), compose(judged(kind))
    assert brief.on(1) == whole.on(1)
    assert not brief.on(2)
    assert whole.on(2)


def test_a_deal_breaker_computes_no_plan_that_nobody_reads() -> None:
    judgment = judged("broken", "never seen before")
    before = set(vars(judgment.deal))
    compose(judgment, brief=True)
    assert "values" not in vars(judgment.deal).keys() - before


def test_page_one_says_how_to_see_page_two() -> None:
    assert judgment_lines(judged("buy"), 80).splitlines()[-1].endswith("add --all.")
    assert "add --all" not in judgment_lines(judged("buy"), 80, True)
