"""The job list as a file for the office's spreadsheet: CSV streamed row by row, or a workbook."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any

from django.utils import timezone

from projects.models import Job
from projects.sheets import csv_lines, xlsx_bytes

HEADINGS = (
    "job",
    "name",
    "street",
    "city",
    "state",
    "ZIP",
    "phone",
    "e-mail",
    "kind of system",
    "stage",
    "outcome",
    "next step",
    "waiting on",
    "due",
    "looked after by",
    "jurisdiction",
    "utility",
    "came in",
    "price (USD)",
)


def cells(job: Job) -> list[Any]:
    site, customer = job.site, job.customer
    return [
        job.label,
        customer.name,
        site.street,
        site.city,
        site.state,
        site.zip_code,
        customer.phone,
        customer.email,
        job.get_system_kind_display(),
        job.get_stage_display(),
        job.get_outcome_display() if job.outcome else "",
        job.next_step,
        job.waiting_on_name,
        job.due_on,
        job.assigned_to.name if job.assigned_to else "",
        job.jurisdiction and str(job.jurisdiction),
        job.utility and str(job.utility),
        timezone.localdate(job.received_at),
        job.price_usd,
    ]


def lines(jobs: Iterable[Job]) -> Iterator[str]:
    return csv_lines(HEADINGS, map(cells, jobs))


def workbook(jobs: Iterable[Job]) -> bytes:
    return xlsx_bytes("Jobs", HEADINGS, map(cells, jobs))
