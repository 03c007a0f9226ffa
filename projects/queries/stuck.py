"""What is stuck, and why: late on its next step, or waiting longer than nine in ten do at that place."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from django.db.models import F

from projects.actions.findings import today as office_today
from projects.models import Job, Pause, Stage
from projects.queries.history import courses, history
from projects.queries.pipeline import under_way
from projects.route.forecast.legs import BY_KEY
from projects.route.forecast.predict import usual_limit

MOST_LOOKED_AT = 30
"""Of those late and of those longest in their stage."""


@dataclass(frozen=True)
class Slow:
    """The open wait that is furthest beyond what is usual."""

    leg: str
    days: int
    usual_days: int
    """Nine in ten waits are over by then."""


@dataclass(frozen=True)
class Stuck:
    job: Job
    late_days: int
    """0: not late."""
    slow: Slow | None


def stuck(today: date | None = None, most: int = 8) -> tuple[list[Stuck], int]:
    """Late ones first, latest first; then those furthest beyond what is usual. With how many were found among those
    looked at. Paused jobs rest, and are not stuck."""
    today = today or office_today()
    resting = Pause.objects.filter(ended_on=None).values("job")
    jobs = under_way().exclude(stage=Stage.IN_SERVICE).exclude(pk__in=resting)
    late = list(
        jobs.filter(due_on__lt=today).order_by("due_on", "number").values_list("pk", flat=True)[:MOST_LOOKED_AT]
    )
    oldest = jobs.order_by(F("stage_since").asc(nulls_last=True), "number").values_list("pk", flat=True)
    ids = dict.fromkeys([*late[:MOST_LOOKED_AT], *oldest[:MOST_LOOKED_AT]])
    slow = _slow(list(ids))
    shown = Job.objects.filter(pk__in=ids).select_related("customer", "assigned_to")
    rows = [
        Stuck(job, (today - job.due_on).days if job.due_on and job.due_on < today else 0, slow.get(job.pk))
        for job in shown
    ]
    rows = [row for row in rows if row.late_days or row.slow]
    rows.sort(key=lambda row: (-row.late_days, -_beyond(row.slow), row.job.number))
    return rows[:most], len(rows)


def _beyond(slow: Slow | None) -> int:
    return slow.days - slow.usual_days if slow else 0


def _slow(ids: list[int]) -> dict[int, Slow]:
    known = history(kept_today=True)
    limits: dict[tuple[str, str], int] = {}
    found: dict[int, Slow] = {}
    for job in courses(Job.objects.filter(pk__in=ids)):
        for key, progress in job.legs.items():
            if progress.entered is None or progress.left is not None:
                continue
            place = (key, job.group(key))
            if place not in limits:
                limits[place] = round(usual_limit(known.posterior[key], job.group(key)))
            here = Slow(BY_KEY[key].title, (known.today - progress.entered).days, limits[place])
            if here.days > here.usual_days and _beyond(here) > _beyond(found.get(job.job)):
                found[job.job] = here
    return found
