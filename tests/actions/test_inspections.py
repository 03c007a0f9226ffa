"""Inspections: booked when the work is done, corrected, booked again, passed; and never before the permits."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from django.utils import timezone

from projects.actions import design, inspections
from projects.actions.problems import NotAllowed, Problems
from projects.actions.standing import standing_of
from projects.models import Job
from tests.factories import JurisdictionFactory, crew_person, job_at, office_person

pytestmark = pytest.mark.django_db


@pytest.fixture
def job() -> Job:
    return job_at("inspection")


def today() -> date:
    return timezone.localdate()


def book(job: Job, kind: str = "final", on: date | None = None):
    return inspections.book_inspection(job=job, kind=kind, actor=office_person(), on=on or today())


def result(booked, outcome: str, corrections=(), on: date | None = None, **more):
    return inspections.record_inspection(
        inspection=booked, actor=office_person(), result=outcome, on=on or today(), corrections=corrections, **more
    )


def test_booked_ahead_and_due_on_its_day(job: Job) -> None:
    book(job, on=today() + timedelta(days=6))
    passing = next(r for r in standing_of(job).requirements if r.key == "final_passed")
    assert (passing.state, passing.due_on) == ("open", today() + timedelta(days=6))
    with pytest.raises(Problems, match="Booked already"):
        book(job)


def test_not_before_the_work_is_done() -> None:
    job = job_at("installation")
    with pytest.raises(Problems) as told:
        book(job)
    assert len(list(told.value)) >= 4
    assert not job.inspections.exists()


def test_no_rough_in_where_nobody_asks_for_one(job: Job) -> None:
    with pytest.raises(Problems, match="not part"):
        book(job, "rough_in")
    with pytest.raises(Problems):
        book(job, "haunting")


def test_corrections_are_fixed_before_the_next_one_is_booked(job: Job) -> None:
    booked = book(job, on=today() - timedelta(days=2))
    result(booked, "corrections", ["Label.", "", "Torque."], on=today() - timedelta(days=2), inspector="B. Ames")
    job.refresh_from_db()
    first, second = booked.corrections.all()
    assert job.next_key == "final_corrections"
    with pytest.raises(Problems):
        book(job)
    fixed = {"actor": crew_person(), "on": today() - timedelta(days=1)}
    inspections.fix_correction(correction=first, **fixed)
    with pytest.raises(Problems, match="Already fixed"):
        inspections.fix_correction(correction=first, **fixed)
    with pytest.raises(Problems):
        inspections.fix_correction(correction=second, actor=crew_person(), on=today() - timedelta(days=3))
    inspections.fix_correction(correction=second, note="12 Nm.", **fixed)
    again = book(job)
    result(again, "passed")
    job.refresh_from_db()
    assert job.stage == "interconnection"


def test_a_result_needs_sense(job: Job) -> None:
    booked = book(job)
    for outcome, corrections, on in (
        ("corrections", [], today()),
        ("passed", ["But the label."], today()),
        ("maybe", [], today()),
        ("passed", [], today() + timedelta(days=1)),
        ("passed", [], today() - timedelta(days=110)),
    ):
        with pytest.raises(Problems):
            result(booked, outcome, corrections, on)
    booked.refresh_from_db()
    assert booked.result == "booked"
    result(booked, "passed")
    with pytest.raises(Problems, match="has its result already"):
        result(booked, "corrections", ["Late thought."])


def test_the_crew_records_no_results(job: Job) -> None:
    booked = book(job)
    with pytest.raises(NotAllowed):
        inspections.record_inspection(inspection=booked, actor=crew_person(), result="passed", on=today())


def test_a_cancelled_inspection_can_be_booked_again(job: Job) -> None:
    booked = book(job)
    with pytest.raises(Problems):
        inspections.cancel_inspection(inspection=booked, actor=office_person(), reason="")
    inspections.cancel_inspection(inspection=booked, actor=office_person(), reason="Storm.")
    with pytest.raises(Problems):
        inspections.cancel_inspection(inspection=booked, actor=office_person(), reason="Again.")
    assert book(job).pk != booked.pk


def test_a_changed_design_neither_books_nor_passes(job: Job) -> None:
    booked = book(job)
    design.save_design(job=job, actor=office_person(), plane_modules=[{"plane": "South roof", "modules": 15}])
    with pytest.raises(Problems, match="another design"):
        result(booked, "passed")
    result(booked, "corrections", ["One module is missing."])


def test_a_passed_final_is_not_booked_again(job: Job) -> None:
    result(book(job), "passed")
    job.refresh_from_db()
    with pytest.raises(Problems):
        book(job)
    assert {r.key: r.state for r in standing_of(job).requirements}["final_passed"] == "met"


def test_a_rough_in_where_the_profile_asks_comes_before_the_final() -> None:
    job = job_at("inspection", jurisdiction=JurisdictionFactory(rough_in_inspection=True))
    assert list(job.inspections.values_list("kind", "result")) == [("rough_in", "passed")]


def test_an_exempt_job_is_checked_by_the_electrician_alone() -> None:
    job = job_at(
        "inspection",
        "off_grid",
        jurisdiction=JurisdictionFactory(off_grid_exempt=True, off_grid_exemption_rule="Ordinance 3"),
    )
    with pytest.raises(Problems, match="not part"):
        book(job)
    assert job.next_key == "final_check"
