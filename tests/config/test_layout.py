"""The house keeps its shape: what stands at the top, how long a file may be, what is locked, what the guides name."""

from __future__ import annotations

import ast
import os
import re
import sys
import tomllib
from collections.abc import Iterator
from importlib.metadata import packages_distributions
from pathlib import Path

import pytest
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

ROOT = Path(__file__).resolve().parent.parent.parent
TOP_LEVEL = {
    *("README.md", "DEVELOPERS.md", "LICENSE", "manage.py", "pyproject.toml"),
    *("projects", "sizing", "paperwork", "templates", "tests", "fixtures"),
    *("requirements.lock", "requirements-test.lock"),
}
LEFT_BY_TOOLS = re.compile(r"^(\..*|__pycache__|build|dist|.*\.egg-info)$")
ROOMS = ("projects", "sizing", "paperwork", "tests")
PYPROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text())
# Declared for what they bring along, not for an import of ours.
NEVER_IMPORTED = {
    *("argon2-cffi", "argon2-cffi-bindings", "whitenoise", "gunicorn", "psycopg", "tzdata", "h5py", "django-axes"),
    *("ruff", "mypy", "django-stubs", "import-linter", "pytest-django", "pytest-xdist"),
    "defusedxml",  # openpyxl takes it up where it is installed
}


def files(*endings: str, rooms: tuple[str, ...] = (*ROOMS, "templates")) -> Iterator[Path]:
    for room in rooms:
        for folder, folders, names in os.walk(ROOT / room):
            folders[:] = [name for name in folders if not LEFT_BY_TOOLS.match(name)]
            yield from (Path(folder) / name for name in names if name.endswith(endings))


def test_nothing_else_stands_at_the_top() -> None:
    assert {name for name in os.listdir(ROOT) if not LEFT_BY_TOOLS.match(name)} == TOP_LEVEL


@pytest.mark.parametrize("ending", [".py", ".html", ".js", ".css"])
def test_a_file_is_short_enough_to_read_in_one_go(ending: str) -> None:
    ours = [path for path in files(ending) if not {"migrations", "vendor"} & set(path.parts)]
    assert ours
    long = {str(path.relative_to(ROOT)): len(path.read_text().splitlines()) for path in ours}
    assert {name: lines for name, lines in long.items() if lines > 500} == {}


def test_nothing_runs_before_settings_are_read() -> None:
    assert (ROOT / "projects" / "__init__.py").read_text() == ""


# Packages


def declared() -> dict[str, list[Requirement]]:
    project = PYPROJECT["project"]
    return {
        "runtime": [Requirement(line) for line in project["dependencies"]],
        "test": [Requirement(line) for line in project["optional-dependencies"]["test"]],
    }


WITH_THE_TESTS = ROOT / "paperwork/management/commands/pictures.py"
"""Drives the test browser: a developer's command, which says so where Playwright is missing."""


def imported(rooms: tuple[str, ...]) -> dict[str, str]:
    """Top-level names imported by the code, and a file that does."""
    names = {}
    for path in files(".py", rooms=rooms):
        if path == WITH_THE_TESTS and "tests" not in rooms:
            continue
        for node in ast.walk(ast.parse(path.read_text())):
            if isinstance(node, ast.Import):
                found = [alias.name for alias in node.names]
            elif isinstance(node, ast.ImportFrom) and node.level == 0:
                found = [node.module or ""]
            else:
                continue
            names.update({name.partition(".")[0]: str(path.relative_to(ROOT)) for name in found})
    return {name: path for name, path in names.items() if name not in {*sys.stdlib_module_names, *ROOMS}}


@pytest.mark.parametrize(
    ("rooms", "wants"), [(("projects", "sizing", "paperwork"), ["runtime"]), (("tests",), ["runtime", "test"])]
)
def test_every_package_that_is_imported_is_declared(rooms: tuple[str, ...], wants: list[str]) -> None:
    known = {canonicalize_name(requirement.name) for want in wants for requirement in declared()[want]}
    providers = packages_distributions()
    undeclared = {
        name: path
        for name, path in imported(rooms).items()
        if not known & {canonicalize_name(distribution) for distribution in providers.get(name, [name])}
    }
    assert undeclared == {}


def test_every_package_that_is_declared_is_used() -> None:
    providers = packages_distributions()
    used = {canonicalize_name(owner) for name in imported(ROOMS) for owner in providers.get(name, [name])}
    wanted = {canonicalize_name(requirement.name) for group in declared().values() for requirement in group}
    assert wanted - used - NEVER_IMPORTED == set()


def locked(name: str) -> dict[str, list[str]]:
    """Package to its locked versions (one, or one for each range of Pythons)."""
    versions: dict[str, list[str]] = {}
    for package, version in re.findall(r"^([\w.-]+)==([\w.]+)", (ROOT / name).read_text(), re.MULTILINE):
        versions.setdefault(canonicalize_name(package), []).append(version)
    return versions


@pytest.mark.parametrize(
    ("name", "wants"), [("requirements.lock", ["runtime"]), ("requirements-test.lock", ["runtime", "test"])]
)
def test_the_lock_holds_what_is_declared_at_versions_that_are_allowed(name: str, wants: list[str]) -> None:
    for want in wants:
        for requirement in declared()[want]:
            versions = locked(name).get(canonicalize_name(requirement.name), [])
            assert versions, f"{requirement.name} is not in {name}"
            assert all(requirement.specifier.contains(version) for version in versions), requirement


def test_the_test_lock_agrees_with_the_runtime_lock() -> None:
    runtime, test = locked("requirements.lock"), locked("requirements-test.lock")
    assert {package: test.get(package) for package in runtime} == runtime


@pytest.mark.parametrize("name", ["requirements.lock", "requirements-test.lock"])
def test_the_lock_pins_every_package_by_hash_and_names_no_place_to_get_it_from(name: str) -> None:
    text = (ROOT / name).read_text()
    entries = re.split(r"^(?=\w)", text, flags=re.MULTILINE)[1:]
    assert len(entries) > 40
    assert all("--hash=sha256:" in entry for entry in entries)
    assert re.search(r"://|^-|--(index|extra-index|find-links|trusted)", text, re.MULTILINE) is None


# Guides


def named_paths(guide: str) -> list[str]:
    """What a guide names in backticks and means as a path of the repository."""
    words = re.findall(r"`([\w.-]+(?:/[\w.*<>-]+)+/?)`", (ROOT / guide).read_text())
    rooms = {*TOP_LEVEL, ".ci"}
    return [word for word in words if word.split("/")[0] in rooms and "<" not in word]


@pytest.mark.parametrize("guide", ["README.md", "DEVELOPERS.md"])
def test_every_path_that_a_guide_names_exists(guide: str) -> None:
    paths = named_paths(guide)
    assert paths
    assert [path for path in paths if not any(ROOT.glob(path.rstrip("/")))] == []


def test_every_picture_of_the_readme_exists_and_has_words_for_those_who_cannot_see_it() -> None:
    pictures = re.findall(r"!\[(.*?)\]\((.*?)\)", (ROOT / "README.md").read_text())
    assert pictures
    assert [path for words, path in pictures if len(words) < 15 or not (ROOT / path).is_file()] == []


def test_every_setting_is_explained_in_the_readme() -> None:
    from projects.config.environment import VARIABLES

    text = (ROOT / "README.md").read_text()
    assert [variable.name for variable in VARIABLES if f"`{variable.name}`" not in text] == []
