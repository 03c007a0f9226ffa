"""The job list as a CSV file for the office's spreadsheet, streamed row by row."""

from __future__ import annotations

import csv
from collections.abc import Iterable, Iterator
from typing import Any

from django.utils import timezone

from projects.models import Job

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
BOM = "\ufeff"
FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r", "\n", "＝", "＋", "－", "＠")


def safe(value: Any) -> str:
    """A cell that no spreadsheet takes for a formula: an apostrophe goes before what could start one."""
    text = "" if value is None else str(value).replace("\x00", "")
    return f"'{text}" if text.lstrip(" ").startswith(FORMULA_STARTS) or text.startswith(FORMULA_STARTS) else text


def cells(job: Job) -> list[str]:
    site, customer = job.site, job.customer
    row = [
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
        job.jurisdiction,
        job.utility,
        timezone.localdate(job.received_at),
        job.price_usd,
    ]
    return [safe(value) for value in row]


class _Line:
    """What csv.writer writes to: hands the line straight back."""

    def write(self, line: str) -> str:
        return line


def lines(jobs: Iterable[Job]) -> Iterator[str]:
    writer = csv.writer(_Line())
    # Spreadsheets take a file without the mark for their local encoding and spoil every "ñ".
    yield BOM + writer.writerow(HEADINGS)
    for job in jobs:
        yield writer.writerow(cells(job))
