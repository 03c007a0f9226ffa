"""The papers of a job as its page lists them: what went out, what is out of date, what can go out."""

from __future__ import annotations

from dataclasses import dataclass

from django.urls import reverse

from projects.models import Job, PaperIssue
from projects.queries import JobPage
from projects.screens.office.steps import Act, Finder

PAPERS = {
    "first_look": "First-look report",
    "single_line": "Single-line diagram",
    "checklist": "Customer checklist",
    "calculations": "Calculation sheet",
    "labels": "Label sheet",
    "building_packet": "Building permit packet",
    "electrical_packet": "Electrical permit packet",
    "permit_packet": "Permit packet",
    "interconnection": "Interconnection application summary",
    "crew_sheet": "Crew job sheet",
    "roof_plan": "Roof plan",
    "handover": "Handover packet",
}
"""The kinds that can be issued from the job page, in the order in which a job needs them."""
SEPARATE_PACKETS = ("building_packet", "electrical_packet")
PERMIT_PACKETS = (*SEPARATE_PACKETS, "permit_packet")
SHOW_THE_DESIGN = frozenset(
    {
        "single_line",
        "calculations",
        "labels",
        *SEPARATE_PACKETS,
        "permit_packet",
        "interconnection",
        "roof_plan",
        "handover",
    }
)
"""Out of date once the design changes; a first look is a sketch that the engineering is meant to replace."""


@dataclass(frozen=True)
class PaperLine:
    title: str
    issues: tuple[PaperIssue, ...]
    """Newest first."""
    outdated: bool
    issue: Act | None
    preview: str

    @property
    def latest(self) -> PaperIssue | None:
        return self.issues[0] if self.issues else None


def belongs(job: Job, kind: str) -> bool:
    """One packet where the jurisdiction has a combined permit, two where it has not, none where it asks for no permit;
    no utility off the grid.
    """
    if kind == "interconnection":
        return job.system_kind != "off_grid"
    if (
        kind in PERMIT_PACKETS
        and job.system_kind == "off_grid"
        and job.jurisdiction
        and job.jurisdiction.off_grid_exempt
    ):
        return False
    combined = job.jurisdiction is not None and job.jurisdiction.combined_permit
    return kind not in SEPARATE_PACKETS if combined else kind != "permit_packet"


def paper_lines(found: JobPage, finder: Finder) -> list[PaperLine]:
    by_kind: dict[str, list[PaperIssue]] = {kind: [] for kind in PAPERS if belongs(found.job, kind)}
    for paper in found.papers:
        if paper.kind in by_kind or finder.person.is_office:  # invoices and credit notes are the office's
            by_kind.setdefault(paper.kind, []).append(paper)
    fingerprint = found.design.fingerprint if found.design else ""
    lines = []
    for kind, issues in by_kind.items():
        outdated = kind in SHOW_THE_DESIGN and bool(issues) and issues[0].design_fingerprint != fingerprint
        known = kind in PAPERS and not found.job.outcome
        label = "Issue again" if issues else "Issue"
        lines.append(
            PaperLine(
                title=PAPERS.get(kind, kind.replace("_", " ").capitalize()),
                issues=tuple(issues),
                outdated=outdated,
                issue=finder.paper(label, kind) if known else None,
                preview=reverse("paper-preview", args=[found.job.number, kind]) if known else "",
            )
        )
    return lines
