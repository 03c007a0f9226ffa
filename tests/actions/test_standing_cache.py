"""The cached standing: what the facts say, until the day on which the calendar says more."""

from __future__ import annotations

from datetime import date, timedelta
from io import StringIO

import pytest
from django.core.management import CommandError, call_command
from django.utils import timezone

from projects.actions import standing as cache
from projects.actions.facts import facts_of, facts_of_many
from projects.actions.holidays import public_holidays
from projects.models import Job
from projects.route.standing import standing
from tests.factories import job_at, lead

pytestmark = pytest.mark.django_db
STAGES = ("lead", "site_assessment", "engineering", "permits", "installation", "inspection", "operation", "in_service")


@pytest.mark.parametrize("stage", STAGES)
def test_until_it_says_so_the_cache_does_not_depend_on_the_day(stage: str) -> None:
    job = job_at(stage)
    columns = {name for name in cached_on(job, timezone.localdate()) if name != "fresh_until"}
    for ahead in range(1, 240, 3):
        day = timezone.localdate() + timedelta(days=ahead)
        if job.fresh_until is not None and day >= job.fresh_until:
            break
        later = cached_on(job, day)
        for column in columns:
            assert getattr(job, column) == later[column], f"{column} moved on {day}"


def cached_on(job: Job, day: date) -> dict:
    facts = facts_of(job, day)
    numbers = [permit.number for permit in facts.permits if permit.number]
    return cache.cache_of(job, facts, standing(facts), numbers)


def test_when_something_falls_due_the_day_turns(monkeypatch: pytest.MonkeyPatch) -> None:
    job = job_at("permits", days_ago=9)
    assert job.fresh_until is not None
    for module in ("standing", "facts"):
        monkeypatch.setattr(f"projects.actions.{module}.office_today", lambda: job.fresh_until)
    assert cache.turn_day() == 1
    assert cache.turn_day() == 0
    turned = Job.objects.get(pk=job.pk)
    assert turned.fresh_until is None or turned.fresh_until > job.fresh_until
    assert cache.disagreements([turned]) == []


def test_turning_the_day_costs_one_query_when_nothing_is_due(django_assert_num_queries) -> None:
    lead(days_ago=0)
    with django_assert_num_queries(1):
        assert cache.turn_day() == 0


def test_an_expired_permit_stops_the_installation_without_a_new_fact(monkeypatch: pytest.MonkeyPatch) -> None:
    job = job_at("installation")
    after = max(job.permits.values_list("expires_on", flat=True)) + timedelta(days=1)
    for module in ("standing", "facts"):
        monkeypatch.setattr(f"projects.actions.{module}.office_today", lambda: after)
    cache.turn_day()
    job.refresh_from_db()
    assert job.stage == "permits"


def test_since_when_a_job_stands_in_its_stage() -> None:
    job = job_at("engineering")
    go_ahead = job.marks.get(key="go_ahead").on
    assert job.stage_since >= go_ahead
    assert job.stage_since <= timezone.localdate()
    new = lead(days_ago=3)
    assert new.stage_since == timezone.localdate(new.received_at)


def test_the_check_finds_and_mends_what_was_tampered_with() -> None:
    job, other = job_at("permits"), lead()
    out = StringIO()
    call_command("check_standing", stdout=out)
    assert "2 jobs checked" in out.getvalue()
    Job.objects.filter(pk=job.pk).update(stage="in_service", due_on=None)
    out = StringIO()
    with pytest.raises(CommandError, match="disagree"):
        call_command("check_standing", stdout=out)
    assert f"{job.label}: stage is 'in_service', should be 'permits'" in out.getvalue()
    assert other.label + ":" not in out.getvalue()
    call_command("check_standing", "--mend", stdout=StringIO())
    mended = Job.objects.get(pk=job.pk)
    assert (mended.stage, mended.due_on) == ("permits", job.due_on)
    call_command("check_standing", stdout=StringIO())


def test_facts_of_many_are_the_facts_of_each() -> None:
    jobs = [job_at("permits"), job_at("operation"), lead(), job_at("inspection", "off_grid")]
    together = facts_of_many(Job.objects.all())
    assert together == {job.pk: facts_of(Job.objects.get(pk=job.pk)) for job in jobs}
    assert facts_of_many([]) == {}


def test_public_holidays_of_the_state_close_the_counter() -> None:
    # Source: 5 U.S.C. 6103: Independence Day and Christmas; Good Friday is a state holiday of North Carolina
    # (N.C.G.S. 103-4, from memory).
    days = public_holidays("NC", 2025, 2025)
    assert {date(2025, 7, 4), date(2025, 12, 25), date(2025, 4, 18)} <= days
    assert date(2025, 7, 3) not in days
    assert public_holidays("", 2025, 2025) >= {date(2025, 7, 4)}
