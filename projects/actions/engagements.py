"""The booked and planned days of all jobs as plain engagements, read with a constant number of queries.

Days stand where the route reads them (``Job.visit_on``, ``Job.install_on``, ``Inspection.booked_for``); what is only
planned, and who goes, stands on ``Appointment``. Visits to systems in service carry their own day and crew.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from datetime import date, time, timedelta
from typing import Any

from projects.models import Appointment, Crew, Inspection, Job, JobMark, ServiceVisit, Stage
from projects.route.clashes import INSPECTIONS, CrewWeek, Engagement, working_run

SERVICE = "service_visit"
LOOK_BACK = timedelta(days=45)
"""An installation that began before the window may still be going on in it."""
ORDER = {stage.value: n for n, stage in enumerate(Stage)}
VISITED, INSTALLED = ORDER[Stage.ENGINEERING], ORDER[Stage.INSPECTION]


@dataclass(frozen=True)
class Booked:
    """One appointment with its day."""

    job: Job
    kind: str
    days: tuple[date, ...]
    planned: bool
    """A day kept free, not a booking yet."""
    done: bool
    crew: Crew | None
    starts_at: time | None
    inspection: Inspection | None = None
    started: bool = False
    """An installation under way."""
    visit: ServiceVisit | None = None
    """Of kind "service_visit": a job may have several of these."""

    @property
    def on(self) -> date:
        return self.days[0]

    @property
    def last(self) -> date:
        return self.days[-1]

    @property
    def label(self) -> str:
        return kind_label(self.kind)

    @property
    def members(self) -> frozenset[str]:
        return frozenset(person.name for person in self.crew.members.all()) if self.crew else frozenset()

    def as_engagement(self) -> Engagement:
        crew = self.crew.name if self.crew else ""
        return Engagement(self.job.label, self.kind, self.days, crew, self.starts_at, self.members)


def kind_label(kind: str) -> str:
    return "Service visit" if kind == SERVICE else str(Appointment.Kind(kind).label)


def crews(*, active: bool = True) -> list[Crew]:
    """With members and days off, read once."""
    rows = Crew.objects.prefetch_related("members", "days_off")
    return list(rows.filter(active=True) if active else rows)


def crew_week(crew: Crew) -> CrewWeek:
    return CrewWeek(
        name=crew.name,
        working_days=frozenset(int(digit) for digit in crew.working_days),
        jobs_per_day=crew.jobs_per_day,
        days_off={row.on: row.reason for row in crew.days_off.all()},
        members=frozenset(person.name for person in crew.members.all()),
    )


def run_of(on: date, days: int, crew: Crew | None) -> tuple[date, ...]:
    """The days that an appointment takes: by its crew's week, or Monday to Friday."""
    if days == 1:
        return (on,)
    works = crew_week(crew).works_on if crew else (lambda day: day.weekday() < 5)
    return working_run(on, days, works)


def engagements(first: date, last: date, *, jobs: Iterable[Job] | None = None) -> list[Booked]:
    """All of open jobs that touch the days from ``first`` to ``last``, earliest first; ``jobs``: of these alone."""
    early = first - LOOK_BACK
    only: dict[str, Any] = {} if jobs is None else {"pk__in": [job.pk for job in jobs]}
    about: dict[str, Any] = {} if jobs is None else {"job__in": only["pk__in"]}
    open_jobs = Job.objects.filter(outcome=Job.Outcome.OPEN, **only)
    visits = open_jobs.filter(visit_on__range=(first, last)).values_list("pk", flat=True)
    installs = open_jobs.filter(install_on__range=(early, last)).values_list("pk", flat=True)
    dated: dict[tuple[int, str], Any] = {(pk, "site_visit"): None for pk in visits}
    dated |= {(pk, "installation"): None for pk in installs}
    inspected = Inspection.objects.filter(booked_for__range=(first, last), job__outcome=Job.Outcome.OPEN, **about)
    inspections = list(inspected.exclude(result=Inspection.Result.CANCELLED))
    planned = list(Appointment.objects.filter(planned_on__range=(early, last), job__outcome=Job.Outcome.OPEN, **about))
    served = ServiceVisit.objects.filter(planned_for__range=(first, last), job__outcome=Job.Outcome.OPEN, **about)
    service = list(served.filter(cancelled_on=None).select_related("claim"))
    ids = {pk for pk, _ in dated} | {row.job_id for row in (*inspections, *planned, *service)}
    found_jobs = Job.objects.select_related("customer", "site", "jurisdiction", "utility").in_bulk(ids)
    told = {crew.pk: crew for crew in crews(active=False)} if ids else {}
    manned = {(row.job_id, row.kind): row for row in Appointment.objects.filter(job__in=ids)} if ids else {}
    started = started_among(pk for pk, kind in dated if kind == "installation")
    found = [_booked(found_jobs[pk], kind, manned, told, started) for pk, kind in dated]
    found += [_inspection(found_jobs[row.job_id], row, manned, told) for row in inspections]
    found += [_planned(found_jobs[row.job_id], row, told) for row in planned]
    found += [_served(found_jobs[row.job_id], row, told) for row in service]
    touching = [row for row in found if row.last >= first and row.on <= last]
    return sorted(touching, key=lambda row: (row.on, row.starts_at or time.max, row.job.number, row.kind))


Manned = Mapping[tuple[int, str], Appointment]


def started_among(job_ids: Iterable[int]) -> set[int]:
    """Jobs on which the crew has started the installation."""
    marks = JobMark.objects.filter(job__in=list(job_ids), key="install_started", withdrawn_at=None)
    return set(marks.values_list("job", flat=True))


def _booked(job: Job, kind: str, manned: Manned, told: Mapping[int, Crew], started: Collection[int]) -> Booked:
    row = manned.get((job.pk, kind))
    crew = told.get(row.crew_id or 0) if row else None
    on = job.visit_on if kind == "site_visit" else job.install_on
    assert on is not None
    days = run_of(on, row.days if row and kind == "installation" else 1, crew)
    done = ORDER[job.stage] >= (VISITED if kind == "site_visit" else INSTALLED)
    at = row.starts_at if row else None
    return Booked(job, kind, days, False, done, crew, at, started=kind == "installation" and job.pk in started)


def _inspection(job: Job, inspection: Inspection, manned: Manned, told: Mapping[int, Crew]) -> Booked:
    row = manned.get((job.pk, inspection.kind))
    done = inspection.result != Inspection.Result.BOOKED
    # Who came to an earlier round isn't kept: the crew of today's appointment belongs to the booked one.
    crew = told.get(row.crew_id or 0) if row and not done else None
    at = row.starts_at if row and not done else None
    return Booked(job, inspection.kind, (inspection.booked_for,), False, done, crew, at, inspection)


def _planned(job: Job, row: Appointment, told: Mapping[int, Crew]) -> Booked:
    crew = told.get(row.crew_id or 0)
    assert row.planned_on is not None
    days = run_of(row.planned_on, row.days if row.kind == "installation" else 1, crew)
    return Booked(job, row.kind, days, True, False, crew, row.starts_at)


def _served(job: Job, row: ServiceVisit, told: Mapping[int, Crew]) -> Booked:
    crew = told.get(row.crew_id or 0)
    return Booked(job, SERVICE, (row.planned_for,), False, row.done_on is not None, crew, row.starts_at, visit=row)


def current(job: Job) -> dict[str, Booked]:
    """The job's own appointments by kind, past and future; of inspections the booked or planned one."""
    told = {crew.pk: crew for crew in crews(active=False)}
    manned = {(row.job_id, row.kind): row for row in job.appointments.all()}
    found: dict[str, Booked] = {}
    for row in manned.values():
        if row.planned_on is not None:
            found[row.kind] = _planned(job, row, told)
    for kind, on in (("site_visit", job.visit_on), ("installation", job.install_on)):
        if on is not None:
            found[kind] = _booked(job, kind, manned, told, started_among([job.pk]))
    for inspection in job.inspections.filter(result=Inspection.Result.BOOKED, kind__in=INSPECTIONS):
        found[inspection.kind] = _inspection(job, inspection, manned, told)
    return found


def by_crew(rows: Iterable[Booked]) -> dict[int, list[Booked]]:
    """By the crew's primary key; 0: nobody's yet."""
    groups: dict[int, list[Booked]] = defaultdict(list)
    for row in rows:
        groups[row.crew.pk if row.crew else 0].append(row)
    return groups


__all__ = [
    "SERVICE",
    "Booked",
    "by_crew",
    "crew_week",
    "crews",
    "current",
    "engagements",
    "kind_label",
    "run_of",
]
