"""Names of the kinds of paper, for screens that speak of them: ``paperwork`` writes them in at start-up.

The jobs know papers by key, number and the design they show; what they are called is the business of whoever makes
them, and this side never asks there. The same way ``paperwork`` lends what it keeps of an issued paper.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass


@dataclass(frozen=True)
class PaperName:
    title: str
    shows_design: bool
    """Out of date once the design changes."""


@dataclass(frozen=True)
class Kept:
    """What is kept of an issued paper beside its bytes."""

    issue: int
    pages: int
    sha256: str
    changes: tuple[str, ...]
    """What differs from the issue before, in words."""


_KNOWN: dict[str, PaperName] = {}
_READERS: list[Callable[[int], dict[str, Kept]]] = []


def register(kind: str, title: str, *, shows_design: bool) -> None:
    _KNOWN[kind] = PaperName(title, shows_design)


def title_of(kind: str) -> str:
    """The paper's title; its key in plain letters where nobody has named it."""
    known = _KNOWN.get(kind)
    return known.title if known else kind.replace("_", " ").capitalize()


def shows_design(kind: str) -> bool:
    known = _KNOWN.get(kind)
    return known is not None and known.shows_design


def read_kept_with(reader: Callable[[int], dict[str, Kept]]) -> None:
    """``reader`` answers a job's primary key with what is kept of its papers, by their numbers, in one query."""
    _READERS[:] = [reader]


def kept_of(job_id: int) -> dict[str, Kept]:
    """Empty where nobody keeps papers."""
    return _READERS[0](job_id) if _READERS else {}
