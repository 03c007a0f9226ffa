"""What if there were another number of crews: the installations ahead as a queue that they work off."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from statistics import median

import numpy as np

from projects.actions.engagements import crews
from projects.models import Appointment, Job
from projects.queries.history import courses, history
from projects.queries.likely import waiting_jobs
from projects.route.forecast.crews import starts, weekly_mean
from projects.route.forecast.predict import simulate

WEEKS = 10
USUAL_CREW_DAYS = 2
"""Working days of a crew for one installation, where no installation has its own. Common practice, no source."""
MOST_JOBS = 150
QUEUE_DRAWS = 400


@dataclass(frozen=True)
class Moved:
    job: Job
    now: int
    """Middle day from today of the installation's beginning with today's crews, and with those supposed."""
    then: int

    @property
    def days(self) -> int:
        return self.now - self.then


@dataclass(frozen=True)
class CrewQuestion:
    crews: int
    supposed: int
    crew_days: float
    jobs: int
    """Installations ahead that were looked at."""
    waits_days: float
    """Mean days that an installation waits for a free crew with today's crews, and with those supposed."""
    waits_then_days: float
    weekly: tuple[float, ...]
    """Installations expected to begin in each of the coming weeks."""
    weekly_then: tuple[float, ...]
    moved: tuple[Moved, ...]
    """The jobs that gain (or lose) at least a day, first those that do most."""


def usual_crew_days() -> float:
    """Working days of the installations that have a crew; ``USUAL_CREW_DAYS`` where none has."""
    days = list(
        Appointment.objects.filter(kind=Appointment.Kind.INSTALLATION, crew__isnull=False)
        .order_by("-pk")
        .values_list("days", flat=True)[:60]
    )
    return float(median(days)) if days else float(USUAL_CREW_DAYS)


def what_if_crews(supposed: int, crew_days: float) -> CrewQuestion:
    """Installations ahead of jobs past the lead, with today's active crews (one at least) and with ``supposed``."""
    told = crews()
    count = max(1, len(told))
    week = median(len(crew.working_days) for crew in told) if told else 5
    known = history(kept_today=True)
    jobs = {job.pk: job for job in waiting_jobs().exclude(stage="lead").select_related("customer")[:MOST_JOBS]}
    ready, own = [], []
    for found in courses(Job.objects.filter(pk__in=jobs)):
        if found.legs["scheduling"].left is None:
            ends = simulate(found, known.posterior, known.today, draws=QUEUE_DRAWS)
            ready.append(ends["scheduling"])
            own.append(found.job)
    if not ready:
        return CrewQuestion(count, supposed, crew_days, 0, 0.0, 0.0, (0.0,) * WEEKS, (0.0,) * WEEKS, ())
    begun = np.stack(ready, axis=1)
    takes = np.full(len(own), crew_days * 7 / week)
    now, then = starts(begun, takes, count), starts(begun, takes, supposed)
    moved = _moved(own, jobs, now, then)
    return CrewQuestion(
        count,
        supposed,
        crew_days,
        len(own),
        float((now - begun).mean()),
        float((then - begun).mean()),
        weekly_mean(now, WEEKS),
        weekly_mean(then, WEEKS),
        moved,
    )


def _moved(own: Sequence[int], jobs: dict[int, Job], now: np.ndarray, then: np.ndarray) -> tuple[Moved, ...]:
    middles = zip(own, np.median(now, axis=0), np.median(then, axis=0), strict=True)
    rows = [Moved(jobs[pk], round(float(a)), round(float(b))) for pk, a, b in middles]
    return tuple(sorted((row for row in rows if row.days), key=lambda row: (-abs(row.days), row.job.number)))
