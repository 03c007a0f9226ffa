"""The warranties are registered in the customer's name."""

from __future__ import annotations

from datetime import date

from projects.actions.recording import recording
from projects.actions.roles import OFFICE
from projects.actions.route_checks import follows, must_be_open
from projects.actions.warranty_terms import LEAST_YEARS, MOST_YEARS, proposed_years, write_warranties
from projects.models import Job, JobMark, Person, Warranty

KEY = "warranty_registered"


def register_warranties(
    *, job: Job, actor: Person, on: date, workmanship_years: int | None = None, note: str = ""
) -> list[Warranty]:
    """Writes one warranty for the workmanship and one per equipment model of the design, from the day of switching on.

    ``workmanship_years``: 5 to 25; None takes what the household wished, within what the office promises.
    """
    with recording(job, actor, OFFICE) as book:
        if book.findings.happened(job, on):
            follows(book, "warranty", on)
        must_be_open(book, "warranty")
        if workmanship_years is not None and not LEAST_YEARS <= workmanship_years <= MOST_YEARS:
            book.findings.add("workmanship_years", f"Between {LEAST_YEARS} and {MOST_YEARS} years.")
        book.findings.refuse()
        years = proposed_years(job) if workmanship_years is None else workmanship_years
        JobMark.objects.create(job=job, key=KEY, on=on, note=note.strip(), recorded_by=actor)
        rows = write_warranties(job, on, years)
        book.write("warranties_registered", on, years=years, parts=len(rows) - 1)
    return rows
