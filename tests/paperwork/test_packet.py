"""Permit packets: complete or refused with all that is missing; one tagged file with bookmarks and page numbers."""

from __future__ import annotations

import html
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from paperwork.issue import issue_paper, paper_problems
from paperwork.models import IssuedPaper
from projects.actions import design, site
from projects.actions.problems import Problems
from projects.models import Job, Jurisdiction, Licence, OfficeProfile, Person
from tests import factories
from tests.paperwork.reading import reader, text_of

KINDS = ("building_packet", "electrical_packet")


def ready_job(kind: str = "hybrid", *, rafters: bool = True, **profile: Any) -> Job:
    """Engineered, with rafters measured and both licences on record."""
    job = factories.job_at("permits", kind, jurisdiction=factories.JurisdictionFactory(**profile))
    if rafters:
        plane = job.site.roof_planes.get()
        site.save_roof_plane(
            job=job, actor=factories.crew_person(), plane_id=plane.pk, rafter_spacing_m=0.6096, age_years=7
        )
    factories.licence("contractor")
    factories.licence("electrician")
    job.refresh_from_db()
    return job


def titles(outline: list[Any]) -> list[str]:
    return [str(entry.title) for entry in outline if not isinstance(entry, list)]


@pytest.mark.django_db
@pytest.mark.parametrize("kind", ["grid_tied", "hybrid", "off_grid"])
def test_both_packets_are_issued_with_every_part_where_the_cover_says(
    firm: OfficeProfile, office: Person, kind: str
) -> None:
    job = ready_job(kind)
    own = (("Roof plan", "Structural sheet"), ("Label sheet",))
    for packet, parts in zip(KINDS, own, strict=True):
        issued = issue_paper(job=job, kind=packet, actor=office)
        read = reader(bytes(issued.content))
        bookmarks = titles(read.outline)
        assert len(bookmarks) == 4 + len(parts) and set(parts) <= set(bookmarks)
        pages = [" ".join(page.extract_text().split()) for page in read.pages]
        assert issued.pages == len(pages)
        for at, page in enumerate(pages, start=1):
            assert f"{issued.number}, page {at}" in page
        for part in ("Single-line diagram", "Calculation sheet", "Equipment data", *parts):
            begins = next(at for at, page in enumerate(pages[1:], start=2) if part in page)
            assert f"{part}" in pages[0] and f" {begins} " in pages[0].split(part, 1)[1][:40]
        for part in (job.jurisdiction.name, f"{job.jurisdiction.wind_speed_mph} mph", job.customer.name):
            assert part in pages[0]
        assert "not certified" in pages[0]


@pytest.mark.django_db
def test_a_packet_stays_tagged_and_in_one_language(firm: OfficeProfile, office: Person) -> None:
    read = reader(bytes(issue_paper(job=ready_job(), kind="electrical_packet", actor=office).content))
    root = read.trailer["/Root"]
    assert root["/MarkInfo"]["/Marked"] == True and "/StructTreeRoot" in root  # noqa: E712
    assert root["/Lang"] == "en" and b"pdfuaid" in root["/Metadata"].get_object().get_data()
    sizes = {(round(float(p.mediabox.width)), round(float(p.mediabox.height))) for p in read.pages}
    assert sizes == {(612, 792), (792, 612)}


@pytest.mark.django_db
def test_all_that_is_missing_is_named_at_once(firm: OfficeProfile, office: Person) -> None:
    job = ready_job(rafters=False)
    Licence.objects.filter(trade="contractor").update(expires_on="2020-01-01")
    OfficeProfile.objects.all().delete()
    with pytest.raises(Problems) as refused:
        issue_paper(job=job, kind="building_packet", actor=office)
    said = " ".join(problem.message for problem in refused.value)
    for part in ("South roof: the rafter spacing is not recorded", "No licensed contractor", "own name and telephone"):
        assert part in said
    assert not IssuedPaper.objects.exists()


@pytest.mark.django_db
def test_at_the_screen_an_incomplete_packet_is_refused_with_all_that_is_missing_and_then_issued(
    firm: OfficeProfile, office: Person, client: Client
) -> None:
    """From the button to the file: nothing is kept of a refused packet, neither as a paper nor in the journal."""
    job = ready_job(rafters=False)
    Licence.objects.filter(trade="contractor").update(expires_on="2020-01-01")
    client.force_login(office)
    address, wanted = reverse("issue-paper", args=[job.number]), {"kind": "building_packet"}
    journal = job.journal.count()
    missing = ("South roof: the rafter spacing is not recorded", f"valid today in {job.site.state} is on record")
    preview = reverse("paper-preview", args=[job.number, "building_packet"])
    for answer in (client.post(address, wanted), client.get(preview)):
        page = answer.content.decode()
        assert answer.status_code == 422 and "Building permit packet can't be issued yet" in html.unescape(page)
        assert all(part in html.unescape(page) for part in missing)
    listed = html.unescape(client.get(reverse("job-papers", args=[job.number])).content.decode())
    assert all(part in listed for part in missing) and 'value="building_packet" checked' not in listed
    assert not IssuedPaper.objects.exists() and job.journal.count() == journal
    Licence.objects.filter(trade="contractor").update(expires_on="2100-01-01")
    page = html.unescape(client.post(address, wanted).content.decode())
    assert missing[0] in page and missing[1] not in page
    plane = job.site.roof_planes.get()
    site.save_roof_plane(
        job=job, actor=factories.crew_person(), plane_id=plane.pk, rafter_spacing_m=0.6096, age_years=7
    )
    done = client.post(address, wanted, follow=True)
    paper = IssuedPaper.objects.get()
    assert f"Building permit packet {paper.number} is issued." in done.content.decode()
    file = client.get(reverse("paper", args=[paper.number]))
    assert file.content == bytes(paper.content) and file["Content-Type"] == "application/pdf"


@pytest.mark.django_db
def test_rafters_don_t_hold_up_the_electrical_packet(firm: OfficeProfile) -> None:
    assert paper_problems(job=ready_job(rafters=False), kind="electrical_packet") == []


@pytest.mark.django_db
def test_a_combined_permit_takes_one_packet_and_no_other(firm: OfficeProfile, office: Person) -> None:
    job = ready_job(combined_permit=True)
    assert "one combined permit" in paper_problems(job=job, kind="building_packet")[0].message
    issued = issue_paper(job=job, kind="permit_packet", actor=office)
    text = text_of(bytes(issued.content))
    assert "Structural sheet" in text and "Label sheet" in text
    apart = ready_job()
    assert "a building and an electrical permit" in paper_problems(job=apart, kind="permit_packet")[0].message


@pytest.mark.django_db
def test_a_letter_that_is_asked_for_is_listed_and_a_later_change_is_told(firm: OfficeProfile, office: Person) -> None:
    job = ready_job()
    first = issue_paper(job=job, kind="building_packet", actor=office)
    assert "Structural letter, stamped" not in text_of(bytes(first.content))
    Jurisdiction.objects.filter(pk=job.jurisdiction.pk).update(structural_letter=True, wind_speed_mph=150)
    job = Job.objects.get(pk=job.pk)
    second = issue_paper(job=job, kind="building_packet", actor=office)
    text = text_of(bytes(second.content))
    assert "Structural letter, stamped by the licensed engineer to be attached" in text
    assert "Wind speed: 150 mph (was 115 mph)." in second.changes
    assert f"Changed since {first.number}" in text


@pytest.mark.django_db
@pytest.mark.parametrize("kind", [*KINDS, "crew_sheet", "roof_plan"])
def test_modules_that_find_no_room_hold_back_every_paper_that_builds_on_the_layout(
    firm: OfficeProfile, kind: str
) -> None:
    """Three rows of upright modules want 5.2 m of slope: the plane has 5.6 m, but not once 18 in stay free below the
    ridge; two rows hold at most 20."""
    job = ready_job()
    design.save_design(job=job, actor=factories.office_person(), plane_modules=[{"plane": "South roof", "modules": 28}])
    factories.run_study(job, factories.office_person(), real=True)
    told = " ".join(problem.message for problem in paper_problems(job=job, kind=kind))
    assert "A roof check fails: South roof: room for its modules (28 modules, " in told


@pytest.mark.django_db
def test_without_a_jurisdiction_there_is_no_packet(firm: OfficeProfile) -> None:
    job = ready_job()
    Job.objects.filter(pk=job.pk).update(jurisdiction=None)
    job = Job.objects.get(pk=job.pk)
    assert any("No jurisdiction is set" in p.message for p in paper_problems(job=job, kind="electrical_packet"))
