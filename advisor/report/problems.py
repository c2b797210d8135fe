"""Problems as text: the place, the line with the culprit underlined, what is wrong and what to do.

In: `Problem` values. Out: plain text for a terminal, or plain data for JSON.
"""

from __future__ import annotations

import textwrap
from collections.abc import Iterable

from advisor.language.problems import Kind, Problem, Severity
from advisor.language.source import Span
from advisor.report.clean import clean

__all__ = ["explain", "problem_data", "render_problem", "summary"]

_WIDEST = 100


def render_problem(problem: Problem, width: int = 1000) -> str:
    """One problem as some lines of text; what is said is wrapped to the width, what is quoted is not."""
    label = {Severity.ERROR: "error", Severity.ADVICE: "advice", Severity.LATER: "not yet"}[problem.severity]
    lines = [*_wrapped(f"{label} {problem.code}: {clean(problem.message)}", width, 2), *_quoted(problem.span)]
    for span, text in problem.notes:
        lines += [*_quoted(span, text)]
    lines += _wrapped(f"  do: {clean(problem.cure)}", width, 6)
    return "\n".join(lines)


def _wrapped(text: str, width: int, hang: int) -> list[str]:
    """A paragraph in lines; one that fits is left as it is."""
    if len(text) <= width:
        return [text]
    return textwrap.wrap(text, width, subsequent_indent=" " * hang, break_on_hyphens=False)


def _quoted(span: Span, note: str = "") -> list[str]:
    """The line of a span with the span underlined; a long line is cut around it."""
    if not span.source.text:  # a file that could not be read has nothing to show
        return [f"  in {clean(span.source.name)}"]
    place = span.place
    line = span.source.line(place.line).replace("\t", " ")
    start = place.column - 1
    length = max(1, min(len(line) - start, len(span.text.split("\n")[0])))
    first = 0 if start + length <= _WIDEST else max(0, start - 20)
    length = min(length, first + _WIDEST - start)
    before, after = "..." if first else "", "..." if len(line) > first + _WIDEST else ""
    line = before + line[first : first + _WIDEST] + after
    number = str(place.line)
    margin = " " * len(number)
    mark = " " * (len(before) + start - first) + "^" * length
    where = f"  {margin}at {clean(span.source.name)}, line {place.line}, column {place.column}"
    return [
        where,
        f"  {number} | {clean(line)}",
        f"  {margin} | {mark}{' ' + clean(note) if note else ''}",
    ]


def summary(problems: Iterable[Problem]) -> str:
    """How many there are, in words."""
    counts = dict.fromkeys(Severity, 0)
    for problem in problems:
        counts[problem.severity] += 1
    words = {
        Severity.ERROR: ("error", "errors"),
        Severity.ADVICE: ("piece of advice", "pieces of advice"),
        Severity.LATER: ("thing not computed yet", "things not computed yet"),
    }
    parts = [f"{n} {words[s][n != 1]}" for s, n in counts.items() if n]
    return ", ".join(parts) or "no problems"


def problem_data(problem: Problem) -> dict[str, object]:
    """A problem as data; lines and columns count from 1."""
    return {
        "code": problem.code,
        "severity": problem.severity.value,
        "message": problem.message,
        "cure": problem.cure,
        "place": _place(problem.span),
        "notes": [{"message": text, "place": _place(span)} for span, text in problem.notes],
    }


def _place(span: Span) -> dict[str, object]:
    end = span.source.place(max(span.start, span.end - 1))
    return {
        "file": span.source.name,
        "line": span.place.line,
        "column": span.place.column,
        "end_line": end.line,
        "end_column": end.column + 1,
    }


def explain(kind: Kind) -> str:
    """The page of a kind of problem."""
    stops = {Severity.ERROR: "an error", Severity.ADVICE: "advice", Severity.LATER: "not computed yet"}[kind.severity]
    return f"{kind.code}: {kind.title} ({stops})\n\n{textwrap.fill(kind.page, 78)}\n"
