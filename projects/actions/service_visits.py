"""Visits to a system in service: to look at a claim, or a look that somebody wants to be reminded of."""

from __future__ import annotations

from datetime import date

from projects.actions.findings import in_words
from projects.actions.recording import recording, written_once
from projects.actions.roles import FIELD, OFFICE
from projects.models import Job, Person, ServiceVisit, WarrantyClaim

MOST_AHEAD_DAYS = 3 * 366
"""A yearly look may be planned with some years to go."""


def plan_service_visit(
    *, job: Job, actor: Person, on: date, purpose: str = "", claim: WarrantyClaim | None = None
) -> ServiceVisit:
    """``claim``: one of this job's, still open; without one, ``purpose`` says what for."""
    with recording(job, actor, OFFICE) as book:
        if not any(r.key == "switched_on" and r.done for r in book.standing.requirements):
            book.findings.add("", "The system isn't switched on yet: plan the installation instead.")
        if claim is None:
            book.findings.need("purpose", purpose, "Say what the visit is for.")
        elif claim.job_id != job.pk or claim.settled_on is not None:
            book.findings.add("claim", "Choose an open claim of this job.")
        if len(purpose.strip()) > 160:
            book.findings.add("purpose", "At most 160 characters.")
        if on is None:
            book.findings.add("on", "Give the day.")
        elif on < (claim.reported_on if claim else book.facts.today):
            book.findings.add("on", "That day is over.")
        elif (on - book.facts.today).days > MOST_AHEAD_DAYS:
            book.findings.add("on", "At most three years ahead.")
        if claim is not None and claim.visits.filter(done_on=None, cancelled_on=None).exists():
            book.findings.add("claim", "A visit is planned for this claim already.")
        book.findings.refuse()
        visit = ServiceVisit.objects.create(
            job=job, claim=claim, planned_for=on, purpose=purpose.strip(), planned_by=actor
        )
        book.write("service_visit_planned", visit=visit.pk, day=on.isoformat())
    return visit


def record_service_visit(*, visit: ServiceVisit, actor: Person, on: date, found: str) -> ServiceVisit:
    """The visit was made, and what was found."""
    job = visit.job
    with recording(job, actor, FIELD) as book:
        visit.refresh_from_db()
        book.findings.need("found", found, "Write down what was found.")
        if book.findings.happened(job, on) and visit.claim is not None:
            book.findings.not_before(on, visit.claim.reported_on, "the claim was reported")
        if visit.done_on is not None:
            book.findings.add("", f"Already made on {in_words(visit.done_on)}.")
        if visit.cancelled_on is not None:
            book.findings.add("", "This visit is cancelled.")
        book.findings.refuse()
        open_one = ServiceVisit.objects.filter(pk=visit.pk, done_on=None, cancelled_on=None)
        written_once(open_one.update(done_on=on, found=found.strip(), done_by=actor))
        book.write("service_visit_done", on, visit=visit.pk)
    visit.refresh_from_db()
    return visit


def cancel_service_visit(*, visit: ServiceVisit, actor: Person) -> ServiceVisit:
    job = visit.job
    with recording(job, actor, OFFICE) as book:
        visit.refresh_from_db()
        if visit.done_on is not None or visit.cancelled_on is not None:
            book.findings.add("", "This visit isn't planned any more.")
        book.findings.refuse()
        open_one = ServiceVisit.objects.filter(pk=visit.pk, done_on=None, cancelled_on=None)
        written_once(open_one.update(cancelled_on=book.facts.today))
        book.write("service_visit_cancelled", visit=visit.pk, day=visit.planned_for.isoformat())
    visit.refresh_from_db()
    return visit
