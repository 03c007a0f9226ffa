"""Makes a bare machine ready: an environment in ``.venv`` with the locked packages, then the same command inside it.

Standard library only, because it runs before anything is installed. What the operating system must bring along
(Pango, a font, Chromium for the tests) is the subject of machine.py.

A stamp in ``.venv`` says which locks it holds. It is written last, so an interrupted install is never taken for
a finished one, and comparing it is nearly all that a second start costs.
"""

from __future__ import annotations

import contextlib
import errno
import hashlib
import importlib.util
import json
import os
import re
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any, NoReturn

from projects.config import machine
from projects.config.machine import Stop, say, step

ROOT = Path(__file__).resolve().parent.parent.parent
VERSION = 1  # raise it when an environment made by an older bootstrap must not be kept
LOCKS = {"runtime": "requirements.lock", "test": "requirements-test.lock"}
# Measured on Debian 12: 0.65 and 0.95 GB once installed, and pip's downloads beside them until it is done.
ROOM_BYTES = {"runtime": 1_000_000_000, "test": 1_500_000_000}
DOWNLOAD_ROOM_BYTES = 300_000_000
# An environment that has these is one that somebody prepared (pip install -e ., a container): it is used as it is.
TELLTALES = {
    "runtime": ("django", "csp", "django_tables2", "weasyprint", "pvlib"),
    "test": ("django", "csp", "weasyprint", "pvlib", "pytest", "pytest_django", "xdist", "playwright"),
}
ABREAST = ("-n", "auto", "--dist", "loadgroup")  # pytest-xdist
WITHOUT_PAPERS = ("study",)  # commands that run where no document can be drawn


def ready(argv: list[str], root: Path = ROOT) -> None:
    """Returns if this interpreter can run ``argv``; otherwise prepares ``.venv`` and runs ``argv`` there instead.

    ``test`` never returns: it ends as pytest ends. A problem that a person must solve ends the program with one line.
    """
    command = argv[1] if len(argv) > 1 else "help"
    want = "test" if command == "test" else "runtime"
    try:
        python = prepared(root, want, papers=command not in WITHOUT_PAPERS)
        if command in ("demo", "test"):
            machine.provide(venv=False, papers=True, tests=want == "test")
        if command == "test":
            machine.browser(python)
    except Stop as problem:
        sys.exit(f"Rafterbook can't start: {problem}")
    except KeyboardInterrupt:
        sys.exit("\nStopped. The same command starts over safely.")
    if command == "test":
        os.chdir(root)
        pytest = [str(python), "-m", "pytest"]
        if argv[2:]:
            run_instead([*pytest, *argv[2:]])
        else:
            sys.exit(whole_suite(pytest))
    if python != Path(sys.executable):
        run_instead([str(python), *argv])


def prepared(root: Path, want: str, papers: bool = True) -> Path:
    """The Python to run with: this one if somebody prepared it, else that of an up-to-date ``.venv``."""
    venv = root / ".venv"
    python = venv / ("Scripts/python.exe" if os.name == "nt" else "bin/python")
    ours = bool(read_stamp(venv))
    inside = Path(sys.prefix).resolve() == venv.resolve()
    if not is_fresh(root, want, python):
        if not (ours and inside) and all(map(importlib.util.find_spec, TELLTALES[want])):
            return Path(sys.executable)
        with one_at_a_time(root):
            if not is_fresh(root, want, python):
                build(root, want, python, papers)
        return python
    return Path(sys.executable) if inside else python


def fingerprint(root: Path, want: str) -> dict[str, Any]:
    """What ``.venv`` must have been made from to be good for ``want``."""
    # The test lock holds all of the runtime lock, so an environment for tests is good for both.
    names = LOCKS.values() if want == "test" else [LOCKS["runtime"]]
    locks = {name: hashlib.sha256((root / name).read_bytes()).hexdigest() for name in names}
    return {"bootstrap": VERSION, "python": list(sys.version_info[:2]), "locks": locks}


def stamp_file(venv: Path) -> Path:
    return venv / "rafterbook.json"


def read_stamp(venv: Path) -> dict[str, Any]:
    """Empty where nobody stamped (no ``.venv``, or a person's own); without locks where an install was interrupted."""
    try:
        return dict(json.loads(stamp_file(venv).read_text()))
    except FileNotFoundError:
        return {}
    except (OSError, ValueError):
        return {"bootstrap": VERSION}


def is_fresh(root: Path, want: str, python: Path) -> bool:
    found, wanted = read_stamp(root / ".venv"), fingerprint(root, want)
    return can_keep(found) and wanted["locks"].items() <= found["locks"].items() and python.exists()


def can_keep(found: dict[str, Any]) -> bool:
    """A finished environment of this Python, though perhaps from older locks."""
    made_by = (found.get("bootstrap"), found.get("python"))
    return bool(found.get("locks")) and made_by == (VERSION, list(sys.version_info[:2]))


def build(root: Path, want: str, python: Path, papers: bool) -> None:
    """Creates ``.venv`` or brings it up to date, and stamps it."""
    venv, began, found = root / ".venv", time.monotonic(), read_stamp(root / ".venv")
    check_room(root, want)
    say(f"Preparing {venv} ({'what is new since the last time' if can_keep(found) else 'about a minute'}):")
    machine.provide(venv=True, papers=papers, tests=want == "test")
    with writing(root):
        if found and not can_keep(found):
            shutil.rmtree(venv)
        venv.mkdir(exist_ok=True)
        stamp_file(venv).write_text(json.dumps({"bootstrap": VERSION}))
        if not python.exists():
            with step("Python environment"):
                run_logged([getattr(sys, "_base_executable", sys.executable), "-m", "venv", str(venv)])
        install(root / LOCKS[want], python)
        stamp_file(venv).write_text(json.dumps(fingerprint(root, want), indent=1))
    say(f"Ready in {time.monotonic() - began:.0f} s. The next start takes none of this.")


def check_room(root: Path, want: str) -> None:
    if not os.access(root, os.W_OK):
        raise Stop(read_only(root))
    for place, wanted in ((root, ROOM_BYTES[want]), (Path(tempfile.gettempdir()), DOWNLOAD_ROOM_BYTES)):
        room = shutil.disk_usage(place).free
        if room < wanted:
            raise Stop(f"the packages need {wanted / 1e9:.1f} GB of disk at {place}, and {room / 1e9:.1f} GB is left.")


def read_only(root: Path) -> str:
    return f"the folder {root} is read-only; put the checkout where you may write."


@contextlib.contextmanager
def writing(root: Path) -> Iterator[None]:
    try:
        yield
    except OSError as problem:
        if problem.errno in (errno.EROFS, errno.EACCES, errno.EPERM):
            raise Stop(read_only(root)) from None
        if problem.errno in (errno.ENOSPC, errno.EDQUOT):
            raise Stop(f"no disk space left at {root}.") from None
        raise


@contextlib.contextmanager
def one_at_a_time(root: Path) -> Iterator[None]:
    """Two starts at once must not install into one folder. The lock file is the lock: nothing is left over."""
    try:
        import fcntl
    except ImportError:  # Windows
        yield
        return
    with (root / LOCKS["runtime"]).open() as held:
        try:
            fcntl.flock(held, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            say("Another start is preparing the environment; waiting for it.")
            fcntl.flock(held, fcntl.LOCK_EX)
        yield


def install(lock: Path, python: Path) -> None:
    total = len(re.findall(r"^[\w.-]+==", lock.read_text(), re.MULTILINE))
    command = [str(python), "-m", "pip", "install", "--require-hashes", "--only-binary", ":all:", "-r", str(lock)]
    command += ["--disable-pip-version-check", "--no-input", "--progress-bar", "off", "--retries", "2"]
    if not sys.dont_write_bytecode:
        # Half of the wait would be compiling what is never imported; Python compiles the rest as it goes.
        command.append("--no-compile")
    with step(f"{total} locked packages") as progress:
        fetched = 0

        def watch(line: str) -> None:
            nonlocal fetched
            if line.startswith("Collecting "):
                fetched += 1
                progress(f"fetching {min(fetched, total)}")
            elif line.startswith("Installing collected"):
                progress("installing")

        run_logged(command, watch)


def run_logged(command: list[str], watch: Callable[[str], None] = lambda line: None) -> None:
    """Runs quietly; what it printed is kept, and named, only if it failed."""
    # A user-wide "pip install --user" default can't work inside an environment.
    settings = {**os.environ, "PIP_USER": "0", "PYTHONUNBUFFERED": "1"}
    lines = []
    with subprocess.Popen(
        command, env=settings, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True, errors="replace"
    ) as running:
        for line in running.stdout or ():
            lines.append(line)
            watch(line)
    if running.returncode:
        log = Path(tempfile.gettempdir()) / "rafterbook-install.log"
        with contextlib.suppress(OSError):
            log.write_text("".join(lines))
        raise Stop(f"{reason(''.join(lines))} (Details: {log})")


def reason(output: str) -> str:
    """What went wrong, in one line, from what pip or venv printed."""
    python = sys.version.split()[0]
    signs = (
        ("No space left on device", "no disk space left for the packages."),
        ("Read-only file system", "the checkout is on a read-only disk; put it where you may write."),
        ("DO NOT MATCH THE HASHES", "a downloaded package isn't the one that was locked; it was not installed."),
        ("CERTIFICATE_VERIFY_FAILED", "the network's certificate isn't trusted; PIP_CERT can name its authority."),
        ("Temporary failure in name resolution", "no network to fetch packages; connect and start again."),
        ("after connection broken by", "no network to fetch packages; connect and start again."),
        ("No matching distribution", f"a locked package has no build for Python {python} on this machine."),
    )
    for sign, says in signs:
        if sign in output:
            return says
    errors = [line for line in output.splitlines() if line.strip()]
    return f"the packages could not be installed: {errors[-1].strip() if errors else 'no reason was given'}"


def whole_suite(pytest: list[str]) -> int:
    """The suite side by side on all cores, then alone what measures time. The exit code is that of what failed."""
    try:
        ended = subprocess.run([*pytest, *ABREAST, "-m", "not speed"]).returncode
        if ended:
            return ended
        say("Now what measures time, one after the other:")
        return subprocess.run([*pytest, "-m", "speed"]).returncode
    except KeyboardInterrupt:
        return 1


def run_instead(command: list[str]) -> NoReturn:
    """Becomes ``command``; on Windows, which has no such thing, runs it and ends with its exit code."""
    sys.stdout.flush()
    if os.name != "nt":
        os.execv(command[0], command)
    with contextlib.suppress(KeyboardInterrupt):
        sys.exit(subprocess.run(command).returncode)
    sys.exit(1)
