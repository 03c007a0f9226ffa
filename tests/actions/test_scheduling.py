"""Appointments: set, moved, called off, taken back; what may be booked and what only planned."""

from __future__ import annotations

from datetime import date, time, timedelta

import pytest
from django.utils import timezone

from projects.actions import crews, inspections, installing, scheduling, site
from projects.actions.engagements import current, engagements
from projects.actions.journal import sentence
from projects.actions.problems import NotAllowed, Problems
from projects.models import Crew, Inspection, Job
from tests.factories import JurisdictionFactory, crew_person, job_at, lead, office_person

pytestmark = pytest.mark.django_db


def monday(weeks: int = 2) -> date:
    today = timezone.localdate()
    return today + timedelta(days=7 * weeks - today.weekday())


@pytest.fixture
def north() -> Crew:
    return crews.save_crew(actor=office_person(), name="North", members=[crew_person()], jobs_per_day=1)


def book(job: Job, kind: str, on: date, **more) -> bool:
    return scheduling.schedule(job=job, kind=kind, actor=office_person(), on=on, **{"despite": True, **more})


def fields(problems: Problems) -> set[str]:
    return {problem.field for problem in problems}


def test_a_visit_is_booked_with_crew_and_hour(north: Crew) -> None:
    job = job_at("site_assessment")
    on = monday()
    assert book(job, "site_visit", on, crew=north, starts_at=time(9, 30))
    job.refresh_from_db()
    assert job.visit_on == on
    found = current(job)["site_visit"]
    assert (found.crew, found.starts_at, found.planned, found.days) == (north, time(9, 30), False, (on,))
    said = sentence(job.journal.latest("id"))
    assert said.startswith("Site visit booked for ")
    assert "North; at 09:30" in said


def test_an_installation_before_its_permits_is_only_planned(north: Crew) -> None:
    job = job_at("permits")
    on = monday(6)
    assert book(job, "installation", on, crew=north, days=3) is False
    job.refresh_from_db()
    assert job.install_on is None
    found = current(job)["installation"]
    assert found.planned
    assert found.days == (on, on + timedelta(days=1), on + timedelta(days=2))
    assert job.journal.latest("id").kind == "appointment_planned"
    with pytest.raises(Problems):
        installing.book_installation(job=job, actor=office_person(), on=on)


def test_once_the_permits_are_issued_the_planned_day_can_be_booked(north: Crew) -> None:
    job = job_at("installation", "grid_tied")
    on = monday()
    Job.objects.filter(pk=job.pk).update(install_on=None)
    job.appointments.update_or_create(kind="installation", defaults={"planned_on": on, "crew": north, "days": 2})
    job.refresh_from_db()
    assert book(job, "installation", on, crew=north, days=2)
    job.refresh_from_db()
    assert job.install_on == on
    assert job.appointments.get(kind="installation").planned_on is None


def test_clashes_stop_a_booking_until_somebody_goes_on_in_spite_of_them(north: Crew) -> None:
    first, second = job_at("site_assessment"), job_at("site_assessment")
    saturday = monday() + timedelta(days=5)
    with pytest.raises(Problems, match="doesn't work on Saturdays") as caught:
        book(first, "site_visit", saturday, crew=north, despite=False)
    assert fields(caught.value) == {"crew"}
    book(first, "site_visit", saturday, crew=north)
    kept = first.journal.latest("id").data["despite"]
    assert any("Saturdays" in line for line in kept)
    with pytest.raises(Problems, match=f"full on .*1 of 1 job taken|job {first.label}"):
        book(second, "site_visit", saturday, crew=north, despite=False)


def test_a_holiday_of_the_jurisdiction_is_a_clash() -> None:
    town = JurisdictionFactory()
    on = monday(3) + timedelta(days=2)
    town.closures.create(on=on, reason="Staff training")
    job = job_at("site_assessment", jurisdiction=town)
    with pytest.raises(Problems, match=f"holiday, by the calendar of {town.name}"):
        book(job, "site_visit", on, despite=False)


def test_moving_needs_a_reason_and_the_journal_tells_where_it_was() -> None:
    job = job_at("site_assessment")
    book(job, "site_visit", monday())
    with pytest.raises(Problems) as caught:
        book(job, "site_visit", monday(3))
    assert fields(caught.value) == {"reason"}
    book(job, "site_visit", monday(3), reason="Storm warning.")
    said = sentence(job.journal.latest("id"))
    assert "was " in said
    assert "Storm warning." in said


def test_setting_the_same_again_writes_nothing() -> None:
    job = job_at("site_assessment")
    book(job, "site_visit", monday())
    rows = job.journal.count()
    book(job, "site_visit", monday())
    assert job.journal.count() == rows


def test_a_crew_alone_is_arranged_without_a_reason(north: Crew) -> None:
    job = job_at("site_assessment")
    book(job, "site_visit", monday())
    book(job, "site_visit", monday(), crew=north)
    assert job.journal.latest("id").kind == "appointment_set"


def test_calling_off_opens_the_requirement_again_and_undo_brings_it_back(north: Crew) -> None:
    job = job_at("site_assessment")
    book(job, "site_visit", monday(), crew=north, starts_at=time(8))
    assert job.next_key != "visit_booked"
    scheduling.cancel(job=job, kind="site_visit", actor=office_person(), reason="They are away.")
    job.refresh_from_db()
    assert (job.visit_on, job.next_key) == (None, "visit_booked")
    entry = scheduling.last_change(job, "site_visit")
    scheduling.undo(job=job, entry=entry, actor=office_person())
    job.refresh_from_db()
    assert job.visit_on == monday()
    assert current(job)["site_visit"].crew == north
    assert "again" in sentence(job.journal.latest("id"))


def test_undo_is_for_the_last_change_alone() -> None:
    job = job_at("site_assessment")
    book(job, "site_visit", monday())
    entry = scheduling.last_change(job, "site_visit")
    site.book_visit(job=job, actor=office_person(), on=monday(3))
    with pytest.raises(Problems, match="changed since"):
        scheduling.undo(job=job, entry=entry, actor=office_person())
    other = lead()
    with pytest.raises(Problems, match="no change of an appointment"):
        scheduling.undo(job=other, entry=entry, actor=office_person())


def test_undoing_a_first_booking_leaves_no_day() -> None:
    job = job_at("inspection", "grid_tied")
    book(job, "final", monday())
    assert job.inspections.get().result == Inspection.Result.BOOKED
    scheduling.undo(job=job, entry=scheduling.last_change(job, "final"), actor=office_person())
    assert job.inspections.get().result == Inspection.Result.CANCELLED
    assert current(job) == {key: row for key, row in current(job).items() if key != "final"}


def test_an_inspection_is_moved_and_not_doubled() -> None:
    job = job_at("inspection", "grid_tied")
    booked = inspections.book_inspection(job=job, kind="final", actor=office_person(), on=monday())
    book(job, "final", monday() + timedelta(days=1), reason="Inspector is ill.")
    assert job.inspections.get().pk == booked.pk
    assert job.inspections.get().booked_for == monday() + timedelta(days=1)
    days = [row for row in engagements(monday(), monday() + timedelta(days=6)) if row.kind == "final"]
    assert len(days) == 1


@pytest.mark.parametrize(("kind", "words"), [("rough_in", "has no rough-in inspection"), ("lunch", "Choose what")])
def test_what_this_route_has_not_is_refused(kind: str, words: str) -> None:
    with pytest.raises(Problems, match=words):
        book(job_at("site_assessment"), kind, monday())


def test_only_an_installation_takes_more_days() -> None:
    with pytest.raises(Problems) as caught:
        book(job_at("site_assessment"), "site_visit", monday(), days=2)
    assert fields(caught.value) == {"days"}


def test_an_installation_under_way_stays_where_it_is() -> None:
    job = job_at("inspection", "grid_tied")
    with pytest.raises(Problems, match="started already"):
        book(job, "installation", monday(), reason="Why not.")
    with pytest.raises(Problems, match="started already"):
        scheduling.cancel(job=job, kind="installation", actor=office_person(), reason="Why not.")


def test_the_crew_sets_no_days() -> None:
    with pytest.raises(NotAllowed):
        scheduling.schedule(job=job_at("site_assessment"), kind="site_visit", actor=crew_person(), on=monday())


def test_nothing_to_call_off() -> None:
    with pytest.raises(Problems, match="no day set"):
        scheduling.cancel(job=job_at("permits"), kind="installation", actor=office_person(), reason="Rain.")


def test_reading_a_month_takes_the_same_queries_for_one_job_and_for_many(
    north: Crew, django_assert_max_num_queries
) -> None:
    for _ in range(3):
        book(job_at("site_assessment"), "site_visit", monday(), crew=north)
    with django_assert_max_num_queries(10):
        assert len(engagements(monday(), monday() + timedelta(days=30))) == 3


def test_a_crew_keeps_its_rules() -> None:
    clerk = office_person()
    crews.save_crew(actor=clerk, name="North")
    with pytest.raises(Problems) as caught:
        crews.save_crew(actor=clerk, name=" north ", working_days="", jobs_per_day=0)
    assert fields(caught.value) == {"name", "working_days", "jobs_per_day"}
    crew = Crew.objects.get()
    off = crews.add_day_off(actor=clerk, crew=crew, on=monday(), reason="Course")
    with pytest.raises(Problems, match="already"):
        crews.add_day_off(actor=clerk, crew=crew, on=monday())
    crews.remove_day_off(actor=clerk, day_off=off)
    assert not crew.days_off.exists()
