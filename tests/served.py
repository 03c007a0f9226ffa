"""Waits until the test's own web server has answered everything.

A closed browser leaves requests behind that the server still works on. SQLite's test database is one connection for all
threads, and tables can't be emptied while one of them reads ("database table is locked").
"""

from __future__ import annotations

import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

from django.core.signals import request_finished, request_started

QUIET_S = 0.15
"""A request may have come in and not have begun yet."""
PATIENCE_S = 20.0


@contextmanager
def served_to_the_end() -> Iterator[None]:
    """Behind the block no thread but this one is at a request."""
    lock, under_way = threading.Lock(), 0

    def counted(change: int) -> None:
        nonlocal under_way
        if threading.current_thread() is not threading.main_thread():
            with lock:
                under_way += change

    def begun(**told: Any) -> None:
        counted(1)

    def over(**told: Any) -> None:
        counted(-1)

    request_started.connect(begun)
    request_finished.connect(over)
    try:
        yield
        ends, quiet_since = time.monotonic() + PATIENCE_S, time.monotonic()
        while time.monotonic() < ends and time.monotonic() - quiet_since < QUIET_S:
            if under_way > 0:
                quiet_since = time.monotonic()
            time.sleep(0.01)
    finally:
        request_started.disconnect(begun)
        request_finished.disconnect(over)
