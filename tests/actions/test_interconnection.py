"""The utility's side: each fact once, in order, and permission only after the final inspection."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from django.utils import timezone

from projects.actions import interconnection
from projects.actions.problems import Problems
from projects.models import Job
from tests.factories import job_at, office_person

pytestmark = pytest.mark.django_db


def today() -> date:
    return timezone.localdate()


def told(job: Job, on: date | None = None) -> dict:
    return {"job": job, "actor": office_person(), "on": on or today()}


def test_the_application_goes_in_beside_the_permits() -> None:
    job = job_at("permits")
    row = interconnection.submit_application(**told(job), number="IX-9")
    assert (row.number, row.design_fingerprint) == ("IX-9", job.designs.latest("revision").fingerprint)
    with pytest.raises(Problems, match="Already recorded"):
        interconnection.submit_application(**told(job))


def test_not_before_contract_and_single_line() -> None:
    job = job_at("engineering")
    with pytest.raises(Problems) as problems:
        interconnection.submit_application(**told(job))
    assert len(list(problems.value)) == 2


def test_every_step_waits_for_the_one_before() -> None:
    job = job_at("interconnection")
    steps = (
        interconnection.approve_interconnection,
        interconnection.sign_agreement,
        interconnection.send_inspection,
        interconnection.set_meter,
        interconnection.grant_permission,
    )
    for step in steps:
        with pytest.raises(Problems):
            step(**told(job))
    interconnection.submit_application(**told(job))
    for step in steps:
        step(**told(job))
        with pytest.raises(Problems):
            step(**told(job))
    job.refresh_from_db()
    assert job.next_key == "switched_on"


def test_no_witness_where_the_utility_wants_none() -> None:
    with pytest.raises(Problems, match="not part"):
        interconnection.pass_witness_test(**told(job_at("interconnection")))


def test_permission_never_before_the_final_inspection() -> None:
    job = job_at("inspection")
    interconnection.submit_application(**told(job))
    interconnection.approve_interconnection(**told(job))
    interconnection.sign_agreement(**told(job))
    with pytest.raises(Problems) as problems:
        interconnection.grant_permission(**told(job))
    assert any("final inspection" in p.message for p in problems.value)
    with pytest.raises(Problems):
        interconnection.send_inspection(**told(job))


def test_an_open_request_holds_the_approval() -> None:
    job = job_at("permits")
    with pytest.raises(Problems):
        interconnection.record_utility_request(**told(job), text="Which meter?")
    interconnection.submit_application(**told(job))
    with pytest.raises(Problems):
        interconnection.record_utility_request(**told(job), text=" ")
    asked = interconnection.record_utility_request(**told(job), text="Which meter?")
    with pytest.raises(Problems):
        interconnection.approve_interconnection(**told(job))
    answer = {"request": asked, "actor": office_person()}
    with pytest.raises(Problems):
        interconnection.answer_utility_request(**answer, on=today() - timedelta(days=1), answer="Left.")
    interconnection.answer_utility_request(**answer, on=today(), answer="Left.")
    with pytest.raises(Problems):
        interconnection.answer_utility_request(**answer, on=today(), answer="Right.")
    interconnection.approve_interconnection(**told(job))


def test_off_grid_has_no_utility() -> None:
    with pytest.raises(Problems, match="not part"):
        interconnection.submit_application(**told(job_at("permits", "off_grid")))


def test_approved_before_it_was_submitted_is_refused() -> None:
    job = job_at("permits")
    interconnection.submit_application(**told(job))
    with pytest.raises(Problems) as problems:
        interconnection.approve_interconnection(**told(job, today() - timedelta(days=1)))
    assert [p.field for p in problems.value] == ["on"]
