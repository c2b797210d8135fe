"""The README's tour is real: each command in it is run, and prints what the README says.

A line `...` in the README stands for lines left out. `pytest --accept` writes the output anew.
"""

from __future__ import annotations

import re
import shutil
from pathlib import Path

import pytest
from click.testing import CliRunner

from advisor.cli import main

HERE = Path(__file__).resolve().parents[1]
README = HERE / "README.md"
BLOCK = re.compile(r"```console\n(.*?)```", re.DOTALL)
SHOWN = {"judge": 26, "why": 24, "check": 30, "comps": 24, "fact": 16}
"""How many lines of each command's output the README shows."""


@pytest.fixture
def desk(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder with the examples, the README's rule file, and the same with its two slips."""
    shutil.copytree(HERE / "examples", tmp_path / "examples")
    found = re.search(r"```telltale\n(.*?)```", README.read_text(encoding="utf-8"), re.DOTALL)
    assert found
    (tmp_path / "mine.tell").write_text(found[1])
    (tmp_path / "slip.tell").write_text(found[1].replace("$60/h", "60").replace("is not hatch", "is not hatchback"))
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("COLUMNS", "80")
    return tmp_path


def ran(commands: list[str]) -> str:
    """Commands and what they print, diagnostics first, as a terminal would show it."""
    lines = []
    for command in commands:
        args = command.removeprefix("$ advisor ").split()
        result = CliRunner().invoke(main, args)
        lines.append(command)
        output = (result.stderr + result.stdout).rstrip("\n").splitlines()
        most = SHOWN[args[0]]
        lines += output if len(output) <= most else [*output[:most], "..."]
    return "\n".join(lines) + "\n"


def test_tour(desk: Path, request: pytest.FixtureRequest) -> None:
    text = README.read_text(encoding="utf-8")
    blocks = [m[1] for m in BLOCK.finditer(text)]
    assert len(blocks) >= 5
    real = [ran([line for line in block.splitlines() if line.startswith("$ ")]) for block in blocks]
    if request.config.getoption("--accept", default=False):
        for block, output in zip(blocks, real, strict=True):
            text = text.replace(f"```console\n{block}```", f"```console\n{output}```", 1)
        README.write_text(text, encoding="utf-8")
        return
    assert blocks == real
