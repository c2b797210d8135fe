"""Finds the files that come with the advisor: the grammar, the language's reference and the rule sets.

An installed advisor carries them inside the package, in `_shipped`; in a checkout, and in an editable
install of one, they lie beside the package. Nothing else in the advisor knows where they are: the command
line reads them here and hands their text on.
"""

from pathlib import Path

_PACKAGE = Path(__file__).resolve().parent

# Inside the package first: what was built together with this code fits it, while a folder that happens
# to lie beside an installed package may belong to something else.
_PLACES = (_PACKAGE / "_shipped", _PACKAGE.parent)


class ShippedFileMissing(Exception):
    """A file or folder that belongs to the advisor is in neither of its two places."""

    def __init__(self, name: str, places: tuple[Path, ...]) -> None:
        looked_in = " nor in ".join(str(place) for place in places)
        super().__init__(
            f"{name} belongs to the advisor but is neither in {looked_in}: "
            "this installation is incomplete, install telltale-advisor again"
        )


def grammar_path() -> Path:
    """The file with Telltale's grammar."""
    return _found("grammar/telltale.lark")


def grammar_text() -> str:
    """Telltale's grammar, as the parser takes it."""
    return grammar_path().read_text(encoding="utf-8")


def reference_text() -> str:
    """The reference of the language Telltale, for people to read."""
    return _found("grammar/README.md").read_text(encoding="utf-8")


def rulesets_folder() -> Path:
    """The folder with the rule sets that come with the advisor."""
    return _found("rulesets")


def _found(name: str) -> Path:
    for place in _PLACES:
        path = place / name
        if path.exists():
            return path
    raise ShippedFileMissing(name, _PLACES)
