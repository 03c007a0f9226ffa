"""Plain facts: recorded by whom the route allows, when it allows, and taken back with a reason."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.utils import timezone

from projects.actions import installing, intake, marks, waivers
from projects.actions.problems import NotAllowed, Problems
from projects.actions.standing import standing_of
from projects.models import JobMark
from projects.route.marks import MARKS
from projects.route.requirements import MARK_OF_REQUIREMENT
from tests.factories import Story, crew_person, job_at, lead, office_person, owner_person

pytestmark = pytest.mark.django_db


def waiting_for_go_ahead():
    job = lead()
    intake.decide_system_type(job=job, kind="hybrid", actor=office_person())
    Story(job, "hybrid").paper("first_look")
    return job


def record(job, key="go_ahead", on=None, actor=None, **more):
    return marks.record_mark(job=job, key=key, on=on or timezone.localdate(), actor=actor or office_person(), **more)


def test_a_mark_moves_the_job_on() -> None:
    job = waiting_for_go_ahead()
    record(job, note="By phone.")
    assert job.stage == "site_assessment"
    assert job.stage_since == timezone.localdate()
    assert job.journal.last().kind == "mark_recorded"
    assert "By phone" not in str(job.journal.last().data)


def test_twice_is_once_too_often() -> None:
    job = waiting_for_go_ahead()
    record(job)
    with pytest.raises(Problems, match="Already recorded"):
        record(job)
    assert JobMark.objects.filter(job=job).count() == 1


def test_what_must_come_first_is_listed() -> None:
    job = lead()
    with pytest.raises(Problems) as told:
        record(job, "contract_signed")
    assert any("go-ahead" in problem.message for problem in told.value)


@pytest.mark.parametrize("days", [1, -400])
def test_a_day_ahead_or_before_the_lead_is_refused(days: int) -> None:
    with pytest.raises(Problems) as told:
        record(waiting_for_go_ahead(), on=timezone.localdate() + timedelta(days=days))
    assert [problem.field for problem in told.value] == ["on"]


def test_a_day_before_the_fact_it_follows_is_refused() -> None:
    job = job_at("installation")
    ordered = timezone.localdate() - timedelta(days=5)
    record(job, "equipment_ordered", on=ordered)
    with pytest.raises(Problems) as told:
        record(job, "equipment_received", on=ordered - timedelta(days=1))
    assert [problem.field for problem in told.value] == ["on"]
    record(job, "equipment_received", on=ordered)


def test_a_fact_that_is_not_part_of_the_route_is_refused() -> None:
    job = job_at("permits")
    with pytest.raises(Problems, match="not part of this job's route"):
        record(job, "loan_approved")
    with pytest.raises(Problems, match="no such fact"):
        record(job, "moon_landing")


def test_the_office_marks_what_is_the_offices() -> None:
    job = waiting_for_go_ahead()
    with pytest.raises(NotAllowed):
        record(job, actor=crew_person())
    assert job.stage == "lead"


def test_the_crew_marks_its_own_work() -> None:
    job = job_at("installation")
    record(job, "equipment_ordered")
    record(job, "equipment_received")
    installing.book_installation(job=job, actor=office_person(), on=timezone.localdate())
    record(job, "install_started", actor=crew_person())
    assert job.crew_steps >= 2


@pytest.mark.parametrize("key", ["install_started", "mounted", "wired", "labels", "commissioning_tests"])
@pytest.mark.parametrize("kind", ["grid_tied", "hybrid", "off_grid"])
def test_nobody_installs_before_the_permits(key: str, kind: str) -> None:
    job = job_at("permits", kind)
    for actor in (crew_person(), office_person(), owner_person()):
        with pytest.raises(Problems, match="permit is not issued"):
            record(job, key, actor=actor)
    assert not JobMark.objects.filter(job=job, key=key).exists()


@pytest.mark.parametrize(
    ("stage", "kind"), [("inspection", "off_grid"), ("inspection", "hybrid"), ("operation", "hybrid")]
)
def test_nobody_switches_on_before_inspection_and_permission(stage: str, kind: str) -> None:
    job = job_at(stage, kind)
    with pytest.raises(Problems, match="has not"):
        record(job, "switched_on", actor=owner_person())
    assert job.marks.filter(key="switched_on").count() == 0


def test_a_mark_is_taken_back_with_a_reason_and_the_row_stays() -> None:
    job = waiting_for_go_ahead()
    record(job)
    with pytest.raises(Problems) as told:
        marks.withdraw_mark(job=job, key="go_ahead", actor=office_person(), reason=" ")
    assert [problem.field for problem in told.value] == ["reason"]
    marks.withdraw_mark(job=job, key="go_ahead", actor=office_person(), reason="Another family.")
    assert job.stage == "lead"
    assert JobMark.objects.get(job=job).withdrawn_reason == "Another family."
    with pytest.raises(Problems):
        marks.withdraw_mark(job=job, key="go_ahead", actor=office_person(), reason="Again.")
    record(job)
    assert job.stage == "site_assessment"


def test_the_crew_takes_back_only_what_it_may_record() -> None:
    job = waiting_for_go_ahead()
    record(job)
    with pytest.raises(NotAllowed):
        marks.withdraw_mark(job=job, key="go_ahead", actor=crew_person(), reason="No.")


def test_every_mark_belongs_to_a_requirement() -> None:
    assert set(MARK_OF_REQUIREMENT.values()) == set(MARKS)


def test_a_waived_requirement_can_still_be_met_for_real() -> None:
    job = job_at("permits")
    marks.withdraw_mark(job=job, key="contractor_review", actor=office_person(), reason="Mistake.")
    waivers.waive(job=job, key="contractor_review", actor=owner_person(), reason="She holds the licence.")
    record(job, "contractor_review")
    states = {r.key: r.state for r in standing_of(job).requirements}
    assert states["contractor_review"] == "met"
