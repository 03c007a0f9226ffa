"""The calendar's pages: what stands where, who sees it, and what choosing a day says."""

from __future__ import annotations

import re
from datetime import date, time, timedelta

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone

from projects.actions import crews, scheduling, service_visits
from projects.actions.standing import refresh
from projects.models import Crew, Job
from projects.queries import calendar as queries
from tests.factories import PersonFactory, crew_person, job_at, lead, office_person
from tests.signing_in import signed_in

pytestmark = pytest.mark.django_db


def monday(weeks: int = 2) -> date:
    today = timezone.localdate()
    return today + timedelta(days=7 * weeks - today.weekday())


@pytest.fixture
def office() -> Client:
    return signed_in(office_person())


@pytest.fixture
def north() -> Crew:
    return crews.save_crew(actor=office_person(), name="North", members=[crew_person()], jobs_per_day=2)


def book(job: Job, kind: str, on: date, **more) -> bool:
    return scheduling.schedule(job=job, kind=kind, actor=office_person(), on=on, **{"despite": True, **more})


def text(answer) -> str:
    return " ".join(answer.content.decode().split())


def week(client: Client, on: date, **more) -> str:
    return text(client.get(reverse("calendar"), {"week": on.isoformat(), **more}))


def test_a_week_shows_each_crews_days_and_how_full_they_are(office, north) -> None:
    job, other = job_at("site_assessment"), job_at("site_assessment")
    book(job, "site_visit", monday(), crew=north, starts_at=time(9))
    book(other, "site_visit", monday())
    page = week(office, monday())
    assert f'<b class="num">9:00</b> <b>Visit</b> {job.label}' in page
    assert "1 of 2" in page
    assert f"<b>Visit</b> {other.label}" in page
    assert "No crew yet" in page
    only = week(office, monday(), crew=str(north.pk))
    assert job.label in only
    assert f"</b> {other.label}" not in only


def test_a_month_shows_the_same_days(office, north) -> None:
    job = job_at("site_assessment")
    on = monday()
    book(job, "site_visit", on, crew=north)
    page = text(office.get(reverse("calendar"), {"month": f"{on:%Y-%m}"}))
    assert f"{on:%B} {on.year}" in page
    assert f"<b>Visit</b> {job.label}" in page
    assert 'class="who-goes">North' in page


@pytest.mark.parametrize("asked", [{"month": "2026-13"}, {"week": "yesterday"}, {"crew": "x"}, {"month": "9999-12"}])
def test_an_address_that_makes_no_sense_shows_today(office, asked) -> None:
    assert office.get(reverse("calendar"), asked).status_code == 200


def test_an_installation_without_permits_stands_as_a_hold(office, north) -> None:
    job = job_at("permits")
    book(job, "installation", monday(6), crew=north, days=2)
    page = week(office, monday(6))
    assert "planned, on hold" in page
    assert "day 1 of 2" in page
    assert "day 2 of 2" in page


def test_the_crew_sees_its_own_days_alone(north) -> None:
    south = crews.save_crew(actor=office_person(), name="South", members=[PersonFactory(role="crew")])
    mine, theirs = job_at("site_assessment"), job_at("site_assessment")
    book(mine, "site_visit", monday(1), crew=north)
    book(theirs, "site_visit", monday(1), crew=south)
    client = signed_in(crew_person())
    for page in (week(client, monday(1)), text(client.get(reverse("crew-week")))):
        assert mine.customer.name in page
        assert reverse("crew-job", args=[theirs.number]) not in page
        assert reverse("calendar-day", args=[mine.number, "site_visit"]) not in page


def test_somebody_of_no_crew_is_told_so() -> None:
    client = signed_in(PersonFactory(role="crew"))
    assert "You belong to no crew yet" in week(client, monday())
    assert "You belong to no crew yet" in text(client.get(reverse("crew-week")))


def test_my_week_says_not_to_start_while_a_hold_stands(north) -> None:
    job = job_at("permits")
    book(job, "installation", timezone.localdate() + timedelta(days=3), crew=north)
    page = text(signed_in(crew_person()).get(reverse("crew-week")))
    assert "Planned, not booked." in page
    assert "Don’t start: The building permit is not issued" in page


def test_choosing_a_day_names_clashes_holds_and_what_must_be_true(office, north) -> None:
    busy, job = job_at("permits"), job_at("permits")
    saturday = monday(6) + timedelta(days=5)
    book(busy, "installation", saturday, crew=north)
    address = reverse("calendar-day", args=[job.number, "installation"])
    page = text(office.get(address, {"on": saturday.isoformat(), "crew": north.pk, "days": 1}))
    assert "doesn&#x27;t work on Saturdays" in page
    assert (
        f"North is booked twice on {saturday:%a} {saturday.day} {saturday:%b}: installation, job {busy.label}" in page
    )
    assert "Hold: no work at the house" in page
    assert "The building permit is not issued by" in page
    assert "By then must be true" in page
    assert "Keep the day free" in page
    assert "Book it" not in page


def test_posting_keeps_what_was_typed_beside_the_clash(office, north) -> None:
    job = job_at("site_assessment")
    saturday = monday() + timedelta(days=5)
    address = reverse("calendar-day", args=[job.number, "site_visit"])
    typed = {"on": saturday.isoformat(), "crew": north.pk, "starts_at": "10:15"}
    answer = office.post(address, typed)
    assert answer.status_code == 422
    page = text(answer)
    assert 'value="10:15"' in page
    assert "Go on in spite" in page
    job.refresh_from_db()
    assert job.visit_on is None or job.visit_on != saturday
    answer = office.post(address, {**typed, "despite": "on", "reason": "They can only then."})
    assert answer.status_code == 302
    job.refresh_from_db()
    assert job.visit_on == saturday


def test_a_wrong_time_and_a_wrong_day_are_told_at_their_fields(office) -> None:
    job = job_at("site_assessment")
    answer = office.post(
        reverse("calendar-day", args=[job.number, "site_visit"]), {"on": "2026-02-30", "starts_at": "25:00"}
    )
    assert answer.status_code == 422
    assert set(answer.context["form"].errors) == {"on", "starts_at"}


@pytest.mark.parametrize("typed", ["0001-01-01", "0002-12-01", "9999-12-31"])
def test_a_year_that_nobody_means_is_told_at_its_field_and_stays_as_typed(office, typed) -> None:
    job = job_at("site_assessment")
    address = reverse("calendar-day", args=[job.number, "site_visit"])
    for answer, status in ((office.post(address, {"on": typed}), 422), (office.get(address, {"on": typed}), 200)):
        assert answer.status_code == status
        assert "Look at the year: between 1950 and" in text(answer)
        assert f'value="{typed}"' in text(answer)


def test_moving_calling_off_and_undoing_from_the_page(office) -> None:
    job = job_at("site_assessment")
    book(job, "site_visit", monday())
    address = reverse("calendar-day", args=[job.number, "site_visit"])
    assert office.post(address, {"on": monday(3).isoformat(), "despite": "on"}).status_code == 422
    moved = {"on": monday(3).isoformat(), "despite": "on", "reason": "Storm."}
    assert office.post(address, moved).status_code == 302
    off = reverse("calendar-cancel", args=[job.number, "site_visit"])
    assert office.post(off, {"reason": ""}).status_code == 422
    assert office.post(off, {"reason": "They are away."}).status_code == 302
    job.refresh_from_db()
    assert job.visit_on is None
    change = scheduling.last_change(job, "site_visit")
    assert change is not None
    answer = office.post(reverse("calendar-undo", args=[job.number, change.pk]), follow=True)
    assert "is booked for" in text(answer)
    job.refresh_from_db()
    assert job.visit_on == monday(3)


def test_the_pages_belong_to_the_office() -> None:
    job = job_at("site_assessment")
    crew = signed_in(crew_person())
    assert crew.get(reverse("calendar-day", args=[job.number, "site_visit"])).status_code == 403
    assert crew.get(reverse("crews")).status_code == 403
    assert crew.post(reverse("calendar-cancel", args=[job.number, "site_visit"])).status_code == 403
    assert Client().get(reverse("calendar")).status_code == 302


def test_a_kind_that_is_none_is_not_found(office) -> None:
    assert office.get(reverse("calendar-day", args=[lead().number, "lunch"])).status_code == 404


def test_a_job_that_wants_a_day_is_offered(office) -> None:
    job = job_at("site_assessment")
    Job.objects.filter(pk=job.pk).update(visit_on=None)
    job.refresh_from_db()
    refresh(job)
    page = text(office.get(reverse("calendar")))
    assert reverse("calendar-day", args=[job.number, "site_visit"]) in page


def test_a_crew_is_put_together_on_its_page(office) -> None:
    person = crew_person()
    typed = {
        "name": "East",
        "jobs_per_day": "3",
        "working_days": ["1", "2", "6"],
        "members": [person.pk],
        "active": "on",
    }
    assert office.post(reverse("crew-new"), typed).status_code == 302
    crew = Crew.objects.get()
    assert (crew.working_days, crew.jobs_per_day, list(crew.members.all())) == ("126", 3, [person])
    answer = office.post(reverse("crew-new"), {**typed, "working_days": []})
    assert answer.status_code == 422
    assert set(answer.context["form"].errors) == {"name", "working_days"}
    off = reverse("crew-days-off", args=[crew.pk])
    assert office.post(off, {"on": monday().isoformat(), "reason": "Course"}).status_code == 302
    assert "Course" in text(office.get(reverse("crew-edit", args=[crew.pk])))
    assert office.post(off, {"on": ""}).status_code == 422


def test_a_month_takes_as_many_queries_for_five_jobs_as_for_two(north) -> None:
    seeds = [job_at("permits") for _ in range(2)]
    for n, job in enumerate(seeds):
        book(job, "installation", monday(4) + timedelta(days=n), crew=north)
    with CaptureQueriesContext(connection) as few:
        queries.calendar(monday(4), monday(4) + timedelta(days=27))
    for n, job in enumerate(job_at("permits") for _ in range(3)):
        book(job, "installation", monday(4) + timedelta(days=n), crew=north)
    with CaptureQueriesContext(connection) as many:
        queries.calendar(monday(4), monday(4) + timedelta(days=27))
    assert len(many) == len(few)
    assert len(many) < 40


def test_service_visits_stand_on_everybodys_calendar_until_they_are_called_off(office, north) -> None:
    job = job_at("done", name="Noor Vance")
    on = timezone.localdate() + timedelta(days=1)
    visit = service_visits.plan_service_visit(job=job, actor=office_person(), on=on, purpose="The yearly look")
    week, month = f"/calendar/?week={on:%Y-%m-%d}", f"/calendar/?month={on:%Y-%m}"
    crew = signed_in(crew_person())
    for client, address in ((office, week), (office, month), (crew, "/crew/week/")):
        page = client.get(address).content.decode()
        assert "Noor Vance" in page, address
        assert "The yearly look" in page, address
    service_visits.cancel_service_visit(visit=visit, actor=office_person())
    assert "The yearly look" not in office.get(week).content.decode()


def test_the_calendar_opens_on_this_week_and_the_four_after_it(office, north) -> None:
    today = timezone.localdate()
    first = today - timedelta(days=today.weekday())
    page = office.get("/calendar/").content.decode()
    days = re.findall(r'<time datetime="(\d{4}-\d\d-\d\d)"', page)
    assert days == [(first + timedelta(days=n)).isoformat() for n in range(35)]
    month = office.get(f"/calendar/?month={today:%Y-%m}").content.decode()
    assert f'<time datetime="{today.replace(day=1).isoformat()}"' in month
    south = office.get(f"/calendar/?crew={north.pk}").content.decode()
    assert re.findall(r'<time datetime="(\d{4}-\d\d-\d\d)"', south) == days, "of one crew the same weeks"
