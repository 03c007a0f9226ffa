"""What every action on a job shares: lock, permission, one journal row, fresh standing, one transaction."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import date
from functools import cached_property
from typing import Any

from django.db import IntegrityError, transaction

from projects.actions import journal, outbox, roles
from projects.actions.facts import facts_of
from projects.actions.findings import Findings
from projects.actions.problems import Problem, Problems
from projects.actions.standing import refresh
from projects.models import Job, JournalEntry, Person
from projects.route.facts import JobFacts
from projects.route.standing import standing
from projects.route.standing_types import Standing

TOLD_ALREADY = "Somebody recorded this a moment ago; look at the job again."


class Book:
    """The open job, locked, as an action works on it."""

    def __init__(self, job: Job, actor: Person | None) -> None:
        self.job = job
        self.actor = actor
        self.findings = Findings()
        self.entry: JournalEntry | None = None
        self.nothing_changed = False

    @cached_property
    def facts(self) -> JobFacts:
        """As they stood before the action wrote anything."""
        return facts_of(self.job)

    @cached_property
    def standing(self) -> Standing:
        return standing(self.facts)

    def write(self, kind: str, on: date | None = None, **data: Any) -> None:
        if self.entry is not None:
            raise RuntimeError("an action writes one journal row")
        self.entry = journal.append(self.job, self.actor, kind, on, data)

    def unchanged(self) -> None:
        """Nothing to do: no journal row, no new standing."""
        self.nothing_changed = True


@contextmanager
def recording(
    job: Job, actor: Person | None, allowed: frozenset[str], *, public: bool = False, closed_too: bool = False
) -> Iterator[Book]:
    """Locks the job (its instance is read afresh), and at the end checks the journal row and refreshes the standing.

    ``public``: a homeowner (actor None) may do it too. ``closed_too``: also on a lost or cancelled job.
    Raises NotAllowed, or Problems where somebody else's change came first.
    """
    if not (public and actor is None):
        roles.require(actor, allowed)
    try:
        with transaction.atomic():
            # SQLite has no row locks: its transactions begin IMMEDIATE, and the actions' conditional updates
            # and the unique constraints catch what is left.
            job.refresh_from_db(from_queryset=Job.objects.select_for_update())
            if job.outcome and not closed_too:
                raise Problems([Problem("", "This job is closed; reopen it first.")])
            book = Book(job, actor)
            stage_before = job.stage
            yield book
            if not book.nothing_changed:
                if book.entry is None:
                    raise RuntimeError("an action changed a job without a journal row")
                outbox.after_fact(job, book.entry, stage_before, refresh(job))
    except IntegrityError as error:
        if "unique" not in str(error).lower():
            raise
        raise Problems([Problem("", TOLD_ALREADY)]) from error


def written_once(count: int) -> None:
    """After a conditional update: nothing updated means that somebody else was faster."""
    if count == 0:
        raise Problems([Problem("", TOLD_ALREADY)])
