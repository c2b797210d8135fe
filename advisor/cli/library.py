"""Rule files on the disk: what `use` may reach, and nothing else.

A bare name is a bundled ruleset; a name that begins with `./` is a file beside or below the one that uses it,
after links are resolved. A file named on the command line may be anywhere.
"""

from __future__ import annotations

import stat
from pathlib import Path

from attrs import define, field

from advisor import resources
from advisor.language import catalogue
from advisor.language.blocks import LARGEST
from advisor.language.problems import nearest
from advisor.language.source import Source
from advisor.language.values import Unreadable

__all__ = ["DiskLibrary", "read_text"]


def read_text(path: Path, shown: str) -> str:
    """The text of a rule file or recorded car, with line ends made `\\n`. Raises `Unreadable`."""
    try:
        if not stat.S_ISREG(path.stat().st_mode):
            raise Unreadable(
                catalogue.NOT_READABLE, target=shown, reason="it is no ordinary file", cure="name a text file"
            )
        with path.open("rb") as file:
            data = file.read(4 * LARGEST + 1)
    except FileNotFoundError:
        raise Unreadable(catalogue.NOT_READABLE, target=shown, reason="it is not there", cure=_like(path)) from None
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or "the name is not one a file can have"
        raise Unreadable(
            catalogue.NOT_READABLE, target=shown, reason=reason, cure="check the name and the rights"
        ) from None
    if len(data) > 4 * LARGEST:
        raise Unreadable(catalogue.FILE_TOO_LARGE, most="1 MiB")
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = data[: error.start].count(b"\n") + 1
        raise Unreadable(
            catalogue.NOT_READABLE, target=shown, reason=f"line {line} is not UTF-8 text", cure="save it as UTF-8"
        ) from None
    return text.replace("\r\n", "\n").replace("\r", "\n")


def _like(path: Path) -> str:
    try:
        names = [p.name for p in path.parent.iterdir() if p.suffix == path.suffix]
    except OSError:
        names = []
    guess = nearest(path.name, names)
    return f"did you mean `{guess}`?" if guess else "check the name"


@define
class DiskLibrary:
    """Finds what `use` means. `paths` remembers where each shown name came from."""

    paths: dict[str, Path] = field(factory=dict)

    def first(self, path: Path) -> Source:
        """The file that was named on the command line."""
        name = str(path)
        source = Source(name, read_text(path, name))
        self.paths[name] = path
        return source

    def bundled(self, name: str) -> Source:
        """A bundled ruleset by its bare name."""
        folder = resources.rulesets_folder()
        path = folder / f"{name}.tell"
        known = sorted(p.stem for p in folder.glob("*.tell"))
        if name not in known:
            guess = nearest(name, known)
            cure = (
                f"did you mean `{guess}`?"
                if guess
                else f"bundled are {', '.join(f'`{k}`' for k in known)}; your own file is `./{name}.tell`"
            )
            raise Unreadable(catalogue.USE_MISSING, target=name, cure=cure)
        return self._source(f"rulesets/{name}.tell", path)

    def find(self, target: str, user: str | None) -> Source:
        """What `use "target"` means in the file shown as `user`. Raises `Unreadable`."""
        if not target.startswith("./"):
            if "/" in target or "\\" in target or target.startswith("."):
                raise Unreadable(catalogue.USE_OUTSIDE, target=target)
            return self.bundled(target)
        home = self.paths[user].resolve().parent if user else Path.cwd()
        try:
            path = (home / target).resolve()
            inside = path.is_relative_to(home)
        except (OSError, RuntimeError, ValueError):
            inside, path = False, home
        if not inside:
            raise Unreadable(catalogue.USE_OUTSIDE, target=target)
        if not path.exists():
            raise Unreadable(catalogue.USE_MISSING, target=target, cure=_like(path))
        base = Path(user).parent if user else Path()
        return self._source(str(base / path.relative_to(home)), path)

    def _source(self, shown: str, path: Path) -> Source:
        """A file under the name it has already, if it was reached before on another way: it is read once."""
        real = path.resolve()
        shown = next((name for name, known in self.paths.items() if known.resolve() == real), shown)
        self.paths[shown] = path
        return Source(shown, read_text(path, shown))
