"""A lead comes in, is asked, and gets its kind of system."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from typing import Any

from projects.actions import answers, contact, opening, redraw
from projects.actions.recording import recording
from projects.actions.roles import OFFICE, require
from projects.models import Customer, Job, LeadAnswers, Person, Site, SystemKind


def receive_lead(
    *,
    actor: Person | None,
    name: str,
    email: str = "",
    phone: str = "",
    street: str,
    city: str,
    state: str,
    zip_code: str,
    latitude_deg: float | None = None,
    longitude_deg: float | None = None,
    owns_home: bool = True,
    must_run: Sequence[str] = (),
    goal: str = "",
    monthly_kwh: Sequence[float] = (),
    yearly_kwh: float | None = None,
    wants_loan: bool = False,
    warranty_years_wanted: int | None = None,
    diy_comfort: str = "none",
    grid_available: bool = True,
    outage_days_wanted: float = 1,
    note: str = "",
    source: str = "",
    preferred_language: str = "en",
    received_at: datetime | None = None,
) -> Job:
    """Opens a job. ``actor`` None: the homeowner, through the public page. What isn't known yet may stay empty."""
    if actor is not None:
        require(actor, OFFICE)
    lead = opening.cleaned(
        roughly=actor is None,
        name=name,
        email=email,
        phone=phone,
        street=street,
        city=city,
        state=state,
        zip_code=zip_code,
        latitude_deg=latitude_deg,
        longitude_deg=longitude_deg,
        owns_home=owns_home,
        must_run=must_run,
        goal=goal,
        monthly_kwh=monthly_kwh,
        yearly_kwh=yearly_kwh,
        wants_loan=wants_loan,
        warranty_years_wanted=warranty_years_wanted,
        diy_comfort=diy_comfort,
        grid_available=grid_available,
        outage_days_wanted=outage_days_wanted,
        note=note,
        source=source,
        preferred_language=preferred_language,
        received_at=received_at,
    )
    return opening.open_jobs([lead], actor)[0]


def update_answers(*, job: Job, actor: Person | None, **changes: Any) -> Job:
    """Changes some of the lead's answers (fields of LeadAnswers); ``owns_home`` and ``source`` too."""
    with recording(job, actor, OFFICE, public=True) as book:
        row, _ = LeadAnswers.objects.get_or_create(job=job)
        site_changes = {key: changes.pop(key) for key in ("owns_home",) if key in changes}
        job_changes = {key: changes.pop(key) for key in ("source",) if key in changes}
        said = answers.cleaned(book.findings, changes)
        book.findings.refuse()
        changed = [key for key, value in said.items() if getattr(row, key) != value]
        changed += [key for key, value in site_changes.items() if getattr(job.site, key) != value]
        changed += [key for key, value in job_changes.items() if getattr(job, key) != value]
        if not changed:
            book.unchanged()
            return job
        LeadAnswers.objects.filter(pk=row.pk).update(**said)
        if site_changes:
            Site.objects.filter(pk=job.site_id).update(**site_changes)
        if job_changes:
            Job.objects.filter(pk=job.pk).update(**job_changes)
        job.refresh_from_db()
        if not job.system_kind:
            _recommend(job)
        book.write("answers_updated", fields=[key.replace("_", " ") for key in changed])
    return job


def update_contact(*, job: Job, actor: Person, **changes: Any) -> Job:
    """Changes name, email, phone or preferred_language of the job's customer."""
    with recording(job, actor, OFFICE) as book:
        customer = job.customer
        columns = ("name", "email", "phone", "preferred_language")
        wanted = {key: changes.get(key, getattr(customer, key)) for key in columns}
        reached = contact.cleaned(book.findings, **wanted)
        book.findings.refuse()
        changed = [key for key in columns if getattr(customer, key) != reached[key]]
        if not changed:
            book.unchanged()
            return job
        Customer.objects.filter(pk=customer.pk).update(**reached)
        job.refresh_from_db()
        book.write("contact_updated", fields=[key.replace("_", " ") for key in changed])
    return job


def update_address(
    *,
    job: Job,
    actor: Person,
    street: str,
    city: str,
    state: str,
    zip_code: str,
    latitude_deg: float | None = None,
    longitude_deg: float | None = None,
) -> Job:
    """Corrects the address; the place is located anew."""
    with recording(job, actor, OFFICE) as book:
        address = contact.cleaned_address(book.findings, street=street, city=city)
        place = contact.located(book.findings, state, zip_code, latitude_deg, longitude_deg)
        book.findings.refuse()
        assert place is not None
        Site.objects.filter(pk=job.site_id).update(
            state=state.strip().upper(), zip_code=zip_code.strip(), **address, **contact.columns(place)
        )
        job.refresh_from_db()
        book.write("address_updated")
    return job


def mark_duplicate(*, job: Job, of: Job, actor: Person) -> Job:
    """Closes the job as a duplicate of another one."""
    with recording(job, actor, OFFICE) as book:
        if of.pk == job.pk:
            book.findings.add("of", "A job can't be its own duplicate.")
        if of.duplicate_of_id is not None:
            book.findings.add("of", f"Job {of.label} is a duplicate itself.")
        book.findings.refuse()
        Job.objects.filter(pk=job.pk).update(
            duplicate_of=of, outcome=Job.Outcome.CANCELLED, outcome_reason=f"Duplicate of {of.label}"
        )
        job.refresh_from_db()
        book.write("marked_duplicate", of=of.label)
    return job


def decide_system_type(*, job: Job, kind: str, actor: Person, reason: str = "") -> Job:
    """The office's decision; what was recommended, and why, stays beside it."""
    with recording(job, actor, OFFICE) as book:
        said = getattr(job, "answers", None)
        if kind not in SystemKind.values:
            book.findings.add("kind", "Choose off-grid, grid-tied or hybrid.")
        elif said is not None and not said.grid_available and kind != SystemKind.OFF_GRID:
            book.findings.add("kind", "There is no utility line at this site: only off-grid is possible.")
        _recommend(job)
        against = bool(job.recommended_kind) and kind != job.recommended_kind
        if against:
            book.findings.need("reason", reason, "Say why, since another kind is recommended.")
        if not book.findings.found and job.system_kind == kind and job.kind_reason == reason.strip():
            book.unchanged()
            return job
        book.findings.refuse()
        Job.objects.filter(pk=job.pk).update(system_kind=kind, kind_reason=reason.strip())
        job.refresh_from_db()
        consequence = redraw.after_change(job, actor)
        book.write("system_decided", system=kind, recommended=job.recommended_kind if against else "", **consequence)
    return job


def _recommend(job: Job) -> None:
    """Stores what the answers speak for, as it stands now."""
    said = LeadAnswers.objects.filter(job=job).first()
    if said is None:
        return
    columns = opening.recommended(said, job.site)
    Job.objects.filter(pk=job.pk).update(**columns)
    for column, value in columns.items():
        setattr(job, column, value)
