"""A rule file cannot reach outside its folder, run code, or take time or memory without end.

Each attack is a file on the disk, read by the program as a user would run it. A message or an answer must come
within a second; the limit here is longer, for machines that are busy, and a failure says how long it took.
"""

from __future__ import annotations

import os
import re
import sys
import time
from collections.abc import Callable
from pathlib import Path

import pytest

from advisor.cli import main
from advisor.language.blocks import LARGEST

SECONDS = 5.0

QUESTIONS = """\
ask a0: number from 0 to 10
    "How bent is it?"
ask rust: yes/no
    "Rust underneath?"
ask asking: money from $0 to $50,000
    "What does the seller ask?"
setting highest_offer = $20,000
    source house figure
"""
VERDICT = """
verdict
    buy  when asking < $3,000 and not rust
    pass otherwise
"""
CASE = """
case "a sound one"
    a0 = 1.000001
    rust = no
    asking = $100
    gives buy
"""
BECAUSE = '\n    because "It is so."\n    source house figure\n'

Ran = Callable[..., tuple[list[str], str]]


@pytest.fixture
def ran(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> Ran:
    """Runs a command in a folder of its own: the codes of the problems that are told, and all that is said."""
    monkeypatch.chdir(tmp_path)

    def run(*words: str) -> tuple[list[str], str]:
        start = time.perf_counter()
        with pytest.raises(SystemExit) as ended:
            main.main(list(words), prog_name="advisor")
        took = time.perf_counter() - start
        out, err = capsys.readouterr()
        assert ended.value.code in (0, 1), err
        assert took < SECONDS, f"it took {took:.1f} s"
        return re.findall(r"^\w[\w ]* ([A-Z]\d\d):", err, re.MULTILINE), err + out

    return run


def written(text: str, name: str = "rules.tell") -> str:
    """A file of the current folder."""
    Path(name).write_text(text, encoding="utf-8")
    return name


# ---- time and memory -------------------------------------------------------------------------------------------


def doubling(sign: str) -> str:
    return "".join(f"let a{i} = a{i - 1} {sign} a{i - 1}\n" for i in range(1, 61))


REFUSED = {
    "10,000 brackets": ("let x = " + "(" * 10_000 + "1" + ")" * 10_000, "F02"),
    "10,000 brackets never closed": ("let x = " + "(" * 10_000, "F02"),
    "10,000 closing brackets": ("let x = 1" + ")" * 10_000, "S03"),
    "not, 10,000 times": (QUESTIONS + "caution x when " + "not " * 10_000 + "rust" + BECAUSE, "F02"),
    "10,000 minus signs": ("let x = " + "- " * 10_000 + "1", "F02"),
    "10,000 calls": ("let x = " + "low(" * 10_000 + "1" + ")" * 10_000, "F02"),
    "a sum of 5,000 terms": (QUESTIONS + "let x = " + " + ".join(["a0"] * 5_000), "F02"),
    "3,000 shares of shares": ("let x = " + "50% of " * 3_000 + "$1", "F02"),
    "a number of a million digits": ("let x = " + "9" * 1_000_000, "F03"),
    "a setting of a million digits": ("setting x = " + "9" * 1_000_000 + "\n    source house figure", "F03"),
    "a fraction of a million digits": ("let x = 1/" + "9" * 1_000_000, "F03"),
    "300,000 commas": ("let x = 1" + ",111" * 200_000, "F03"),
    "a day of a million digits": ("season x\n    open Apr " + "9" * 1_000_000 + " .. May 1", "V05"),
    "a list of a million digits": ("ask x: 1 to " + "9" * 1_000_000 + ' of psi\n    "How much?"', "T16"),
    "a code of a million digits": ("ask x: code of 1 to " + "9" * 1_000_000 + '\n    "Which?"', "N08"),
    "a unit of 300,000 parts": ("let x = $1" + "/h" * 300_000, "V03"),
    "a name of a million letters": ("let x = " + "a" * 1_000_000, "N01"),
    "a text never closed": ('let x = 1 "' + "a" * 1_000_000, "S06"),
    "a million quotes": ('"' * 1_000_000, "S01"),
    "doubled sixty times by a product": (QUESTIONS + doubling("*"), "T17"),
    "a product of sixty": (QUESTIONS + "let x = " + " * ".join(["a0"] * 60), "T17"),
    "5,000 cars like each other": (
        QUESTIONS + VERDICT + "car c0\n    rust = no\n" + "".join(f"car c{i} like c{i - 1}\n" for i in range(1, 5_000)),
        "F02",
    ),
}


@pytest.mark.parametrize(("text", "code"), REFUSED.values(), ids=REFUSED)
def test_too_much_is_refused_in_time(text: str, code: str, ran: Ran) -> None:
    codes, said = ran("check", written(text + "\n"))
    assert codes == [code]
    assert len(said) < 2_000


def chain(first: str, step: str, last: str, count: int = 1_000) -> str:
    """A thousand lets, each of the one before."""
    lines = [f"let b0 = {first}\n", *(f"let b{i} = {step.format(f'b{i - 1}')}\n" for i in range(1, count + 1))]
    return QUESTIONS + "".join(lines) + last.format(f"b{count}") + VERDICT + CASE


ANSWERED = {
    "doubled sixty times by a sum": QUESTIONS + doubling("+") + 'show a60 "It all"\n' + VERDICT + CASE,
    "doubled sixty times by a difference": QUESTIONS + doubling("-") + 'show a60 "It all"\n' + VERDICT + CASE,
    "doubled sixty times by branches": QUESTIONS
    + "".join(f"let a{i} =\n    a{i - 1} when a{i - 1} > 3\n    a{i - 1} + 1 otherwise\n" for i in range(1, 61))
    + 'show a60 "It all"\n'
    + VERDICT
    + CASE,
    "doubled sixty times by and": QUESTIONS
    + "let b0 = rust\n"
    + "".join(f"let b{i} = (b{i - 1} and b{i - 1})\n" for i in range(1, 61))
    + "caution x when b60 and a0 > 1"
    + BECAUSE
    + VERDICT
    + CASE,
    "1,000 lets": chain("a0", "{} + 1", 'show {} "It all"\n'),
    "1,000 lets on the offer": chain("offer + $1 * a0", "{} + $1", "require x: {} <= $1,000,000" + BECAUSE),
    "1,000 lets on an estimate": chain(
        "a0 + larger of (1, sum(parts) / ($1))", "{} + 1", 'let z = low({})\nshow z "It"\n'
    ),
    "1,000 conditions": chain("rust", "(not {})", "caution x when {} and a0 > 1" + BECAUSE),
    "2,000 comparisons side by side": QUESTIONS
    + "caution x when "
    + " and ".join(f"a0 > {i / 1000:.3f}" for i in range(2_000))
    + BECAUSE
    + VERDICT
    + CASE,
    "2,000 branches": QUESTIONS
    + "let x =\n"
    + "".join(f"    {i} when a0 > {i / 1000:.3f}\n" for i in range(2_000))
    + '    0 otherwise\nshow x "It"\n'
    + VERDICT
    + CASE,
    "a million blanks": QUESTIONS + 'show a0 "It"' + " " * 1_000_000 + VERDICT + CASE,
    "a comment of a million letters": "# " + "a" * 1_000_000 + "\n" + QUESTIONS + 'show a0 "It"\n' + VERDICT + CASE,
}


@pytest.mark.parametrize("text", ANSWERED.values(), ids=ANSWERED)
def test_much_is_answered_in_time(text: str, ran: Ran) -> None:
    codes, said = ran("check", written(text))
    assert codes == []
    assert "1 case" in said


def test_a_file_with_nothing_right_is_told_in_time(ran: Ran) -> None:
    codes, _ = ran("check", written("".join(f"let x{i} = y{i}\n" for i in range(10_000))))
    assert codes == ["N01"] * 500 + ["F09"]


# ---- files -----------------------------------------------------------------------------------------------------


@pytest.fixture
def outside(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A rule file in a folder where nobody has any business."""
    path = tmp_path_factory.mktemp("elsewhere") / "secret.tell"
    path.write_text('ruleset "Secret"\nsetting secret = $1\n    source "hush"\n', encoding="utf-8")
    return path


def test_use_reaches_beside_and_below(ran: Ran) -> None:
    Path("below").mkdir()
    written("setting pads = $80\n    source house figure\n", "below/pads.tell")
    written('use "./below/pads.tell"\nlet brakes = pads + $40\n')
    assert ran("check", "rules.tell")[0] == []


@pytest.mark.parametrize(
    "target",
    [
        "../secret", "../secret.tell", "./../secret.tell", "./below/../../secret.tell", "{}", "~/secret.tell",
        "file://{}", "..", "..\\\\secret.tell", "./{}",
    ],
)  # fmt: skip
def test_use_reaches_no_further(target: str, outside: Path, ran: Ran) -> None:
    Path("below").mkdir()
    Path("../secret.tell").write_text("setting secret = $1\n    source house figure\n", encoding="utf-8")
    codes, said = ran("check", written(f'use "{target.format(outside)}"\n'))
    assert codes in (["F04"], ["F05"])
    assert "hush" not in said


@pytest.mark.parametrize("links_to", ["file", "folder"])
def test_a_link_does_not_lead_out(links_to: str, outside: Path, ran: Ran) -> None:
    if links_to == "file":
        Path("mine.tell").symlink_to(outside)
        target = "./mine.tell"
    else:
        Path("mine").symlink_to(outside.parent, target_is_directory=True)
        target = "./mine/secret.tell"
    codes, said = ran("check", written(f'use "{target}"\n'))
    assert codes == ["F04"]
    assert "hush" not in said


def test_a_link_inside_is_followed(ran: Ran) -> None:
    written("setting pads = $80\n    source house figure\n", "real.tell")
    Path("link.tell").symlink_to("real.tell")
    assert ran("check", written('use "./link.tell"\nlet brakes = pads + $40\n'))[0] == []


def test_links_in_a_circle_are_a_message(ran: Ran) -> None:
    Path("a.tell").symlink_to("b.tell")
    Path("b.tell").symlink_to("a.tell")
    assert ran("check", written('use "./a.tell"\n'))[0] in (["F04"], ["F05"], ["F08"])
    assert ran("check", "a.tell")[0] == ["F08"]


def test_files_that_use_each_other_are_a_message(ran: Ran) -> None:
    written('use "./b.tell"\nsetting pads = $80\n    source house figure\n', "a.tell")
    written('use "./c.tell"\n', "b.tell")
    written('use "./a.tell"\nlet brakes = pads + $40\n', "c.tell")
    codes, said = ran("check", "a.tell")
    assert codes == ["F06"]
    assert "a.tell -> b.tell -> c.tell -> a.tell" in said


def test_a_file_used_twice_is_read_once(ran: Ran) -> None:
    written("setting pads = $80\n    source house figure\n", "pads.tell")
    written('use "./pads.tell"\nlet left = pads + $1\n', "left.tell")
    written('use "./pads.tell"\nlet right = pads + $2\n', "right.tell")
    assert ran("check", written('use "./left.tell"\nuse "./right.tell"\nlet both = left + right\n'))[0] == []


ODD_FILES = ["device", "pipe", "folder", "missing"]


def odd_file(kind: str, suffix: str) -> str:
    """The name of something that is no file."""
    name = f"odd{suffix}"
    match kind:
        case "device":
            if not Path("/dev/zero").exists():
                pytest.skip("there are no device files here")
            Path(name).symlink_to("/dev/zero")
        case "pipe":
            if not hasattr(os, "mkfifo"):
                pytest.skip("there are no pipes here")
            os.mkfifo(name)
        case "folder":
            Path(name).mkdir()
    return name


@pytest.mark.parametrize("kind", ODD_FILES)
def test_what_is_no_file_is_a_message(kind: str, ran: Ran) -> None:
    rules, car = odd_file(kind, ".tell"), odd_file(kind, ".car")
    assert ran("check", rules)[0] == ["F08"]
    assert ran("judge", car)[0] == ["F08"]
    assert ran("judge", car, "--rules", rules)[0] == ["F08"]
    # The link to a device leads out of the folder; a pipe and a folder lie in it.
    codes = ran("check", written(f'use "./{rules}"\n'))[0]
    assert codes == [{"device": "F04", "missing": "F05"}.get(kind, "F08")]


def test_a_device_named_outright_is_a_message(ran: Ran) -> None:
    if not Path("/dev/zero").exists():
        pytest.skip("there are no device files here")
    assert ran("check", "/dev/zero")[0] == ["F08"]
    assert ran("judge", "/dev/zero")[0] == ["F08"]
    assert ran("check", written('use "/dev/zero"\n'))[0] == ["F04"]


def test_files_too_large_are_a_message(ran: Ran) -> None:
    large = "# " + "x" * (2 * LARGEST) + "\n"
    assert ran("check", written(large))[0] == ["F01"]
    assert ran("judge", written(large, "a.car"))[0] == ["F01"]
    assert ran("check", written('use "./large.tell"\n', "user.tell"), *[written(large, "large.tell")])[0] == ["F01"]
    with Path("sparse.tell").open("wb") as file:
        file.truncate(1 << 40)
    assert ran("check", "sparse.tell")[0] == ["F01"]


@pytest.mark.parametrize("data", [b"\xff\xfe\x00", b"setting pads = \xa380\n", b"\xed\xa0\x80", b"\x80"])
def test_what_is_no_text_is_a_message(data: bytes, ran: Ran) -> None:
    Path("odd.tell").write_bytes(data)
    Path("odd.car").write_bytes(data)
    assert ran("check", "odd.tell")[0] == ["F08"]
    assert ran("judge", "odd.car")[0] == ["F08"]


@pytest.mark.parametrize("text", ["", "\n\n", "# nothing\n", "\ufeff# nothing\n", "\r\n\r\n"])
def test_a_file_that_says_nothing_is_no_problem(text: str, ran: Ran) -> None:
    assert ran("check", written(text))[0] == []


# ---- code ------------------------------------------------------------------------------------------------------

WORDS_OF_PYTHON = [
    "__import__", "__builtins__", "__class__", "self", "lambda", "None", "True", "False", "exec", "eval", "v", "plan",
    "answers", "t", "x", "def", "class", "import", "return", "yield", "async", "match", "Decimal", "print", "q",
    "low", "offer_",
]  # fmt: skip


@pytest.mark.parametrize("name", WORDS_OF_PYTHON)
def test_words_of_python_are_names_like_others(name: str, ran: Ran) -> None:
    """As question, let, fault and rule at once: it works, or is refused by a message."""
    text = f"""\
ask {name}: yes/no
    "Is it?"
ask asking: money from $0 to $50,000
    "What does the seller ask?"
setting highest_offer = $20,000
    source house figure
setting {name}_1 = $80
    source house figure
let {name}_2 = {name}_1 + $20
fault {name}_3 when {name}
    parts {name}_2
    must be fixed
    source house figure
refuse {name}_4 when {name} and asking > $40,000
    because "It is so."
    source house figure
let profit = $5,000 - offer - sum(parts)
show {name}_2 "It"
require {name}_5: profit >= $1,000
    because "It is so."
    source house figure
verdict
    buy  when ceiling >= asking
    pass otherwise
case "it"
    {name} = yes
    asking = $3,000
    gives {name}_2 = $100
    gives profit = $1,900
    gives ceiling = $3,900
    gives buy
"""
    codes, said = ran("check", written(text))
    assert codes == []
    assert "1 case run" in said or "1 cases run" in said


CODE = [
    'let x = __import__("os").system("touch ran")',
    "let x = __import__(os)",
    "let x = eval(1)",
    "let x = (lambda: 1)()",
    "let x = [1 for x in y]",
    'let x = open("ran", "w")',
    "setting x = $1 \"\\n__import__('os').mkdir('ran')\"\n    source \"\\\" + __import__('os').mkdir('ran')\"",
    "ask x: one of a, b\n    \"{__import__('os').mkdir('ran')} %s {0} {self} ${x}\"",
    "let x = 1; import os",
    "let x = `touch ran`",
    "let x = $(touch ran)",
    'use "$(touch ran)"',
    'use "| touch ran"',
    "verdict\n    buy when __import__('os').mkdir('ran')\n    pass otherwise",
]


@pytest.mark.parametrize("text", CODE)
def test_code_is_never_run(text: str, ran: Ran) -> None:
    ran("check", written(text + "\n"))
    assert {p.name for p in Path().iterdir()} == {"rules.tell"}


def test_texts_are_shown_and_not_obeyed(ran: Ran) -> None:
    """Control codes, text that turns the line round and braces stay text."""
    text = 'ask \u202ex\x1b[31m: {y}\x07 [red]%s\n    "\x1b]0;title\x07 {0} \u2066"\nlet a\x00b = 1\n'
    _, said = ran("check", written(text))
    assert not re.search(r"[\x00-\x08\x0b-\x1f\x7f-\x9f\u202a-\u202e\u2066-\u2069]", said)


TREAD = """\
ask tread: in from 0 in to 1 in
    "How deep?"
verdict
    buy  when tread > 0 in
    pass otherwise
"""

# ---- odd values ------------------------------------------------------------------------------------------------

ODD_VALUES = [
    "1e999999", "1E5", "NaN", "nan", "Infinity", "inf", "-inf", "0x10", "1_000", "9" * 5_000, "1/0", "0/0", "-1",
    "--1", "+1", "1.", ".5.5", "1..2", "1 .. 2 .. 3 .. 4", "$", "$$1", "1$", "%", "1%%", "in", "1 in in",
    "1/2/3 in", "\u0663 in", "\u00b2 in", "2026-13-45", "'; drop table", "\x00", "\x1b[31m", "\U0001f697", '"', "()",
    "unsure refused", "None", "True", "5 in # fine\x07",
]  # fmt: skip


@pytest.mark.parametrize("value", ODD_VALUES, ids=range(len(ODD_VALUES)))
def test_odd_answers_are_messages(value: str, ran: Ran) -> None:
    written(TREAD)
    codes, said = ran("judge", written(f"tread = {value}\n", "a.car"), "--rules", "rules.tell")
    assert len(codes) == 1
    assert codes[0] in {"V01", "V02", "V03", "V07", "V08", "V09", "V13", "V15", "F03", "C01", "S06"}
    assert not re.search(r"[\x00-\x08\x0b-\x1f\x7f-\x9f]", said)


@pytest.mark.parametrize("value", [v for v in ODD_VALUES if v != "5 in # fine\x07"])
def test_odd_settings_are_messages(value: str, ran: Ran) -> None:
    codes, _ = ran("check", written(f"setting x = {value}\n    source house figure\n"))
    # `-1` is a fine setting, and `1 in in` and its kin may be told in several ways; none may pass, or crash.
    assert codes == [] if value == "-1" else len(codes) == 1


ODD_LINES = [
    "=", "= 3", "tread", "tread =", "tread == 3 in", "on", "on today", "note", 'note "', "car", "case", "   ",
    "\ttread = 3 in", "tread = 3 in = 4 in", "\x00", "((((", ")", 'use "money"', "let x = 1", "rules", "[section]",
    "<?xml?>", "{}",
]  # fmt: skip


@pytest.mark.parametrize("line", ODD_LINES, ids=range(len(ODD_LINES)))
def test_odd_lines_of_a_car_are_at_most_one_message(line: str, ran: Ran) -> None:
    written(TREAD)
    text = f'car "A car"\non 2026-04-11\n{line}\nnote "Seen in the rain."\n'
    codes, _ = ran("judge", written(text, "a.car"), "--rules", "rules.tell")
    assert len(codes) == (line != "   ")


HEAVY_CARS = {
    "quotes that pair up in many ways": "tread = " + '""' * 5_000 + "\n    x",
    "10,000 texts never closed": 'tread = 3\n"\n' * 10_000,
    "10,000 odd lines": "a\n" * 10_000,
    "a list without end": "tread = " + "1 in, " * 150_000,
    "an estimate without end": "tread = 1 in" + " .. 1 in" * 100_000,
    "a number of a million digits": "tread = " + "9" * 1_000_000 + " in",
    "a million blanks": "tread =" + " " * 1_000_000 + "x",
}


@pytest.mark.parametrize("text", HEAVY_CARS.values(), ids=HEAVY_CARS)
def test_heavy_cars_are_refused_in_time(text: str, ran: Ran) -> None:
    written(TREAD)
    codes, _ = ran("judge", written(text + "\n", "a.car"), "--rules", "rules.tell")
    assert codes
    assert len(codes) <= 501


def test_a_file_of_too_many_lines_is_one_message(ran: Ran) -> None:
    many = "a\n" * 500_000
    assert ran("check", written(many))[0] == ["F01"]
    assert ran("judge", written(many, "a.car"))[0] == ["F01"]


def test_nothing_deep_is_left_behind(ran: Ran) -> None:
    """The limit of nesting is ours, not the interpreter's: at its edge everything still works."""
    before = sys.getrecursionlimit()
    inner = "(" * 60 + "a0" + ")" * 60
    codes, _ = ran("check", written(QUESTIONS + f'let x = {inner} + 1\nshow x "It"\n' + VERDICT + CASE))
    assert codes == []
    assert sys.getrecursionlimit() == before


def test_a_problem_of_a_used_file_names_that_file(ran: Ran) -> None:
    Path("below").mkdir()
    written("setting pads = $8,0\n    source house figure\n", "below/pads.tell")
    codes, said = ran("check", written('use "./below/pads.tell"\nlet brakes = pads + $40\n'))
    assert codes == ["V02"]
    assert f"at {Path('below/pads.tell')}, line 1, column 16" in said
