"""`advisor sheet`: the questions of the rules as a checklist for paper and pencil.

In: a program, the width of the terminal. Out: text, or a page of HTML. On a terminal the text is as wide as that; into
a file or a pipe it goes in pages for a printer.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from advisor.language.program import Program

__all__ = ["sheet_html", "sheet_text"]


def sheet_text(program: Program, width: int) -> str:
    """The sheet as this terminal, file or pipe wants it."""
    import sys

    from advisor.report.sheet import checklist
    from advisor.report.sheet_lines import sheet_lines, sheet_pages

    sheet = checklist(program)
    return sheet_lines(sheet, width) if sys.stdout.isatty() else sheet_pages(sheet)


def sheet_html(program: Program) -> str:
    """The sheet as a page to print."""
    from advisor.report.sheet import checklist
    from advisor.report.sheet_page import sheet_page

    return sheet_page(checklist(program))
