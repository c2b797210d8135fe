"""Whole processes, and the reading of long rules, against the start of bare Python in the same run."""

from __future__ import annotations

import re
import subprocess
import sys
import time
from pathlib import Path
from typing import Any

from advisor import resources
from advisor.language.checking import check
from advisor.language.linking import link
from advisor.language.parsing import grammar
from advisor.language.source import Source

HERE = Path(__file__).resolve().parents[2]


def best(*command: str, times: int = 5) -> float:
    """Seconds that a command takes, the best of several."""
    found = []
    for _ in range(times):
        start = time.perf_counter()
        subprocess.run([sys.executable, *command], cwd=HERE, check=True, capture_output=True)
        found.append(time.perf_counter() - start)
    return min(found)


def test_processes(capsys: Any) -> None:
    bare = best("-c", "pass")
    car = str(HERE / "examples" / "quail-hatch.car")
    measured = {
        "advisor --version": (best("-m", "advisor", "--version"), 0.12),
        "advisor judge, warm": (best("-m", "advisor", "judge", car), 0.35),
    }
    with capsys.disabled():
        print(f"\nbare python: {bare:.3f} s")
        for name, (seconds, goal) in measured.items():
            print(f"{name}: {seconds:.3f} s, {seconds / bare:.1f} times bare python (goal on two cores: {goal} s)")


def test_parse_and_check(capsys: Any) -> None:
    # The parts of the walk, as one file.
    folder = resources.rulesets_folder() / "walkaround"
    parts = sorted(path for path in folder.glob("*.tell") if path.stem != "visit")  # which uses the others
    text = "".join(
        re.sub(r'^ruleset ".*\n    currency USD$', "", p.read_text(encoding="utf-8"), flags=re.M) for p in parts
    )
    lines = text.count("\n")
    parser = grammar(resources.grammar_text())
    bare = best("-c", "pass")
    found = []
    for _ in range(3):
        start = time.perf_counter()
        program, _ = check(link(parser, Source("walkaround.tell", text), None))  # type: ignore[arg-type]  # it uses no file
        found.append((time.perf_counter() - start) * 2000 / lines)
        assert program is not None
    with capsys.disabled():
        ratio = min(found) / bare
        print(f"\nparse and check: {min(found):.3f} s for 2,000 lines, {ratio:.1f} times bare python (goal: 0.5 s)")
