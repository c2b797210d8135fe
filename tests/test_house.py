"""The house around the code: what the wheel carries, where its files are found, and what the lock pins."""

import configparser
import email
import json
import re
import subprocess
import sys
import tomllib
import zipfile
from pathlib import Path

import pytest
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

import advisor
from advisor import resources

ROOT = Path(__file__).resolve().parents[1]

# Run by an interpreter of its own, which sees one folder and its site-packages, and nothing of the checkout.
WHAT_IS_FOUND = """
import json, sys
sys.path.insert(0, sys.argv[1])
from advisor import resources
print(json.dumps({
    "code": resources.__file__,
    "grammar": str(resources.grammar_path()),
    "grammar text": resources.grammar_text(),
    "reference text": resources.reference_text(),
    "rulesets": str(resources.rulesets_folder()),
}))
"""


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("wheel")
    built = subprocess.run(
        [sys.executable, "-m", "build", "--wheel", "--no-isolation", "--outdir", str(folder), str(ROOT)],
        cwd=folder,  # not the checkout, where a folder named build would hide the module
        stdin=subprocess.DEVNULL,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
    )
    assert built.returncode == 0, built.stdout
    (path,) = folder.glob("*.whl")
    return path


def rulesets_in_checkout() -> dict[str, bytes]:
    return {
        path.relative_to(ROOT).as_posix(): path.read_bytes() for path in sorted((ROOT / "rulesets").rglob("*.tell"))
    }


def found_from(folder: Path, elsewhere: Path) -> dict[str, str]:
    """What `advisor.resources` finds when the advisor is imported from this folder."""
    seen = subprocess.run(
        [sys.executable, "-I", "-c", WHAT_IS_FOUND, str(folder)],
        cwd=elsewhere,
        stdin=subprocess.DEVNULL,
        capture_output=True,
        text=True,
    )
    assert seen.returncode == 0, seen.stderr
    found: dict[str, str] = json.loads(seen.stdout)
    return found


def test_wheel_carries_grammar_and_reference(wheel: Path) -> None:
    with zipfile.ZipFile(wheel) as archive:
        for name in ("grammar/telltale.lark", "grammar/README.md"):
            assert archive.read(f"advisor/_shipped/{name}") == (ROOT / name).read_bytes()


def test_wheel_carries_every_ruleset(wheel: Path) -> None:
    in_checkout = rulesets_in_checkout()
    assert in_checkout, "the checkout has no rule set"
    with zipfile.ZipFile(wheel) as archive:
        in_wheel = {
            name.removeprefix("advisor/_shipped/"): archive.read(name)
            for name in archive.namelist()
            if name.endswith(".tell")
        }
    assert in_wheel == in_checkout


def test_wheel_carries_all_code_and_nothing_beside_it(wheel: Path) -> None:
    in_checkout = {path.relative_to(ROOT).as_posix() for path in (ROOT / "advisor").rglob("*.py")}
    with zipfile.ZipFile(wheel) as archive:
        in_wheel = {name for name in archive.namelist() if name.endswith(".py")}
        tops = {name.split("/")[0] for name in archive.namelist()}
    assert in_wheel == in_checkout
    assert tops == {"advisor", f"telltale_advisor-{advisor.__version__}.dist-info"}


def test_wheel_has_command_license_and_version(wheel: Path) -> None:
    about = f"telltale_advisor-{advisor.__version__}.dist-info"
    with zipfile.ZipFile(wheel) as archive:
        entry_points = configparser.ConfigParser()
        entry_points.read_string(archive.read(f"{about}/entry_points.txt").decode())
        metadata = email.message_from_bytes(archive.read(f"{about}/METADATA"))
        license_text = archive.read(f"{about}/licenses/LICENSE")
    assert dict(entry_points["console_scripts"]) == {"advisor": "advisor.cli:main"}
    assert metadata["Name"] == "telltale-advisor"
    assert metadata["Version"] == advisor.__version__
    assert metadata["License-Expression"] == "MIT"
    assert license_text == (ROOT / "LICENSE").read_bytes()


def test_installed_advisor_finds_its_files_inside_the_package(wheel: Path, tmp_path: Path) -> None:
    installed = tmp_path / "installed"
    with zipfile.ZipFile(wheel) as archive:
        archive.extractall(installed)
    found = found_from(installed, tmp_path)
    shipped = installed / "advisor" / "_shipped"
    assert Path(found["code"]) == installed / "advisor" / "resources.py"
    assert Path(found["grammar"]) == shipped / "grammar" / "telltale.lark"
    assert Path(found["rulesets"]) == shipped / "rulesets"
    assert found["grammar text"] == (ROOT / "grammar" / "telltale.lark").read_text(encoding="utf-8")
    assert found["reference text"] == (ROOT / "grammar" / "README.md").read_text(encoding="utf-8")


def test_checkout_finds_its_files_beside_the_package(tmp_path: Path) -> None:
    found = found_from(ROOT, tmp_path)
    assert Path(found["code"]) == ROOT / "advisor" / "resources.py"
    assert Path(found["grammar"]) == ROOT / "grammar" / "telltale.lark"
    assert Path(found["rulesets"]) == ROOT / "rulesets"
    assert found["grammar text"] == (ROOT / "grammar" / "telltale.lark").read_text(encoding="utf-8")
    assert found["reference text"] == (ROOT / "grammar" / "README.md").read_text(encoding="utf-8")


def test_a_missing_file_is_named_with_both_places(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    places = (tmp_path / "inside", tmp_path / "beside")
    monkeypatch.setattr(resources, "_PLACES", places)
    for ask, name in (
        (resources.grammar_text, "grammar/telltale.lark"),
        (resources.reference_text, "grammar/README.md"),
        (resources.rulesets_folder, "rulesets"),
    ):
        with pytest.raises(resources.ShippedFileMissing) as caught:
            ask()
        assert str(caught.value).startswith(f"{name} belongs to the advisor")
        assert all(str(place) in str(caught.value) for place in places)


def test_the_lock_pins_every_dependency_plainly() -> None:
    lines = (ROOT / "constraints.txt").read_text(encoding="utf-8").splitlines()
    plain = re.compile(r"[A-Za-z0-9][A-Za-z0-9._-]*==[A-Za-z0-9.!+]+")
    assert [line for line in lines if not plain.fullmatch(line)] == []
    pinned = {canonicalize_name(name): version for name, version in (line.split("==") for line in lines)}

    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    wanted = [Requirement(text) for text in project["dependencies"] + project["optional-dependencies"]["test"]]
    unmet = [
        str(requirement)
        for requirement in wanted
        if not requirement.specifier.contains(pinned.get(canonicalize_name(requirement.name), "0"))
    ]
    assert unmet == [], "take the lock anew, .ci/run says how"
    assert "telltale-advisor" not in pinned
