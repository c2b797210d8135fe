"""The language's reference and the rulesets' page: every example checks, and every kind of problem is told.

An example is a fenced block tagged `telltale` or `car`. Words after the tag say how it is checked:

    name=deal       keep it under this name: as a prelude, or as a file that a later example uses
    prelude=deal    put that prelude before it, without the blocks whose names the example defines itself
    wrong=S09       it is wrong on purpose, and gives this code and no other

A `car` is read against the rules of `name=deal`, or of the prelude it names.
"""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from attrs import frozen

from advisor import resources
from advisor.cli.library import DiskLibrary
from advisor.judging.cases import run_cases
from advisor.judging.judge import Judge
from advisor.language.cars import read_car
from advisor.language.catalogue import KINDS
from advisor.language.checking import check
from advisor.language.functions import FUNCTIONS
from advisor.language.linking import link
from advisor.language.parsing import grammar
from advisor.language.problems import Problem, Severity
from advisor.language.program import Program
from advisor.language.signatures import TRADE
from advisor.language.source import Source
from advisor.language.units import ALIASES, CURRENCIES, UNITS
from advisor.language.words import BODY_WORDS, HEAD_WORDS, RESERVED
from advisor.readings.compiled import Readings

ROOT = Path(__file__).resolve().parents[2]
REFERENCE = ROOT / "grammar" / "README.md"
RULESETS = ROOT / "rulesets" / "README.md"
DEVELOPERS = ROOT / "DEVELOPERS.md"
BEGIN, END = "<!-- problems -->", "<!-- end of problems -->"

_FENCE = re.compile(r"^```(telltale|car)([^\n]*)\n(.*?)^```$", re.MULTILINE | re.DOTALL)
_BLOCK = re.compile(r"^(?=\S)", re.MULTILINE)
_DEFINED = re.compile(
    r"^(?:ask|setting|let|fault|refuse|require|caution|season|table|car) (\w+)|^(ruleset|verdict)", re.MULTILINE
)
_GROUPS = {
    "S": "The shape of the text",
    "V": "Values",
    "N": "Names",
    "T": "Types and units",
    "R": "Rules",
    "F": "Files and limits",
    "C": "Cars and cases",
    "M": "Files of comparables",
    "A": "Advice",
    "L": "Not computed yet",
}


@frozen
class Example:
    """A fenced block: its page and line, its tag, the words after it, and its text."""

    page: str
    line: int
    tag: str
    words: dict[str, str]
    text: str

    @property
    def label(self) -> str:
        """How the example is named in the tests' output."""
        return f"{self.page}:{self.line}"


def examples(page: Path) -> list[Example]:
    """The examples of a page."""
    text = page.read_text(encoding="utf-8")
    found = []
    for match in _FENCE.finditer(text):
        words = dict(w.split("=", 1) for w in match[2].split())
        line = text.count("\n", 0, match.start()) + 1
        found.append(Example(page.parent.name, line, match[1], words, match[3]))
    return found


EXAMPLES = [*examples(REFERENCE), *examples(RULESETS)]
NAMED = {e.words["name"]: e.text for e in EXAMPLES if "name" in e.words}


def names_in(text: str) -> set[str]:
    """The names that a text defines, with `ruleset` and `verdict` for those blocks."""
    return {a or b for a, b in _DEFINED.findall(text)}


def whole(example: Example, prelude: str | None) -> str:
    """The example as a file of its own."""
    if prelude is None:
        return example.text
    own = names_in(example.text)
    kept = [block for block in _BLOCK.split(NAMED[prelude]) if not names_in(block) & own]
    return "".join(kept) + "\n" + example.text


NAMED |= {e.words["name"]: whole(e, e.words["prelude"]) for e in EXAMPLES if {"name", "prelude"} <= e.words.keys()}


def checked(text: str, folder: Path) -> tuple[Program | None, tuple[Problem, ...]]:
    """A rule file checked, beside the examples that are files."""
    for name, content in NAMED.items():
        if name.endswith(".tell"):
            (folder / name).write_text(content, encoding="utf-8")
    path = folder / "example.tell"
    path.write_text(text, encoding="utf-8")
    library = DiskLibrary()
    return check(link(grammar(resources.grammar_text()), library.first(path), library))


def problems_of(example: Example, folder: Path) -> list[Problem]:
    """Everything wrong with an example; its cases are run."""
    prelude = example.words.get("prelude")
    if example.tag == "car":
        program, problems = checked(NAMED[prelude or "deal"], folder)
        assert program is not None, [p.message for p in problems]
        return read_car(Source("example.car", example.text), program)[1]
    program, problems = checked(whole(example, prelude), folder)
    if program is None or not program.cases:
        return list(problems)
    return [*problems, *run_cases(Judge(Readings(program)))]


@pytest.mark.parametrize("example", EXAMPLES, ids=lambda e: e.label)
def test_every_example_is_what_it_says(example: Example, tmp_path: Path) -> None:
    wrong = example.words.get("wrong", "")
    found = problems_of(example, tmp_path)
    if not wrong.startswith("A"):
        found = [p for p in found if p.severity is not Severity.ADVICE]
    if wrong:
        assert [p.code for p in found] == [wrong], [p.message for p in found]
        return
    assert [(p.code, str(p.span), p.message) for p in found if p.stops] == []


def problems_section() -> str:
    """The pages of all kinds of problems, as the reference shows them."""
    lines: list[str] = []
    group = ""
    for kind in sorted(KINDS.values(), key=lambda k: (list(_GROUPS).index(k.code[0]), k.code)):
        if kind.code[0] != group:
            group = kind.code[0]
            lines += ["", f"### {group}: {_GROUPS[group].lower()}"]
        lines += ["", f"**{kind.code}: {kind.title}.** {kind.page}"]
    return "\n".join(lines) + "\n\n"


def test_reference_tells_every_kind_of_problem(request: pytest.FixtureRequest) -> None:
    text = REFERENCE.read_text(encoding="utf-8")
    before, _, rest = text.partition(BEGIN)
    held, _, after = rest.partition(END)
    wanted = "\n" + problems_section()
    if request.config.getoption("--accept", default=False) and held != wanted:
        REFERENCE.write_text(before + BEGIN + wanted + END + after, encoding="utf-8")
        return
    assert held == wanted, "run pytest --accept to write the pages of the catalogue into the reference"


def test_every_word_of_the_language_is_in_the_reference() -> None:
    text = REFERENCE.read_text(encoding="utf-8")
    text = text[: text.index(BEGIN)]
    words = {*HEAD_WORDS, *RESERVED, *FUNCTIONS, *TRADE, *UNITS, *ALIASES, *CURRENCIES}
    words |= {word for body in BODY_WORDS.values() for word in body}
    told = " ".join(re.findall(r"`([^`\n]*)`", text)) + " ".join(e.text for e in EXAMPLES)
    missing = [w for w in sorted(words) if not re.search(rf"(?<!\w){re.escape(w)}(?!\w)", told)]
    assert missing == []


def test_every_bundled_ruleset_is_told_of() -> None:
    told = re.findall(r"^\| `([\w-]+\.tell)` \|", RULESETS.read_text(encoding="utf-8"), re.MULTILINE)
    assert sorted(told) == sorted(p.name for p in RULESETS.parent.glob("*.tell"))


def test_files_that_developers_are_told_of_are_there() -> None:
    text = DEVELOPERS.read_text(encoding="utf-8")
    paths = re.findall(r"`((?:\.ci|advisor|grammar|rulesets|examples)/[\w./-]*)`", text)
    assert [p for p in paths if "NAME" not in p and not (ROOT / p).exists()] == []
    modules = {p.name for p in (ROOT / "advisor").rglob("*.py")}
    named = re.findall(r"(?<![\w/])(\w+\.py)\b", text)
    assert [m for m in named if m not in modules and not list((ROOT / "tests").rglob(m))] == []
