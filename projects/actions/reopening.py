"""A lost or cancelled job comes back where it was; the days in between count in no due date."""

from __future__ import annotations

from datetime import datetime

from django.utils import timezone

from projects.actions.findings import today
from projects.actions.recording import recording
from projects.actions.roles import OFFICE
from projects.models import Job, Pause, Person


def reopen_job(*, job: Job, actor: Person, reason: str) -> Job:
    with recording(job, actor, OFFICE, closed_too=True) as book:
        book.findings.need("reason", reason, "Say why.")
        if not job.outcome:
            book.findings.add("", "This job is open.")
        book.findings.refuse()
        Job.objects.filter(pk=job.pk).update(outcome=Job.Outcome.OPEN, outcome_reason="", duplicate_of=None)
        job.refresh_from_db()
        _rested(job, actor)
        book.write("reopened", reason=reason.strip())
    return job


def closed_at(job: Job) -> datetime | None:
    kinds = ("closed", "marked_duplicate")
    return job.journal.filter(kind__in=kinds).order_by("-id").values_list("at", flat=True).first()


def _rested(job: Job, actor: Person) -> None:
    since = closed_at(job)
    if since is None or timezone.localdate(since) >= today():
        return
    Pause.objects.create(
        job=job,
        cause=Pause.Cause.CLOSED,
        on=timezone.localdate(since),
        look_again_on=today(),
        ended_on=today(),
        paused_by=actor,
        ended_by=actor,
    )
