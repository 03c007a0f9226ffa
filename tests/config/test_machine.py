"""What the operating system must bring along: found, installed as root on Debian, or asked for in one line."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from projects.config import machine
from projects.config.machine import Stop


@pytest.fixture
def debian(monkeypatch: pytest.MonkeyPatch) -> list[list[str]]:
    """A Debian without Pango; what apt-get would have been asked is in the list."""
    asked: list[list[str]] = []
    lacking = {"libpango-1.0-0"}

    def run(command: list[str], **options: object) -> subprocess.CompletedProcess[str]:
        asked.append(command)
        lacking.difference_update(command)
        return subprocess.CompletedProcess(command, 0, "", "")

    monkeypatch.setattr(machine, "has_apt", lambda: True)
    monkeypatch.setattr(machine, "missing", lambda venv, papers, tests: sorted(lacking))
    monkeypatch.setattr(subprocess, "run", run)
    return asked


def test_root_on_debian_gets_the_packages_without_a_question(
    debian: list[list[str]], monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(os, "geteuid", lambda: 0, raising=False)
    machine.provide(venv=False, papers=True, tests=False)
    assert [command[:2] for command in debian] == [["apt-get", "update"], ["apt-get", "install"]]
    assert "-y" in debian[1] and debian[1][-1] == "libpango-1.0-0"
    assert "system packages: libpango-1.0-0" in capsys.readouterr().err


def test_anyone_else_gets_the_one_line_and_nothing_is_run(
    debian: list[list[str]], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(os, "geteuid", lambda: 1000, raising=False)
    with pytest.raises(Stop, match=r"sudo apt-get update && sudo apt-get install -y libpango-1\.0-0$"):
        machine.provide(venv=False, papers=True, tests=False)
    assert debian == []


def test_a_package_that_does_not_bring_what_it_should_is_named(
    debian: list[list[str]], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(os, "geteuid", lambda: 0, raising=False)
    monkeypatch.setattr(machine, "missing", lambda venv, papers, tests: ["libpango-1.0-0"])
    with pytest.raises(Stop, match=r"libpango-1.0-0 can't be found even after installing it"):
        machine.provide(venv=False, papers=True, tests=False)


@pytest.mark.parametrize(
    ("output", "says"),
    [
        ("E: Failed to fetch http://mirror/x  Temporary failure resolving 'mirror'", "no network"),
        ("E: Unable to locate package libpango-1.0-0", "no network"),
        ("E: You don't have enough free space in /var/cache/apt/archives/.", "no disk space"),
        ("E: Could not get lock /var/lib/dpkg/lock-frontend. It is held by process 1", "another apt-get is running"),
        ("W: something\nE: Broken packages", "E: Broken packages"),
    ],
)
def test_what_went_wrong_with_apt_is_one_line(output: str, says: str) -> None:
    assert says in machine.apt_reason(output, ["libpango-1.0-0"])
    assert "\n" not in machine.apt_reason(output, ["libpango-1.0-0"])


def test_a_library_that_cannot_be_loaded_is_missing(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(machine, "has_font", lambda: True)
    monkeypatch.setitem(machine.LIBRARIES, sys.platform, {"libno-such-thing.so.0": "libno-such-thing0"})
    assert machine.missing(venv=False, papers=True, tests=False) == ["libno-such-thing0"]
    assert machine.missing(venv=False, papers=False, tests=False) == []


def test_a_machine_without_a_font_gets_one(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setattr(sys, "platform", "linux")
    monkeypatch.setitem(machine.LIBRARIES, "linux", {})
    monkeypatch.setattr(machine, "has_font", lambda: False)
    assert machine.missing(venv=False, papers=True, tests=False) == ["fonts-dejavu-core"]


@pytest.mark.parametrize(("ubuntu", "packages"), [(False, ["libatomic1", "chromium"]), (True, ["libatomic1"])])
def test_the_tests_need_a_browser_and_what_drives_it(
    monkeypatch: pytest.MonkeyPatch, ubuntu: bool, packages: list[str]
) -> None:
    for name, answer in {"has_apt": True, "is_ubuntu": ubuntu, "find_chromium": None}.items():
        monkeypatch.setattr(machine, name, lambda answer=answer: answer)
    monkeypatch.setattr(machine, "loads", lambda name: name != "libatomic.so.1")
    assert machine.missing(venv=False, papers=False, tests=True) == packages
    assert machine.missing(venv=False, papers=False, tests=False) == []


def test_a_font_is_found_however_deep_it_lies(tmp_path: Path) -> None:
    deep = tmp_path / "truetype" / "some"
    deep.mkdir(parents=True)
    (deep / "fonts.dir").touch()
    assert not machine.has_font((str(tmp_path),))
    (deep / "Some-Bold.TTF").touch()
    assert machine.has_font((str(tmp_path),))


def test_a_python_without_ensurepip_needs_its_venv_package(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("importlib.util.find_spec", lambda name: None)
    wanted = f"python{sys.version_info[0]}.{sys.version_info[1]}-venv"
    assert machine.missing(venv=True, papers=False, tests=False) == [wanted]


def test_another_system_is_told_its_own_line(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("shutil.which", lambda name: f"/usr/bin/{name}" if name == "dnf" else None)
    assert machine.elsewhere(["libpango-1.0-0"]).endswith("sudo dnf install -y pango harfbuzz dejavu-sans-fonts")
    assert "python3-venv" in machine.elsewhere(["python3.11-venv"])


def program(path: Path) -> Path:
    path.write_text("#!/bin/sh\n")
    path.chmod(0o755)
    return path


def test_the_browser_named_in_the_environment_comes_first(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    named, on_path = program(tmp_path / "mine"), program(tmp_path / "chromium")
    monkeypatch.setenv("PATH", str(tmp_path))
    monkeypatch.delenv("RAFTERBOOK_CHROMIUM", raising=False)
    assert machine.find_chromium() == on_path
    monkeypatch.setenv("RAFTERBOOK_CHROMIUM", str(named))
    assert machine.find_chromium() == named
    monkeypatch.setenv("RAFTERBOOK_CHROMIUM", str(tmp_path / "gone"))
    with pytest.raises(Stop, match="which is not a program"):
        machine.find_chromium()


def test_a_browser_that_playwright_fetched_is_found(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setenv("PATH", "")
    monkeypatch.setenv("HOME", str(tmp_path))
    monkeypatch.delenv("RAFTERBOOK_CHROMIUM", raising=False)
    monkeypatch.setattr(machine, "CHROMIUM_PLACES", ("~/.cache/ms-playwright/chromium-*/chrome-linux*/chrome",))
    assert machine.find_chromium() is None
    folder = tmp_path / ".cache/ms-playwright/chromium-1187/chrome-linux"
    folder.mkdir(parents=True)
    assert machine.find_chromium() is None
    assert program(folder / "chrome") == machine.find_chromium()


def test_without_debians_package_the_line_names_playwrights_own(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(machine, "find_chromium", lambda: None)
    monkeypatch.setattr(machine, "has_apt", lambda: False)
    with pytest.raises(Stop, match=r"python -m playwright install chromium$"):
        machine.browser(Path("python"))


def test_a_browser_that_could_not_be_fetched_is_said_with_its_cause(monkeypatch: pytest.MonkeyPatch) -> None:
    def fails(command: list[str], **options: object) -> subprocess.CompletedProcess[str]:
        return subprocess.CompletedProcess(command, 1, "Downloading\n", "Error: getaddrinfo EAI_AGAIN\n")

    monkeypatch.setattr(machine, "find_chromium", lambda: None)
    monkeypatch.setattr(machine, "has_apt", lambda: True)
    monkeypatch.setattr(os, "geteuid", lambda: 0, raising=False)
    monkeypatch.setattr(subprocess, "run", fails)
    with pytest.raises(Stop, match=r"install --with-deps chromium \(Error: getaddrinfo EAI_AGAIN\)$"):
        machine.browser(Path("python"))
