"""Registering the warranties: who is promised what, from when, until when."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from django.utils import timezone
from hypothesis import given
from hypothesis import strategies as st

from projects.actions import marks, warranties
from projects.actions.problems import NotAllowed, Problems
from projects.actions.warranty_terms import anniversary, workmanship_years
from projects.models import LeadAnswers, OfficeProfile, Warranty
from tests.factories import crew_person, job_at, office_person


@pytest.mark.parametrize(
    ("wanted", "longest", "years"),
    [(None, 10, 10), (0, 10, 10), (2, 10, 5), (7, 10, 7), (10, 10, 10), (40, 10, 10), (25, 25, 25), (12, 5, 5)],
)
def test_the_wish_counts_within_what_the_office_promises(wanted, longest, years) -> None:
    assert workmanship_years(wanted, longest) == years


@given(st.dates(date(2000, 1, 1), date(2060, 12, 31)), st.integers(1, 40))
def test_an_anniversary_is_the_same_day_or_the_last_of_february(start: date, years: int) -> None:
    end = anniversary(start, years)
    assert end.year == start.year + years
    assert (end.month, end.day) == (start.month, start.day) or (start.month, start.day, end.day) == (2, 29, 28)


@pytest.mark.django_db
def test_registering_writes_workmanship_and_one_row_per_model() -> None:
    job = job_at("in_service")
    LeadAnswers.objects.filter(job=job).update(warranty_years_wanted=7)
    on = timezone.localdate()
    rows = warranties.register_warranties(job=job, actor=office_person(), on=on)
    switched_on = job.marks.get(key="switched_on").on
    assert [(row.covers, row.years) for row in rows] == [
        ("Workmanship", 7),
        ("Wader 400", 25),
        ("Knot H8", 12),
        ("Turnstone 13", 10),
    ]
    assert {row.starts_on for row in rows} == {switched_on}
    assert [row.ends_on.year - switched_on.year for row in rows] == [7, 25, 12, 10]
    job.refresh_from_db()
    assert job.next_step == ""
    entry = job.journal.last()
    assert (entry.kind, entry.data) == ("warranties_registered", {"years": 7, "parts": 3})


@pytest.mark.django_db
def test_the_office_s_own_figure_is_the_longest_it_promises() -> None:
    OfficeProfile.objects.create(pk=1, name="Quill & Ray", workmanship_years=15)
    job = job_at("in_service")
    marks.record_mark(job=job, key="warranty_registered", on=timezone.localdate(), actor=office_person())
    assert job.warranties.get(covers=Warranty.WORKMANSHIP).years == 15


@pytest.mark.django_db
def test_taking_the_registration_back_takes_the_promises_back() -> None:
    job = job_at("done")
    assert job.warranties.count() == 4
    marks.withdraw_mark(job=job, key="warranty_registered", actor=office_person(), reason="Wrong household.")
    assert not job.warranties.exists()
    warranties.register_warranties(job=job, actor=office_person(), on=timezone.localdate(), workmanship_years=12)
    assert job.warranties.get(covers=Warranty.WORKMANSHIP).years == 12


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"workmanship_years": 4}, "workmanship_years"),
        ({"workmanship_years": 26}, "workmanship_years"),
        ({"on": timezone.localdate() + timedelta(days=2)}, "on"),
    ],
)
def test_what_can_t_be_is_refused(changes, field) -> None:
    job = job_at("in_service")
    with pytest.raises(Problems) as refused:
        warranties.register_warranties(**{"job": job, "actor": office_person(), "on": timezone.localdate()} | changes)
    assert [problem.field for problem in refused.value] == [field]
    assert not Warranty.objects.exists()


@pytest.mark.django_db
def test_not_before_the_system_is_on_not_twice_and_not_by_the_crew() -> None:
    early = job_at("inspection")
    with pytest.raises(Problems):
        warranties.register_warranties(job=early, actor=office_person(), on=timezone.localdate())
    done = job_at("done")
    with pytest.raises(Problems):
        warranties.register_warranties(job=done, actor=office_person(), on=timezone.localdate())
    with pytest.raises(NotAllowed):
        warranties.register_warranties(job=done, actor=crew_person(), on=timezone.localdate())
    assert done.warranties.count() == 4
