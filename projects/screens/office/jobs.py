"""The office's job list."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from django.contrib import messages
from django.db.models import Count, Q, QuerySet
from django.http import HttpRequest, HttpResponse, QueryDict, StreamingHttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_safe
from django_tables2 import RequestConfig

from projects.actions.bulk import MOST_JOBS
from projects.models import Job, Stage
from projects.queries import job_list
from projects.screens.access import office_only
from projects.screens.office.exports import lines, workbook
from projects.screens.office.filters import IN_SERVICE, ROUTE_STAGES, JobFilters
from projects.screens.office.tables import JobRows, JobTable

ROWS_PER_PAGE = 25
MOST_IN_A_WORKBOOK = 20_000
"""A workbook is written in memory, at some thousand rows a second; the CSV file has no such end."""
XLSX = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
PLAIN_FIELDS = ("state", "stage", "waiting_on", "kind", "jurisdiction", "utility", "assigned")
NOTHING_HERE = {
    "open": "Every job is in service or closed.",
    "in_service": "No job has come to the end of its route yet.",
    "lost": "No lead has been lost.",
    "cancelled": "No job has been cancelled.",
}


@dataclass(frozen=True)
class BusStop:
    """One gate of the bus over the list: a stage, how many open jobs stand there, and the address that shows them."""

    title: str
    jobs: int
    late: int
    address: str
    chosen: bool
    lamp: bool = False
    """In service: the end of the line."""


def listed() -> QuerySet[Job]:
    """All jobs; a closed one shows its reason where others show their next step."""
    return job_list(closed_too=True)


@office_only
@require_safe
def jobs(request: HttpRequest) -> HttpResponse:
    filters = JobFilters(request.GET, queryset=listed(), request=request)
    table = JobTable(JobRows(filters))
    RequestConfig(request, paginate={"per_page": ROWS_PER_PAGE, "silent": True}).configure(table)
    bus = bus_of(request.GET)
    return render(
        request,
        "office/jobs.html",
        {
            "nav": "jobs",
            "table": table,
            "filters": filters,
            "bus": bus,
            "summary": summary(filters, table.paginator.count),
            "plain_fields": [filters.form[name] for name in PLAIN_FIELDS],
            "nothing_here": NOTHING_HERE.get(filters.data.get("state", ""), ""),
            "narrowed": narrowed(filters, request.GET),
            "most_at_once": MOST_JOBS,
            "any_jobs": bool(table.paginator.count or any(stop.jobs for stop in bus)) or Job.objects.exists(),
            "csv_address": f"{reverse('jobs-csv')}?{request.GET.urlencode()}",
            "xlsx_address": f"{reverse('jobs-xlsx')}?{request.GET.urlencode()}",
        },
    )


@office_only
@require_safe
def jobs_csv(request: HttpRequest) -> StreamingHttpResponse:
    found = JobFilters(request.GET, queryset=listed(), request=request).qs
    response = StreamingHttpResponse(lines(found.iterator(chunk_size=500)), content_type="text/csv; charset=utf-8")
    response["Content-Disposition"] = f'attachment; filename="jobs-{timezone.localdate():%Y-%m-%d}.csv"'
    return response


@office_only
@require_safe
def jobs_xlsx(request: HttpRequest) -> HttpResponse:
    filters = JobFilters(request.GET, queryset=listed(), request=request)
    if filters.count > MOST_IN_A_WORKBOOK:
        messages.error(request, f"{filters.count:,} jobs are too many for a workbook: take them along as CSV.")
        return redirect(without(request.GET))
    found = filters.qs
    response = HttpResponse(workbook(found.iterator(chunk_size=500)), content_type=XLSX)
    response["Content-Disposition"] = f'attachment; filename="jobs-{timezone.localdate():%Y-%m-%d}.xlsx"'
    return response


def without(asked: QueryDict, *names: str, **changed: str) -> str:
    """The list's address with some of what was asked for dropped or changed; always back on the first page."""
    kept = asked.copy()
    for name in (*names, "page"):
        kept.pop(name, None)
    for name, value in changed.items():
        kept[name] = value
    return f"{reverse('jobs')}?{kept.urlencode()}" if kept else reverse("jobs")


def bus_of(asked: QueryDict) -> list[BusStop]:
    late = Count("pk", filter=Q(due_on__lt=timezone.localdate()))
    counts = {
        row["stage"]: row
        for row in Job.objects.filter(outcome=Job.Outcome.OPEN)
        .order_by()
        .values("stage")
        .annotate(n=Count("pk"), late=late)
    }
    stops = []
    for stage, title in ROUTE_STAGES:
        row: dict[str, Any] = counts.get(stage, {"n": 0, "late": 0})
        chosen = asked.get("stage") == stage
        address = without(asked, "stage", "state", "q") if chosen else without(asked, "state", "q", stage=stage)
        stops.append(BusStop(title, row["n"], row["late"], address, chosen))
    lit = asked.get("state") == IN_SERVICE
    address = without(asked, "stage", "q", "state") if lit else without(asked, "stage", "q", state=IN_SERVICE)
    return [*stops, BusStop("In service", counts.get(Stage.IN_SERVICE, {"n": 0})["n"], 0, address, lit, lamp=True)]


def narrowed(filters: JobFilters, asked: QueryDict) -> list[tuple[str, str, str]]:
    """Each filter in use: its label, what it is set to, and the address of the list without it."""
    return [
        (filters.filters[name].label or "Find", words, without(asked, name)) for name, words in filters.narrowed.items()
    ]


def summary(filters: JobFilters, count: int) -> str:
    """ "38 open jobs, the most pressing first"."""
    words = {"open": "open", "in_service": "in service", "lost": "lost", "cancelled": "cancelled"}
    state = words.get(filters.data.get("state", ""), "")
    noun = "job" if count == 1 else "jobs"
    named = f"{count:,} {noun} in service" if state == "in service" else f"{count:,} {state} {noun}".replace("  ", " ")
    return f"{named}, the most pressing first" if not filters.data.get("sort") and state == "open" and count else named
