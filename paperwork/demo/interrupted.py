"""Whether the demo office's load came to its end. One that was stopped half-way must not pass for the whole office."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from django.conf import settings
from django.db import connection, connections
from django.utils import timezone


def marker() -> Path:
    """There from the first row of a load to its last."""
    return Path(settings.DATA_DIR) / "demo-is-loading"


def was_interrupted() -> bool:
    return marker().exists()


@contextmanager
def loading() -> Iterator[None]:
    marker().write_text(f"{timezone.now():%Y-%m-%d %H:%M}\n")
    yield
    marker().unlink()  # not in a finally: what failed has not come to its end


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
