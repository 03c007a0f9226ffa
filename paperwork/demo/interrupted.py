"""Whether the demo office's load came to its end. One that was stopped half-way must not pass for the whole office."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import IO

from django.conf import settings
from django.db import connection, connections
from django.utils import timezone

try:
    import fcntl
except ImportError:  # Windows: a second start beside a running load isn't noticed there
    fcntl = None  # type: ignore[assignment]


def marker() -> Path:
    """There from the first row of a load to its last."""
    return Path(settings.DATA_DIR) / "demo-is-loading"


def was_interrupted() -> bool:
    return marker().exists()


def is_going_on() -> bool:
    """Another start is loading at this moment: the system takes its lock back when that ends, however it ends."""
    try:
        with marker().open("r+") as mark:
            return not _locked(mark)
    except FileNotFoundError:
        return False


@contextmanager
def loading() -> Iterator[None]:
    with marker().open("a+") as mark:
        _locked(mark)
        mark.write(f"{timezone.now():%Y-%m-%d %H:%M}\n")
        mark.flush()
        yield
        # Not in a finally: what failed has not come to its end.
        if fcntl is None:
            mark.close()  # Windows removes no open file
        marker().unlink()


def _locked(mark: IO[str]) -> bool:
    if fcntl is None:
        return True
    try:
        fcntl.flock(mark, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except OSError:
        return False
    return True


def set_aside() -> Path | None:
    """Moves the half-loaded job book's file out of the way, so that nothing in it is lost, and returns where it is now.

    None where the book is no file of its own (PostgreSQL): emptying a database server is not for us to do.
    """
    if connection.vendor != "sqlite":
        return None
    connections.close_all()
    book = Path(settings.DATABASES["default"]["NAME"])
    kept = book.with_name(f"{book.stem}-interrupted-{timezone.now():%Y%m%d-%H%M%S}{book.suffix}")
    for tail in ("-wal", "-shm", ""):  # the file last: a stop in between leaves the marker and the book
        part = book.with_name(book.name + tail)
        if part.exists():
            part.rename(kept.with_name(kept.name + tail))
    marker().unlink()
    return kept
