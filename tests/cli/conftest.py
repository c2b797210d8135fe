"""What tests of the walk begin with: its rules as a file, and where its book is."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.short_walk import RULES


@pytest.fixture
def rules(tmp_path: Path) -> Path:
    path = tmp_path / "short.tell"
    path.write_text(RULES)
    return path


@pytest.fixture
def book(tmp_path: Path) -> Path:
    return tmp_path / "book.sqlite3"
