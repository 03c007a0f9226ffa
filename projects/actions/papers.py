"""The route's note that a paper went out."""

from __future__ import annotations

from datetime import date

from projects.actions.recording import recording
from projects.actions.roles import FIELD
from projects.models import Job, PaperIssue, Person


def record_paper_issued(
    *, job: Job, actor: Person, kind: str, on: date, number: str, design_fingerprint: str = ""
) -> PaperIssue:
    """Called when a paper's bytes are kept; ``design_fingerprint``: of the design it shows."""
    # A job that was called off may still owe its customer a credit note.
    with recording(job, actor, FIELD, closed_too=kind == "credit_note") as book:
        book.findings.need("kind", kind, "Name the kind of paper.")
        book.findings.need("number", number, "Give the paper's number.")
        book.findings.happened(job, on)
        book.findings.refuse()
        issue = PaperIssue.objects.create(
            job=job, kind=kind, number=number, on=on, design_fingerprint=design_fingerprint, issued_by=actor
        )
        book.write("paper_issued", on, paper=kind, number=number)
    return issue
