"""Rules, ready to judge by: from the cache if nothing changed, else read, checked and kept.

In: a path, or None for the bundled house rules. Out: `Rules`. A warm start imports neither lark nor the checker.
"""

from __future__ import annotations

import os
import pickle
from pathlib import Path

from attrs import frozen

from advisor import resources
from advisor.cli.cache import Cache, fingerprint
from advisor.language.problems import Problem, ProblemsFound
from advisor.language.program import Program
from advisor.readings.compiled import Readings

__all__ = ["Checked", "check_rules", "kept_name", "load_rules"]

HOUSE = "house"
"""The bundled rules that hold where no others are named."""


@frozen
class Checked:
    """A rule file that was read: its program, if it has no error, and its problems."""

    program: Program | None
    problems: tuple[Problem, ...]


def _meant(path: Path | None) -> Path | str:
    """A file; or the bundled ruleset that a bare name means, as after `use`, unless there is a file of that name."""
    if path is None:
        return HOUSE
    return path.name if str(path) == path.stem and not path.exists() else path


def kept_name(path: Path | None) -> str:
    """How the book names rules, so that they are found from another folder too: empty for those that hold where no
    others are named."""
    meant = _meant(path)
    return "" if path is None else meant if isinstance(meant, str) else os.path.abspath(meant)


def check_rules(path: Path | None) -> tuple[Checked, list[Path]]:
    """Read and check a rule file and all it uses, from their text."""
    from advisor.cli.library import DiskLibrary
    from advisor.language.checking import check
    from advisor.language.linking import link
    from advisor.language.parsing import grammar
    from advisor.language.source import Source
    from advisor.language.values import Unreadable

    library, meant = DiskLibrary(), _meant(path)
    try:
        first = library.bundled(meant) if isinstance(meant, str) else library.first(meant)
    except Unreadable as error:
        return Checked(None, (error.at(Source(str(meant), "").span(0, 0)),)), []
    program, problems = check(link(grammar(resources.grammar_text()), first, library))
    return Checked(program, problems), list(library.paths.values())


def load_rules(path: Path | None) -> tuple[Readings, tuple[Problem, ...]]:
    """Rules to judge by, and advice about them. Raises `ProblemsFound` if they have an error."""
    meant = _meant(path)
    name = f"bundled {meant}" if isinstance(meant, str) else str(meant.resolve())
    cache = Cache.usual()
    if cache and (kept := cache.load(name)):
        sources, payload = kept
        if all(fingerprint(p) == print_ for p, print_ in sources):
            program, problems, codes = pickle.loads(payload)
            return Readings.from_bytes(program, codes), problems
    checked, paths = check_rules(path)
    if checked.program is None:
        raise ProblemsFound(checked.problems)
    readings = Readings(checked.program)
    if cache:
        prints = [(p.resolve(), fingerprint(p)) for p in [*paths, resources.grammar_path()]]
        payload = pickle.dumps(
            (checked.program, checked.problems, readings.to_bytes()), protocol=pickle.HIGHEST_PROTOCOL
        )
        cache.keep(name, [(p, f) for p, f in prints if f is not None], payload)
    return readings, checked.problems
