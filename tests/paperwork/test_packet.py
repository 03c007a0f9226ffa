"""Permit packets: complete or refused with all that is missing; one tagged file with bookmarks and page numbers."""

from __future__ import annotations

from typing import Any

import pytest

from paperwork.content.module_layout import layout
from paperwork.freeze_packet import structure_facts
from paperwork.issue import issue_paper, paper_problems
from paperwork.models import IssuedPaper
from projects.actions import site
from projects.actions.problems import Problems
from projects.models import Job, Jurisdiction, Licence, OfficeProfile, Person
from tests import factories
from tests.paperwork.reading import reader, text_of
from tests.paperwork.study_facts import study_facts

KINDS = ("building_packet", "electrical_packet")
PLANE = {"name": "South roof", "width_m": 12.0, "slope_length_m": 5.6, "modules": 16}


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
    for packet, last in zip(KINDS, ("Structural sheet", "Label sheet"), strict=True):
        issued = issue_paper(job=job, kind=packet, actor=office)
        read = reader(bytes(issued.content))
        bookmarks = titles(read.outline)
        assert len(bookmarks) == 5 and bookmarks[-1] == last
        pages = [" ".join(page.extract_text().split()) for page in read.pages]
        assert issued.pages == len(pages)
        for at, page in enumerate(pages, start=1):
            assert f"{issued.number}, page {at}" in page
        for part in ("Single-line diagram", "Calculation sheet", "Equipment data", last):
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
def test_without_a_jurisdiction_there_is_no_packet(firm: OfficeProfile) -> None:
    job = ready_job()
    Job.objects.filter(pk=job.pk).update(jurisdiction=None)
    job = Job.objects.get(pk=job.pk)
    assert any("No jurisdiction is set" in p.message for p in paper_problems(job=job, kind="electrical_packet"))


def test_loads_and_attachments_worked_by_hand() -> None:
    """At 115 mph 0.00256 x 0.85 x 0.85 x 115^2 = 24.46 psf; 16 modules of 1.134 m in two rows of 8 with 2 cm between
    are 9.21 m = 30.2 ft of rail; at 48 in that is 8 bays and 9 attachments on each of four rails."""
    module = study_facts()["study"]["request"]["module"] | {"length_m": 1.722, "width_m": 1.134, "weight_kg": 21.0}
    roof = [{**PLANE, "on_ground": False, "rafter_spacing_m": 0.6096}]
    got = structure_facts(roof, module, {"wind_speed_mph": 115})
    assert got["pressure_psf"] == pytest.approx(24.46, abs=0.01)
    plane = got["planes"][0]
    assert plane["rows"] == [8, 8] and plane["rail_ft"][0] == pytest.approx(30.22, abs=0.01)
    assert plane["spacing_in"] == pytest.approx(48) and plane["attachments"] == 36


def test_rafters_at_16_inches_take_a_screw_on_every_third_and_far_rafters_on_each() -> None:
    module = study_facts()["study"]["request"]["module"]
    for inches, spacing in ((16.0, 48.0), (24.0, 48.0), (19.2, 38.4), (60.0, 60.0)):
        roof = [{**PLANE, "on_ground": False, "rafter_spacing_m": inches * 0.0254}]
        got = structure_facts(roof, module, {"wind_speed_mph": 115})["planes"][0]
        assert got["spacing_in"] == pytest.approx(spacing)


def test_modules_lie_inside_the_plane_apart_from_each_other_and_none_is_lost() -> None:
    module = {"length_m": 1.722, "width_m": 1.134}
    for count in range(1, 31):
        placed = layout({**PLANE, "modules": count}, module)
        assert placed.fits and len(placed.spots) == count == sum(placed.rows)
        for at, a in enumerate(placed.spots):
            assert a.along_m >= -1e-9 and a.along_m + a.wide_m <= 12.0 + 1e-9
            assert a.up_m >= -1e-9 and a.up_m + a.tall_m <= 5.6 + 1e-9
            for b in placed.spots[at + 1 :]:
                apart = abs(a.along_m - b.along_m) >= a.wide_m or abs(a.up_m - b.up_m) >= a.tall_m
                assert apart
    assert not layout({**PLANE, "modules": 60}, module).fits


def test_a_shallow_plane_takes_lying_modules() -> None:
    placed = layout({**PLANE, "slope_length_m": 1.4, "modules": 6}, {"length_m": 1.722, "width_m": 1.134})
    assert placed.fits and not placed.upright and placed.rows == (6,)
