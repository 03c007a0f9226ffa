"""Beside the steps of a job's page: the paper that goes with a step, and what nobody was asked for."""

from __future__ import annotations

from dataclasses import replace

import pytest
from django.template.loader import render_to_string
from django.urls import reverse
from django.utils import timezone

from projects.actions import office as desk
from projects.models import Design, Job, PaperIssue
from projects.route.requirements import REQUIREMENTS
from projects.screens.office.beside_steps import PAPER_OF_STEP, paper_of_step
from projects.screens.office.papers import PAPERS
from tests.actions.money import PRICE, invoice, parts, priced
from tests.factories import JurisdictionFactory, UtilityFactory, job_at, lead, office_person

pytestmark = pytest.mark.django_db


def shown(client, job) -> dict:
    answer = client.get(reverse("job", args=[job.number]))
    assert answer.status_code == 200
    return answer.context


def papers_beside(context) -> dict[str, list[str]]:
    return {step.requirement.key: [act.paper for act in step.more if act.paper] for step in context["steps"]}


def went_out(job: Job, kind: str, design: Design) -> None:
    PaperIssue.objects.create(
        job=job,
        kind=kind,
        number=f"{job.label}-X-1",
        on=timezone.localdate(),
        issued_by=office_person(),
        design_fingerprint=design.fingerprint,
    )


def test_a_permit_to_submit_has_its_packet_beside_it_until_that_is_out(office):
    job = job_at("permits")
    beside = papers_beside(shown(office, job))
    assert beside["permit_building_submitted"] == ["building_packet"]
    assert beside["permit_electrical_submitted"] == ["electrical_packet"]
    design = job.designs.latest("revision")
    went_out(job, "building_packet", design)
    beside = papers_beside(shown(office, job))
    assert beside["permit_building_submitted"] == []
    assert beside["permit_electrical_submitted"] == ["electrical_packet"]
    job.paper_issues.filter(kind="building_packet").update(design_fingerprint="f" * 64)
    assert papers_beside(shown(office, job))["permit_building_submitted"] == ["building_packet"]


def test_the_crew_is_not_offered_papers_that_the_office_issues(crew):
    assert not any(papers_beside(shown(crew, job_at("permits"))).values())


def test_a_combined_permit_has_one_packet_and_every_step_named_here_is_on_the_route():
    job = Job(system_kind="hybrid", jurisdiction=JurisdictionFactory(combined_permit=True))
    assert paper_of_step("permit_combined_submitted", "combined", job)[0] == "permit_packet"
    assert paper_of_step("permit_building_issued", "building", job)[0] == ""
    assert set(PAPER_OF_STEP) <= {requirement.key for requirement in REQUIREMENTS}
    assert {kind for kind, _ in PAPER_OF_STEP.values()} <= set(PAPERS)


def test_a_job_without_its_utility_says_so_until_it_is_named(office):
    job = job_at("site_assessment")
    Job.objects.filter(pk=job.pk).update(utility=None, jurisdiction=None)
    job.refresh_from_db()
    [(words, act)] = shown(office, job)["not_told"]
    assert (
        words.startswith("No jurisdiction and no utility is named")
        and words.endswith("they ask for.")
        and "authorities" in act.address
    )
    desk.set_authorities(job=job, actor=office_person(), jurisdiction=JurisdictionFactory(), utility=UtilityFactory())
    assert shown(office, job)["not_told"] == []


def test_off_the_grid_no_utility_is_missed(office):
    job = job_at("engineering", "off_grid")
    Job.objects.filter(pk=job.pk).update(utility=None)
    assert shown(office, job)["not_told"] == []


def test_a_signed_contract_without_a_price_is_told_to_the_office_alone(office, crew):
    job = job_at("permits")
    Job.objects.filter(pk=job.pk).update(price_usd=None)
    [(words, act)] = shown(office, job)["not_told"]
    assert "no price is set" in words and act.address == reverse("record", args=[job.number, "price"])
    assert shown(crew, job)["not_told"] == []
    assert "no price is set" not in str(shown(office, lead())["not_told"])


def test_what_is_not_invoiced_when_no_step_is_left_is_told_with_its_sum(office, crew):
    job = priced("done")
    [(words, act)] = shown(office, job)["not_told"]
    due = [part for part in parts(job) if part.state == "due"]
    assert due and sum(part.amount_usd for part in due) == PRICE
    assert all(f"{part.title}, ${part.amount_usd:,.2f}" in words for part in due)
    assert act.address == reverse("job-money", args=[job.number])
    assert shown(crew, job)["not_told"] == []
    for part in due:
        invoice(job, part.order)
    assert shown(office, job)["not_told"] == []


def test_what_somebody_typed_with_a_full_stop_gets_no_second_one(office):
    step = shown(office, job_at("permits"))["steps"][0]
    typed = replace(step, requirement=replace(step.requirement, detail="the last two pay slips."))
    words = render_to_string("office/step.html", {"step": typed})
    assert "The last two pay slips. With" in words
