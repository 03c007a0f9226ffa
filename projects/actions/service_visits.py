"""Visits to a system in service: to look at a claim, or a look that somebody wants to be reminded of."""

from __future__ import annotations

from datetime import date, time
from typing import Any

from projects.actions.engagements import SERVICE
from projects.actions.findings import in_words
from projects.actions.recording import Book, recording, written_once
from projects.actions.roles import FIELD, OFFICE
from projects.actions.scheduling import day_clashes
from projects.models import Crew, Job, Person, ServiceVisit, WarrantyClaim

MOST_AHEAD_DAYS = 3 * 366
"""A yearly look may be planned with some years to go."""


def plan_service_visit(
    *,
    job: Job,
    actor: Person,
    on: date,
    purpose: str = "",
    claim: WarrantyClaim | None = None,
    crew: Crew | None = None,
    starts_at: time | None = None,
    despite: bool = False,
) -> ServiceVisit:
    """``claim``: one of this job's, still open; without one, ``purpose`` says what for.

    What speaks against the day is a problem unless ``despite`` says that somebody saw it and goes on.
    """
    with recording(job, actor, OFFICE) as book:
        if not any(r.key == "switched_on" and r.done for r in book.standing.requirements):
            book.findings.add("", "The system isn't switched on yet: plan the installation instead.")
        if claim is None:
            book.findings.need("purpose", purpose, "Say what the visit is for.")
        elif claim.job_id != job.pk or claim.settled_on is not None:
            book.findings.add("claim", "Choose an open claim of this job.")
        if len(purpose.strip()) > 160:
            book.findings.add("purpose", "At most 160 characters.")
        _dated(book, on, claim)
        if claim is not None and claim.visits.filter(done_on=None, cancelled_on=None).exists():
            book.findings.add("claim", "A visit is planned for this claim already.")
        seen = _seen(book, on, crew, starts_at, despite)
        visit = ServiceVisit.objects.create(
            job=job,
            claim=claim,
            planned_for=on,
            purpose=purpose.strip(),
            crew=crew,
            starts_at=starts_at,
            planned_by=actor,
        )
        book.write("service_visit_planned", visit=visit.pk, **_told(on, crew, starts_at, seen))
    return visit


def move_service_visit(
    *,
    visit: ServiceVisit,
    actor: Person,
    on: date,
    crew: Crew | None = None,
    starts_at: time | None = None,
    reason: str = "",
    despite: bool = False,
) -> ServiceVisit:
    """Another day, crew or hour; another day needs a reason."""
    job = visit.job
    with recording(job, actor, OFFICE) as book:
        visit.refresh_from_db()
        _still_planned(book, visit)
        was = visit.planned_for
        if on != was:
            _dated(book, on, visit.claim)
            book.findings.need("reason", reason, "Say why it moves.")
        if (on, crew, starts_at) == (was, visit.crew, visit.starts_at):
            book.findings.refuse()
            book.unchanged()
            return visit
        seen = _seen(book, on, crew, starts_at, despite)
        open_one = ServiceVisit.objects.filter(pk=visit.pk, done_on=None, cancelled_on=None)
        written_once(open_one.update(planned_for=on, crew=crew, starts_at=starts_at))
        told = _told(on, crew, starts_at, seen)
        if on != was:
            told |= {"was": was.isoformat()}
        book.write("service_visit_moved", visit=visit.pk, reason=reason.strip(), **told)
    visit.refresh_from_db()
    return visit


def _dated(book: Book, on: date | None, claim: WarrantyClaim | None) -> None:
    if on is None:
        book.findings.add("on", "Give the day.")
    elif on < (claim.reported_on if claim else book.facts.today):
        book.findings.add("on", "That day is over.")
    elif (on - book.facts.today).days > MOST_AHEAD_DAYS:
        book.findings.add("on", "At most three years ahead.")


def _seen(book: Book, on: date, crew: Crew | None, starts_at: time | None, despite: bool) -> list[str]:
    """What speaks against the day, in sentences; refused here unless somebody goes on all the same."""
    if crew is not None and not crew.active:
        book.findings.add("crew", f"{crew.name} is not active.")
    book.findings.refuse()
    if crew is None or on < book.facts.today:
        return []  # nobody to be elsewhere; or a visit that was made already and is written down after it
    seen = day_clashes(book.job, SERVICE, on, crew, starts_at, 1)
    if seen and not despite:
        for clash in seen:
            book.findings.add(clash.field, clash.sentence)
        book.findings.refuse()
    return [clash.sentence for clash in seen]


def _told(on: date, crew: Crew | None, starts_at: time | None, seen: list[str]) -> dict[str, Any]:
    told: dict[str, Any] = {"day": on.isoformat(), "crew": crew.name if crew else ""}
    told["after"] = {"at": starts_at.isoformat("minutes") if starts_at else None, "crew": crew.pk if crew else None}
    return told | ({"despite": seen} if seen else {})


def _still_planned(book: Book, visit: ServiceVisit) -> None:
    if visit.done_on is not None or visit.cancelled_on is not None:
        book.findings.add("", "This visit isn't planned any more.")


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
        _still_planned(book, visit)
        book.findings.refuse()
        open_one = ServiceVisit.objects.filter(pk=visit.pk, done_on=None, cancelled_on=None)
        written_once(open_one.update(cancelled_on=book.facts.today))
        book.write("service_visit_cancelled", visit=visit.pk, day=visit.planned_for.isoformat())
    visit.refresh_from_db()
    return visit
