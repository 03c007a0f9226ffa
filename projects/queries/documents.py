"""Everything that is on paper or in a file for one job, with a constant number of queries."""

from __future__ import annotations

from dataclasses import dataclass

from projects import paper_registry
from projects.actions.findings import today as office_today
from projects.models import (
    CreditNote,
    CustomerUpload,
    Design,
    Evidence,
    FinancingApplication,
    Interconnection,
    Invoice,
    Job,
    Licence,
    Message,
    PaperIssue,
    Permit,
)

LETTERS = 200
"""The newest; a job that is written to once a week for four years has as many."""


@dataclass(frozen=True)
class JobDocuments:
    papers: tuple[PaperIssue, ...]
    """Newest first."""
    kept: dict[str, paper_registry.Kept]
    """By the paper's number."""
    fingerprint: str
    """Of the current design; empty without one."""
    evidence: tuple[Evidence, ...]
    uploads: tuple[CustomerUpload, ...]
    """What customers sent through their page, whatever became of it."""
    permits: tuple[Permit, ...]
    """Void ones too, with ``submissions`` (licence, comments) loaded."""
    interconnection: Interconnection | None
    invoices: tuple[Invoice, ...]
    credit_notes: tuple[CreditNote, ...]
    letters: tuple[Message, ...]
    financing: tuple[FinancingApplication, ...]
    licences: tuple[Licence, ...]
    """Those that the permits were submitted under; before that, those that they could be."""


def documents_of(job: Job) -> JobDocuments:
    permits = tuple(
        Permit.objects.filter(job=job)
        .order_by("kind", "pk")
        .prefetch_related("submissions__licence__holder", "submissions__submitted_by", "submissions__comments")
    )
    used = {s.licence for permit in permits for s in permit.submissions.all() if s.licence is not None}
    design = Design.objects.filter(job=job).order_by("-revision").values_list("fingerprint", flat=True).first()
    return JobDocuments(
        papers=tuple(PaperIssue.objects.filter(job=job).select_related("issued_by").order_by("-pk")),
        kept=paper_registry.kept_of(job.pk),
        fingerprint=design or "",
        evidence=tuple(
            Evidence.objects.filter(job=job, removed_at=None).select_related("added_by").order_by("-added_at", "-pk")
        ),
        uploads=tuple(
            CustomerUpload.objects.filter(ask__job=job).select_related("ask", "decided_by").order_by("-sent_at", "-pk")
        ),
        permits=permits,
        interconnection=Interconnection.objects.filter(job=job).prefetch_related("requests").first(),
        invoices=tuple(Invoice.objects.filter(job=job).select_related("issued_by").order_by("-sequence")),
        credit_notes=tuple(
            CreditNote.objects.filter(job=job).select_related("issued_by", "invoice").order_by("-sequence")
        ),
        letters=tuple(Message.objects.filter(job=job).order_by("-pk")[:LETTERS]),
        financing=tuple(FinancingApplication.objects.filter(job=job).order_by("-pk")),
        licences=tuple(sorted(used, key=lambda each: (each.trade, each.number))) or _usable(job),
    )


def _usable(job: Job) -> tuple[Licence, ...]:
    found = Licence.objects.filter(state=job.site.state, expires_on__gte=office_today()).select_related("holder")
    return tuple(licence for licence in found if licence.valid_on(office_today()))
