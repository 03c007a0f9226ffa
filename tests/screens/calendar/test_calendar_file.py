"""The calendar file, read back by a third party's parser (vobject), and held against RFC 5545.

Sections: 3.1 (lines of at most 75 octets, ended by CRLF), 3.4 and 3.6 (VERSION, PRODID), 3.6.1 (UID, DTSTAMP,
DTSTART), 3.8.7.4 (SEQUENCE grows with each change), 3.8.1.11 (STATUS).
"""

from __future__ import annotations

import re
from datetime import date, datetime, time, timedelta
from zoneinfo import ZoneInfo

import pytest
import vobject
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone

from projects.actions import calendar_feeds, claims, crews, inspections, scheduling, service_visits, site
from projects.actions.problems import NotAllowed, Problems
from projects.models import CalendarFeed, Crew, Job
from projects.queries.feed import feed_rows
from tests.factories import PersonFactory, crew_person, job_at, office_person

pytestmark = pytest.mark.django_db


def monday(weeks: int = 2) -> date:
    today = timezone.localdate()
    return today + timedelta(days=7 * weeks - today.weekday())


@pytest.fixture
def north() -> Crew:
    return crews.save_crew(actor=office_person(), name="North", members=[crew_person()], jobs_per_day=9)


def book(job: Job, kind: str, on: date, **more) -> bool:
    return scheduling.schedule(job=job, kind=kind, actor=office_person(), on=on, **{"despite": True, **more})


def file_of(person) -> bytes:
    token = calendar_feeds.make_feed(actor=person, person=person)
    answer = Client().get(reverse("calendar-file", args=[token]))
    assert answer.status_code == 200
    assert answer["Content-Type"] == "text/calendar; charset=utf-8"
    return answer.content


def events(person) -> list:
    book = vobject.readOne(file_of(person).decode())
    return list(book.contents.get("vevent", []))


def one(person):
    (event,) = events(person)
    return event


def test_a_days_appointment_as_a_third_party_reads_it(north) -> None:
    job = job_at("site_assessment")
    book(job, "site_visit", monday(), crew=north)
    event = one(crew_person())
    assert event.dtstart.value == monday()
    assert event.dtend.value == monday() + timedelta(days=1)
    assert event.status.value == "CONFIRMED"
    assert event.summary.value == f"Site visit {job.label}, {job.site.street}"
    assert event.location.value == job.site.address
    assert "Crew: North" in event.description.value
    assert event.url.value.endswith(reverse("crew-job", args=[job.number]))


def test_an_hour_is_the_offices_hour_in_winter_and_in_summer(north, settings) -> None:
    settings.TIME_ZONE = "America/New_York"
    for weeks in (3, 29):
        job = job_at("site_assessment")
        book(job, "site_visit", monday(weeks), crew=north, starts_at=time(9, 30), reason="x")
    starts = sorted(event.dtstart.value for event in events(crew_person()))
    zone = ZoneInfo("America/New_York")
    wanted = [datetime.combine(monday(weeks), time(9, 30), zone) for weeks in (3, 29)]
    assert [start.astimezone(zone) for start in starts] == wanted
    assert wanted[0].utcoffset() != wanted[1].utcoffset(), "both lie on one side of the clocks' change"


def test_the_name_stays_and_the_sequence_grows_with_every_way_of_changing(north) -> None:
    job = job_at("site_assessment")
    book(job, "site_visit", monday(), crew=north)
    first = one(crew_person())
    book(job, "site_visit", monday(3), crew=north, reason="Storm.")
    second = one(crew_person())
    site.book_visit(job=job, actor=office_person(), on=monday(4))
    third = one(crew_person())
    assert first.uid.value == second.uid.value == third.uid.value
    sequences = [int(event.sequence.value) for event in (first, second, third)]
    assert sequences == sorted(set(sequences))
    assert third.dtstart.value == monday(4)


def test_what_is_called_off_says_so_under_the_same_name(north) -> None:
    job = job_at("site_assessment")
    book(job, "site_visit", monday(), crew=north)
    booked = one(crew_person())
    scheduling.cancel(job=job, kind="site_visit", actor=office_person(), reason="They are away.")
    off = one(crew_person())
    assert off.status.value == "CANCELLED"
    assert off.uid.value == booked.uid.value
    assert int(off.sequence.value) > int(booked.sequence.value)
    assert off.dtstart.value == monday()
    scheduling.undo(job=job, entry=scheduling.last_change(job, "site_visit"), actor=office_person())
    again = one(crew_person())
    assert again.status.value == "CONFIRMED"
    assert int(again.sequence.value) > int(off.sequence.value)


def test_a_crew_that_loses_an_appointment_is_told(north) -> None:
    south = crews.save_crew(actor=office_person(), name="South", members=[PersonFactory(role="crew")], jobs_per_day=9)
    job = job_at("site_assessment")
    book(job, "site_visit", monday(), crew=north)
    book(job, "site_visit", monday(), crew=south)
    assert one(crew_person()).status.value == "CANCELLED"
    assert one(south.members.get()).status.value == "CONFIRMED"


def test_a_planned_installation_is_tentative_and_carries_its_hold(north) -> None:
    job = job_at("permits")
    book(job, "installation", monday(6), crew=north, days=2)
    event = one(crew_person())
    assert event.status.value == "TENTATIVE"
    assert "Hold, no work before this is settled" in event.description.value
    assert "not issued" in event.description.value
    assert event.dtend.value == monday(6) + timedelta(days=2)


def test_a_run_over_a_weekend_leaves_the_weekend_free(north) -> None:
    job = job_at("permits")
    friday = monday(6) + timedelta(days=4)
    book(job, "installation", friday, crew=north, days=2)
    first, second = events(crew_person())
    assert (first.dtstart.value, first.dtend.value) == (friday, friday + timedelta(days=1))
    assert second.dtstart.value == friday + timedelta(days=3)
    assert first.uid.value != second.uid.value


def test_a_second_inspection_is_another_event(north) -> None:
    job = job_at("inspection", "grid_tied")
    today = timezone.localdate()
    booked = inspections.book_inspection(job=job, kind="final", actor=office_person(), on=today)
    before = {event.uid.value for event in events(office_person()) if "Final" in event.summary.value}
    inspections.record_inspection(
        inspection=booked, actor=office_person(), result="corrections", on=today, corrections=["Bond it."]
    )
    inspections.fix_correction(correction=booked.corrections.get(), actor=crew_person(), on=today)
    inspections.book_inspection(job=job, kind="final", actor=office_person(), on=today + timedelta(days=3))
    after = {event.uid.value for event in events(office_person()) if "Final" in event.summary.value}
    assert before < after
    assert len(after) == 2


def test_names_phone_and_money_stay_at_home(north) -> None:
    job = job_at("site_assessment", name="Wilhelmina Prudence", phone="(252) 555-0173", email="w@prudence.example")
    Job.objects.filter(pk=job.pk).update(price_usd="31415")
    book(job, "site_visit", monday(), crew=north)
    for person in (crew_person(), office_person()):
        text = re.sub(r"\r\n[ \t]", "", file_of(person).decode())
        text = re.sub(r"UID:\S+", "", text)  # made of chance: it may hold any digits
        for word in ("Wilhelmina", "Prudence", "555-0173", "5550173", "prudence.example", "31415", "31,415"):
            assert word not in text


def test_the_file_keeps_to_the_standard(north) -> None:
    job = job_at("site_assessment", street="Straße der Grünen Dünen 100, hinter dem Leuchtturm am Großen Wattenmeer, ä")
    book(job, "site_visit", monday(), crew=north, starts_at=time(9))
    book(job_at("permits"), "installation", monday(6), crew=north)
    raw = file_of(crew_person())
    lines = raw.split(b"\r\n")
    assert lines[-1] == b""
    assert b"\n" not in raw.replace(b"\r\n", b"")
    assert max(len(line) for line in lines) <= 75
    assert any(line.startswith(b" ") for line in lines), "nothing long enough to be folded: the test says nothing"
    unfolded = re.sub(rb"\r\n[ \t]", b"", raw).decode()
    assert unfolded.startswith("BEGIN:VCALENDAR\r\n")
    for wanted in ("VERSION:2.0", "PRODID:"):
        assert unfolded.count(wanted) == 1
    found = re.findall(r"BEGIN:VEVENT\r\n(.*?)END:VEVENT", unfolded, re.DOTALL)
    assert len(found) == 2
    for event in found:
        for name in ("UID", "DTSTAMP", "DTSTART", "SEQUENCE", "STATUS", "SUMMARY"):
            assert len(re.findall(rf"^{name}[;:]", event, re.MULTILINE)) == 1, name
        assert re.search(r"^DTSTAMP:\d{8}T\d{6}Z\r$", event, re.MULTILINE)
    assert "Straße der Grünen Dünen" in unfolded


def test_nothing_booked_is_a_valid_file_too() -> None:
    assert vobject.readOne(file_of(crew_person()).decode()).version.value == "2.0"


def test_an_unchanged_file_is_not_sent_twice(north) -> None:
    book(job_at("site_assessment"), "site_visit", monday(), crew=north)
    token = calendar_feeds.make_feed(actor=crew_person(), person=crew_person())
    address = reverse("calendar-file", args=[token])
    tag = Client().get(address)["ETag"]
    assert Client().get(address, headers={"if-none-match": tag}).status_code == 304


def test_an_address_is_secret_revocable_and_ends_with_the_sign_in() -> None:
    person = crew_person()
    first = calendar_feeds.make_feed(actor=person, person=person)
    assert first not in str(list(CalendarFeed.objects.values()))
    second = calendar_feeds.make_feed(actor=person, person=person)
    assert Client().get(reverse("calendar-file", args=[first])).status_code == 404
    assert Client().get(reverse("calendar-file", args=[second])).status_code == 200
    calendar_feeds.revoke_feed(actor=office_person(), person=person)
    assert Client().get(reverse("calendar-file", args=[second])).status_code == 404
    with pytest.raises(Problems, match="no living address"):
        calendar_feeds.revoke_feed(actor=person, person=person)
    third = calendar_feeds.make_feed(actor=person, person=person)
    type(person).objects.filter(pk=person.pk).update(is_active=False)
    assert Client().get(reverse("calendar-file", args=[third])).status_code == 404


def test_nobody_makes_or_ends_an_address_that_is_not_theirs() -> None:
    with pytest.raises(NotAllowed):
        calendar_feeds.make_feed(actor=office_person(), person=crew_person())
    with pytest.raises(NotAllowed):
        calendar_feeds.revoke_feed(actor=crew_person(), person=office_person())


def test_the_page_shows_an_address_once() -> None:
    client = Client()
    client.force_login(crew_person())
    page = client.post(reverse("calendar-address")).content.decode()
    (link,) = re.findall(r'value="(http[^"]+\.ics)"', page)
    assert Client().get(link).status_code == 200
    again = client.get(reverse("calendar-address")).content.decode()
    assert ".ics" not in again
    assert client.post(reverse("calendar-address-end", args=[crew_person().pk])).status_code == 302
    assert Client().get(link).status_code == 404


def test_reading_takes_as_many_queries_for_four_jobs_as_for_one(north) -> None:
    book(job_at("site_assessment"), "site_visit", monday(), crew=north)
    with CaptureQueriesContext(connection) as few:
        feed_rows(crew_person())
    for n in range(3):
        book(job_at("site_assessment"), "site_visit", monday() + timedelta(days=n), crew=north)
    with CaptureQueriesContext(connection) as many:
        assert len(feed_rows(crew_person())) == 4
    assert len(many) == len(few)


def test_a_service_visit_is_told_to_its_crew_moves_under_one_name_and_falls_away(north) -> None:
    job = job_at("done")
    south = crews.save_crew(actor=office_person(), name="South", members=[PersonFactory(role="crew")], jobs_per_day=9)
    stranger = south.members.get()
    claim = claims.report_claim(
        job=job, actor=office_person(), warranty=job.warranties.first(), on=timezone.localdate(), trouble="Mr Poe rang."
    )
    visit = service_visits.plan_service_visit(
        job=job, actor=office_person(), on=monday(), claim=claim, crew=north, starts_at=time(9, 30)
    )
    first = one(crew_person())
    assert first.summary.value == f"Service visit {job.label}, {job.site.street}"
    assert first.dtstart.value.astimezone(ZoneInfo("America/New_York")).time() == time(9, 30)
    assert f"Claim: {claim.covers}" in first.description.value
    assert "Mr Poe" not in file_of(crew_person()).decode(), "what was typed leaves the house"
    assert events(stranger) == []
    look = service_visits.plan_service_visit(job=job, actor=office_person(), on=monday(3), purpose="The yearly look")
    assert [event.status.value for event in events(stranger)] == ["CONFIRMED"], "nobody's yet: whoever comes by"
    service_visits.cancel_service_visit(visit=look, actor=office_person())
    assert [event.status.value for event in events(stranger)] == ["CANCELLED"]
    service_visits.move_service_visit(
        visit=visit, actor=office_person(), on=monday() + timedelta(days=1), crew=north, reason="They are away."
    )
    moved = next(event for event in events(crew_person()) if event.uid.value == first.uid.value)
    assert moved.dtstart.value == monday() + timedelta(days=1)
    assert int(moved.sequence.value) > int(first.sequence.value)
    service_visits.move_service_visit(visit=visit, actor=office_person(), on=monday() + timedelta(days=1), crew=south)
    gone = next(event for event in events(crew_person()) if event.uid.value == first.uid.value)
    assert gone.status.value == "CANCELLED"
    assert int(gone.sequence.value) > int(moved.sequence.value)
    assert [event.uid.value for event in events(stranger) if event.status.value == "CONFIRMED"] == [first.uid.value]
