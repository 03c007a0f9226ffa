"""Who may not, what may not, and what people type."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from projects.actions import permits
from projects.models import JournalEntry, PlanComment
from projects.screens.office.facts import FACTS
from tests.factories import Story, job_at, lead, office_person, owner_person
from tests.screens.office_a import rows

pytestmark = pytest.mark.django_db

FOR_THE_CREW = {"mark", "withdraw", "correction-fixed", "service-visit-made"}
FOR_THE_OWNER = {"waive", "withdraw-waiver"}
ABOUT = {
    "mark": "go_ahead",
    "withdraw": "go_ahead",
    "waive": "first_look",
    "permit-submitted": "building",
    "permit-corrections": "building",
    "permit-issued": "building",
    "permit-renewed": "building",
    "permit-void": "building",
    "reading": "2026-05",
    "inspection-booked": "final",
}


def submitted(job) -> Story:
    """The building permit went in today."""
    story = Story(job, "hybrid")
    story.day = timezone.localdate()
    story.submit("building")
    return story


def address(job, fact, subject=""):
    subject = subject or ABOUT.get(fact, "")
    return reverse("record-about" if subject else "record", args=[job.number, fact, *([subject] if subject else [])])


ABOUT_A_ROW = {
    rows.job_with_every_row: {
        *("change-approved", "change-dropped", "payment-back", "cost-back"),
        *("financing-decided", "lender-asks", "lender-condition-met"),
        *("claim-settled", "service-visit-made", "service-visit-moved", "service-visit-cancelled"),
        *("ask-closed", "picture-accepted", "picture-refused"),
    },
    rows.job_in_review: {"comment-answer", "utility-answer"},
    rows.job_inspected: {"inspection-result", "inspection-cancelled", "correction-fixed"},
}


def about_nothing_else() -> list[str]:
    """Facts that need no row of their own to be about."""
    return sorted(set(FACTS).difference({"withdraw-waiver"}, *ABOUT_A_ROW.values()))


@pytest.mark.parametrize("fact", about_nothing_else())
def test_every_form_opens_for_the_owner_and_changes_nothing(owner, fact):
    job = lead()
    before = JournalEntry.objects.count()
    response = owner.get(address(job, fact))
    assert response.status_code == 200
    assert response.context["form"].title
    assert JournalEntry.objects.count() == before


@pytest.mark.parametrize("fact", sorted(set(about_nothing_else()) - FOR_THE_CREW))
def test_the_crew_may_not_record_the_offices_facts(crew, fact):
    job = lead()
    assert crew.get(address(job, fact)).status_code == 403
    assert crew.post(address(job, fact), {"on": timezone.localdate()}).status_code == 403


@pytest.mark.parametrize("make", ABOUT_A_ROW)
def test_a_form_about_a_row_opens_for_the_office_alone_and_for_its_own_job_alone(owner, crew, make):
    job, made = make()
    other = lead()
    before = JournalEntry.objects.count()
    assert set(made) == ABOUT_A_ROW[make]
    for fact, pk in made.items():
        response = owner.get(address(job, fact, pk))
        assert response.status_code == 200, fact
        assert response.context["form"].title, fact
        for client in (owner, crew):
            assert client.get(address(other, fact, pk)).status_code == 404, fact
            assert client.post(address(other, fact, pk), {"on": timezone.localdate()}).status_code == 404, fact
        if fact in FOR_THE_CREW:
            assert crew.get(address(job, fact, pk)).status_code == 200, fact
        else:
            assert crew.get(address(job, fact, pk)).status_code == 403, fact
            assert crew.post(address(job, fact, pk), {"on": timezone.localdate()}).status_code == 403, fact
    assert JournalEntry.objects.count() == before


def test_the_crew_may_not_record_a_mark_of_the_office(crew):
    assert crew.post(address(lead(), "mark", "contract_signed"), {"on": timezone.localdate()}).status_code == 403


@pytest.mark.parametrize("fact", sorted(FOR_THE_OWNER))
def test_the_office_may_not_waive(office, owner, fact):
    job = lead()
    owner.post(address(job, "waive", "go_ahead"), {"reason": "Known"})
    subject = "go_ahead" if fact == "withdraw-waiver" else "first_look"
    assert office.post(address(job, fact, subject), {"reason": "So"}).status_code == 403


@pytest.mark.parametrize("hold", ["permits_hold", "final_passed", "permission", "nonsense"])
def test_what_protects_people_has_no_waiver(owner, hold):
    job = lead()
    assert owner.get(address(job, "waive", hold)).status_code == 404
    assert owner.post(address(job, "waive", hold), {"reason": "Hurry"}).status_code == 404
    assert not job.waivers.exists()


def test_a_stranger_is_asked_to_sign_in(stranger):
    job = lead()
    for where in (address(job, "price"), reverse("job", args=[job.number]), reverse("job-journal", args=[job.number])):
        assert stranger.get(where).status_code == 302
    assert stranger.post(address(job, "price"), {"price_usd": "1"}).status_code == 302
    job.refresh_from_db()
    assert job.price_usd is None


def test_a_post_without_the_forms_token_is_refused():
    job = lead()
    client = Client(enforce_csrf_checks=True)
    client.force_login(office_person())
    assert client.post(address(job, "price"), {"price_usd": "1"}).status_code == 403


@pytest.mark.parametrize("method", ["put", "patch", "delete"])
def test_other_methods_are_refused(owner, method):
    job = lead()
    assert getattr(owner, method)(address(job, "price")).status_code == 405
    assert getattr(owner, method)(reverse("job", args=[job.number])).status_code == 405
    assert owner.post(reverse("job", args=[job.number])).status_code == 405


@pytest.mark.parametrize(
    ("fact", "subject"),
    [
        ("no-such-fact", ""),
        ("mark", "no_such_mark"),
        ("permit-issued", "swimming"),
        ("inspection-booked", "third"),
        ("price", "building"),
        ("comment-answer", "99999999999999999999999999"),
        ("comment-answer", "٣"),
        ("inspection-result", "abc"),
    ],
)
def test_made_up_addresses_are_not_found(owner, fact, subject):
    job = lead()
    where = f"/jobs/{job.number}/record/{fact}/" + (f"{subject}/" if subject else "")
    assert owner.get(where).status_code == 404


@pytest.mark.parametrize("number", [0, 999999, 2**31, 2**63, 10**30])
def test_an_unknown_job_is_not_found(owner, number):
    assert owner.get(f"/jobs/{number}/").status_code == 404
    assert owner.post(f"/jobs/{number}/record/price/", {"price_usd": "1"}).status_code == 404


def test_a_row_of_another_job_can_be_answered_by_nobody(office, record):
    mine = lead()
    _, made = rows.job_in_review()
    told = {"on": timezone.localdate(), "answer": "Mine now"}
    assert record(office, mine, "comment-answer", made["comment-answer"], **told).status_code == 404
    assert PlanComment.objects.get().answered_on is None


def refused(response, field=None):
    assert response.status_code == 422
    errors = response.context["form"].errors
    assert (field in errors) if field else errors
    return response.content.decode()


def test_a_mark_before_its_time_says_every_reason_and_keeps_what_was_typed(office, record):
    html = refused(record(office, lead(), "mark", "mounted", on=timezone.localdate(), note="Two crews, 22 modules"))
    assert "Two crews, 22 modules" in html
    assert "kind of system is not decided" in html
    assert "fall protection" in html, "the caution stays in sight"


def test_a_fact_told_twice_is_refused_the_second_time(office, record):
    job = job_at("installation")
    record(office, job, "mark", "equipment_ordered", on=timezone.localdate())
    refused(record(office, job, "mark", "equipment_ordered", on=timezone.localdate()))
    assert job.marks.filter(key="equipment_ordered").count() == 1


def test_resubmitting_with_an_unanswered_comment_is_refused(office, record):
    job = job_at("permits")
    story = submitted(job)
    day = timezone.localdate()
    permits.record_corrections(job=job, kind="building", actor=story.office, on=day, comments=["Show the clearance."])
    typed = {"on": day, "how": "online", "licence": job.permits.get().submissions.get().licence_id}
    html = refused(record(office, job, "permit-submitted", "building", **typed))
    assert "Show the clearance." in html


@pytest.mark.parametrize(
    "typed", ["", "2026-02-31", "tomorrow", "9999-99-99", "0000-00-00", "<script>", "99999-01-01", "1900-01-01"]
)
def test_a_day_that_cannot_be_is_refused_at_its_field(office, record, typed):
    job = job_at("installation")
    refused(record(office, job, "mark", "equipment_ordered", on=typed), "on")
    assert not job.marks.filter(key="equipment_ordered").exists()


def test_a_fact_of_the_future_is_refused(office, record):
    job = job_at("installation")
    tomorrow = timezone.localdate() + timedelta(days=1)
    refused(record(office, job, "mark", "equipment_ordered", on=tomorrow), "on")


@pytest.mark.parametrize("note", ["x" * 2001, "with a \x00 in it"])
def test_a_note_that_cannot_be_kept_is_refused(office, record, note):
    refused(
        record(office, job_at("installation"), "mark", "equipment_ordered", on=timezone.localdate(), note=note), "note"
    )


def test_what_people_type_is_text_on_every_page(owner, record):
    job = job_at("permits", name="<script>alert('n')</script>", street="1 <b>Bold</b> Lane 🌊")
    submitted(job)
    day = timezone.localdate()
    evil = '<script>alert("c")</script><img src=x onerror=alert(1)> 🌊 ' + "W" * 900
    record(owner, job, "permit-corrections", "building", on=day, comments=evil)
    pk = PlanComment.objects.get().pk
    record(owner, job, "comment-answer", pk, answer=evil, on=day)
    record(owner, job, "closed", outcome="lost", reason=evil)
    pages = [
        reverse("job", args=[job.number]),
        reverse("job-journal", args=[job.number]),
        address(job, "comment-answer", str(pk)),
        reverse("jobs") + "?state=all",
    ]
    for page in pages:
        html = owner.get(page).content.decode()
        assert "<script>alert" not in html, page
        assert "<img src=x" not in html, page
        assert "<b>Bold" not in html, page


@pytest.mark.parametrize("price", ["-1", "0", "1e400", "NaN", "Infinity", "12345678901234567890", "abc", "1.005"])
def test_a_price_that_is_none_is_refused(office, record, price):
    job = lead()
    refused(record(office, job, "price", price_usd=price), "price_usd")
    job.refresh_from_db()
    assert job.price_usd is None


@pytest.mark.parametrize(
    ("fact", "typed", "field"),
    [
        ("closed", {"outcome": "won", "reason": "x"}, "outcome"),
        ("closed", {"outcome": "lost", "reason": " "}, "reason"),
        ("assigned", {"person": "999999"}, "person"),
        ("authorities", {"jurisdiction": "x"}, "jurisdiction"),
        ("utility-request", {"text": "", "on": "2026-01-01"}, "text"),
    ],
)
def test_what_is_missing_or_made_up_is_named(office, record, fact, typed, field):
    refused(record(office, lead(), fact, **typed), field)


def test_comments_of_nothing_but_blank_lines_are_none(office, record):
    job = job_at("permits")
    submitted(job)
    refused(record(office, job, "permit-corrections", "building", on=timezone.localdate(), comments=" \n\n "))
    assert not PlanComment.objects.exists()


def test_a_closed_job_takes_no_facts(office, record):
    job = job_at("installation")
    record(office, job, "closed", outcome="cancelled", reason="Sold the house.")
    assert "reopen" in refused(record(office, job, "mark", "equipment_ordered", on=timezone.localdate())).lower()


def test_a_deactivated_person_is_signed_out(office):
    job = lead()
    person = office_person()
    person.is_active = False
    person.save()
    assert office.post(address(job, "price"), {"price_usd": "5"}).status_code == 302
    assert owner_person().is_active
