"""How the commands print: data as JSON, and how wide a line may be."""

from __future__ import annotations

import click

__all__ = ["page_width", "print_data"]


def print_data(data: object) -> None:
    """Data on standard output, in ASCII, so that nothing in it can act on a terminal."""
    import json

    click.echo(json.dumps(data, indent=2, ensure_ascii=True))


def page_width() -> int:
    """Columns of the terminal, from 20 to 100."""
    import os
    import shutil
    import sys

    try:  # the window as it is now, before what a shell once said of it
        columns = os.get_terminal_size(sys.stdout.fileno()).columns
    except (OSError, ValueError, AttributeError):
        columns = 0
    return max(20, min(columns or shutil.get_terminal_size((80, 24)).columns, 100))
