"""The owner's page of crews: weeks, people, and the question of another number of crews, whatever is typed."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from projects.models import Appointment, Crew, Job
from tests.factories import crew_person, job_at, lead, office_person
from tests.screens.owner.reading import text_of
from tests.signing_in import signed_in

ADDRESS = "/pipeline/crews/"


def test_it_is_the_owners_alone_and_only_read(db, owner):
    for person in (office_person(), crew_person()):
        assert signed_in(person).get(ADDRESS).status_code == 403
    assert Client().get(ADDRESS).status_code == 302
    assert owner.post(ADDRESS).status_code == 405
    assert reverse("crew-load") == ADDRESS


def test_without_crews_and_jobs_it_says_so(owner):
    shown = text_of(owner.get(ADDRESS))
    assert "No crew is on the books yet." in shown
    assert "No installation is ahead of a job past the lead." in shown


def test_an_overfull_crew_is_marked_in_the_table(owner):
    crew = Crew.objects.create(name="Ospreys")
    monday = timezone.localdate() + timedelta(days=7 - timezone.localdate().weekday())
    for n in range(6):
        job = lead(name=f"A {n}", street=f"{n} Oak")
        Job.objects.filter(pk=job.pk).update(install_on=monday + timedelta(days=n % 5), stage="installation")
        Appointment.objects.create(job=job, kind="installation", crew=crew)
    page = owner.get(ADDRESS)
    row = page.context["weeks"][1]["crews"][0]
    if row["row"].capacity_days == 5:  # no holiday in that week
        assert row["percent"] == "120 %"
    assert row["over"]
    assert "6 of " in text_of(page)


def test_another_number_of_crews_is_answered_with_jobs_and_days(owner):
    Crew.objects.create(name="Ospreys")
    for n in range(4):
        job_at("installation", name=f"A {n}", street=f"{n} Oak")
    page = owner.get(ADDRESS, {"crews": "2", "days": "30"})
    question = page.context["question"]
    assert (question.crews, question.supposed, question.crew_days, question.jobs) == (1, 2, 30.0, 4)
    assert page.context["moved"]
    shown = text_of(page)
    assert "4 installations ahead." in shown
    assert "with one crew" in shown
    for row in page.context["moved"]:
        assert row["then"] < row["now"]


@pytest.mark.parametrize(
    ("typed", "field"),
    [
        ({"crews": "0"}, "crews"),
        ({"crews": "2.5"}, "crews"),
        ({"crews": "many"}, "crews"),
        ({"crews": "9" * 5000}, "crews"),
        ({"days": "-3"}, "days"),
        ({"days": "nan"}, "days"),
        ({"days": "<script>"}, "days"),
        ({"days": ""}, "days"),
    ],
)
def test_what_is_no_number_is_told_at_its_field_and_kept(owner, typed, field):
    lead()
    page = owner.get(ADDRESS, typed)
    shown = text_of(page)
    assert f'id="{field}-wrong"' in shown
    other = "days" if field == "crews" else "crews"
    assert f'id="{other}-wrong"' not in shown
    assert page.context[f"asked_{field}"] == typed[field]
    assert "<script>" not in shown.split("<main")[1].split("</main>")[0]


def test_a_comma_is_a_decimal_point(owner):
    assert owner.get(ADDRESS, {"days": "2,5"}).context["question"].crew_days == 2.5


def test_nothing_inline_that_the_policy_forbids(owner):
    job_at("installation")
    shown = owner.get(ADDRESS).content.decode()
    assert " style=" not in shown
    assert "<style" not in shown
