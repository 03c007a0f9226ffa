"""A job's papers, pictures, invoices and letters as lines of one page."""

from __future__ import annotations

from dataclasses import replace

from django.urls import reverse

from projects import paper_registry
from projects.models import CustomerUpload, Evidence, PaperIssue
from projects.queries.documents import JobDocuments
from projects.screens.office.documents_line import Line, dated, day_of, told
from projects.screens.office.messages_pages import lines as letters
from projects.screens.office.papers import SHOW_THE_DESIGN

MONEY_PAPERS = ("invoice", "credit_note")
HASH_LETTERS = 8
EARLIER_DESIGN = "Shows an earlier design"


def paper_lines(found: JobDocuments) -> list[Line]:
    """One for each kind, by its latest issue; those before it are its ``earlier``."""
    kinds: dict[str, list[PaperIssue]] = {}
    for paper in found.papers:
        if paper.kind not in MONEY_PAPERS:
            kinds.setdefault(paper.kind, []).append(paper)
    lines = []
    for kind, issues in kinds.items():
        latest, *earlier = (_paper(found, paper) for paper in issues)
        outdated = kind in SHOW_THE_DESIGN and issues[0].design_fingerprint != found.fingerprint
        lines.append(replace(latest, trouble=EARLIER_DESIGN if outdated else "", earlier=tuple(earlier)))
    return lines


def _paper(found: JobDocuments, paper: PaperIssue) -> Line:
    kept = found.kept.get(paper.number)
    line = Line(
        title=paper_registry.title_of(paper.kind),
        number=paper.number,
        day=paper.on,
        who=paper.issued_by.name,
        address=reverse("paper", args=[paper.number]) if kept else "",
    )
    if kept is None:
        return line
    return replace(line, issue=kept.issue, pages=kept.pages, sha=kept.sha256[:HASH_LETTERS], changes=kept.changes)


def evidence_lines(found: JobDocuments) -> list[Line]:
    """What customers sent and nobody has looked at yet comes first."""
    sent = {upload.evidence_id: upload for upload in found.uploads if upload.evidence_id}
    waiting = [_upload(upload) for upload in found.uploads if upload.decided_at is None]
    refused = [_upload(upload) for upload in found.uploads if upload.decided_at and upload.evidence_id is None]
    return [*waiting, *(_evidence(each, sent.get(each.pk)) for each in found.evidence), *refused]


def _evidence(row: Evidence, sent: CustomerUpload | None) -> Line:
    address = reverse("photo", args=[row.pk])
    return Line(
        title=row.get_kind_display(),
        day=day_of(row.added_at),
        who=f"sent by the customer, accepted by {row.added_by.name}" if sent else row.added_by.name,
        words=told(row.note),
        address=address,
        picture=address,
    )


def _upload(upload: CustomerUpload) -> Line:
    address = reverse("sent-picture", args=[upload.pk])
    waits = upload.decided_at is None
    refused = f"Not usable: {upload.refused_because}" if upload.refused_because else "Not usable"
    return Line(
        title=upload.ask.get_kind_display(),
        day=day_of(upload.sent_at),
        who="sent by the customer",
        words=told(upload.ask.words, "" if waits else refused),
        trouble="Nobody has looked at it yet" if waits else "",
        address=address,
        picture=address,
    )


def money_lines(found: JobDocuments) -> list[Line]:
    issued = {paper.number for paper in found.papers if paper.kind in MONEY_PAPERS}
    credits: dict[int, list[Line]] = {}
    for note in found.credit_notes:
        line = Line(
            title="Credit note",
            number=note.number,
            day=note.issued_on,
            who=note.issued_by.name,
            words=(f"${note.amount_usd:,.2f} of invoice {note.invoice.number} taken back: {note.reason}",),
        )
        credits.setdefault(note.invoice_id, []).append(_with_paper(line, found, issued))
    lines = []
    for invoice in found.invoices:
        line = Line(
            title=f"Invoice: {invoice.title}",
            number=invoice.number,
            day=invoice.issued_on,
            who=invoice.issued_by.name,
            words=(f"${invoice.amount_usd:,.2f}, {dated('due', invoice.due_on)}",),
        )
        lines += [*credits.get(invoice.pk, []), _with_paper(line, found, issued)]
    return lines


def _with_paper(line: Line, found: JobDocuments, issued: set[str]) -> Line:
    kept = found.kept.get(line.number)
    if kept is None or line.number not in issued:
        return line
    address = reverse("paper", args=[line.number])
    return replace(line, address=address, pages=kept.pages, sha=kept.sha256[:HASH_LETTERS])


def letter_lines(found: JobDocuments) -> list[Line]:
    lines = []
    for each in letters(list(found.letters)):
        row = each["row"]
        lines.append(
            Line(
                title=each["about"],
                day=day_of(row.sent_at or row.queued_at),
                who=row.get_status_display(),
                words=told(
                    f"To {row.to_address}" if row.to_address else "", "In Spanish" if row.language == "es" else ""
                ),
                trouble=row.last_error if row.status == row.Status.FAILED else "",
                text=row.text,
            )
        )
    return lines
