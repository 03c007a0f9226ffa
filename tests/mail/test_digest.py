"""The morning's letter to the office: once a day to each who reads it, with what is due, late and kept waiting."""

from __future__ import annotations

from datetime import time, timedelta

import pytest
from django.core import mail
from django.core.management import CommandError, call_command
from django.utils import timezone

from projects.actions import crews, office, scheduling
from projects.mail.digest import digest_of, send_digests
from projects.models import Job, Message, Person, Role
from tests.factories import PersonFactory, crew_person, job_at, lead, office_person, owner_person

pytestmark = pytest.mark.django_db


@pytest.fixture
def olive() -> Person:
    return PersonFactory(role=Role.OFFICE, first_name="Olive", email="olive@shoal.example")


def parts(person: Person) -> dict[str, list[str]]:
    data = digest_of(person, timezone.localdate())
    return {part["title"]: [line["job"] for line in part["lines"]] for part in data["parts"]} if data else {}


def test_it_names_what_is_late_and_for_how_long(olive: Person) -> None:
    job = lead(days_ago=5)
    assert job.due_on < timezone.localdate()
    call_command("digest")
    (told,) = [letter for letter in mail.outbox if letter.to == ["olive@shoal.example"]]
    late = (timezone.localdate() - job.due_on).days
    assert "1 late" in told.subject
    assert f"{job.label} Nell Harrow" in told.body
    assert f"{late} day{'' if late == 1 else 's'} late" in told.body
    assert told.body.startswith("Good morning Olive,")


def test_it_comes_once_a_day(olive: Person) -> None:
    lead(days_ago=5)
    assert send_digests()["queued"] == 1
    assert send_digests() == {"queued": 0, "quiet": 0, "again": 1}
    assert send_digests(today=timezone.localdate() + timedelta(days=1))["queued"] == 1
    assert Message.objects.filter(person=olive).count() == 2


def test_the_office_reads_of_its_own_jobs_and_of_nobodys_and_the_owner_of_all(olive: Person) -> None:
    mine, nobodys, anothers = (lead(days_ago=5, name=name) for name in ("Mine Ash", "Nobody Elm", "Other Oak"))
    for job, person in ((mine, olive), (nobodys, None), (anothers, PersonFactory(role=Role.OFFICE))):
        if person is not None:
            office.assign(job=job, person=person, actor=olive)
        else:
            Job.objects.filter(pk=job.pk).update(assigned_to=None)
    named = " ".join(parts(olive)["Late"])
    assert ("Mine Ash" in named, "Nobody Elm" in named, "Other Oak" in named) == (True, True, False)
    assert len(parts(owner_person())["Late"]) == 3


def test_who_keeps_us_waiting_stands_apart(olive: Person) -> None:
    job = lead(days_ago=5)
    Job.objects.filter(pk=job.pk).update(waiting_on="jurisdiction")
    assert list(parts(olive)) == ["Others keep us waiting"]


def test_it_says_who_goes_where_today(olive: Person) -> None:
    job = job_at("site_assessment")
    north = crews.save_crew(actor=olive, name="North", members=[crew_person()], working_days="1234567")
    today = timezone.localdate()
    scheduling.schedule(
        job=job, kind="site_visit", actor=olive, on=today, crew=north, starts_at=time(9, 30), despite=True
    )
    data = digest_of(olive, today)
    assert data is not None
    assert data["going"] == [f"{job.label} Nell Harrow, {job.site.city}: site visit at 9:30, North"]


def test_nothing_to_say_is_no_letter(olive: Person) -> None:
    assert send_digests() == {"queued": 0, "quiet": 1, "again": 0}
    assert not Message.objects.exists()


def test_who_gets_none(olive: Person) -> None:
    lead(days_ago=5)
    Person.objects.filter(pk=office_person().pk).update(email="")
    PersonFactory(role=Role.CREW, email="crew@shoal.example")
    PersonFactory(role=Role.OWNER, email="gone@shoal.example", is_active=False)
    send_digests(Person.objects.exclude(pk=olive.pk))
    assert not Message.objects.exists()


def test_a_reader_by_name_and_a_name_that_nobody_has(olive: Person) -> None:
    lead(days_ago=5)
    with pytest.raises(CommandError, match="Nobody signs in as nobody"):
        call_command("digest", to=["nobody"])
    call_command("digest", to=[olive.username])
    assert [letter.to for letter in mail.outbox] == [["olive@shoal.example"]]
