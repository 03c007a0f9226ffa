"""The job page: what each audience finds on it, at every stage, for every kind of system."""

from __future__ import annotations

import re
from datetime import timedelta
from decimal import Decimal

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone

from projects.actions import change_orders, closing, permits, waivers
from projects.actions import office as desk
from projects.models import Evidence, PlanComment
from projects.route.requirements import MARK_OF_REQUIREMENT, REQUIREMENTS
from projects.route.stages import STAGE_KEYS
from projects.screens.office.facts import FACTS
from projects.screens.office.papers import PAPERS
from projects.screens.office.steps import RECORDED_BY
from projects.screens.tasks import TASKS
from tests.factories import (
    JurisdictionFactory,
    Story,
    UtilityFactory,
    crew_person,
    job_at,
    lead,
    office_person,
    owner_person,
)

pytestmark = pytest.mark.django_db


def page(client, job):
    response = client.get(reverse("job", args=[job.number]))
    assert response.status_code == 200
    return response


def html_of(client, job) -> str:
    return page(client, job).content.decode()


def in_review(**changes):
    """Both permits went in five days ago."""
    job = job_at("permits", **changes)
    story = Story(job, "hybrid")
    story.day = timezone.localdate() - timedelta(days=6)
    story.submit("building")
    story.day = timezone.localdate() - timedelta(days=6)
    story.submit("electrical")
    job.refresh_from_db()
    return job


def test_the_head_says_who_where_what_and_whom_the_job_waits_on(office):
    job = in_review(
        name="Kari Halvorsen", street="41 Cormorant Lane", jurisdiction=JurisdictionFactory(name="Marrow Bay")
    )
    html = html_of(office, job)
    assert "<h1>Kari Halvorsen, 41 Cormorant Lane</h1>" in html
    assert "Hybrid, 6.4 kW array and 27 kWh battery. Runs refrigerator, lights and well pump" in html
    assert re.search(r"in plan review", html)
    assert html.count("<svg") > 10


def test_each_next_step_has_its_task_its_party_and_its_button(office):
    job = lead(days_ago=3)
    html = html_of(office, job)
    assert "Decide the kind of system" in html
    assert "With the office" in html
    assert "2 days late" in html
    assert reverse("job-kind", args=[job.number]) in html


def test_the_reviewers_words_stand_in_the_step_that_answers_them(office):
    job = in_review()
    day = timezone.localdate()
    permits.record_corrections(job=job, kind="building", actor=office_person(), on=day, comments=["Show X.", "Show Y."])
    first = PlanComment.objects.first()
    steps = page(office, job).context["steps"]
    [step] = [step for step in steps if step.requirement.key == "permit_building_corrections"]
    assert step.words == "Show X."
    assert step.act.address.endswith(f"/comment-answer/{first.pk}/")
    permits.answer_comment(comment=first, actor=office_person(), answer="Done.", on=day)
    permits.answer_comment(comment=PlanComment.objects.last(), actor=office_person(), answer="Done.", on=day)
    steps = page(office, job).context["steps"]
    [step] = [step for step in steps if step.requirement.key == "permit_building_corrections"]
    assert step.act.label == "Resubmit"


def test_the_title_block_has_number_system_design_licences_and_price(office):
    job = in_review()
    desk.set_price(job=job, actor=office_person(), price_usd=Decimal("38420"))
    block = {name: words for name, words, _ in page(office, job).context["title_block"]}
    assert block["job"] == job.label
    assert block["system"] == "Hybrid"
    assert block["design"] == "rev A, as submitted"
    assert block["building licence"].startswith("valid to ")
    assert block["electrical licence"].startswith("valid to ")
    assert block["price"] == "$38,420"


def test_before_a_design_the_page_shows_what_the_household_asked_for(office):
    html = html_of(office, lead())
    assert "No design yet" in html
    assert "9,600 kWh" in html
    assert "Keep the lights on in an outage" in html


def test_with_a_study_the_page_shows_its_figures(office):
    html = html_of(office, job_at("permits"))
    for words in ("16 × 400 W", "V of 600 V allowed", "Made in a typical year", "Design checks"):
        assert words in html


@pytest.mark.parametrize("kind", ["hybrid", "grid_tied", "off_grid"])
def test_the_page_stands_at_every_stage(office, owner, crew, kind):
    profile = {"fire_review": True, "rough_in_inspection": True, "structural_letter": True}
    story = Story(
        lead(kind, jurisdiction=JurisdictionFactory(**profile), utility=UtilityFactory(witness_test=True)), kind
    )
    for stage in STAGE_KEYS:
        for client in (office, owner, crew):
            response = page(client, story.job)
            for step in response.context["steps"]:
                theirs = step.requirement.party in ("jurisdiction", "utility") and not step.requirement.branch
                assert step.act or client is crew or step.requirement.hold or theirs, step.requirement.key
        getattr(story, stage)()
    assert "In service" in html_of(office, story.job)


def test_an_off_grid_job_has_no_utility(office):
    response = page(office, job_at("permits", "off_grid"))
    assert response.context["utility"] is None
    assert "Ready to operate" in response.content.decode()


def test_a_closed_job_says_how_it_ended_and_offers_no_facts(office):
    job = lead()
    closing.close_job(job=job, actor=office_person(), outcome="lost", reason="Went for a generator.")
    html = html_of(office, job)
    assert "Went for a generator." in html
    assert "/record/mark/" not in html
    assert reverse("record", args=[job.number, "reopened"]) in html


def test_a_waived_requirement_says_so(office):
    job = lead()
    waivers.waive(job=job, key="first_look", actor=owner_person(), reason="They know us.")
    assert "<b>Waived</b>" in html_of(office, job)


def test_only_the_owner_sees_the_waivers_button(office, owner):
    job = lead()
    assert "/record/waive/" not in html_of(office, job)
    assert "/record/waive/first_look/" in html_of(owner, job)


def test_the_crew_sees_the_job_but_neither_price_nor_link_nor_the_offices_buttons(crew):
    job = in_review()
    desk.set_price(job=job, actor=office_person(), price_usd=Decimal("38420"))
    html = html_of(crew, job)
    assert "38,420" not in html
    assert "38420" not in html
    for fact in ("price", "customer-link", "closed", "permit-issued", "assigned", "waive"):
        assert f"/record/{fact}/" not in html, fact
    assert "Price set" not in html
    assert "Price set" not in crew.get(reverse("job-journal", args=[job.number])).content.decode()


def test_nothing_on_the_page_needs_inline_script_or_style(office):
    for address in (reverse("job", args=[in_review().number]), reverse("jobs")):
        html = office.get(address).content.decode()
        assert " style=" not in html
        assert "<style" not in html
        assert not re.search(r"\son[a-z]+=", html)
        assert not re.search(r"<script(?![^>]*\bsrc=)", html)


def queries_of(client, job) -> int:
    page(client, job)
    with CaptureQueriesContext(connection) as captured:
        page(client, job)
    return len(captured)


def test_the_number_of_queries_does_not_grow_with_the_jobs_history(office):
    job = in_review()
    day = timezone.localdate()
    permits.record_corrections(job=job, kind="building", actor=office_person(), on=day, comments=["One."])
    comment = PlanComment.objects.get()
    permits.answer_comment(comment=comment, actor=office_person(), answer="So.", on=day)
    desk.set_price(job=job, actor=office_person(), price_usd=Decimal(38420))
    few = queries_of(office, job)
    submission = comment.submission
    PlanComment.objects.bulk_create(
        PlanComment(submission=submission, text=f"Comment {n}", answer="So", answered_on=day, answered_by=crew_person())
        for n in range(30)
    )
    Evidence.objects.bulk_create(
        Evidence(job=job, kind="roof", file=f"jobs/x/{n}.jpg", sha256=str(n), added_by=crew_person()) for n in range(30)
    )
    for n in range(12):
        told = {"actor": office_person(), "on": day, "reason": f"Change {n}", "amount_usd": Decimal(1000 + n)}
        change_orders.propose_change(job=job, **told)
    assert queries_of(office, job) == few
    assert few <= 50


@pytest.mark.speed
def test_the_page_takes_under_50_ms(office, server_time_s):
    assert server_time_s(office, reverse("job", args=[in_review().number])) < 0.050


def test_the_papers_say_what_went_out_and_what_shows_an_earlier_design(office, crew):
    job = job_at("permits")
    lines = {line.title: line for line in page(office, job).context["papers"]}
    # Two permits, two packets: all kinds but the combined one, in the order in which a job needs them.
    assert list(lines) == [title for kind, title in PAPERS.items() if kind != "permit_packet"]
    assert lines["Single-line diagram"].latest is not None
    assert lines["Single-line diagram"].issue.label == "Issue again"
    assert lines["Customer checklist"].issue.label == "Issue"
    assert not any(line.outdated for line in lines.values())
    assert all(line.issue is None for line in page(crew, job).context["papers"])
    job.paper_issues.filter(kind="single_line").update(design_fingerprint="another")
    lines = {line.title: line for line in page(office, job).context["papers"]}
    assert lines["Single-line diagram"].outdated
    assert "Shows an earlier design" in html_of(office, job)


def test_the_route_tells_who_recorded_a_fact_and_why_one_was_waived(office):
    job = job_at("installation")
    waivers.waive(job=job, key="equipment_ordered", actor=owner_person(), reason="It stands in our depot.")
    html = html_of(office, job)
    assert owner_person().name in html
    assert "“It stands in our depot.”" in html


def test_every_requirement_has_a_task_and_a_place_to_record_it():
    for requirement in REQUIREMENTS:
        assert requirement.key in TASKS, requirement.key
        assert (
            requirement.key in MARK_OF_REQUIREMENT
            or requirement.key in RECORDED_BY
            or requirement.key.startswith(f"permit_{requirement.branch}_")
            or requirement.key == "permits_hold"
        ), requirement.key
    beside_the_route = {"look_again", "customer_picture"}  # steps of a paused job, and of what a customer sends
    assert set(TASKS) - {requirement.key for requirement in REQUIREMENTS} == beside_the_route


def test_every_form_that_a_step_names_exists():
    assert all(form.fact == fact for fact, form in FACTS.items())
    assert len(FACTS) >= 30


def test_the_journal_is_paged_and_tells_who_and_when(office):
    job = lead()
    for n in range(60):
        desk.set_price(job=job, actor=office_person(), price_usd=Decimal(1000 + n))
    first = office.get(reverse("job-journal", args=[job.number]))
    assert len(first.context["lines"]) == 50
    html = first.content.decode()
    assert "Price set: $1,059" in html or "Price set: $1059" in html
    assert office_person().name in html
    last = office.get(reverse("job-journal", args=[job.number]), {"page": 2}).content.decode()
    assert "Lead received" in last
    assert office.get(reverse("job-journal", args=[job.number]), {"page": "x"}).status_code == 200
    assert office.get("/jobs/999999/journal/").status_code == 404
