"""The set-up that runs before anything is installed: what it keeps, rebuilds, refuses, and says about it."""

from __future__ import annotations

import ast
import errno
import json
import os
import runpy
import shutil
import subprocess
import sys
import threading
import time
from collections import namedtuple
from collections.abc import Iterator
from pathlib import Path
from types import SimpleNamespace

import pytest

from projects.config import bootstrap, machine
from projects.config.machine import Stop

Usage = namedtuple("Usage", "total used free")


@pytest.fixture
def root(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A checkout whose locks name no package, so that a real environment is made without a network."""
    for name in bootstrap.LOCKS.values():
        (tmp_path / name).write_text("# nothing\n")
    # The tests' own environment must not pass for one that somebody prepared.
    monkeypatch.setattr(bootstrap, "TELLTALES", {"runtime": ("no_such_module",), "test": ("no_such_module",)})
    monkeypatch.setattr(machine, "missing", lambda venv, papers, tests: [])
    monkeypatch.setenv("PIP_CONFIG_FILE", os.devnull)
    for name in ("PIP_FIND_LINKS", "PIP_EXTRA_INDEX_URL"):
        monkeypatch.delenv(name, raising=False)
    return tmp_path


@pytest.fixture
def commands(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """What would have been run; making the environment leaves its Python, as venv does."""
    ran: list[str] = []

    def run(command: list[str], watch: object = None) -> None:
        ran.append(" ".join(command))
        if "venv" in command:
            python = Path(command[-1]) / "bin" / "python"
            python.parent.mkdir()
            python.touch()

    monkeypatch.setattr(bootstrap, "run_logged", run)
    return ran


def python_in(root: Path) -> Path:
    return root / ".venv" / ("Scripts/python.exe" if os.name == "nt" else "bin/python")


def stamp(root: Path, **changes: object) -> None:
    python_in(root).parent.mkdir(parents=True, exist_ok=True)
    python_in(root).touch()
    found = bootstrap.fingerprint(root, "runtime") | changes
    bootstrap.stamp_file(root / ".venv").write_text(json.dumps(found))


# What it needs itself


def test_it_runs_on_the_standard_library_alone() -> None:
    code = (
        f"import sys; sys.path.insert(0, {str(bootstrap.ROOT)!r}); import projects.config.bootstrap\n"
        "names = {name.partition('.')[0] for name in sys.modules}\n"
        "print(sorted(names - set(sys.stdlib_module_names) - {'projects', '__main__'}))"
    )
    done = subprocess.run([sys.executable, "-I", "-S", "-c", code], capture_output=True, text=True)
    assert (done.stdout.strip(), done.stderr) == ("[]", "")


def test_an_old_python_is_refused_in_one_line_that_names_both_versions(monkeypatch: pytest.MonkeyPatch) -> None:
    program = runpy.run_path(str(bootstrap.ROOT / "manage.py"))
    monkeypatch.setattr(sys, "version_info", (3, 9, 1, "final", 0))
    with pytest.raises(SystemExit) as ended:
        program["main"]()
    assert str(ended.value) == "Rafterbook can't start: it needs Python 3.11 or newer, and this is Python 3.9."


def test_a_python_too_old_for_annotations_can_still_read_that_line() -> None:
    tree = ast.parse((bootstrap.ROOT / "manage.py").read_text(), feature_version=(3, 4))
    refused, imported = tree.body[-2].body[0], tree.body[-2].body[1]  # type: ignore[attr-defined]
    assert isinstance(refused, ast.If) and isinstance(imported, ast.ImportFrom)  # before it meets newer syntax
    assert not any(isinstance(node, ast.JoinedStr | ast.AnnAssign | ast.arg) for node in ast.walk(tree))
    assert all(node.returns is None for node in ast.walk(tree) if isinstance(node, ast.FunctionDef))


def test_what_a_person_must_solve_ends_the_command_with_one_line(root: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(shutil, "disk_usage", lambda place: Usage(10**10, 10**10, 10**8))
    with pytest.raises(SystemExit) as ended:
        bootstrap.ready(["manage.py", "demo"], root)
    assert str(ended.value).startswith("Rafterbook can't start: the packages need 1.0 GB of disk")


# The environment


def test_a_bare_checkout_gets_a_working_environment_and_the_second_start_makes_nothing(
    root: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    python = bootstrap.prepared(root, "runtime")
    assert python == python_in(root)
    where = subprocess.run([python, "-c", "import sys; print(sys.prefix)"], capture_output=True, text=True).stdout
    assert Path(where.strip()).resolve() == (root / ".venv").resolve()
    said = capsys.readouterr()
    assert "Preparing" in said.err and "Ready in" in said.err
    assert said.out == ""  # the headless study's JSON has it to itself

    began = time.monotonic()
    assert bootstrap.prepared(root, "runtime") == python
    assert time.monotonic() - began < 0.1
    assert capsys.readouterr().err == ""


def test_without_a_network_it_says_so_in_one_line_and_starts_over_later(
    root: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (root / "requirements.lock").write_text(f"django==5.2 \\\n    --hash=sha256:{'0' * 64}\n")
    monkeypatch.setenv("PIP_INDEX_URL", "http://127.0.0.1:9/simple")
    with pytest.raises(Stop, match=r"^no network to fetch packages"):
        bootstrap.prepared(root, "runtime")
    assert python_in(root).exists()
    assert not bootstrap.is_fresh(root, "runtime", python_in(root))


def test_an_interrupted_install_is_rebuilt_from_nothing(root: Path, commands: list[str]) -> None:
    stamp(root, locks={})
    half = root / ".venv" / "half"
    half.touch()
    bootstrap.prepared(root, "runtime")
    assert not half.exists()
    assert "-m venv" in commands[0] and "pip install --require-hashes" in commands[1]
    assert bootstrap.is_fresh(root, "runtime", python_in(root))


def test_a_stop_in_the_middle_leaves_no_stamp_that_passes(root: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def interrupted(command: list[str], watch: object = None) -> None:
        raise KeyboardInterrupt

    stamp(root)
    (root / "requirements.lock").write_text("# changed\n")
    monkeypatch.setattr(bootstrap, "run_logged", interrupted)
    with pytest.raises(KeyboardInterrupt):
        bootstrap.prepared(root, "runtime")
    (root / "requirements.lock").write_text("# nothing\n")
    assert not bootstrap.is_fresh(root, "runtime", python_in(root))


def test_a_changed_lock_is_installed_into_what_is_there(root: Path, commands: list[str]) -> None:
    stamp(root)
    (root / "requirements.lock").write_text("# changed\n")
    bootstrap.prepared(root, "runtime")
    assert len(commands) == 1 and "pip install" in commands[0]


@pytest.mark.parametrize("changes", [{"python": [3, 9]}, {"bootstrap": 0}])
def test_another_python_or_an_older_bootstrap_starts_from_nothing(
    root: Path, commands: list[str], changes: dict[str, object]
) -> None:
    stamp(root, **changes)
    bootstrap.prepared(root, "runtime")
    assert "-m venv" in commands[0]


def test_a_persons_own_folder_is_added_to_and_never_emptied(root: Path, commands: list[str]) -> None:
    own = root / ".venv" / "own"
    own.parent.mkdir()
    own.touch()
    bootstrap.prepared(root, "runtime")
    assert own.exists()


def test_an_environment_for_tests_also_runs_the_demo_but_not_the_other_way_round(
    root: Path, commands: list[str]
) -> None:
    bootstrap.prepared(root, "test")
    assert "requirements-test.lock" in commands[-1]
    assert bootstrap.is_fresh(root, "runtime", python_in(root))
    stamp(root)
    assert not bootstrap.is_fresh(root, "test", python_in(root))


def test_a_stamp_without_its_python_does_not_count(root: Path) -> None:
    stamp(root)
    python_in(root).unlink()
    assert not bootstrap.is_fresh(root, "runtime", python_in(root))


def test_an_environment_that_somebody_prepared_is_used_as_it_is(
    root: Path, commands: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(bootstrap, "TELLTALES", {"runtime": ("json",)})
    assert bootstrap.prepared(root, "runtime") == Path(sys.executable)
    assert commands == []


def test_a_second_start_waits_for_the_first(
    root: Path, commands: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    second = threading.Thread(target=bootstrap.prepared, args=(root, "runtime"))
    with bootstrap.one_at_a_time(root):
        second.start()
        second.join(0.3)
        assert second.is_alive() and commands == []
        stamp(root)
    second.join(5)
    assert commands == []  # it found the work done
    assert "waiting for it" in capsys.readouterr().err


# Where it is run


def test_a_full_disk_is_named_before_anything_is_written(root: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(shutil, "disk_usage", lambda place: Usage(10**10, 10**10, 10**8))
    with pytest.raises(Stop, match=r"^the packages need 1\.5 GB of disk at .*, and 0\.1 GB is left\.$"):
        bootstrap.prepared(root, "test")
    assert not (root / ".venv").exists()


def test_a_read_only_folder_is_named(root: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(os, "access", lambda path, mode: False)
    with pytest.raises(Stop, match="is read-only; put the checkout where you may write"):
        bootstrap.prepared(root, "runtime")


@pytest.mark.parametrize(("number", "says"), [(errno.EROFS, "read-only"), (errno.ENOSPC, "no disk space left")])
def test_a_write_that_fails_on_the_way_is_one_line_too(root: Path, number: int, says: str) -> None:
    with pytest.raises(Stop, match=says), bootstrap.writing(root):
        raise OSError(number, os.strerror(number))


# Lines as pip 23 and 24 print them.
@pytest.mark.parametrize(
    ("output", "says"),
    [
        ("ERROR: Could not install packages due to an OSError: [Errno 28] No space left on device", "no disk space"),
        ("ERROR: THESE PACKAGES DO NOT MATCH THE HASHES FROM THE REQUIREMENTS FILE.", "isn't the one that was locked"),
        (
            "WARNING: Retrying (Retry(total=1)) after connection broken by 'NewConnectionError(...)'\n"
            "ERROR: No matching distribution found for django==5.2",
            "no network",
        ),
        ("ERROR: No matching distribution found for django==5.2", "has no build for Python"),
        ("ssl.SSLCertVerificationError: [SSL: CERTIFICATE_VERIFY_FAILED] after connection broken by", "PIP_CERT"),
        ("first\nERROR: something else\n", "could not be installed: ERROR: something else"),
        ("", "no reason was given"),
    ],
)
def test_what_went_wrong_is_one_line(output: str, says: str) -> None:
    assert says in bootstrap.reason(output)
    assert "\n" not in bootstrap.reason(output)


def test_what_a_failing_command_printed_is_kept_and_named() -> None:
    with pytest.raises(Stop) as problem:
        bootstrap.run_logged([sys.executable, "-c", "print('the cause'); raise SystemExit(3)"])
    log = Path(str(problem.value).partition("(Details: ")[2].rstrip(")"))
    assert log.read_text() == "the cause\n"


# What runs then


@pytest.fixture
def becomes(monkeypatch: pytest.MonkeyPatch) -> list[list[str]]:
    became: list[list[str]] = []
    monkeypatch.setattr(bootstrap, "run_instead", became.append)
    monkeypatch.setattr(machine, "provide", lambda venv, papers, tests: None)
    monkeypatch.setattr(machine, "browser", lambda python: None)
    return became


def test_a_django_command_runs_again_in_the_environment(root: Path, becomes: list[list[str]]) -> None:
    stamp(root)
    bootstrap.ready(["manage.py", "demo", "--port", "8123"], root)
    assert becomes == [[str(python_in(root)), "manage.py", "demo", "--port", "8123"]]


def test_inside_the_environment_it_just_goes_on(
    root: Path, becomes: list[list[str]], monkeypatch: pytest.MonkeyPatch
) -> None:
    stamp(root)
    monkeypatch.setattr(sys, "prefix", str(root / ".venv"))
    bootstrap.ready(["manage.py", "migrate"], root)
    assert becomes == []


def test_test_becomes_pytest_with_its_arguments(
    root: Path, becomes: list[list[str]], commands: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(root.parent)
    bootstrap.ready(["manage.py", "test", "tests/config", "-q"], root)
    assert becomes[0] == [str(python_in(root)), "-m", "pytest", "tests/config", "-q"]
    assert Path.cwd().resolve() == root.resolve()


def test_the_whole_suite_runs_side_by_side_and_what_measures_time_alone(
    root: Path, becomes: list[list[str]], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(root.parent)
    stamp(root, locks=bootstrap.fingerprint(root, "test")["locks"])
    for first, second, ends in ((0, 0, 0), (1, 0, 1), (0, 1, 1), (2, 1, 2), (0, 5, 5)):
        codes = iter((first, second))
        ran: list[list[str]] = []

        def run(command: list[str], codes: Iterator[int] = codes, ran: list[list[str]] = ran) -> SimpleNamespace:
            ran.append(command[3:])
            return SimpleNamespace(returncode=next(codes))

        monkeypatch.setattr(bootstrap.subprocess, "run", run)
        with pytest.raises(SystemExit) as ended:
            bootstrap.ready(["manage.py", "test"], root)
        assert ended.value.code == ends
        assert ran[0] == [*bootstrap.ABREAST, "-m", "not speed"]
        assert ran[1:] == ([] if first else [["-m", "speed"]])


def test_a_command_becomes_another_with_its_exit_code() -> None:
    code = (
        "from projects.config.bootstrap import run_instead; run_instead([sys.executable, '-c', 'raise SystemExit(5)'])"
    )
    done = subprocess.run([sys.executable, "-c", f"import sys; {code}"], cwd=bootstrap.ROOT)
    assert done.returncode == 5
