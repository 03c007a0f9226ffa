"""A demo office running beside this program, in a folder of its own: for pictures of it and for walks through it."""

from __future__ import annotations

import os
import socket
import subprocess
import sys
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path

from django.conf import settings

SERVES = "Stop with Ctrl-C."
"""The demo command's last line before it serves."""


@dataclass
class RunningOffice:
    address: str
    said: list[str] = field(default_factory=list)
    """What the demo command printed: the sign-ins, and two customers' links."""

    @property
    def customer_links(self) -> list[str]:
        return [line.split("page: ", 1)[1].strip() for line in self.said if "/status/" in line]


@contextmanager
def office(
    folder: Path, *, jobs: bool = True, tell: Callable[[str], None] = lambda line: None, seconds: float = 600
) -> Iterator[RunningOffice]:
    """Serves a new demo office from ``folder`` until the block ends. Raises RuntimeError with its last words if it
    doesn't come up within ``seconds``.
    """
    port = _free_port()
    environment = {**os.environ, "RAFTERBOOK_DATA": str(folder), "PYTHONUNBUFFERED": "1"}
    environment["DJANGO_SETTINGS_MODULE"] = "projects.config.settings"
    environment.pop("DATABASE_URL", None)
    command = [sys.executable, "-m", "django", "demo", "--port", str(port), *([] if jobs else ["--without-jobs"])]
    running = RunningOffice(f"http://127.0.0.1:{port}")
    with subprocess.Popen(
        command, cwd=settings.BASE_DIR, env=environment, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True
    ) as process:
        ready = threading.Event()

        def listen() -> None:
            for line in process.stdout or ():
                running.said.append(line.rstrip())
                if not ready.is_set():
                    tell(line.rstrip())
                if line.startswith(SERVES):
                    ready.set()

        threading.Thread(target=listen, daemon=True).start()
        try:
            _wait(process, ready, port, time.monotonic() + seconds, running)
            yield running
        finally:
            process.terminate()


def _free_port() -> int:
    with socket.socket() as found:
        found.bind(("127.0.0.1", 0))
        return found.getsockname()[1]


def _wait(process: subprocess.Popen, ready: threading.Event, port: int, until: float, running: RunningOffice) -> None:
    while time.monotonic() < until and process.poll() is None:
        if ready.wait(0.1):
            with socket.socket() as probe:
                probe.settimeout(1)
                if probe.connect_ex(("127.0.0.1", port)) == 0:
                    return
            time.sleep(0.1)
    raise RuntimeError("The demo office did not start. " + " ".join(running.said[-3:]))
