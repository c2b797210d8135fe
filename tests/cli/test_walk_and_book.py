"""The walk by a pipe, and what the book makes of it: changed rules, other rules, by name, out and in, faults."""

from __future__ import annotations

import os
import subprocess
import sys
from datetime import date
from pathlib import Path

import pytest

from tests.cli.terminal import ROOT, Terminal, run
from tests.short_walk import RULES


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
    assert "Certain: PASS\nheld by holed\n" in done.stdout


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
    assert "choose another name; `--as NAME` calls it otherwise" in again.stderr
    assert run(book, "import", str(file), "--rules", str(rules), "--as", "third").returncode == 0


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("walk", "examples/quail-hatch.car"), "advisor import examples/quail-hatch.car"),
        (("walk", "a b"), "letters, digits"),
        (("export", "nobody"), "`advisor cars` lists them"),
        (("judge", "nobody" * 50), "`advisor cars` lists them"),
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


def test_a_record_gets_the_day_and_the_rules_that_it_lacks(rules: Path, book: Path, tmp_path: Path) -> None:
    file = tmp_path / "bare.car"
    file.write_text('car "Bare"\nasking = $2,900\n')
    assert run(book, "import", str(file), "--rules", str(rules)).returncode == 0
    done = run(book, "walk", "bare", typed="hatch\n")
    assert "Where does it rust?" in done.stdout, "by the rules that it came in by"
    assert f"on {date.today()}" in run(book, "export", "bare").stdout


def test_a_line_that_is_no_answer_leaves_its_own_question_open(rules: Path, book: Path) -> None:
    done = run(book, "walk", "red", "--rules", str(rules), typed="2,900\nlorry\nnone\n5/32\n")
    assert done.returncode == 3
    assert "`lorry` is no answer here" in done.stdout
    assert "left open: body" in done.stdout
    assert "questions are left open:\n  body\n" in done.stderr
    assert "rust = none\n" in run(book, "export", "red").stdout


def test_no_input_and_odd_input(rules: Path, book: Path) -> None:
    command = f"'{sys.executable}' -m advisor walk red --rules '{rules}'"
    for shell in (f"{command} <&-", f"printf '\\377\\n2,900\\n' | {command}"):
        done = subprocess.run(
            ["sh", "-c", shell], capture_output=True, text=True, timeout=60, cwd=ROOT,
            env={**os.environ, "ADVISOR_BOOK": str(book)},
        )  # fmt: skip
        assert done.returncode == 3
        assert "Traceback" not in done.stderr
        assert "left open" in done.stderr


def test_rules_without_a_verdict_are_refused_before_the_first_question(book: Path, tmp_path: Path) -> None:
    rules = tmp_path / "bare.tell"
    rules.write_text(RULES[: RULES.index("verdict\n    buy")])
    done = run(book, "walk", "red", "--rules", str(rules), typed="2,900\n")
    assert done.returncode == 1
    assert "What does the seller ask?" not in done.stdout
    assert "verdict" in done.stderr
    assert run(book, "cars").stdout.startswith("no cars yet")


def test_an_error_breaks_no_word_at_40_columns(book: Path) -> None:
    with Terminal(40, book, "no/such.car") as walk:
        shown = walk.until("by its name").splitlines()
    whole = "Error: no/such.car is a file: bring it into the book with `advisor import no/such.car`, then walk it"
    assert " ".join(" ".join(shown).split()).endswith(f"{whole} by its name")
    assert all(len(line) <= 40 for line in shown)


def test_after_a_call_nobody_is_asked_for_an_own_number(rules: Path, book: Path) -> None:
    """Its verdict is advice, and no price."""
    asked = "The number that each of you wrote down before"
    assert asked in run(book, "walk", "red", "--rules", str(rules), typed="2,900\nhatch\nnone\n5/32\n\n\n").stdout
    called = run(book, "walk", "blue", "--rules", "telephone", typed="?\n" * 60)
    assert called.returncode == 0
    assert asked not in called.stdout


def test_a_car_goes_on_in_the_order_in_which_it_began(rules: Path, book: Path) -> None:
    first = run(book, "walk", "red", "--rules", str(rules), "--quick", typed="2,900\n").stdout
    assert "3. Where does it rust?" in first
    again = run(book, "walk", "red", typed="").stdout
    assert "The quick order; --in-order asks in that of the rules." in again
    assert "3. Where does it rust?" in again
    for words in (("--in-order",), ()):
        other = run(book, "walk", "red", *words, typed="").stdout
        assert "2. What kind of body is it?" in other
        assert "quick order" not in other
    assert "3. Where does it rust?" in run(book, "walk", "red", "--quick", typed="").stdout


def test_a_decision_is_told_when_the_car_goes_on(rules: Path, book: Path) -> None:
    typed = "2,900\nhatch\nnone\n5/32\n\nbought 2,800\n"
    assert "noted: bought at $2,800" in run(book, "walk", "red", "--rules", str(rules), typed=typed).stdout
    assert "Decided so far: bought at $2,800." in run(book, "walk", "red", typed="").stdout


def test_other_rules_begin_in_their_own_order(rules: Path, book: Path) -> None:
    run(book, "walk", "red", "--rules", "telephone", "--quick", typed="")
    assert "quick order" not in run(book, "walk", "red", "--rules", str(rules), typed="").stdout


@pytest.mark.parametrize("words", [("walk", "-h"), ("-h",), ("cars",)])
def test_help_breaks_no_word_at_40_columns(words: tuple[str, ...], book: Path) -> None:
    shown = run(book, *words, COLUMNS="40").stdout
    assert shown
    assert all(len(line) <= 40 for line in shown.splitlines())
