"""Putting a matter of the desk off, with a reason and a day; and taking that back."""

from __future__ import annotations

from datetime import date, timedelta

from django.utils import timezone

from projects.actions.findings import in_words, today
from projects.actions.recording import Book, recording, written_once
from projects.actions.roles import OFFICE
from projects.models import Job, Permit, Person, Snooze
from projects.route.consequence import STOPS_WORK_DAYS
from projects.route.pauses import LOOK_AGAIN

MOST_DAYS = 60
EXPIRY = "_expiry"


def snooze(*, job: Job, key: str, actor: Person, until: date, reason: str) -> Snooze:
    """``key``: an open requirement's, or "permit_<kind>_expiry". What stops work can't be put off."""
    with recording(job, actor, OFFICE) as book:
        book.findings.need("reason", reason, "Say why it can wait.")
        if until is None or until <= today():
            book.findings.add("until", "Choose a day after today.")
        elif until > today() + timedelta(days=MOST_DAYS):
            book.findings.add("until", f"At most {MOST_DAYS} days ahead; pause the job if it rests longer.")
        what = matter_words(book, key, until)
        book.findings.refuse()
        Snooze.objects.filter(job=job, key=key, ended_at=None).update(ended_at=timezone.now())
        row = Snooze.objects.create(job=job, key=key, until=until, reason=reason.strip(), put_off_by=actor)
        book.write("snoozed", day=until.isoformat(), matter=what, reason=reason.strip())
    return row


def end_snooze(*, job: Job, key: str, actor: Person) -> None:
    """Brings the matter back to the desk before its day."""
    with recording(job, actor, OFFICE) as book:
        if not job.snoozes.filter(key=key, ended_at=None).exists():
            book.findings.add("", "That isn't put off.")
        book.findings.refuse()
        what = matter_words(book, key, None) or "a matter that is done"
        written_once(Snooze.objects.filter(job=job, key=key, ended_at=None).update(ended_at=timezone.now()))
        book.write("snooze_ended", matter=what)


def matter_words(book: Book, key: str, until: date | None) -> str:
    """The matter's sentence; adds a problem where it is none of this job's, or where it can't wait (``until``)."""
    if key.startswith("permit_") and key.endswith(EXPIRY):
        kind = key.removeprefix("permit_").removesuffix(EXPIRY)
        permit = Permit.objects.filter(job=book.job, kind=kind, voided_on=None).exclude(expires_on=None).first()
        if permit is not None:
            last = permit.expires_on - timedelta(days=STOPS_WORK_DAYS)
            if until is not None and until > last:
                book.findings.add("until", f"Work stops when it expires: at the latest {in_words(last)}.")
            return f"The {permit.get_kind_display().lower()} expires {in_words(permit.expires_on)}"
    found = next((r for r in book.standing.requirements if r.key == key), None)
    if until is not None and key == LOOK_AGAIN:
        book.findings.add("", "The job is paused: let it rest longer, or let it go on.")
    if until is not None and (found is None or found.state != "open"):
        book.findings.add("", "This isn't open on the job now, so there is nothing to put off.")
    elif until is not None and key.endswith("_renewal"):
        book.findings.add("", "An expired permit stops the work; it can't be put off.")
    return found.sentence if found else ""
