"""Likely dates on the job's page: two ranges, what is booked, what is behind, and one query once they are kept."""

from __future__ import annotations

import re
from datetime import date, timedelta

import pytest
from django.core.cache import cache
from django.test import Client
from django.utils import timezone

from projects.actions import closing, installing, marks
from projects.models import Job
from projects.queries.likely import likely_dates
from projects.screens.likely import likely_rows, range_words
from tests.factories import crew_person, job_at, lead, office_person, owner_person

pytestmark = pytest.mark.django_db
TODAY = date(2026, 11, 25)


@pytest.fixture(autouse=True)
def _no_history_kept() -> None:
    cache.clear()


def page(job: Job, person=None) -> str:
    client = Client()
    client.force_login(person or office_person())
    return re.sub(r"\s+", " ", client.get(f"/jobs/{job.number}/").content.decode())


def test_both_ranges_of_both_dates_are_told():
    job = job_at("permits")
    shown, found = page(job), likely_dates(Job.objects.get(pk=job.pk))
    today = timezone.localdate()
    for dates in (found.installation, found.operation):
        assert range_words(dates.low50, dates.high50, today) in shown
        assert f"nine times in ten: {range_words(dates.low90, dates.high90, today)}" in shown
    assert "no promise" in shown
    assert "rests mostly on what is usual" in shown


def test_the_owner_alone_is_led_to_the_page_of_dates():
    job = job_at("permits")
    assert "/pipeline/times/" in page(job, owner_person())
    for person in (office_person(), crew_person()):
        assert "/pipeline/times/" not in page(job, person)


def test_a_booked_day_is_told_as_booked():
    job, today = job_at("installation"), timezone.localdate()
    for key in ("equipment_ordered", "equipment_received"):
        marks.record_mark(job=job, key=key, on=today, actor=office_person())
    day = today + timedelta(days=9)
    installing.book_installation(job=job, actor=office_person(), on=day)
    rows, _ = likely_rows(Job.objects.get(pk=job.pk), today)
    assert [row.booked for row in rows] == [True, False]
    assert f"{range_words(day, day, today)}, as booked" in page(job)


def test_a_lead_is_told_as_one_and_the_off_grid_end_by_its_name():
    assert "Likely dates, if it goes ahead" in page(lead())
    off_grid = page(job_at("inspection", "off_grid"))
    assert "Final inspection passed" in off_grid
    assert "Permission to operate</th>" not in off_grid


def test_what_is_closed_or_done_has_no_likely_dates():
    closed = job_at("permits")
    closing.close_job(job=closed, actor=office_person(), outcome="lost", reason="Chose to wait a year.")
    for job in (closed, job_at("done")):
        assert "Likely dates" not in page(job)


@pytest.mark.parametrize(
    ("low", "high", "words"),
    [
        (date(2026, 12, 3), date(2026, 12, 20), "3 Dec to 20 Dec"),
        (date(2026, 12, 28), date(2027, 1, 9), "28 Dec to 9 Jan 2027"),
        (date(2026, 12, 3), date(2026, 12, 3), "3 Dec"),
        (date(2027, 1, 3), date(2027, 1, 3), "3 Jan 2027"),
    ],
)
def test_a_range_names_the_year_where_it_is_another(low, high, words):
    assert range_words(low, high, TODAY) == words
