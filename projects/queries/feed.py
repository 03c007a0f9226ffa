"""What one person's calendar program is told: appointments with stable names, how often they changed, what fell away.

How often and when is read from the job journal, so that every way of changing a day counts.
"""

from __future__ import annotations

import uuid
from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from django.utils import timezone

from projects.actions.engagements import SERVICE, Booked, engagements, run_of
from projects.actions.findings import today as office_today
from projects.actions.office import hash_of
from projects.actions.scheduling import SCHEDULING
from projects.models import CalendarFeed, Crew, Inspection, Job, JournalEntry, Person, Role, ServiceVisit
from projects.queries.calendar import crew_ids_of, holds_of

BACK = timedelta(days=60)
AHEAD = timedelta(days=400)
READ_AGAIN = timedelta(hours=1)
"""How fine the last reading is kept: programs ask every few minutes, and each writing would lock."""
NAMESPACE = uuid.UUID("5d7c5c1e-3c3b-4d0c-9d8e-7f6f0a6d0b11")
OLD_KINDS = {"visit_booked": "site_visit", "install_booked": "installation"}
"""Journal rows from before appointments were told in their data."""
VISITING = ("service_visit_planned", "service_visit_moved", "service_visit_cancelled", "service_visit_done")


@dataclass(frozen=True)
class FeedRow:
    uid: str
    """The same through every change, and on no other calendar."""
    sequence: int
    changed_at: datetime
    kind: str
    """An appointment's, or "service_visit"."""
    job: Job
    days: tuple[date, ...]
    booked: Booked | None
    """None: called off, or no longer this person's."""
    holds: tuple[str, ...] = ()


def reader_of(token: str) -> Person | None:
    """Whose calendar the token opens; None where it is unknown, ended, or the person no longer works here."""
    now = timezone.now()
    feed = CalendarFeed.objects.filter(token_hash=hash_of(token), revoked_at=None).select_related("person").first()
    if feed is None or not feed.person.is_active or feed.person.role == Role.LICENCE_HOLDER:
        return None
    if feed.last_read_at is None or feed.last_read_at < now - READ_AGAIN:
        CalendarFeed.objects.filter(pk=feed.pk).update(last_read_at=now)
    return feed.person


def feed_rows(person: Person, today: date | None = None) -> list[FeedRow]:
    """Of the last two months and the next year: the crew's own, or for the office all."""
    today = today or office_today()
    everybody = person.is_office
    own = set(crew_ids_of(person))
    rows = engagements(today - BACK, today + AHEAD)
    mine = [row for row in rows if row.kind != SERVICE and (everybody or (row.crew and row.crew.pk in own))]
    recent = JournalEntry.objects.filter(
        kind__in=SCHEDULING, at__gte=timezone.now() - BACK, job__outcome=Job.Outcome.OPEN
    )
    ids = {row.job.pk for row in mine} | set(recent.values_list("job", flat=True))
    changes = _changes(ids)
    rounds = _rounds(ids)
    held = holds_of(mine, today)
    found = [_row(row, changes, rounds, held.get((row.job.pk, row.kind), ())) for row in mine]
    still = {(row.job.pk, row.kind) for row in mine if not row.done}
    jobs = Job.objects.select_related("customer", "site").in_bulk({job_id for job_id, _ in changes})
    crews = {crew.pk: crew for crew in Crew.objects.prefetch_related("members", "days_off")}
    for (job_id, kind), entries in changes.items():
        fallen = _fallen_away(entries, everybody, own)
        if (job_id, kind) in still or fallen is None or job_id not in jobs:
            continue
        on, crew_id, days = fallen
        run = run_of(on, days, crews.get(crew_id or 0))
        job = jobs[job_id]
        found.append(
            FeedRow(uid(job, kind, rounds[job_id, kind]), len(entries) - 1, entries[-1].at, kind, job, run, None)
        )
    found += _visits([row for row in rows if row.kind == SERVICE], everybody, own)
    return sorted(found, key=lambda row: (row.days[0], row.uid))


def _visits(rows: Sequence[Booked], everybody: bool, own: set[int]) -> list[FeedRow]:
    """To systems in service: one's crew's, and those that have no crew, for whoever comes by. What was called off or
    went to another crew stays on the calendar as fallen away, as far as the last two months tell."""
    planned = {row.visit.pk: row for row in rows if row.visit is not None}
    recent = JournalEntry.objects.filter(kind__in=VISITING, at__gte=timezone.now() - BACK)
    changed = {entry.data.get("visit") for entry in recent}
    told: dict[int, list[JournalEntry]] = defaultdict(list)
    about = ServiceVisit.objects.filter(pk__in={*planned, *changed}).values_list("job", flat=True)
    for entry in JournalEntry.objects.filter(job__in=list(about), kind__in=VISITING).order_by("id"):
        told[entry.data.get("visit")].append(entry)
    gone = ServiceVisit.objects.filter(pk__in=set(told) - set(planned), job__outcome=Job.Outcome.OPEN)
    found = []
    for visit in gone.exclude(cancelled_on=None).select_related("job__customer", "job__site"):
        if everybody or visit.crew_id is None or visit.crew_id in own:
            found.append(_visit_row(visit, visit.job, told[visit.pk], None))
    for pk, row in planned.items():
        mine = everybody or row.crew is None or row.crew.pk in own
        knew = any((entry.data.get("after") or {}).get("crew") in {None, *own} for entry in told[pk])
        if row.visit is not None and (mine or knew):
            found.append(_visit_row(row.visit, row.job, told[pk], row if mine else None))
    return found


def _visit_row(visit: ServiceVisit, job: Job, entries: Sequence[JournalEntry], booked: Booked | None) -> FeedRow:
    name = uuid.uuid5(NAMESPACE, f"{job.pk} {job.received_at.isoformat()} {SERVICE} {visit.pk}")
    changed_at = entries[-1].at if entries else job.created_at
    return FeedRow(str(name), max(0, len(entries) - 1), changed_at, SERVICE, job, (visit.planned_for,), booked)


Changes = dict[tuple[int, str], list[JournalEntry]]


def _changes(job_ids: Iterable[int]) -> Changes:
    """Oldest first, by job and kind of appointment."""
    found: Changes = defaultdict(list)
    for entry in JournalEntry.objects.filter(job__in=list(job_ids), kind__in=SCHEDULING).order_by("id"):
        kind = entry.data.get("appointment") or OLD_KINDS.get(entry.kind) or entry.data.get("inspection")
        if kind:
            found[entry.job_id, kind].append(entry)
    return found


def _rounds(job_ids: Iterable[int]) -> dict[tuple[int, str], int]:
    """How many inspections of a kind are over: the next one is another event."""
    found: dict[tuple[int, str], int] = defaultdict(int)
    over = Inspection.objects.filter(
        job__in=list(job_ids), result__in=(Inspection.Result.CORRECTIONS, Inspection.Result.PASSED)
    )
    for job_id, kind in over.values_list("job", "kind"):
        found[job_id, kind] += 1
    return found


def _row(row: Booked, changes: Changes, rounds: dict[tuple[int, str], int], holds: Sequence[str]) -> FeedRow:
    key = (row.job.pk, row.kind)
    entries = changes.get(key, [])
    number = rounds[key]
    if row.inspection is not None and row.done:
        earlier = row.job.inspections.filter(kind=row.kind, pk__lt=row.inspection.pk)
        number = earlier.exclude(result=Inspection.Result.CANCELLED).count()
    changed_at = entries[-1].at if entries else row.job.created_at
    sequence = max(0, len(entries) - 1)
    return FeedRow(uid(row.job, row.kind, number), sequence, changed_at, row.kind, row.job, row.days, row, tuple(holds))


def _fallen_away(
    entries: Sequence[JournalEntry], everybody: bool, own: set[int]
) -> tuple[date, int | None, int] | None:
    """The day, crew and length that this person last knew of, where the last change took the appointment away."""
    data = entries[-1].data
    before, after = data.get("before"), data.get("after")
    if not before or not after:
        return None
    was, now = before["on"] or before["planned_on"], after["on"] or after["planned_on"]
    knew = bool(was) and (everybody or before["crew"] in own)
    gone = not now or not (everybody or after["crew"] in own)
    return (date.fromisoformat(was), before["crew"], before["days"]) if knew and gone else None


def uid(job: Job, kind: str, number: int) -> str:
    """``number``: earlier inspections of the kind that are over. Stable, since a job's arrival never changes."""
    name = f"{job.pk} {job.received_at.isoformat()} {kind} {number}"
    return f"{uuid.uuid5(NAMESPACE, name)}"
