"""A packet's cover: the jurisdiction's own list with where each of it is, insurance in force, the fee by its rule."""

from __future__ import annotations

from datetime import timedelta
from decimal import Decimal

import pytest
from django.utils import timezone

from paperwork.content.packet import wanted_rows
from paperwork.issue import issue_paper, paper_problems
from paperwork.pdf import Part
from projects.actions import office as office_actions
from projects.actions.packet_list import PARTS, wanted_of
from projects.actions.permit_fees import fee_of_job
from projects.actions.problems import Problems
from projects.models import Insurance, Job, OfficeProfile, Person
from tests import factories
from tests.paperwork.golden_designs import packet_facts
from tests.paperwork.reading import reader, text_of
from tests.paperwork.test_packet import ready_job

LIST = """Access pathways = roof plan
Electrical one-line = single-line diagram
Placards = Label sheet
  Licences   and insurance = cover
Owner's signed application
"""


def insured(kind: str, number: str, days: int) -> Insurance:
    today = timezone.localdate()
    return Insurance.objects.create(
        kind=kind,
        insurer="Bulkhead Mutual",
        number=number,
        starts_on=today - timedelta(days=360),
        expires_on=today + timedelta(days=days),
    )


def test_a_list_is_read_line_by_line_and_what_it_can_t_mean_is_named() -> None:
    found, wrong = wanted_of(LIST)
    assert [(line.what, line.part) for line in found] == [
        ("Access pathways", "roof plan"),
        ("Electrical one-line", "single-line diagram"),
        ("Placards", "label sheet"),
        ("Licences and insurance", "cover"),
        ("Owner's signed application", ""),
    ]
    assert wrong == [] and wanted_of("") == ([], [])
    _, wrong = wanted_of("Plot plan = plot plan\n = roof plan\n" + "x" * 120)
    assert len(wrong) == 3 and "“plot plan” is no part of a packet; parts are cover, roof plan" in wrong[0]
    assert wanted_of("\n".join(["Form"] * 26))[1] == ["25 lines at most."]


@pytest.mark.django_db
def test_a_wrong_line_is_refused_at_its_field() -> None:
    place = factories.JurisdictionFactory()
    with pytest.raises(Problems) as refused:
        office_actions.save_jurisdiction(actor=factories.office_person(), instance=place, packet_list="A = attic plan")
    assert [problem.field for problem in refused.value] == ["packet_list"]
    place.refresh_from_db()
    assert place.packet_list == ""


def test_each_line_leads_to_its_page_to_the_other_packet_or_to_what_is_attached() -> None:
    lines = [{"what": line.what, "part": line.part} for line in wanted_of(LIST)[0]]
    parts = [Part("Roof plan", 2, 1), Part("Structural sheet", 3, 1), Part("Single-line diagram and schedules", 4, 3)]
    rows = wanted_rows({"kind": "building_packet", "wanted": lines}, parts)
    assert [row["where"] for row in rows] == [
        "page 2, roof plan",
        "page 4, single-line diagram",
        "in the electrical permit packet",
        "page 1, cover",
        "to be attached",
    ]


def test_every_part_that_a_list_may_name_is_one_of_the_combined_packet() -> None:
    from paperwork.content.packet import packet_sheets

    sheets = packet_sheets(packet_facts("hybrid", "permit_packet", "1"), False, "letter")
    titles = ["cover", *(sheet.bookmark.lower() for sheet in sheets)]
    assert len(titles) == len(PARTS)
    assert all(title.startswith(part) for title, part in zip(titles, PARTS, strict=True))


@pytest.mark.django_db
def test_the_cover_carries_the_list_the_insurance_and_the_fee(firm: OfficeProfile, office: Person) -> None:
    """8.80 kW DC at $6 on a flat $145 is $197.80."""
    job = ready_job(
        combined_permit=True,
        fire_review=True,
        packet_list=LIST,
        building_fee_usd=Decimal(145),
        building_fee_per_kw_usd=Decimal(6),
        electrical_fee_usd=Decimal(90),
        fire_fee_usd=Decimal(35),
    )
    insured("liability", "GL-1", 200)
    insured("liability", "GL-0", 100)
    insured("workers", "WC-7", 30)
    issued = issue_paper(job=job, kind="permit_packet", actor=office)
    text = text_of(bytes(issued.content))
    assert f"What {job.jurisdiction.name} asks for" in text
    pages = [" ".join(page.extract_text().split()) for page in reader(bytes(issued.content)).pages]
    for line in ("Access pathways", "Electrical one-line", "Placards"):
        where = pages[0].split(line, 1)[1].split("page ", 1)[1].split(",", 1)[0]
        title = {"Access pathways": "Roof plan", "Placards": "Label sheet"}.get(line, "Single-line diagram")
        assert title in pages[int(where) - 1], line
    assert "Owner's signed application to be attached" in text
    assert "Bulkhead Mutual GL-1" in text and "WC-7" in text and "GL-0" not in text
    fee = fee_of_job(job, "combined", job.designs.order_by("-revision").first())
    assert fee.total_usd == Decimal("145") + Decimal(str(issued.facts["design"]["array_kw"])) * 6
    # The combined permit pays the building permit's rule, and the office's page says the same.
    assert f"Permit fee ${fee.total_usd:,.2f} (145.00 + " in text and "Fire review fee $35.00" in text


@pytest.mark.django_db
def test_a_policy_that_ended_holds_the_packet_back(firm: OfficeProfile) -> None:
    job: Job = ready_job()
    assert paper_problems(job=job, kind="electrical_packet") == []
    insured("liability", "GL-1", -3)
    told = " ".join(problem.message for problem in paper_problems(job=job, kind="electrical_packet"))
    assert "General liability insurance ended on" in told


@pytest.mark.django_db
def test_insurance_that_is_asked_for_must_be_on_record(firm: OfficeProfile) -> None:
    job = ready_job(asks_insurance=True)
    told = " ".join(problem.message for problem in paper_problems(job=job, kind="building_packet"))
    assert "asks for general liability insurance, and none is recorded" in told
    insured("liability", "GL-1", 200)
    assert paper_problems(job=job, kind="building_packet") == []
