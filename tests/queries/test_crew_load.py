"""The crews' weeks by hand, and the question of one crew more."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from django.core.cache import cache

from projects.models import Appointment, Crew, CrewDayOff, Inspection, Job, OfficeProfile
from projects.queries.crew_load import crew_weeks
from projects.queries.crew_question import USUAL_CREW_DAYS, usual_crew_days, what_if_crews
from tests.factories import job_at, lead

pytestmark = pytest.mark.django_db
WEDNESDAY = date(2027, 3, 3)  # no holiday near


@pytest.fixture(autouse=True)
def _no_history_kept() -> None:
    cache.clear()


def crew(name: str = "Ospreys", **more) -> Crew:
    return Crew.objects.create(name=name, **more)


def install(job: Job, on: date, whose: Crew | None, days: int = 1) -> None:
    Job.objects.filter(pk=job.pk).update(install_on=on, stage="installation")
    Appointment.objects.create(job=job, kind="installation", crew=whose, days=days)


def test_a_crew_without_work_has_its_days_this_week_from_today_on():
    crew()
    weeks = crew_weeks(WEDNESDAY, 2)
    assert [(w.monday, w.capacity_days, w.booked_days) for w in weeks] == [
        (date(2027, 3, 1), 3, 0),
        (date(2027, 3, 8), 5, 0),
    ]


def test_an_installation_takes_whole_days_and_a_visit_its_share():
    ospreys = crew(jobs_per_day=2)
    install(lead(), WEDNESDAY, ospreys, days=4)  # Wednesday to Friday, and Monday
    visit = lead(name="Kit Dow", street="9 Oak")
    Job.objects.filter(pk=visit.pk).update(visit_on=WEDNESDAY)
    Appointment.objects.create(job=visit, kind="site_visit", crew=ospreys)
    first, second = crew_weeks(WEDNESDAY, 2)
    assert first.crews[0].booked_days == 3.5
    assert first.crews[0].over
    assert second.crews[0].booked_days == 1
    assert not second.crews[0].over


def test_days_off_holidays_and_the_crews_own_week_take_capacity_away():
    OfficeProfile.objects.create(pk=1, name="Shoal & Sons", state="NC")
    weekend = crew("Gannets", working_days="67")
    ospreys = crew()
    CrewDayOff.objects.create(crew=ospreys, on=WEDNESDAY + timedelta(days=1))
    (week,) = crew_weeks(WEDNESDAY, 1)
    assert {row.crew: row.capacity_days for row in week.crews} == {weekend.name: 2, ospreys.name: 2}
    (memorial_day,) = crew_weeks(date(2027, 5, 31), 1)  # the last Monday of May
    assert {row.crew: row.capacity_days for row in memorial_day.crews} == {weekend.name: 2, ospreys.name: 4}


def test_work_that_is_nobodys_yet_or_planned_counts_and_work_done_or_cancelled_does_not():
    install(lead(), WEDNESDAY, None)
    planned = lead(name="Kit Dow", street="9 Oak")
    ospreys = crew()
    Appointment.objects.create(job=planned, kind="installation", crew=ospreys, planned_on=WEDNESDAY)
    inspected = lead(name="Jo Bly", street="7 Elm")
    Inspection.objects.create(job=inspected, kind="final", booked_for=WEDNESDAY, result="cancelled")
    (week,) = crew_weeks(WEDNESDAY, 1)
    assert (week.unmanned_days, week.crews[0].booked_days, week.booked_days) == (1, 1, 2)
    Job.objects.update(stage="inspection")
    assert crew_weeks(WEDNESDAY, 1)[0].unmanned_days == 0


def test_weeks_take_the_same_queries_however_full(django_assert_max_num_queries):
    ospreys = crew()
    for n in range(5):
        install(lead(name=f"A {n}", street=f"{n} Oak"), WEDNESDAY + timedelta(days=n), ospreys)
    with django_assert_max_num_queries(15):
        crew_weeks(WEDNESDAY)


def test_one_crew_more_shortens_the_waiting_where_many_are_ready_at_once():
    crew()
    for n in range(5):
        job_at("installation", name=f"A {n}", street=f"{n} Oak")
    # A month each, since the draws hang on the jobs' keys: with 8 days the middle day stayed where it was in 5 of 60
    # ranges of keys, with 30 all five jobs gain in each of them.
    found = what_if_crews(2, 30.0)
    assert (found.crews, found.supposed, found.jobs) == (1, 2, 5)
    assert found.waits_then_days < found.waits_days
    assert found.moved
    assert all(row.days >= 1 for row in found.moved)
    assert [row.days for row in found.moved] == sorted((row.days for row in found.moved), reverse=True)
    same = what_if_crews(1, 30.0)
    assert same.moved == ()
    assert same.weekly == same.weekly_then


def test_with_enough_crews_nobody_waits_for_one():
    crew()
    for n in range(3):
        job_at("installation", name=f"A {n}", street=f"{n} Oak")
    assert what_if_crews(3, 8.0).waits_then_days == 0


def test_leads_are_not_counted_on_and_nothing_ahead_is_told_as_nothing():
    lead()
    found = what_if_crews(2, 2.0)
    assert (found.jobs, found.moved, found.waits_days) == (0, (), 0.0)
    assert found.crews == 1  # without a crew on the books, one is assumed


def test_the_usual_length_is_that_of_the_booked_installations():
    assert usual_crew_days() == USUAL_CREW_DAYS
    ospreys = crew()
    for n, days in enumerate((1, 3, 4)):
        install(lead(name=f"A {n}", street=f"{n} Oak"), WEDNESDAY, ospreys, days)
    assert usual_crew_days() == 3
