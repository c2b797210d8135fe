"""The walk as one has it in the hand: the real program on a pseudo-terminal at 20, 40 and 80 columns."""

from __future__ import annotations

import os
import re
import signal
from collections.abc import Callable
from pathlib import Path

import pytest

from advisor.book.record import Event
from advisor.book.store import open_book
from tests.cli.terminal import Terminal, run

SCREENS = Path(__file__).with_name("screens")
Expect = Callable[[Path, str], None]


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
        shown.append(walk.type("1/32", "All is asked."))
        shown.append(walk.type("", "wrote down before"))
        shown.append(walk.type("Ann 2,700", "own number>"))
        shown.append(walk.type("", "What was decided?"))
        shown.append(walk.type("p", "say bought and the price"))
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
