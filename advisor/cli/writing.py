"""Files written in one step."""

from __future__ import annotations

from pathlib import Path

import click

__all__ = ["replace_file"]


def replace_file(path: Path, text: str) -> None:
    """Write a file in one step, so that a full disk or a lost connection leaves the old one."""
    import os
    import tempfile

    try:
        real = path.resolve()
        handle, temporary = tempfile.mkstemp(dir=real.parent, prefix=f".{real.name}.")
        with os.fdopen(handle, "w", encoding="utf-8") as file:
            file.write(text)
        os.chmod(temporary, real.stat().st_mode & 0o777 if real.exists() else 0o644)
        os.replace(temporary, real)
    except OSError as error:
        raise click.ClickException(f"{path} cannot be written: {error.strerror}; nothing was changed") from None
