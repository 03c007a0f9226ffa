"""A job ends before its time."""

from __future__ import annotations

from projects.actions.findings import today
from projects.actions.pausing import end_pause
from projects.actions.recording import recording
from projects.actions.roles import OFFICE
from projects.models import Job, Person


def close_job(*, job: Job, actor: Person, outcome: str, reason: str) -> Job:
    """``outcome``: "lost" (the customer went elsewhere or gave up) or "cancelled" (called off)."""
    with recording(job, actor, OFFICE) as book:
        if outcome not in (Job.Outcome.LOST, Job.Outcome.CANCELLED):
            book.findings.add("outcome", "Choose lost or cancelled.")
        book.findings.need("reason", reason, "Say why.")
        if book.standing.in_service:
            book.findings.add("outcome", "This system is in service: the job is done, not lost.")
        book.findings.refuse()
        end_pause(job, actor, today())
        Job.objects.filter(pk=job.pk).update(outcome=outcome, outcome_reason=reason.strip())
        job.refresh_from_db()
        book.write("closed", outcome=Job.Outcome(outcome).label.lower(), reason=reason.strip())
    return job
