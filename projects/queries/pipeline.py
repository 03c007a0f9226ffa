"""The owner's view: jobs and value by stage, whom they wait on, and what has waited longest. Computed in SQL."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Any

from django.db.models import Count, F, Min, Q, QuerySet, Sum

from projects.actions.findings import today as office_today
from projects.actions.standing import turn_day
from projects.models import Job, Stage
from projects.queries.jobs import in_full

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
    oldest_since: date | None
    overdue: int


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
    # One walk through the index of the jobs under way: stages, parties and names are sums of the same groups.
    groups = list(
        under_way()
        .values("stage", "waiting_on", "waiting_on_name")
        .annotate(
            jobs=Count("pk"),
            value=Sum("price_usd"),
            priced=Count("price_usd"),
            late=Count("pk", filter=Q(due_on__lt=today)),
            since=Min("stage_since"),
        )
    )
    stages = tuple(_stage(stage, [row for row in groups if row["stage"] == stage.value]) for stage in Stage)
    waiting = [row for row in groups if row["waiting_on"]]
    parties = [
        PartyLine(party, *_sums(rows), overdue=sum(row["late"] for row in rows))
        for (party,), rows in _by(waiting, "waiting_on")
    ]
    names = [NameLine(*key, *_sums(rows)) for key, rows in _by(waiting, "waiting_on", "waiting_on_name")]
    longest = under_way().order_by(F("stage_since").asc(nulls_last=True), "number").values_list("number", flat=True)
    numbers = list(longest[:OLDEST])
    oldest = {job.number: job for job in in_full().filter(number__in=numbers)}
    closed = Job.objects.filter(outcome__gt="").order_by().values_list("outcome").annotate(Count("pk"))
    return Pipeline(
        today=today,
        stages=stages,
        parties=tuple(sorted(parties, key=lambda line: (-line.jobs, line.party))),
        names=tuple(sorted(names, key=lambda line: (-line.jobs, line.name))),
        oldest=tuple(oldest[number] for number in numbers if number in oldest),
        jobs=sum(stage.jobs for stage in stages),
        value_usd=sum((stage.value_usd for stage in stages), Decimal(0)),
        overdue=sum(stage.overdue for stage in stages),
        closed=dict(closed),
    )


def under_way() -> QuerySet[Job]:
    """Open jobs with something left to do; ``next_key`` is empty once all is done."""
    return Job.objects.filter(outcome=Job.Outcome.OPEN, next_key__gt="").order_by()


Groups = list[dict[str, Any]]


def _by(groups: Groups, *columns: str) -> Iterator[tuple[tuple[str, ...], Groups]]:
    found: dict[tuple[str, ...], Groups] = defaultdict(list)
    for row in groups:
        found[tuple(row[column] for column in columns)].append(row)
    yield from found.items()


def _sums(rows: Groups) -> tuple[int, Decimal, date | None]:
    """Jobs, their value, and since when the oldest stands in its stage."""
    since = min((row["since"] for row in rows if row["since"]), default=None)
    return sum(row["jobs"] for row in rows), sum((row["value"] or Decimal(0) for row in rows), Decimal(0)), since


def _stage(stage: Stage, rows: Groups) -> StageLine:
    jobs, value_usd, since = _sums(rows)
    return StageLine(
        key=stage.value,
        title=stage.label,
        jobs=jobs,
        value_usd=value_usd,
        unpriced=jobs - sum(row["priced"] for row in rows),
        overdue=sum(row["late"] for row in rows),
        oldest_since=since,
    )
