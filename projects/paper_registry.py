"""Names of the kinds of paper, for screens that speak of them: ``paperwork`` writes them in at start-up.

The jobs know papers by key, number and the design they show; what they are called is the business of whoever makes
them, and this side never asks there.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class PaperName:
    title: str
    shows_design: bool
    """Out of date once the design changes."""


_KNOWN: dict[str, PaperName] = {}


def register(kind: str, title: str, *, shows_design: bool) -> None:
    _KNOWN[kind] = PaperName(title, shows_design)


def title_of(kind: str) -> str:
    """The paper's title; its key in plain letters where nobody has named it."""
    known = _KNOWN.get(kind)
    return known.title if known else kind.replace("_", " ").capitalize()


def shows_design(kind: str) -> bool:
    known = _KNOWN.get(kind)
    return known is not None and known.shows_design
