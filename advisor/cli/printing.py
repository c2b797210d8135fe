"""How the commands print: data as JSON, and how wide a line may be."""

from __future__ import annotations

from typing import Any

import click

__all__ = ["Commands", "error_width", "page_width", "print_data", "say"]

_WIDE = 1000


def print_data(data: object) -> None:
    """Data on standard output, in ASCII, so that nothing in it can act on a terminal."""
    import json

    click.echo(json.dumps(data, indent=2, ensure_ascii=True))


def error_width() -> int:
    """Columns for what goes to the standard error: those of the terminal, or more than are needed."""
    import sys

    return page_width() if sys.stderr is not None and sys.stderr.isatty() else _WIDE


def say(text: str, *, err: bool = False) -> None:
    """A line beside the results, or instead of any, that breaks no word at the edge of a terminal."""
    from advisor.report.wrapping import Page

    page = Page(error_width() if err else page_width())
    page.add(text, hang=2)
    click.echo(page.text, nl=False, err=err)


class Commands(click.Group):
    """Commands whose help and errors break no word at the edge of a terminal."""

    def make_context(
        self, info_name: str | None, args: list[str], parent: click.Context | None = None, **extra: Any
    ) -> click.Context:
        """With the width there is: left to itself, click takes none below 50 columns."""
        extra.setdefault("terminal_width", min(page_width(), 80))
        return super().make_context(info_name, args, parent, **extra)

    def invoke(self, context: click.Context) -> Any:
        """Run a command."""
        try:
            return super().invoke(context)
        except click.exceptions.NoArgsIsHelpError:
            raise
        except click.ClickException as error:
            text, width = error.format_message(), error_width()
            if len(text) <= width - len("Error: "):
                raise
            import textwrap

            before = " " * len("Error: ")
            lines = textwrap.wrap(text, width, initial_indent=before, break_on_hyphens=False)
            whole = "\n".join(lines).removeprefix(before)
            if isinstance(error, click.UsageError):
                raise click.UsageError(whole, error.ctx) from None
            raise click.ClickException(whole) from None


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
