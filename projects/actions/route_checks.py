"""The route's word on whether a fact may be recorded now, and on that day."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from projects.actions.findings import in_words
from projects.actions.recording import Book
from projects.route.requirements import REQUIREMENT_BY_KEY
from projects.route.standing_types import RequirementStanding

UNDATED = frozenset({"first_look", "single_line", "design", "study", "design_checks", "visit_booked", "install_booked"})
"""A customer may say go on the phone before the report is printed, and a visit may happen before its booked day."""


def requirement(book: Book, key: str) -> RequirementStanding | None:
    return next((r for r in book.standing.requirements if r.key == key), None)


def must_be_open(book: Book, key: str, *, field: str = "", again: bool = False) -> RequirementStanding | None:
    """Adds problems unless the requirement is actionable now. ``again``: being met already is no problem."""
    found = requirement(book, key)
    if found is None:
        book.findings.add(field, "This is not part of this job's route.")
    elif found.state == "met" and not again:
        book.findings.add(field, f"Already recorded: {within(found.sentence)}.")
    elif found.state == "waiting":
        book.findings.extend(field, [f"First: {first}." for first in found.after])
    return found


def must_be_done(book: Book, keys: Iterable[str], *, field: str = "") -> None:
    """Adds a problem per requirement of the route that is neither met nor waived."""
    wanted = frozenset(keys)
    for r in book.standing.requirements:
        if r.key in wanted and not r.done:
            book.findings.add(field, f"First: {within(r.sentence)}.")


def follows(book: Book, key: str, on: date, *, field: str = "on") -> None:
    """Adds a problem where the day lies before one of the facts that come first on the route."""
    declared = REQUIREMENT_BY_KEY.get(key)
    if declared is None:
        return
    for r in book.standing.requirements:
        if r.key in declared.after and r.key not in UNDATED and r.state == "met" and r.met_on and on < r.met_on:
            book.findings.add(field, f"Before {in_words(r.met_on)}, when {within(r.sentence)}.")


def within(sentence: str) -> str:
    """The sentence as it stands inside another one."""
    return (sentence[:1].lower() + sentence[1:]).rstrip(".")
