"""Jobs and value by month: what came in, was signed, begun, permitted, and what lies ahead by its likely dates.

Ahead each job is spread over the months as its range of dates is, so that the sums are expected ones.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal
from itertools import pairwise

from django.db.models import Count, Exists, OuterRef, QuerySet, Sum
from django.db.models.functions import TruncMonth

from projects.actions.findings import today as office_today
from projects.models import Inspection, Interconnection, Job, JobMark, LikelyDates, SystemKind
from projects.queries.likely import POINTS
from projects.route.forecast.predict import DateRange

BACK, AHEAD = 11, 6
"""Months before and after this one."""
STEPS = ("leads", "signed", "begun", "permitted")


@dataclass(frozen=True)
class Sums:
    jobs: float = 0.0
    value_usd: Decimal = Decimal(0)


@dataclass(frozen=True)
class Month:
    first: date
    past: dict[str, Sums]
    """By step of ``STEPS``, of days up to today."""
    expected: dict[str, Sums]
    """"begun" and "permitted" from today on."""


def by_month(today: date | None = None) -> list[Month]:
    """Seven queries, whatever the number of jobs. Off the grid the permission is the final inspection passed."""
    today = today or office_today()
    months = list(months_around(today))
    since = months[0]
    past: dict[str, dict[date, Sums]] = {
        "leads": _counted(Job.objects.filter(duplicate_of=None, received_at__date__gte=since), "received_at", ""),
        "signed": _counted(_marks("contract_signed", since), "on", "job__"),
        "begun": _counted(_marks("install_started", since), "on", "job__"),
        "permitted": _added(
            _counted(Interconnection.objects.filter(permission_on__gte=since), "permission_on", "job__"),
            _counted(_passed(since).filter(job__system_kind=SystemKind.OFF_GRID), "result_on", "job__"),
            _counted(_marks("final_check", since).filter(job__system_kind=SystemKind.OFF_GRID), "on", "job__"),
        ),
    }
    ahead = _expected(months)
    return [
        Month(
            first,
            {step: past[step].get(first, Sums()) for step in STEPS},
            {step: ahead[step].get(first, Sums()) for step in ("begun", "permitted")},
        )
        for first in months
    ]


def months_around(today: date) -> Iterator[date]:
    """First days of ``BACK`` months before this one, this one, and ``AHEAD`` months after it."""
    count = today.year * 12 + today.month - 1
    for n in range(count - BACK, count + AHEAD + 1):
        yield date(n // 12, n % 12 + 1, 1)


def _marks(key: str, since: date) -> QuerySet[JobMark]:
    return JobMark.objects.filter(key=key, withdrawn_at=None, on__gte=since, job__duplicate_of=None)


def _passed(since: date) -> QuerySet[Inspection]:
    return Inspection.objects.filter(
        kind=Inspection.Kind.FINAL, result=Inspection.Result.PASSED, result_on__gte=since, job__duplicate_of=None
    )


def _counted(rows: QuerySet, day: str, job: str) -> dict[date, Sums]:
    found = (
        rows.order_by()
        .annotate(month=TruncMonth(day))
        .values("month")
        .annotate(jobs=Count("pk"), value=Sum(f"{job}price_usd"))
        .values_list("month", "jobs", "value")
    )
    return {_day(month): Sums(jobs, value or Decimal(0)) for month, jobs, value in found}


def _day(month: date) -> date:
    """The first of the month; of a moment, in the office's time."""
    return date(month.year, month.month, 1)


def _added(*parts: dict[date, Sums]) -> dict[date, Sums]:
    found: dict[date, Sums] = defaultdict(Sums)
    for part in parts:
        for month, sums in part.items():
            had = found[month]
            found[month] = Sums(had.jobs + sums.jobs, had.value_usd + sums.value_usd)
    return found


def _expected(months: list[date]) -> dict[str, dict[date, Sums]]:
    """What the kept likely dates expect of jobs with a signed contract."""
    found: dict[str, dict[date, Sums]] = {"begun": {}, "permitted": {}}
    signed = JobMark.objects.filter(job=OuterRef("job"), key="contract_signed", withdrawn_at=None)
    rows = LikelyDates.objects.filter(Exists(signed), job__outcome=Job.Outcome.OPEN)
    columns = [f"{what}_{point}" for what in ("install", "operate") for point in POINTS]
    jobs: dict[str, dict[date, float]] = {step: defaultdict(float) for step in found}
    value: dict[str, dict[date, float]] = {step: defaultdict(float) for step in found}
    for row in rows.values_list("job__price_usd", *columns):
        price, days = float(row[0] or 0), row[1:]
        for step, five in (("begun", days[:5]), ("permitted", days[5:])):
            if five[0] is None:
                continue
            for month, share in month_shares(DateRange(*five), months):
                jobs[step][month] += share
                value[step][month] += share * price
    return {
        step: {month: Sums(jobs[step][month], Decimal(round(value[step][month]))) for month in jobs[step]}
        for step in found
    }


def month_shares(found: DateRange, months: Iterable[date]) -> Iterator[tuple[date, float]]:
    """The probability that the date falls into each of these months, read off the five points in straight lines.

    The 5 % before the first point count on its day, the 5 % after the last point on that one.
    """
    ends = [(found.low90, 0.05), (found.low50, 0.25), (found.middle, 0.5), (found.high50, 0.75), (found.high90, 0.95)]
    for first in months:
        share = _below(_next(first), ends) - _below(first, ends)
        if share > 0:
            yield first, share


def _next(first: date) -> date:
    return (first + timedelta(days=32)).replace(day=1)


def _below(day: date, points: list[tuple[date, float]]) -> float:
    """Probability that the date lies before this day."""
    if day <= points[0][0]:
        return 0.0
    if day > points[-1][0]:
        return 1.0
    for (left, low), (right, high) in pairwise(points):
        if left < day <= right:
            return low + (high - low) * (day - left).days / (right - left).days
    return points[-1][1]
