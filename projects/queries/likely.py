"""Likely dates of jobs, out of kept rows where nothing has happened since, else forecast anew and kept.

One query where the row is fresh. A new journal entry of the job or a new day makes it stale; what other jobs teach
meanwhile moves it little, and reaches it on the next day at the latest.
"""

from __future__ import annotations

from datetime import date

from django.db.models import F, OuterRef, Q, QuerySet, Subquery

from projects.actions.findings import today as office_today
from projects.models import Inspection, Interconnection, Job, JobMark, JournalEntry, LikelyDates, Stage, SystemKind
from projects.queries.history import courses, history
from projects.queries.pipeline import under_way
from projects.route.forecast.predict import DateRange, JobForecast, forecast

POINTS = ("low90", "low50", "middle", "high50", "high90")
COLUMNS = tuple(f"{what}_{point}" for what in ("install", "operate") for point in POINTS)
MOST_AT_ONCE = 200
"""Jobs that a page forecasts anew before it goes on with what is kept; the command does all of them."""


def waiting_jobs() -> QuerySet[Job]:
    """Open jobs that may not operate yet, the oldest lead first."""
    open_ = under_way().exclude(stage=Stage.IN_SERVICE).exclude(interconnection__permission_on__isnull=False)
    return open_.order_by("received_at", "pk")


def likely_dates(job: Job) -> JobForecast | None:
    """None for a job that is closed, done, or may operate already; two or three queries where no row is kept."""
    if job.outcome or job.stage == Stage.IN_SERVICE or not job.next_key:
        return None
    latest = JournalEntry.objects.filter(job=OuterRef("job")).order_by("-pk").values("pk")[:1]
    row = LikelyDates.objects.filter(job=job).annotate(latest=Subquery(latest)).first()
    if row is None and _may_operate(job):
        return None
    if row is None or row.made_on != office_today() or row.after_entry != (row.latest or 0):
        found = _make(Job.objects.filter(pk=job.pk))
        return found.get(job.pk)
    return _told(row)


def _may_operate(job: Job) -> bool:
    """Off the grid nobody's permission is asked for: the final look decides (``projects.queries.history``)."""
    if job.system_kind != SystemKind.OFF_GRID:
        return Interconnection.objects.filter(job=job, permission_on__isnull=False).exists()
    passed = Inspection.objects.filter(job=job, kind=Inspection.Kind.FINAL, result=Inspection.Result.PASSED)
    return passed.exists() or JobMark.objects.filter(job=job, key="final_check", withdrawn_at=None).exists()


def freshen(most: int | None = MOST_AT_ONCE) -> int:
    """Forecasts the waiting jobs whose kept dates are stale, at most so many, and drops the rows of jobs that wait no
    longer; how many were made."""
    waiting = waiting_jobs()
    LikelyDates.objects.exclude(job__in=waiting.order_by().values("pk")).delete()
    latest = JournalEntry.objects.filter(job=OuterRef("pk")).order_by("-pk").values("pk")[:1]
    stale = (
        waiting.annotate(latest_entry=Subquery(latest))
        .filter(Q(likely=None) | ~Q(likely__made_on=office_today()) | ~Q(likely__after_entry=F("latest_entry")))
        .values_list("pk", flat=True)
    )
    ids = list(stale if most is None else stale[:most])
    for start in range(0, len(ids), MOST_AT_ONCE):
        _make(Job.objects.filter(pk__in=ids[start : start + MOST_AT_ONCE]))
    return len(ids)


def _make(jobs: QuerySet[Job]) -> dict[int, JobForecast]:
    """Forecasts these jobs by today's history and keeps the answers."""
    known = history(kept_today=True)
    latest = JournalEntry.objects.filter(job=OuterRef("pk")).order_by("-pk").values("pk")[:1]
    entries = dict(jobs.order_by().annotate(latest_entry=Subquery(latest)).values_list("pk", "latest_entry"))
    made = {}
    for found in courses(jobs):
        if found.legs[found.finish].left is None:
            made[found.job] = forecast(found, known.posterior, known.today)
    LikelyDates.objects.bulk_create(
        [_row(told, known.today, entries.get(job) or 0) for job, told in made.items()],
        update_conflicts=True,
        unique_fields=["job"],
        update_fields=["made_on", "after_entry", "thinnest", *COLUMNS],
    )
    return made


def _row(told: JobForecast, made_on: date, after_entry: int) -> LikelyDates:
    row = LikelyDates(job_id=told.job, made_on=made_on, after_entry=after_entry, thinnest=told.thinnest)
    for what, found in (("install", told.installation), ("operate", told.operation)):
        for point in POINTS:
            setattr(row, f"{what}_{point}", getattr(found, point) if found else None)
    return row


def _told(row: LikelyDates) -> JobForecast:
    return JobForecast(row.job_id, _range(row, "install"), _range(row, "operate"), row.thinnest)


def _range(row: LikelyDates, what: str) -> DateRange | None:
    days = [getattr(row, f"{what}_{point}") for point in POINTS]
    return None if days[0] is None else DateRange(*days)
