"""The morning's letter to the office: what is due today, what is late, who keeps whom waiting, who goes where."""

from __future__ import annotations

from datetime import date
from typing import Any

from django.db.models import Q, QuerySet

from projects.actions import outbox
from projects.actions.engagements import engagements
from projects.actions.findings import today as office_today
from projects.actions.standing import turn_day
from projects.models import Job, Message, Person, Role
from projects.route.clashes import NAMES
from projects.screens.tasks import task

SHOWN = 12
OURS = ("office", "contractor", "electrician", "crew")


def send_digests(people: QuerySet[Person] | None = None, today: date | None = None) -> dict[str, int]:
    """Queues a digest for everybody of the office with an e-mail address, once a day; {"queued", "quiet", "again"}."""
    today = today or office_today()
    turn_day()
    everybody = people if people is not None else Person.objects.all()
    readers = everybody.filter(is_active=True, role__in=(Role.OFFICE, Role.OWNER)).exclude(email="")
    tally = {"queued": 0, "quiet": 0, "again": 0}
    for person in readers.order_by("pk"):
        data = digest_of(person, today)
        if data is None:
            tally["quiet"] += 1
        elif outbox.queue(person=person, kind="digest", fact=f"digest:{today.isoformat()}", data=data) is None:
            tally["again"] += 1
        else:
            tally["queued"] += 1
    return tally


def digest_of(person: Person, today: date) -> dict[str, Any] | None:
    """What the letter says; None where there is nothing to say. The owner reads of all jobs, the office of its own
    and of those that nobody looks after."""
    jobs = Job.objects.filter(outcome=Job.Outcome.OPEN).exclude(next_key="")
    if not person.is_owner:
        jobs = jobs.filter(Q(assigned_to=person) | Q(assigned_to=None))
    ours = jobs.filter(waiting_on__in=OURS)
    parts = [
        _part("Due today", ours.filter(due_on=today), today),
        _part("Late", ours.filter(due_on__lt=today), today),
        _part("Others keep us waiting", jobs.exclude(waiting_on__in=OURS).filter(due_on__lt=today), today, who=True),
    ]
    going = [
        f"{row.job.label} {row.job.customer.name}, {row.job.site.city}: {NAMES[row.kind]}"
        f"{f' at {row.starts_at:%-H:%M}' if row.starts_at else ''}, {row.crew.name if row.crew else 'no crew yet'}"
        f"{' (planned, not booked)' if row.planned else ''}"
        for row in engagements(today, today)
        if not row.done
    ]
    failed = Message.objects.filter(status=Message.Status.FAILED, job__isnull=False).count()
    said = [part for part in parts if part["lines"]]
    if not said and not going and not failed:
        return None
    counts = [f"{part['total']} {part['title'].lower()}" for part in said[:2]]
    return {
        "subject": f"{today:%A}: {', '.join(counts) if counts else 'nothing due'}",
        "day": today.isoformat(),
        "day_words": f"{today:%A}, {today:%B} {today.day}",
        "parts": said,
        "going": going,
        "failed": failed,
    }


def _part(title: str, jobs: QuerySet[Job], today: date, *, who: bool = False) -> dict[str, Any]:
    rows = jobs.select_related("customer", "site").order_by("due_on", "number")
    lines = []
    for job in rows[:SHOWN]:
        words = task(job.next_key, job.next_step)
        late = (today - job.due_on).days if job.due_on else 0
        lines.append(
            {
                "job": f"{job.label} {job.customer.name}, {job.site.city}",
                "number": job.number,
                "words": f"{job.waiting_on_name}: {words}" if who and job.waiting_on_name else words,
                "late": f"{late} day{'' if late == 1 else 's'} late" if late > 0 else "",
            }
        )
    total = rows.count()
    return {"title": title, "lines": lines, "total": total, "more": total - len(lines)}
