"""Several people at the same instant: each in a thread with a connection of its own, on one book."""

from __future__ import annotations

import sqlite3
import threading
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import Any, TypeVar

from django.db import connection, connections

Answer = TypeVar("Answer")
LONGEST_WAIT_S = 0.7
"""For the other one to get as far. Where only one can, it goes on alone."""


@contextmanager
def one_book(folder: Path) -> Iterator[Callable[..., list[Any]]]:
    """Hands out what runs its calls at once and gives their answers in order.

    A test's SQLite lives in memory, where threads fail instead of waiting: they get a copy in a file, as an office has
    it. What they wrote is therefore read by such a call as well.
    """
    settings = connections.settings["default"]
    name = settings["NAME"]
    if connection.vendor == "sqlite":
        copy = folder / "book.sqlite3"
        with sqlite3.connect(copy) as book:
            connection.connection.backup(book)
        settings["NAME"] = str(copy)
    try:
        yield _at_once
    finally:
        settings["NAME"] = name


def _at_once(*calls: Callable[[], Answer]) -> list[Answer]:
    def alone(call: Callable[[], Answer]) -> Answer:
        try:
            return call()
        finally:
            connection.close()

    with ThreadPoolExecutor(len(calls)) as people:
        return [done.result() for done in [people.submit(alone, call) for call in calls]]


def meeting(act: Callable[..., Answer], people: int = 2) -> Callable[..., Answer]:
    """``act``, begun by all at once where all can get there, and by whoever is there where they can't."""
    door = threading.Barrier(people)

    def acted(*given: Any, **more: Any) -> Answer:
        with suppress(threading.BrokenBarrierError):
            door.wait(LONGEST_WAIT_S)
        return act(*given, **more)

    return acted
