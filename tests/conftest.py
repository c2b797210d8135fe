"""What all tests share: `--accept`, the same random choices every time, and a cache of their own."""

from __future__ import annotations

import gc
import os
from collections.abc import Callable, Iterator
from pathlib import Path

import hypothesis
import pytest

# A failure must come back on the next run, and on another machine.
hypothesis.settings.register_profile("same-every-time", derandomize=True, print_blob=True, deadline=None)
hypothesis.settings.load_profile("same-every-time")

# Rulesets are held by the hundred; to look through them for garbage at every few hundred new objects takes long.
gc.set_threshold(20_000, 10, 10)

Expect = Callable[[Path, str], None]
"""Compares a text with the file that holds what it must be."""


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption(
        "--accept",
        action="store_true",
        help="Write what the tests find into the files of what they expect, for review.",
    )


@pytest.fixture(scope="session", autouse=True)
def own_cache(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """No test reads what a user's own runs have left, nor leaves anything there. All workers of a run share one."""
    before = os.environ.get("ADVISOR_CACHE")
    run = tmp_path_factory.getbasetemp()
    folder = (run.parent if "PYTEST_XDIST_WORKER" in os.environ else run) / "cache"
    folder.mkdir(mode=0o700, exist_ok=True)
    os.environ["ADVISOR_CACHE"] = str(folder)
    # Commands that are started find their bytecode, as a user's do, whatever the shell of the tests says.
    os.environ.pop("PYTHONDONTWRITEBYTECODE", None)
    os.environ["PYTHONPYCACHEPREFIX"] = str(folder / "bytecode")
    yield
    if before is None:
        del os.environ["ADVISOR_CACHE"]
    else:
        os.environ["ADVISOR_CACHE"] = before


@pytest.fixture
def expect(request: pytest.FixtureRequest) -> Expect:
    """`expect(path, text)`: the text must be exactly what the file says; `--accept` writes the file."""

    def compare(path: Path, text: str) -> None:
        if request.config.getoption("--accept"):
            path.write_text(text, encoding="utf-8")
        assert path.exists(), f"{path.name} is not there; `pytest --accept` writes it:\n{text}"
        assert text == path.read_text(encoding="utf-8")

    return compare
