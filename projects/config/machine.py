"""What the operating system must bring along: venv, Pango and a font for the papers, Chromium for the browser tests.

As root on Debian or Ubuntu the missing packages are installed; everywhere else the one line to run is printed.
Standard library only, like bootstrap.py.
"""

from __future__ import annotations

import contextlib
import ctypes
import glob
import importlib.util
import os
import shutil
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from pathlib import Path

# The names that WeasyPrint itself loads, and Debian's package for each.
LIBRARIES = {
    "linux": {
        "libpango-1.0.so.0": "libpango-1.0-0",
        "libpangoft2-1.0.so.0": "libpangoft2-1.0-0",
        "libharfbuzz-subset.so.0": "libharfbuzz-subset0",
    },
    "darwin": {"libpango-1.0.dylib": "pango", "libpangoft2-1.0.dylib": "pango"},
    "win32": {"libpango-1.0-0.dll": "pango", "libpangoft2-1.0-0.dll": "pango"},
}
FONT_FOLDERS = ("/usr/share/fonts", "/usr/local/share/fonts", "~/.local/share/fonts", "~/.fonts")
FONT_PACKAGE = "fonts-dejavu-core"
WINDOWS_LIBRARY_FOLDERS = (r"C:\msys64\ucrt64\bin", r"C:\msys64\mingw64\bin")
CHROMIUM_COMMANDS = ("chromium", "chromium-browser", "google-chrome", "google-chrome-stable", "chrome")
CHROMIUM_PLACES = (
    "/Applications/Google Chrome.app/Contents/MacOS/Google Chrome",
    "/Applications/Chromium.app/Contents/MacOS/Chromium",
    r"C:\Program Files\Google\Chrome\Application\chrome.exe",
    "~/.cache/ms-playwright/chromium-*/chrome-linux*/chrome",
    "~/Library/Caches/ms-playwright/chromium-*/chrome-mac*/*.app/Contents/MacOS/*",
    "~/AppData/Local/ms-playwright/chromium-*/chrome-win*/chrome.exe",
)
# Where no package manager below is known, the libraries' names must do.
PAPER_LINES = {
    "dnf": "sudo dnf install -y pango harfbuzz dejavu-sans-fonts",
    "pacman": "sudo pacman -S --noconfirm pango harfbuzz ttf-dejavu",
    "zypper": "sudo zypper install -y libpango-1_0-0 libharfbuzz-subset0 dejavu-fonts",
    "apk": "apk add pango harfbuzz-subset font-dejavu",
    "brew": "brew install pango && export DYLD_FALLBACK_LIBRARY_PATH=$(brew --prefix)/lib",
}


class Stop(Exception):
    """Something a person must solve; the message says in one line what."""


def say(line: str) -> None:
    # stderr: the headless study's JSON has standard output to itself.
    print(line, file=sys.stderr, flush=True)


@contextlib.contextmanager
def step(label: str) -> Iterator[Callable[[str], None]]:
    """Shows one line while the work inside lasts, then its seconds; gives a function that shows progress."""
    began, terminal, shown = time.monotonic(), sys.stderr.isatty(), [""]

    def show(text: str) -> None:
        sys.stderr.write(text if not terminal else f"\r{text.ljust(len(shown[0]))}")
        sys.stderr.flush()
        shown[0] = text

    show(f"  {label} …")
    try:
        yield lambda progress: show(f"  {label} … {progress}") if terminal else None
    except BaseException:
        say("")
        raise
    show(f"  {label}: {time.monotonic() - began:.0f} s" if terminal else f" {time.monotonic() - began:.0f} s")
    say("")


def provide(venv: bool, papers: bool, tests: bool) -> None:
    """Installs the system packages that are missing, or stops with the line that does."""
    packages = missing(venv, papers, tests)
    if not packages:
        return
    if not has_apt():
        raise Stop(elsewhere(packages))
    if os.geteuid() != 0:
        line = f"sudo apt-get update && sudo apt-get install -y {' '.join(packages)}"
        raise Stop(f"run this once, then the same command again: {line}")
    apt_install(packages)
    left = missing(venv, papers, tests)
    if left:
        raise Stop(f"{', '.join(left)} can't be found even after installing it.")


def missing(venv: bool, papers: bool, tests: bool) -> list[str]:
    """The Debian packages for what this machine lacks."""
    packages = []
    if venv and not (importlib.util.find_spec("ensurepip") and importlib.util.find_spec("venv")):
        packages.append(f"python{sys.version_info[0]}.{sys.version_info[1]}-venv")
    if papers:
        libraries = LIBRARIES.get(sys.platform, LIBRARIES["linux"])
        packages += [package for name, package in libraries.items() if not loads(name)]
        if sys.platform.startswith("linux") and not has_font():
            packages.append(FONT_PACKAGE)
    if tests and has_apt():
        # The program through which Playwright drives a browser needs it.
        if not loads("libatomic.so.1"):
            packages.append("libatomic1")
        # The tests read the papers back with it.
        if not shutil.which("pdftotext"):
            packages.append("poppler-utils")
        # Ubuntu's package is a link to a snap, which neither a container nor a driven browser can use: see browser().
        if not is_ubuntu() and not find_chromium():
            packages.append("chromium")
    return packages


def loads(name: str) -> bool:
    if sys.platform == "win32":
        for folder in filter(os.path.isdir, WINDOWS_LIBRARY_FOLDERS):
            os.add_dll_directory(folder)
    try:
        ctypes.CDLL(name)
    except OSError:
        return False
    return True


def has_font(folders: tuple[str, ...] = FONT_FOLDERS) -> bool:
    for folder in folders:
        for _, _, names in os.walk(os.path.expanduser(folder), followlinks=True):
            if any(name.lower().endswith((".ttf", ".otf", ".ttc")) for name in names):
                return True
    return False


def has_apt() -> bool:
    return shutil.which("apt-get") is not None


def is_ubuntu() -> bool:
    with contextlib.suppress(OSError):
        return "ID=ubuntu" in Path("/etc/os-release").read_text().splitlines()
    return False


def elsewhere(packages: list[str]) -> str:
    """One line for a system without apt."""
    if any(package.endswith("-venv") for package in packages):
        return "this Python comes without venv and ensurepip; install your system's python3-venv package."
    for manager, line in PAPER_LINES.items():
        if shutil.which(manager):
            return f"the papers need Pango and a font; run this once, then the same command again: {line}"
    if sys.platform == "win32":
        return "the papers need Pango: install MSYS2, then run in its shell: pacman -S mingw-w64-ucrt-x86_64-pango"
    return "the papers need Pango 1.44 or newer, HarfBuzz's subset library and a TrueType font; install them."


def apt_install(packages: list[str]) -> None:
    quiet = {**os.environ, "DEBIAN_FRONTEND": "noninteractive"}
    commands = (
        ["apt-get", "update", "-qq"],
        ["apt-get", "install", "-y", "-qq", "--no-install-recommends", *packages],
    )
    with step(f"system packages: {' '.join(packages)}"):
        for command in commands:
            done = subprocess.run(command, env=quiet, capture_output=True, text=True, errors="replace")
            # Without a network, update only warns; the install that follows is what fails.
            if done.returncode:
                raise Stop(apt_reason(done.stderr, packages))


def apt_reason(output: str, packages: list[str]) -> str:
    line = f"apt-get install {' '.join(packages)}"
    if any(sign in output for sign in ("resolving", "Could not connect", "Failed to fetch", "Unable to locate")):
        return f"no network to install system packages; connect, or run later: {line}"
    if "No space left" in output or "enough free space" in output:
        return f"no disk space left for: {line}"
    if "Could not get lock" in output:
        return "another apt-get is running; let it finish, then start again."
    errors = [text for text in output.splitlines() if text.startswith("E:")]
    return f"{line} failed: {errors[-1] if errors else output.strip()[-200:]}"


def find_chromium() -> Path | None:
    """The browser for the tests that drive one: RAFTERBOOK_CHROMIUM, else the first one found; None without any."""
    named = os.environ.get("RAFTERBOOK_CHROMIUM")
    if named:
        if not os.access(named, os.X_OK):
            raise Stop(f"RAFTERBOOK_CHROMIUM names {named}, which is not a program.")
        return Path(named)
    for command in CHROMIUM_COMMANDS:
        found = shutil.which(command)
        if found:
            return Path(found)
    for place in CHROMIUM_PLACES:
        for match in sorted(glob.glob(os.path.expanduser(place)), reverse=True):
            if os.access(match, os.X_OK):
                return Path(match)
    return None


def browser(python: Path) -> None:
    """Where Debian's package isn't to be had, Playwright (just installed) fetches its own Chromium."""
    if find_chromium():
        return
    command = [str(python), "-m", "playwright", "install", *(["--with-deps"] if has_apt() else []), "chromium"]
    line = f"the browser tests need Chromium; run this once, then the same command again: {' '.join(command)}"
    if not (has_apt() and os.geteuid() == 0):
        raise Stop(line)
    with step("Chromium"):
        done = subprocess.run(command, capture_output=True, text=True, errors="replace")
    if done.returncode or not find_chromium():
        causes = [text for text in (done.stdout + done.stderr).splitlines() if "rror:" in text]
        raise Stop(f"{line} ({causes[0].strip() if causes else 'it gave no reason'})")
