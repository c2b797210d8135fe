"""Programs and generated code kept from one run to the next.

The cache holds data and code, so it is a private folder (0700) of the user's own; a folder or file that others can
write is passed over. An entry is keyed by the tool's version and place, Python's version, and every source that `use`
reached, so that a changed rule is never judged by old code. Anything odd about it is no error: the rules are read
again.
"""

from __future__ import annotations

import hashlib
import os
import pickle
import stat
import sys
from pathlib import Path

from attrs import frozen

import advisor
from advisor import resources

__all__ = ["Cache"]


_PACKAGE = Path(advisor.__file__).resolve().parent


def _code_stamp() -> str:
    """The newest change to the code that makes and reads entries: a checkout under work keeps its version."""
    code = [f.stat() for part in ("trade", "language", "readings") for f in os.scandir(_PACKAGE / part)]
    return str(max(s.st_mtime_ns for s in (*code, resources.grammar_path().stat())))


_KEY = f"{advisor.__version__}/{sys.version}/{_PACKAGE}/{_code_stamp()}"
"""Two checkouts have bundled rules, and perhaps code, of their own under the same names."""


@frozen
class Cache:
    """The folder of kept programs."""

    folder: Path

    @classmethod
    def usual(cls) -> Cache | None:
        """The user's cache, or None if there is no safe place for one."""
        chosen = os.environ.get("ADVISOR_CACHE") or os.environ.get("XDG_CACHE_HOME") or "~/.cache"
        try:
            folder = Path(chosen).expanduser() / "telltale-advisor"
            folder.mkdir(mode=0o700, parents=True, exist_ok=True)
        except (OSError, RuntimeError):
            return None
        return cls(folder) if _private(folder, stat.S_ISDIR) else None

    def _path(self, name: str) -> Path:
        return self.folder / (hashlib.sha256(f"{_KEY}/{name}".encode()).hexdigest() + ".kept")

    def load(self, name: str) -> tuple[list[tuple[Path, bytes]], bytes] | None:
        """The sources an entry stands on and its payload, if it is there and safe to read."""
        path = self._path(name)
        try:
            if not _private(path, stat.S_ISREG):
                return None
            key, sources, payload = pickle.loads(path.read_bytes())
        except Exception:  # a damaged entry can raise anything; it is only a cache
            return None
        return (sources, payload) if key == _KEY else None

    def keep(self, name: str, sources: list[tuple[Path, bytes]], payload: bytes) -> None:
        """Write an entry in one step; a full disk or a missing right is no error."""
        import tempfile  # a warm start keeps nothing

        try:
            handle, temporary = tempfile.mkstemp(dir=self.folder)
            with os.fdopen(handle, "wb") as file:
                file.write(pickle.dumps((_KEY, sources, payload), protocol=pickle.HIGHEST_PROTOCOL))
            os.replace(temporary, self._path(name))
        except OSError:
            return


def fingerprint(path: Path) -> bytes | None:
    """A hash of a file's bytes, or None if it cannot be read."""
    try:
        if not stat.S_ISREG(path.stat().st_mode):
            return None
        return hashlib.sha256(path.read_bytes()).digest()
    except OSError:
        return None


def _private(path: Path, kind: object) -> bool:
    """Whether a folder or file is the user's own and nobody else can write it."""
    try:
        found = path.lstat()
    except OSError:
        return False
    own = not hasattr(os, "getuid") or found.st_uid == os.getuid()
    return bool(kind(found.st_mode)) and own and not found.st_mode & (stat.S_IWGRP | stat.S_IWOTH)  # type: ignore[operator]  # S_ISDIR or S_ISREG
