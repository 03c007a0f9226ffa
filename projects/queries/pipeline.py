"""The owner's view: jobs and value by stage, whom they wait on, and what has waited longest. Computed in SQL."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from django.db.models import Count, F, Min, Q, QuerySet, Sum

from projects.actions.findings import today as office_today
from projects.actions.standing import turn_day
from projects.models import Job, Stage

OLDEST = 12


@dataclass(frozen=True)
class StageLine:
    key: str
    title: str
    jobs: int
    value_usd: Decimal
    unpriced: int
    overdue: int
    oldest_since: date | None


@dataclass(frozen=True)
class PartyLine:
    party: str
    jobs: int
    value_usd: Decimal
    overdue: int
    oldest_since: date | None


@dataclass(frozen=True)
class NameLine:
    """One jurisdiction, utility or other party by name."""

    party: str
    name: str
    jobs: int
    value_usd: Decimal
    oldest_since: date | None


@dataclass(frozen=True)
class Pipeline:
    today: date
    stages: tuple[StageLine, ...]
    """Every stage of the route in order, empty ones too."""
    parties: tuple[PartyLine, ...]
    names: tuple[NameLine, ...]
    oldest: tuple[Job, ...]
    """Open jobs not yet in service that have been longest in their stage."""
    jobs: int
    value_usd: Decimal
    overdue: int
    closed: dict[str, int]
    """How many ended otherwise: lost, cancelled."""


def pipeline(today: date | None = None) -> Pipeline:
    """Five queries, whatever the number of jobs. Jobs whose warranty is registered too are out of the pipeline."""
    turn_day()
    today = today or office_today()
    working = under_way()
    sums = {
        "jobs": Count("pk"),
        "value": Sum("price_usd"),
        "late": Count("pk", filter=Q(due_on__lt=today)),
        "since": Min("stage_since"),
    }
    by_stage = {
        row["stage"]: row
        for row in working.values("stage").annotate(unpriced=Count("pk", filter=Q(price_usd=None)), **sums)
    }
    stages = tuple(_stage(stage, by_stage.get(stage.value, {})) for stage in Stage)
    parties = working.exclude(waiting_on="").values("waiting_on").annotate(**sums).order_by("-jobs", "waiting_on")
    names = (
        working.exclude(waiting_on="")
        .values("waiting_on", "waiting_on_name")
        .annotate(jobs=Count("pk"), value=Sum("price_usd"), since=Min("stage_since"))
        .order_by("-jobs", "waiting_on_name")
    )
    oldest = working.select_related("customer", "site", "jurisdiction", "utility", "assigned_to")
    closed = Job.objects.exclude(outcome=Job.Outcome.OPEN).order_by().values_list("outcome").annotate(Count("pk"))
    return Pipeline(
        today=today,
        stages=stages,
        parties=tuple(
            PartyLine(row["waiting_on"], row["jobs"], row["value"] or Decimal(0), row["late"], row["since"])
            for row in parties
        ),
        names=tuple(
            NameLine(row["waiting_on"], row["waiting_on_name"], row["jobs"], row["value"] or Decimal(0), row["since"])
            for row in names
        ),
        oldest=tuple(oldest.order_by(F("stage_since").asc(nulls_last=True), "number")[:OLDEST]),
        jobs=sum(stage.jobs for stage in stages),
        value_usd=sum((stage.value_usd for stage in stages), Decimal(0)),
        overdue=sum(stage.overdue for stage in stages),
        closed=dict(closed),
    )


def under_way() -> QuerySet[Job]:
    """Open jobs with something left to do; ``next_key`` is empty once all is done."""
    return Job.objects.filter(outcome=Job.Outcome.OPEN).exclude(next_key="").order_by()


def _stage(stage: Stage, row: dict) -> StageLine:
    return StageLine(
        key=stage.value,
        title=stage.label,
        jobs=row.get("jobs", 0),
        value_usd=row.get("value") or Decimal(0),
        unpriced=row.get("unpriced", 0),
        overdue=row.get("late", 0),
        oldest_since=row.get("since"),
    )
