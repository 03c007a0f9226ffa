"""The job list narrowed to a part of the office's jobs: what it holds, and that it takes no more queries for that."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.http import QueryDict
from django.test import RequestFactory
from django.utils import timezone

from projects.actions import closing
from projects.models import Job
from projects.queries.jobs import job_list
from projects.screens.office.filters import JobFilters
from projects.screens.office.jobs import ROWS_PER_PAGE
from projects.screens.office.tables import JobRows, JobTable
from tests.factories import JurisdictionFactory, UtilityFactory, job_at, lead, office_person

pytestmark = pytest.mark.django_db


def filters(asked: str, person=None) -> JobFilters:
    request = RequestFactory().get("/jobs/")
    request.user = person
    return JobFilters(QueryDict(asked), queryset=job_list(closed_too=True), request=request)


def shown(asked: str, person=None) -> list[str]:
    found = filters(asked, person)
    table = JobTable(JobRows(found), order_by=found.data.get("sort") or None)
    table.paginate(per_page=ROWS_PER_PAGE, page=1)
    names = [row.record.customer.name for row in table.page.object_list]
    assert found.count == len(names)
    return names


@pytest.fixture
def office():
    """Three open jobs, one in service and one lost, of two places."""
    bay, hill = JurisdictionFactory(name="Bay"), JurisdictionFactory(name="Hill")
    shore = UtilityFactory(name="Shore")
    looking = office_person()
    lead(name="Ash", jurisdiction=bay, days_ago=9)
    lead(name="Birch", jurisdiction=hill, days_ago=0)
    Job.objects.filter(customer__name="Birch").update(assigned_to=looking)
    job_at("permits", "hybrid", name="Cedar", jurisdiction=bay, utility=shore)
    job_at("done", "hybrid", name="Dogwood", jurisdiction=bay)
    closing.close_job(job=lead(name="Elm", jurisdiction=bay), actor=looking, outcome="lost", reason="Moved away.")
    return {"bay": bay.pk, "hill": hill.pk, "shore": shore.pk, "looking": looking}


def test_each_condition_and_several_at_once(office):
    assert set(shown(f"jurisdiction={office['bay']}&state=all")) == {"Ash", "Cedar", "Dogwood", "Elm"}
    assert set(shown(f"jurisdiction={office['bay']}")) == {"Ash", "Cedar"}
    assert set(shown(f"jurisdiction={office['bay']}&stage=lead&state=all")) == {"Ash", "Elm"}
    assert shown(f"jurisdiction={office['bay']}&stage=lead&state=lost") == ["Elm"]
    assert shown(f"utility={office['shore']}&kind=hybrid") == ["Cedar"]
    assert shown("assigned=me", office["looking"]) == shown(f"assigned={office['looking'].pk}") == ["Birch"]
    assert set(shown("assigned=nobody")) == {"Ash", "Cedar"}
    assert shown(f"jurisdiction={office['bay']}&utility={office['shore']}&assigned=nobody&sort=-price") == ["Cedar"]


def test_what_is_over_waits_on_nobody_and_is_never_due(office):
    Job.objects.filter(customer__name__in=["Ash", "Cedar"]).update(due_on=timezone.localdate() - timedelta(days=2))
    assert set(shown("overdue=true&state=all")) == {"Ash", "Cedar"}
    assert set(shown("waiting_on=office&state=all")) == set(
        Job.objects.filter(waiting_on="office").values_list("customer__name", flat=True)
    )
    assert shown("waiting_on=office&state=lost") == []


@pytest.mark.parametrize("key", ["999999", "0", "1" * 9])
def test_of_an_unknown_place_or_person_there_are_no_jobs(office, key):
    assert shown(f"jurisdiction={key}&state=all") == shown(f"assigned={key}&state=all") == []


@pytest.mark.parametrize("key", ["x", "-1", "1" * 40, "٣", "1.5", "1 or 1=1"])
def test_what_is_no_key_narrows_nothing(office, key):
    assert len(shown(f"utility={key}&state=all")) == 5


@pytest.mark.parametrize(
    "asked",
    [
        "state=all",
        "stage=lead",
        "waiting_on=office",
        "kind=hybrid",
        "jurisdiction={bay}",
        "utility={shore}",
        "assigned=me",
        "assigned=nobody&jurisdiction={bay}",
        "overdue=true&waiting_on=office&stage=lead",
        "q=cedar&jurisdiction={bay}",
    ],
)
def test_however_it_is_narrowed_a_page_takes_three_queries(office, asked, django_assert_num_queries):
    asked = asked.format(**office)
    shown(asked, office["looking"])
    with django_assert_num_queries(1 + 3):  # what has fallen due; how many, which ones, and these in full
        assert shown(asked + "&sort=-household", office["looking"]) or "overdue" in asked
