"""The wheel holds exactly what the tree holds, under one name; every dependency is explained and pinned."""

import os
import re
import shutil
import subprocess
import sys
import tomllib
import zipfile
from dataclasses import dataclass
from importlib.metadata import version
from pathlib import Path

import pytest
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

ROOT = Path(__file__).parents[1]
PYPROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
FOLDERS: dict[str, str] = PYPROJECT["tool"]["setuptools"]["package-dir"]
ROOMS = ("schema", "extract", "store", "worth", "app")
SHIPPED = {".py", ".typed", ".toml", ".sql", ".html", ".svg", ".css", ".js", ".json", ".csv", ".pdf", ".typ"}


def _tree(root: Path) -> set[str]:
    """What a wheel should hold, as its paths."""
    return {
        f"{package.replace('.', '/')}/{file.name}"
        for package, folder in FOLDERS.items()
        for file in (root / folder).iterdir()
        if file.suffix in SHIPPED or file.name == "py.typed"
    }


@dataclass(frozen=True)
class Wheel:
    names: frozenset[str]
    texts: dict[str, str]  # of its dist-info
    tree: frozenset[str]


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Wheel:
    """Built from a copy, by setuptools alone: no network, and no leavings in the tree."""
    copy = tmp_path_factory.mktemp("tree")
    for name in ("pyproject.toml", "README.md", "LICENSE"):
        shutil.copy(ROOT / name, copy / name)
    for folder in {Path(folder).parts[0] for folder in FOLDERS.values()}:
        shutil.copytree(ROOT / folder, copy / folder, ignore=shutil.ignore_patterns("__pycache__"))
    built = subprocess.run(
        [sys.executable, "-c", "from setuptools.build_meta import build_wheel; print(build_wheel('.'))"],
        cwd=copy,
        env={**os.environ, "PYTHONWARNINGS": "default"},
        capture_output=True,
        text=True,
        check=True,
    )
    with zipfile.ZipFile(copy / built.stdout.split()[-1]) as archive:
        names = archive.namelist()
        texts = {name: archive.read(name).decode() for name in names if ".dist-info/" in name}
    return Wheel(frozenset(names), texts, frozenset(_tree(copy)))


def test_the_wheel_holds_what_the_tree_holds_and_nothing_else(wheel: Wheel) -> None:
    shipped = {name for name in wheel.names if not name.startswith("firstcap-")}
    assert shipped - wheel.tree == set()
    assert wheel.tree - shipped == set(), "list the folder or the file type in pyproject.toml"


def test_the_wheel_puts_one_name_into_site_packages(wheel: Wheel) -> None:
    assert {name.split("/")[0] for name in wheel.names} == {"firstcap", f"firstcap-{version('firstcap')}.dist-info"}


def test_every_part_is_typed_for_those_who_import_it(wheel: Wheel) -> None:
    code = {name.rpartition("/")[0] for name in wheel.names if name.endswith(".py")}
    assert {f"{folder}/py.typed" for folder in code} <= wheel.names


def test_every_folder_with_code_is_a_listed_package() -> None:
    folders = {
        file.parent.relative_to(ROOT).as_posix()
        for room in ROOMS
        for file in (ROOT / room).rglob("*.py")
        if "__pycache__" not in file.parts
    }
    assert folders == {folder for folder in FOLDERS.values() if folder.split("/")[0] in ROOMS}
    assert set(PYPROJECT["tool"]["setuptools"]["packages"]) == set(FOLDERS)


def test_the_wheel_carries_the_licence(wheel: Wheel) -> None:
    (text,) = (wheel.texts[name] for name in wheel.texts if name.endswith("licenses/LICENSE"))
    assert "Apache License" in text
    assert "Version 2.0" in text


def test_the_command_is_installed(wheel: Wheel) -> None:
    (points,) = (wheel.texts[name] for name in wheel.texts if name.endswith("entry_points.txt"))
    assert "firstcap = firstcap.app.cli:main" in points


def test_type_checkers_find_every_room_through_a_relative_link() -> None:
    for room in ROOMS:
        link = ROOT / ".typing" / "firstcap" / room
        assert link.is_symlink()
        assert not link.readlink().is_absolute()
        assert link.resolve() == (ROOT / room).resolve()


def test_no_conftest_stands_at_the_root_where_it_would_put_the_rooms_on_the_path() -> None:
    assert not (ROOT / "conftest.py").exists()


# ---- dependencies ----------------------------------------------------------------------------------------------------


def _requirements() -> list[Requirement]:
    project = PYPROJECT["project"]
    extras = [line for lines in project.get("optional-dependencies", {}).values() for line in lines]
    return [Requirement(line) for line in (*project["dependencies"], *extras) if not line.startswith("firstcap[")]


def _pins() -> dict[str, list[tuple[str, str]]]:
    """name -> (version, hashes) of each pin; one name may be pinned twice with markers."""
    lock = (ROOT / "requirements.lock").read_text(encoding="utf-8")
    pins: dict[str, list[tuple[str, str]]] = {}
    for name, pinned, rest in re.findall(r"^([A-Za-z0-9._-]+)==([^\s;\\]+)(.*(?:\n[ \t]+.*)*)", lock, re.MULTILINE):
        pins.setdefault(canonicalize_name(name), []).append((pinned, rest))
    return pins


@pytest.mark.parametrize("requirement", _requirements(), ids=lambda requirement: requirement.name)
def test_every_dependency_is_pinned_as_it_is_asked_for(requirement: Requirement) -> None:
    pinned = _pins().get(canonicalize_name(requirement.name))
    assert pinned, "lock it again; the command stands in DEVELOPERS.md"
    assert all(requirement.specifier.contains(one, prereleases=True) for one, _ in pinned)


def test_every_pin_is_held_by_hashes_and_the_lock_names_no_index() -> None:
    lock = (ROOT / "requirements.lock").read_text(encoding="utf-8")
    assert len(_pins()) > 50
    assert all("--hash=sha256:" in rest for pins in _pins().values() for _, rest in pins)
    assert "://" not in lock
    assert "index" not in re.sub(r"#.*", "", lock)


def test_no_machine_learning_framework_is_pulled_in() -> None:
    assert _pins().keys().isdisjoint({"torch", "tensorflow", "transformers", "scikit-learn"})


def test_every_dependency_says_why_it_is_there() -> None:
    text = (ROOT / "pyproject.toml").read_text(encoding="utf-8")
    for requirement in _requirements():
        assert re.search(rf'^\s*"{re.escape(requirement.name)}\b[^"]*",? *# \S.{{9}}', text, re.MULTILINE), requirement


def test_the_changelog_tells_of_this_version() -> None:
    changelog = (ROOT / "CHANGELOG.md").read_text(encoding="utf-8")
    newest = re.search(r"^## \[?([0-9.]+|Unreleased)\]?", changelog, re.MULTILINE)
    assert newest
    assert newest[1] in {"Unreleased", version("firstcap")}
    assert f"[{version('firstcap')}]" in changelog
