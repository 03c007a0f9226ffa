"""The owner's page of days and dates: who sees it, what it adds up, what-if, and addresses that anybody may type."""

from __future__ import annotations

import numpy as np
import pytest
from django.core.cache import cache
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from projects.actions import closing, interconnection
from projects.models import Job
from projects.queries.history import courses, history
from projects.route.forecast.predict import simulate
from tests import factories
from tests.factories import job_at
from tests.signing_in import signed_in

ADDRESS = "/pipeline/times/"


@pytest.fixture(autouse=True)
def _no_history_kept() -> None:
    cache.clear()


@pytest.fixture
def owner(db) -> Client:
    return signed_in(factories.owner_person())


@pytest.fixture
def jobs(db) -> dict[str, Job]:
    town, utility = factories.JurisdictionFactory(), factories.UtilityFactory()
    stages = ("lead", "engineering", "permits", "installation", "inspection", "operation", "done")
    return {stage: job_at(stage, jurisdiction=town, utility=utility) for stage in stages}


def test_only_the_owner_sees_it(db):
    for person in (factories.office_person(), factories.crew_person()):
        assert signed_in(person).get(ADDRESS).status_code == 403
    assert Client().get(ADDRESS).status_code == 302
    assert reverse("times") == ADDRESS


def test_it_changes_nothing(owner):
    assert owner.post(ADDRESS).status_code == 405


def test_an_empty_book_has_no_times(owner):
    page = owner.get(ADDRESS)
    assert page.status_code == 200
    assert "No open job is on its way" in page.content.decode()


def test_spells_come_from_the_jobs_facts(jobs):
    found = {course.job: course for course in courses(Job.objects.all())}
    done, lead = found[jobs["done"].pk], found[jobs["lead"].pk]
    assert all(progress.left is not None for progress in done.legs.values())
    assert lead.legs["lead"].left is None
    permit = jobs["done"].permits.get(kind="building")
    assert done.legs["permit_building"].entered == permit.submissions.first().submitted_on
    assert done.legs["permit_building"].left == permit.issued_on
    assert done.legs["permission"].left == jobs["done"].interconnection.permission_on
    in_permits = found[jobs["permits"].pk]
    assert in_permits.legs["engineering"].left == jobs["permits"].marks.get(key="contract_signed").on
    assert in_permits.legs["permit_building"].left is None


def test_a_lost_job_waits_no_longer_than_until_it_was_lost(jobs):
    closing.close_job(job=jobs["permits"], actor=factories.office_person(), outcome="lost", reason="Moved away.")
    found = courses(Job.objects.filter(pk=jobs["permits"].pk))[0]
    assert found.ended_on is not None
    assert next(s for s in history().spells if s.job == found.job and s.leg == "lead").finished


def test_the_page_shows_open_jobs_with_ranges_and_leaves_finished_ones_out(owner, jobs):
    page = owner.get(ADDRESS)
    shown = {row["job"].pk for row in page.context["rows"]}
    assert shown == {job.pk for stage, job in jobs.items() if stage != "done"}
    for row in page.context["rows"]:
        assert " to " in row["operation"]["wide"]
        assert row["thin"]  # one job has been through: that is little history, and the page says so
    text = page.content.decode()
    assert "Little history" in text
    assert "if it goes ahead" in text


def test_each_leg_counts_who_is_through_and_who_waits(owner, jobs):
    legs = {row["key"]: row for row in owner.get(ADDRESS).context["legs"]}
    assert (legs["lead"]["finished"], legs["lead"]["waiting"]) == (6, 1)
    assert (legs["permission"]["finished"], legs["permission"]["waiting"]) == (1, 1)
    assert (legs["engineering"]["finished"], legs["engineering"]["waiting"]) == (5, 1)


def test_curves_of_a_chosen_leg_by_authority(owner, jobs):
    page = owner.get(ADDRESS, {"leg": "permit_building"})
    names = [row["name"] for row in page.context["curve_rows"]]
    assert names == ["All of them", jobs["done"].jurisdiction.name]
    assert page.content.decode().count("<svg") > 3


def test_what_if_a_jurisdiction_takes_longer(owner, jobs):
    key = f"j{jobs['permits'].jurisdiction_id}"
    page = owner.get(ADDRESS, {"authority": key, "weeks": "4"})
    later = {row["job"].pk: row["later"] for row in page.context["rows"]}
    assert later[jobs["permits"].pk] == moved_by_hand(jobs["permits"], 28)
    assert later[jobs["inspection"].pk] is None
    assert page.context["moved"]["jobs"] == 3  # lead, engineering, permits
    assert "weeks longer" in page.content.decode()


def moved_by_hand(job: Job, days: int) -> int:
    """The utility's side runs beside the permits: in each simulated course the later one of both counts."""
    known, (found,) = history(), courses(Job.objects.filter(pk=job.pk))
    ends = simulate(found, known.posterior, known.today)
    permission = ends["permission"] - np.maximum(ends["inspection"], ends["agreement"])
    then = np.maximum(ends["inspection"] + days, ends["agreement"]) + permission
    return round(float(np.median(then))) - round(float(np.median(ends["permission"])))


def test_what_if_moves_a_job_by_the_whole_time_once_the_utility_has_agreed(owner, jobs):
    job, today = jobs["permits"], timezone.localdate()
    for act in (interconnection.submit_application, interconnection.approve_interconnection):
        act(job=job, actor=factories.office_person(), on=today)
    interconnection.sign_agreement(job=job, actor=factories.office_person(), on=today)
    page = owner.get(ADDRESS, {"authority": f"j{job.jurisdiction_id}", "weeks": "4"})
    assert {row["job"].pk: row["later"] for row in page.context["rows"]}[job.pk] == 28


@pytest.mark.parametrize(
    "typed",
    [
        {"leg": "nonsense"},
        {"weeks": "many", "authority": "j1"},
        {"weeks": "-3", "authority": "j999"},
        {"weeks": "9" * 5000, "authority": "u1"},
        {"page": "0"},
        {"page": "999999"},
    ],
)
def test_any_address_gives_a_page(owner, jobs, typed):
    assert owner.get(ADDRESS, typed).status_code == 200


def test_queries_do_not_grow_with_the_jobs(owner, jobs, django_assert_max_num_queries):
    with django_assert_max_num_queries(26):
        owner.get(ADDRESS)


def test_nothing_inline_that_the_policy_forbids(owner, jobs):
    text = owner.get(ADDRESS, {"leg": "permit_building"}).content.decode()
    assert " style=" not in text
    assert "<style" not in text
    assert "onclick" not in text
