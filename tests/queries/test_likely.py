"""Likely dates kept in a row: the same as forecast, one query while fresh, anew after a fact or a night."""

from __future__ import annotations

import io
from datetime import timedelta

import pytest
from django.core.cache import cache
from django.core.management import call_command
from django.utils import timezone

from projects.actions import closing, interconnection, office
from projects.models import Job, LikelyDates
from projects.queries.history import courses, history
from projects.queries.likely import freshen, likely_dates
from projects.queries.times import job_forecast
from projects.route.forecast.predict import forecast
from tests.factories import job_at, lead, office_person

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def _no_history_kept() -> None:
    cache.clear()


def again(job: Job) -> Job:
    return Job.objects.get(pk=job.pk)


def test_the_kept_dates_are_the_forecasts():
    job = job_at("permits")
    first = likely_dates(again(job))
    known = history()
    assert first == forecast(courses(Job.objects.filter(pk=job.pk))[0], known.posterior, known.today)
    assert likely_dates(again(job)) == first == job_forecast(again(job))


def test_fresh_dates_take_one_query(django_assert_num_queries):
    job = job_at("permits")
    likely_dates(job)
    with django_assert_num_queries(1):
        assert likely_dates(job) is not None


def test_a_new_fact_makes_them_anew():
    job = again(job_at("permits"))
    before = likely_dates(job)
    interconnection.submit_application(job=job, actor=office_person(), on=timezone.localdate())
    stale = LikelyDates.objects.get(job=job).after_entry
    after = likely_dates(again(job))
    assert LikelyDates.objects.get(job=job).after_entry > stale
    assert after != before


def test_a_new_day_makes_them_anew():
    job = job_at("permits")
    told = likely_dates(again(job))
    LikelyDates.objects.update(made_on=timezone.localdate() - timedelta(days=1), operate_middle=None, thinnest=77)
    assert likely_dates(again(job)) == told


def test_jobs_that_wait_no_longer_have_none():
    closed, done = job_at("permits"), job_at("done")
    assert likely_dates(again(closed)) is not None
    closing.close_job(job=closed, actor=office_person(), outcome="lost", reason="Chose to wait a year.")
    assert likely_dates(again(closed)) is None
    assert likely_dates(again(done)) is None
    freshen()
    assert not LikelyDates.objects.exists()


def test_what_has_begun_has_no_likely_beginning():
    told = likely_dates(again(job_at("inspection")))
    assert told.installation is None
    assert told.operation is not None
    assert LikelyDates.objects.get().install_middle is None


def test_all_waiting_jobs_are_made_once_and_then_only_the_changed_ones(django_assert_max_num_queries):
    jobs = [job_at("permits"), job_at("engineering"), lead(name="Kit Dow", street="9 Oak")]
    job_at("done")
    assert freshen(most=2) == 2
    assert freshen() == 1
    assert set(LikelyDates.objects.values_list("job", flat=True)) == {job.pk for job in jobs}
    with django_assert_max_num_queries(4):
        assert freshen() == 0
    office.set_price(job=jobs[0], actor=office_person(), price_usd=20_000)
    assert freshen() == 1


def test_the_command_says_how_many():
    job_at("permits"), job_at("done")
    out = io.StringIO()
    call_command("likely_dates", stdout=out)
    assert "1 of 1 waiting jobs" in out.getvalue()
