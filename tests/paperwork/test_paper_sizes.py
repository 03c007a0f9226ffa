"""Every kind of paper on the office's paper: letter or A4 throughout, no page without its number or with nothing else,
and what is one page stays one page on both."""

from __future__ import annotations

from decimal import Decimal

import pytest

from paperwork.billing import issue_credit_note, issue_invoice
from paperwork.issue import draft
from paperwork.kinds import KINDS, MONEY_PAPERS
from paperwork.models import IssuedPaper
from projects.actions import site
from projects.actions.office import set_price
from projects.models import Invoice, Job, OfficeProfile, Person
from tests import factories
from tests.paperwork.reading import reader
from tests.paperwork.tagged import faults

pytestmark = pytest.mark.django_db

POINTS = {"letter": (612, 792), "a4": (595, 842)}
"""8.5 by 11 inches, and 210 by 297 millimetres (ISO 216), at 72 points an inch."""
ONE_PAGE = frozenset({"first_look", "checklist", "roof_plan", *MONEY_PAPERS})
LANDSCAPE = frozenset({"single_line", "roof_plan"})
MOST_PAGES = 16
LEAST_CHARACTERS = 400
"""Of a page: the title block takes some 250; a page that holds nothing else is an empty one."""


def finished(*, combined: bool) -> Job:
    """In service, with rafters measured and both licences on record: every paper but invoices can be drafted."""
    job = factories.job_at("in_service", "hybrid", jurisdiction=factories.JurisdictionFactory(combined_permit=combined))
    plane = job.site.roof_planes.get()
    site.save_roof_plane(
        job=job, actor=factories.crew_person(), plane_id=plane.pk, rafter_spacing_m=0.6096, age_years=7
    )
    factories.licence("contractor")
    factories.licence("electrician")
    job.refresh_from_db()
    return job


def sizes(content: bytes) -> list[tuple[int, int]]:
    return [(round(float(page.mediabox.width)), round(float(page.mediabox.height))) for page in reader(content).pages]


def check(kind: str, size: str, content: bytes, pages: int, number: str) -> None:
    """Size, number of pages, what PDF/UA asks, and on every page the paper's number and something to read."""
    found, upright = sizes(content), POINTS[size]
    assert len(found) == pages <= (1 if kind in ONE_PAGE else MOST_PAGES), kind
    assert set(found) <= {upright, upright[::-1]}, f"{kind}: {found}"
    assert (found[0] == upright[::-1]) == (kind in LANDSCAPE), kind
    assert faults(content, "en") == [], kind
    for at, page in enumerate(reader(content).pages, start=1):
        text = " ".join(page.extract_text().split())
        assert number in text and len(text) > LEAST_CHARACTERS, f"{kind}, page {at}: {text}"


@pytest.mark.parametrize("size", POINTS)
def test_every_paper_of_a_job_is_on_the_offices_paper(firm: OfficeProfile, size: str, settings: object) -> None:
    settings.PAPER_SIZE = size  # type: ignore[attr-defined]
    apart, combined = finished(combined=False), finished(combined=True)
    for kind in KINDS:
        if kind not in MONEY_PAPERS:
            job = combined if kind == "permit_packet" else apart
            pdf = draft(job=job, kind=kind)
            check(kind, size, pdf.content, pdf.pages, f"{job.label}-{KINDS[kind].code}")


@pytest.mark.parametrize("size", POINTS)
def test_invoices_and_credit_notes_are_too(firm: OfficeProfile, office: Person, size: str, settings: object) -> None:
    settings.PAPER_SIZE = size  # type: ignore[attr-defined]
    job = set_price(job=factories.job_at("installation"), actor=office, price_usd=Decimal("38420"))
    issue_invoice(job=job, part=1, actor=office)
    issue_credit_note(invoice=Invoice.objects.get(job=job), actor=office, reason="Billed to the wrong name.")
    for paper in IssuedPaper.objects.filter(job=job):
        check(paper.kind, size, bytes(paper.content), paper.pages, paper.number)
    assert set(IssuedPaper.objects.values_list("kind", flat=True)) == MONEY_PAPERS
