"""What the crew and the electrician can do now, job by job."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from django.db.models import Prefetch

from projects.actions.facts import facts_of_many
from projects.actions.findings import today as office_today
from projects.actions.standing import CREW_PARTIES, turn_day
from projects.models import Inspection, InspectionCorrection, Job
from projects.route.standing import standing
from projects.route.standing_types import RequirementStanding, Standing


@dataclass(frozen=True)
class CrewJob:
    job: Job
    standing: Standing
    steps: tuple[RequirementStanding, ...]
    """Open requirements of the crew and the electrician, the most pressing first."""
    due_on: date | None
    corrections: tuple[InspectionCorrection, ...]
    """What an inspector found and nobody has fixed yet."""


def crew_steps(today: date | None = None) -> list[CrewJob]:
    """Open jobs with steps for the crew, the earliest due first; the number of queries is constant."""
    turn_day()
    today = today or office_today()
    unfixed = Prefetch("corrections", queryset=InspectionCorrection.objects.filter(fixed_on=None), to_attr="unfixed")
    failed = Inspection.objects.filter(result=Inspection.Result.CORRECTIONS).prefetch_related(unfixed)
    jobs = list(
        Job.objects.filter(outcome=Job.Outcome.OPEN, crew_steps__gt=0)
        .select_related("customer", "site", "jurisdiction", "utility", "assigned_to")
        .prefetch_related("site__roof_planes", "site__obstructions", Prefetch("inspections", failed, to_attr="failed"))
        .order_by("number")
    )
    facts = facts_of_many(jobs, today)
    found = []
    for job in jobs:
        answer = standing(facts[job.pk])
        steps = tuple(step for step in answer.next_steps if step.party in CREW_PARTIES)
        due_on = min((step.due_on for step in steps if step.due_on), default=None)
        corrections = tuple(correction for inspection in job.failed for correction in inspection.unfixed)
        found.append(CrewJob(job, answer, steps, due_on, corrections))
    return sorted(found, key=lambda row: (row.due_on or date.max, row.job.number))
