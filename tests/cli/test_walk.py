"""The walk as one has it in the hand: the real program on a pseudo-terminal at 20, 40 and 80 columns, and by a pipe."""

from __future__ import annotations

import os
import re
import signal
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from advisor.book.record import Event
from advisor.book.store import open_book
from tests.cli.terminal import ROOT, Terminal

SCREENS = Path(__file__).with_name("screens")
Expect = Callable[[Path, str], None]
RULES = """\
ruleset "A short walk"
    currency USD

station "At home"
    danger "Somebody knows where you are."

ask asking: money from $0 to $20,000
    "What does the seller ask?"
    takes  0.2 min

station "At the car"

ask body: one of hatch, coupe, convertible
    "What kind of body is it?"
    how    "As it stands before you."
    why    "It decides which questions follow."
    takes  0.2 min
    usually hatch 60%, coupe 20%, convertible 20%
    unsure assume hatch

ask rust: one of none, surface, holes
    "Where does it rust?"
    takes  1 min
    usually none 60%, surface 30%, holes 10%
    fine   none
    unsure assume surface
    refused assume holes

ask tread: in from 0 in to 1 in
    "How deep is the shallowest tread?"
    takes  1 min
    usually 1/32 in .. 5/32 in .. 10/32 in
    unsure assume 3/32 in

ask top: one of sound, torn
    "And its top?"
    takes  0.5 min
    usually sound 80%, torn 20%
    fine   sound
    unsure assume sound
    only when body is convertible, else sound

setting highest_offer = $9,000
    source house figure

fault worn_tires when tread < 3/32 in
    "Worn tires"
    parts  $240
    shop   $0
    labor  1 h
    wait   1 day
    must be fixed
    source house figure

fault torn_top when top is torn
    "Torn top"
    parts  $400
    shop   $0
    labor  6 h
    wait   5 days
    must be fixed
    source house figure

let profit = $4,000 - offer - sum(parts)

refuse holed when rust is holes
    because "A holed shell is not repaired in a driveway."
    source common practice

caution thin_tires when tread < 2/32 in
    because "On these tires nobody drives it."
    source "49 CFR 570.9"
    for safety

require pays: profit >= $800
    because "Below this the weekend is better spent."
    source house figure

verdict
    buy         when ceiling >= asking
    renegotiate when ceiling >= 80% * asking
    pass        otherwise
    source common practice
"""


@pytest.fixture
def rules(tmp_path: Path) -> Path:
    path = tmp_path / "short.tell"
    path.write_text(RULES)
    return path


@pytest.fixture
def book(tmp_path: Path) -> Path:
    return tmp_path / "book.sqlite3"


def anonymous(text: str) -> str:
    """Without hashes and dates, which change."""
    text = re.sub(r"\([0-9a-f]{8}\)", "(########)", text)
    return re.sub(r"20\d\d-\d\d-\d\d", "20##-##-##", text)


@pytest.mark.parametrize("columns", [20, 40, 80])
def test_a_whole_walk(columns: int, rules: Path, book: Path, expect: Expect) -> None:
    """A slip, a change of mind, the keys, a note, can't tell, to the end and what was decided."""
    shown = []
    with Terminal(columns, book, "red", "--rules", str(rules)) as walk:
        shown.append(walk.until("ask? ($0 to $20,000)"))
        shown.append(walk.type("three", "is not a number"))
        shown.append(walk.type("2,900", "body is it?"))
        shown.append(walk.type("co", "type more of it"))
        shown.append(walk.type("w", "which questions follow."))
        shown.append(walk.type("conv", "does it rust?"))
        shown.append(walk.type("b", "Enter keeps it"))
        shown.append(walk.type("1", "does it rust?"))
        shown.append(walk.type("m owner since 2003", "noted"))
        shown.append(walk.type("?", "shallowest tread?"))
        shown.append(walk.type("i tread 1/32", "(not recorded)"))
        shown.append(walk.type("1/32", "wrote down before"))
        shown.append(walk.type("Ann 2,700", "own number>"))
        shown.append(walk.type("", "What was decided?"))
        shown.append(walk.type("bought 2,600", "goes on"))
        assert walk.ended() == 0
    for text in shown:
        assert all(len(line) <= columns for line in text.splitlines())
    expect(SCREENS / f"walk-{columns}.txt", anonymous("\n\n======\n\n".join(shown)))
    exported = run(book, "export", "red").stdout
    assert "body = hatch\n" in exported
    assert "rust = unsure\n" in exported
    assert 'own "Ann" $2,700\n' in exported
    assert "decided bought at $2,600\n" in exported
    assert 'note "owner since 2003"\n' in exported


def run(book: Path, *words: str, typed: str | None = None, **env: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-m", "advisor", *words],
        input=typed, capture_output=True, text=True, timeout=60, cwd=ROOT,
        env={**os.environ, "ADVISOR_BOOK": str(book), **env},
        stdin=subprocess.DEVNULL if typed is None else None,
    )  # fmt: skip


def test_it_goes_on_after_it_was_killed(rules: Path, book: Path) -> None:
    with Terminal(60, book, "red", "--rules", os.path.relpath(rules, book.parent)) as walk:
        walk.until("seller ask?")
        walk.type("2,900", "body is it?")
        walk.type("hatch", "does it rust?")
        walk.type("p", "no money on the screen")
        walk.type("b", "Enter keeps it")
        walk.process.kill(signal.SIGKILL)
    with Terminal(60, book, "red") as walk:
        text = walk.until("body is it?")
        assert "2 answers are kept" in text
        assert "now: hatch; Enter keeps it" in text, "it stands where one had gone back to"
        assert "No money on the screen" in text
        assert "$" not in text
        walk.type("", "does it rust?")
    assert "by A short walk" in run(book, "judge", "red").stdout, "in another folder the rules are found, too"


@pytest.mark.parametrize("key", ["\x03", "\x04"])
def test_it_can_be_broken_off(key: str, rules: Path, book: Path) -> None:
    with Terminal(60, book, "red", "--rules", str(rules)) as walk:
        walk.until("seller ask?")
        walk.type("2,900", "body is it?")
        walk.process.send(key)
        walk.until("kept in the book")
        assert walk.ended() == 0
    assert "asking = $2,900" in run(book, "export", "red").stdout


def test_a_paste_is_cleaned_at_the_door(rules: Path, book: Path) -> None:
    with Terminal(60, book, "red", "--rules", str(rules)) as walk:
        walk.until("seller ask?")
        walk.process.send("\x1b[200~2,900\nhatch\nnone\x1b[201~\r")
        text = walk.until("body is it?")
        assert "only the first of these lines was taken" in text
        walk.type("m \x16\x1b[31mred\x16\x07 \u202eevil", "noted")
        walk.type("q", "kept in the book")
    exported = run(book, "export", "red").stdout
    assert "\x1b" not in exported
    assert "\u202e" not in exported


def test_the_width_may_change(rules: Path, book: Path) -> None:
    with Terminal(80, book, "red", "--rules", str(rules)) as walk:
        walk.until("seller ask?")
        walk.process.setwinsize(60, 30)
        walk.screen.resize(60, 30)
        text = walk.type("2,900", "body is it?")
        assert all(len(line) <= 30 for line in text.splitlines())


def test_two_windows_on_one_car(rules: Path, book: Path) -> None:
    with Terminal(80, book, "red", "--rules", str(rules)) as one:
        one.until("seller ask?")
        with Terminal(80, book, "red") as other:
            other.until("seller ask?")
            one.type("2,900", "body is it?")
            text = other.type("2,000", "changed in another window")
            assert "asking = $2,000" in text, "what could not be kept is printed"
            assert other.ended() == 1
        one.type("hatch", "does it rust?")
    assert "asking = $2,900" in run(book, "export", "red").stdout


def test_no_color_and_plain(rules: Path, book: Path) -> None:
    with Terminal(60, book, "red", "--rules", str(rules), NO_COLOR="1") as walk:
        walk.until("seller ask?")
        assert not re.search(rb"\x1b\[[0-9;]*[34]8;", walk.raw)
    with Terminal(60, book, "blue", "--rules", str(rules), "--plain") as walk:
        walk.until("seller ask?")
        walk.type("2,900", "body is it?")
        assert b"\x1b" not in walk.raw
        walk.type("b", "Enter keeps it")
        walk.type("q", "kept in the book")
        assert not set("─│┌┐└┘█░●") & set(walk.text)


def test_pocket_mode(rules: Path, book: Path) -> None:
    with Terminal(60, book, "red", "--rules", str(rules), "--pocket") as walk:
        walk.until("seller ask?")
        text = walk.type("2,900", "body is it?")
        assert "$" not in text
        walk.type("p", "money is shown again")
    with Terminal(60, book, "blue", "--rules", str(rules), "--pocket") as walk:
        walk.until("seller ask?")
        walk.type("2,900", "body is it?")
        walk.type("hatch", "does it rust?")
        walk.type("holes", "It is certain")
        walk.process.send("\x03")
        text = walk.until("kept in the book")
        assert "by A short walk" not in text, "the page with the money stays shut"


def test_answers_from_a_pipe(rules: Path, book: Path) -> None:
    done = run(book, "walk", "red", "--rules", str(rules), typed="2,900\nhatch\nnone\n5/32\n")
    assert done.returncode == 0, done.stderr
    assert "BUY" in done.stdout
    assert "\x1b" not in done.stdout
    short = run(book, "walk", "blue", "--rules", str(rules), typed="2,900\n")
    assert short.returncode == 3
    assert "4 questions are left open:\n  body\n  rust\n  tread\n  top\n" in short.stderr
    closed = run(book, "walk", "green", "--rules", str(rules))
    assert closed.returncode == 3
    named = run(book, "walk", "pink", "--rules", str(rules), typed="tread = 5/32\nasking = 2900\nhatch\nnone\n")
    assert named.returncode == 0


def test_a_deal_breaker_ends_it(rules: Path, book: Path) -> None:
    done = run(book, "walk", "red", "--rules", str(rules), typed="2,900\nhatch\nholes\n")
    assert done.returncode == 0
    assert "That ends it: A holed shell is not repaired in a driveway." in done.stdout
    assert "It is certain: PASS" in done.stdout
    assert "Still worth a look: 1 for safety." in done.stdout


def test_changed_rules_are_told(rules: Path, book: Path) -> None:
    run(book, "walk", "red", "--rules", str(rules), typed="2,900\nconv\nnone\n")
    rules.write_text(
        RULES.replace("one of hatch, coupe, convertible", "one of hatch, coupe, open_car")
        .replace("body is convertible", "body is open_car")
        .replace("usually hatch 60%, coupe 20%, convertible 20%", "usually hatch 60%, coupe 20%, open_car 20%")
        + 'ask smell: yes/no\n    "A smell?"\n    unsure assume no\n'
        + 'caution smells when smell\n    because "It smells."\n'
    )
    judged = run(book, "judge", "red")
    assert judged.returncode == 0, "one answer that does not fit spoils no other"
    assert "`convertible` is no answer to body any more" in judged.stderr
    assert "BUY" in judged.stdout
    done = run(book, "walk", "red", typed="hatch\n")
    assert "The rules have changed since." in done.stdout
    assert "new: question smell, rule smells" in done.stdout
    assert "other: question body" in done.stdout
    assert "to be asked again: `convertible` is no answer to body any more" in done.stdout
    assert "rust = none" in run(book, "export", "red").stdout


def test_rules_that_are_gone_are_told(rules: Path, book: Path) -> None:
    run(book, "walk", "red", "--rules", str(rules), typed="2,900\n")
    rules.unlink()
    for command in ("walk", "judge"):
        done = run(book, command, "red", typed="")
        assert done.returncode == 1
        assert "red was walked by" in done.stderr
        assert "name other rules with --rules" in done.stderr


def test_bundled_rules_are_found_again_by_their_name(book: Path) -> None:
    run(book, "walk", "red", "--rules", "quick", typed="1\n")
    assert run(book, "judge", "red").returncode == 0
    assert "1 answer is kept" in run(book, "walk", "red", typed="").stdout
    assert (
        "It goes on by other rules: The telephone" in run(book, "walk", "red", "--rules", "telephone", typed="").stdout
    )


def test_two_rulesets_ask_about_one_car(rules: Path, book: Path, tmp_path: Path) -> None:
    """What only one of them asks is kept, and is no mistake to the other."""
    other = tmp_path / "call.tell"
    other.write_text(
        'ask asking: money from $0 to $20,000\n    "Asking?"\nask patient: yes/no\n    "Does the seller wait?"\n'
        'refuse hurried when not patient\n    because "No hurry."\nverdict\n    go when asking < $9,000 "Go."\n'
        '    leave_it otherwise "Leave it."\n'
    )
    assert "GO" in run(book, "walk", "red", "--rules", str(other), typed="2,900\ny\n").stdout
    done = run(book, "walk", "red", "--rules", str(rules), typed="hatch\nnone\n5/32\n")
    assert "BUY" in done.stdout, done.stdout + done.stderr
    judged = run(book, "judge", "red", "--rules", str(rules))
    assert judged.returncode == 0, judged.stderr
    assert "One of the answers is to a question that these rules do not ask" in " ".join(judged.stdout.split())
    file = tmp_path / "copy.car"
    run(book, "export", "red", str(file))
    assert run(book, "import", str(file), "--rules", str(rules)).returncode == 0
    assert run(book, "export", "copy").stdout == file.read_text()


def test_the_book_is_judged_by_name_and_goes_out_and_in(rules: Path, book: Path, tmp_path: Path) -> None:
    run(book, "walk", "red", "--rules", str(rules), typed="3,000\nhatch\nnone\ns\n")
    assert "BUY" in run(book, "judge", "red").stdout, "by the rules that it was walked by"
    assert run(book, "why", "red", "profit").returncode == 0
    text = run(book, "export", "red").stdout
    file = tmp_path / "copy.car"
    assert run(book, "export", "red", str(file)).returncode == 0
    assert file.read_text() == text
    assert "is there already" in run(book, "export", "red", str(file)).stderr
    assert run(book, "import", str(file), "--rules", str(rules)).returncode == 0
    assert run(book, "export", "copy").stdout == text
    assert "skipped tread\n" in text
    listed = run(book, "cars").stdout
    assert "red" in listed
    assert "copy" in listed
    again = run(book, "import", str(file), "--rules", str(rules))
    assert again.returncode == 1
    assert "choose another name" in again.stderr


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("walk", "examples/quail-hatch.car"), "advisor import examples/quail-hatch.car"),
        (("walk", "a b"), "letters, digits"),
        (("export", "nobody"), "`advisor cars` lists them"),
        (("judge", "nobody" * 50), "cannot be read"),
    ],
)
def test_wrong_use_is_told_in_a_line(words: tuple[str, ...], told: str, book: Path) -> None:
    done = run(book, *words, typed="")
    assert done.returncode in (1, 2)
    assert told in done.stderr
    assert "Traceback" not in done.stderr


@pytest.mark.skipif(sys.platform == "win32", reason="there are no limits of this kind")
def test_a_full_disk_is_one_line_and_loses_nothing(rules: Path, book: Path) -> None:
    """A limit on the size of files stands for the end of the disk."""
    import resource

    typed = "2,900\nhatch\n" + "".join(f"m {i} {'dust ' * 300}\n" for i in range(200))
    done = subprocess.run(
        [sys.executable, "-m", "advisor", "walk", "red", "--rules", str(rules)],
        input=typed, capture_output=True, text=True, timeout=60, cwd=ROOT,
        env={**os.environ, "ADVISOR_BOOK": str(book)},
        preexec_fn=lambda: resource.setrlimit(resource.RLIMIT_FSIZE, (600_000, 600_000)),
    )  # fmt: skip
    assert done.returncode == 1
    assert "Traceback" not in done.stderr
    assert len(done.stderr.strip().splitlines()) == 1, done.stderr
    assert 'not kept:\nnote "' in done.stdout
    kept = run(book, "export", "red").stdout
    acknowledged = done.stdout.count("noted")
    assert kept.count("note ") == acknowledged > 10
    assert "asking = $2,900" in kept


def test_a_place_that_cannot_be_looked_at_is_told(tmp_path: Path) -> None:
    done = run(tmp_path / ("book" * 100), "cars")
    assert done.returncode == 1
    assert "cannot be used" in done.stderr
    assert len(done.stderr.splitlines()) == 1


def test_what_cannot_be_kept_at_the_end_is_printed_too(rules: Path, book: Path) -> None:
    with Terminal(60, book, "red", "--rules", str(rules)) as walk:
        walk.until("seller ask?")
        for typed, then in (
            ("2,900", "body"),
            ("hatch", "rust?"),
            ("none", "certain"),
            ("q", "Enter when there is no"),
        ):
            walk.type(typed, then)
        with open_book(book) as other:
            record = other.record("red")
            assert record is not None
            other.add("red", [Event("noted", text="dusty")], record.last)
        text = walk.type("Ann 2,700", "changed in another window")
        assert 'own "Ann" $2,700' in text


CONTROLS = [*range(1, 32), 127, *range(128, 160), 0x202E, 0x2066, 0x200F, 0x061C]


def test_no_control_code_of_anybody_reaches_the_screen(rules: Path, book: Path, tmp_path: Path) -> None:
    """In answers, notes, texts of rules and names of files; in every command that shows them."""
    odd = "".join(chr(c) for c in CONTROLS if chr(c) not in "\n\r")
    file = tmp_path / "odd.tell"
    file.write_text(RULES.replace("Where does it rust?", f"Where{odd} does it [red]rust[/red]?"), encoding="utf-8")
    typed = f"2,900\nm note{odd}\nhat{odd}\nhatch\nnone\n5/32\n"
    outs = [
        run(book, "walk", "red", "--rules", str(file), typed=typed),
        run(book, "cars"),
        run(book, "export", "red"),
        run(book, "judge", "red", "--rules", str(file)),
        run(book, "walk", f"re{odd.replace(chr(0), '')}d", typed=""),
        run(book, "export", f"re{odd}d"),
        run(book, "import", f"no{odd}.car"),
    ]
    for done in outs:
        for text in (done.stdout, done.stderr):
            assert not {c for c in text if ord(c) in CONTROLS and c not in "\n"}, (done.args, text)
    assert "[red]rust[/red]" in outs[0].stdout, "markup is text"
