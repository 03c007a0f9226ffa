"""Every fact that the job page records, on its happy path: posted as the browser posts it, read back from the job."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from django.contrib.messages import get_messages
from django.urls import reverse
from django.utils import timezone

from projects.actions import installing
from projects.models import Inspection, InspectionCorrection, Job, PlanComment, UtilityRequest
from tests.factories import (
    JurisdictionFactory,
    Story,
    UtilityFactory,
    crew_person,
    job_at,
    lead,
    licence,
)

pytestmark = pytest.mark.django_db


def today() -> date:
    return timezone.localdate()


def went_well(response, job: Job) -> str:
    """Back on the job's page, with a message; returns the message."""
    assert response.status_code == 302, response.context["form"].errors
    assert response["Location"] == reverse("job", args=[job.number])
    job.refresh_from_db()
    return str(list(get_messages(response.wsgi_request))[-1])


def test_a_mark_says_what_became_true_and_what_comes_next(office, record):
    job = job_at("installation")
    said = went_well(record(office, job, "mark", "equipment_ordered", on=today(), note="At the depot"), job)
    assert said.startswith("The equipment is ordered. Next: ")
    mark = job.marks.get(key="equipment_ordered")
    assert (mark.on, mark.note, mark.withdrawn_at) == (today(), "At the depot", None)


def test_a_mark_recorded_by_mistake_is_withdrawn_with_its_reason(office, record):
    job = job_at("installation")
    record(office, job, "mark", "equipment_ordered", on=today())
    went_well(record(office, job, "withdraw", "equipment_ordered", reason="Wrong job"), job)
    mark = job.marks.get(key="equipment_ordered")
    assert mark.withdrawn_at is not None
    assert mark.withdrawn_reason == "Wrong job"


def test_the_owner_waives_a_requirement_and_asks_for_it_again(owner, record):
    job = lead()
    assert "Waived" in went_well(record(owner, job, "waive", "first_look", reason="They know us."), job)
    assert job.waivers.get().reason == "They know us."
    assert "Waived" in owner.get(reverse("job", args=[job.number])).content.decode()
    went_well(record(owner, job, "withdraw-waiver", "first_look"), job)
    assert job.waivers.get().withdrawn_at is not None


def test_the_visit_is_booked_and_moved(office, record):
    job = job_at("site_assessment")
    went_well(record(office, job, "visit", on=today() + timedelta(days=5)), job)
    went_well(record(office, job, "visit", on=today() + timedelta(days=6)), job)
    assert job.visit_on == today() + timedelta(days=6)


def test_the_installation_is_booked(office, record):
    job = job_at("installation")
    went_well(record(office, job, "installation", on=today() + timedelta(days=9)), job)
    assert job.install_on == today() + timedelta(days=9)


def submit(office, record, job, kind, **typed):
    trade = "electrician" if kind == "electrical" else "contractor"
    typed = {"on": today(), "how": "online", "licence": licence(trade).pk, **typed}
    return went_well(record(office, job, "permit-submitted", kind, **typed), job)


def test_a_permit_goes_through_corrections_to_issue_and_renewal(office, record):
    job = job_at("permits")
    submit(office, record, job, "building", number="B-77", fee_usd="185.00")
    typed = "Show the working clearance.\n\n  Name the conductor size.  \n"
    said = went_well(record(office, job, "permit-corrections", "building", on=today(), comments=typed), job)
    assert "2 comments" in said
    first, second = PlanComment.objects.order_by("id")
    assert (first.text, second.text) == ("Show the working clearance.", "Name the conductor size.")
    page = office.get(reverse("job", args=[job.number])).content.decode()
    assert "Show the working clearance." in page
    went_well(record(office, job, "comment-answer", first.pk, answer="See sheet 3.", on=today()), job)
    went_well(record(office, job, "comment-answer", second.pk, answer="10 AWG.", on=today()), job)
    submit(office, record, job, "building")
    permit = job.permits.get(kind="building")
    assert [s.round for s in permit.submissions.all()] == [1, 2]
    assert permit.number == "B-77"
    went_well(record(office, job, "permit-issued", "building", on=today(), number="B-77-1"), job)
    permit.refresh_from_db()
    assert (permit.issued_on, permit.number) == (today(), "B-77-1")
    later = permit.expires_on + timedelta(days=90)
    went_well(record(office, job, "permit-renewed", "building", on=today(), expires_on=later), job)
    permit.refresh_from_db()
    assert permit.expires_on == later


def test_the_licence_offered_is_of_the_right_trade_and_the_fee_is_the_profiles(office):
    job = job_at("permits", jurisdiction=JurisdictionFactory(building_fee_usd="185.00"))
    contractor, electrician = licence("contractor"), licence("electrician")
    form = office.get(reverse("record-about", args=[job.number, "permit-submitted", "building"])).context["form"]
    assert list(form.fields["licence"].queryset) == [contractor]
    assert form["fee_usd"].value() == 185
    form = office.get(reverse("record-about", args=[job.number, "permit-submitted", "electrical"])).context["form"]
    assert list(form.fields["licence"].queryset) == [electrician]


def test_a_final_inspection_fails_is_put_right_and_passes(office, crew, record):
    job = job_at("inspection")
    went_well(record(office, job, "inspection-booked", "final", on=today()), job)
    first = job.inspections.get()
    typed = {"result": "corrections", "on": today(), "corrections": "Label missing.\nBond the rail.", "inspector": "M."}
    assert "2 corrections" in went_well(record(office, job, "inspection-result", first.pk, **typed), job)
    for correction in InspectionCorrection.objects.all():
        went_well(record(crew, job, "correction-fixed", correction.pk, on=today(), note="Done"), job)
    assert {c.fixed_by for c in InspectionCorrection.objects.all()} == {crew_person()}
    went_well(record(office, job, "inspection-booked", "final", on=today()), job)
    second = job.inspections.last()
    went_well(record(office, job, "inspection-result", second.pk, result="passed", on=today()), job)
    second.refresh_from_db()
    assert second.result == Inspection.Result.PASSED
    assert job.stage == "interconnection"


def test_a_booked_inspection_is_cancelled_with_a_reason(office, record):
    job = job_at("inspection")
    record(office, job, "inspection-booked", "final", on=today() + timedelta(days=2))
    went_well(record(office, job, "inspection-cancelled", job.inspections.get().pk, reason="Storm"), job)
    assert job.inspections.get().result == Inspection.Result.CANCELLED


def test_the_utility_is_walked_from_application_to_permission(office, record):
    job = job_at("interconnection", utility=UtilityFactory(witness_test=True))
    went_well(record(office, job, "application", on=today(), number="SP-1"), job)
    went_well(record(office, job, "utility-request", text="A photo of the meter.", on=today()), job)
    asked = UtilityRequest.objects.get()
    went_well(record(office, job, "utility-answer", asked.pk, answer="Sent by e-mail.", on=today()), job)
    for fact in ("utility-approval", "agreement", "inspection-sent", "meter", "witness"):
        went_well(record(office, job, fact, on=today()), job)
    went_well(record(office, job, "permission", on=today(), number="PTO-9"), job)
    row = job.interconnection
    row.refresh_from_db()
    assert (row.number, row.permission_number, row.permission_on) == ("SP-1", "PTO-9", today())
    assert job.stage == "operation"


def test_price_and_keeper_and_authorities_are_set(office, record):
    job = lead()
    went_well(record(office, job, "price", price_usd="38420.50"), job)
    went_well(record(office, job, "assigned", person=crew_person().pk), job)
    bay, shore = JurisdictionFactory(name="Marrow Bay"), UtilityFactory(name="Shore Power")
    went_well(record(office, job, "authorities", jurisdiction=bay.pk, utility=shore.pk), job)
    assert (str(job.price_usd), job.assigned_to, job.jurisdiction, job.utility) == (
        "38420.50",
        crew_person(),
        bay,
        shore,
    )
    went_well(record(office, job, "price", price_usd=""), job)
    assert job.price_usd is None


@pytest.mark.parametrize("outcome", ["lost", "cancelled"])
def test_a_job_is_closed_and_opened_again(office, record, outcome):
    job = lead()
    assert outcome in went_well(record(office, job, "closed", outcome=outcome, reason="Moved away."), job)
    assert job.outcome == outcome
    page = office.get(reverse("job", args=[job.number])).content.decode()
    assert "Moved away." in page
    assert "Open it again" in page
    went_well(record(office, job, "reopened", reason="They came back."), job)
    assert job.outcome == ""


def test_the_customers_link_is_shown_once_and_can_be_revoked(office, record):
    job = lead()
    response = record(office, job, "customer-link")
    assert response.status_code == 200
    assert response["Cache-Control"] == "no-store"
    link = response.context["link"]
    token = link.rstrip("/").rsplit("/", 1)[-1]
    assert link in response.content.decode()
    assert token not in str(dict(office.session))
    page = office.get(reverse("job", args=[job.number])).content.decode()
    assert token not in page
    assert "never opened" in page
    went_well(record(office, job, "links-revoked"), job)
    assert job.customer_links.get().revoked_at is not None


def test_with_htmx_the_form_comes_alone_and_success_reloads_the_page(office):
    job = job_at("installation")
    address = reverse("record-about", args=[job.number, "mark", "equipment_ordered"])
    html = office.get(address, headers={"HX-Request": "true"}).content.decode()
    assert html.lstrip().startswith("<form")
    assert "<html" not in html
    refused = office.post(address, {"on": "never"}, headers={"HX-Request": "true"})
    assert refused.status_code == 422
    assert refused.content.decode().lstrip().startswith("<form")
    response = office.post(address, {"on": today()}, headers={"HX-Request": "true"})
    assert response["HX-Redirect"] == reverse("job", args=[job.number])


def test_the_crew_records_its_own_marks(crew, record):
    job = job_at("installation")
    story = Story(job, "hybrid")
    story.day = today()
    story.mark("equipment_ordered")
    story.mark("equipment_received")
    installing.book_installation(job=job, actor=story.office, on=today())
    went_well(record(crew, job, "mark", "install_started", on=today()), job)
    assert job.marks.get(key="install_started").recorded_by == crew_person()
