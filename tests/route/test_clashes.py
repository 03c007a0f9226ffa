"""What speaks against a day. The dates are those of a printed calendar: 26 November 2026 is a Thursday."""

from __future__ import annotations

from datetime import date, time

import pytest

from projects.route.clashes import CrewWeek, Engagement, clashes, working_run

TODAY = date(2026, 11, 2)  # a Monday
NORTH = CrewWeek("North", jobs_per_day=2, members=frozenset({"Casey"}))
THURSDAY = date(2026, 11, 26)


def wanted(kind: str = "site_visit", *days: date, crew: str = "North", at: time | None = None) -> Engagement:
    return Engagement("0100", kind, days or (date(2026, 11, 18),), crew, at, frozenset({"Casey"}))


def there(job: str, kind: str = "site_visit", day: date = date(2026, 11, 18), **more) -> Engagement:
    return Engagement(job, kind, (day,), **{"crew": "North", **more})


def said(found) -> list[str]:
    return [clash.sentence for clash in found]


def test_a_free_working_day_has_no_clash() -> None:
    assert clashes(wanted(), NORTH, [], today=TODAY) == ()


def test_a_run_goes_over_the_weekend_and_the_days_off() -> None:
    off = CrewWeek("North", days_off={date(2026, 11, 23): "training"})
    run = working_run(date(2026, 11, 19), 3, off.works_on)
    assert run == (date(2026, 11, 19), date(2026, 11, 20), date(2026, 11, 24))


def test_a_run_begins_where_somebody_wants_it_even_on_a_sunday() -> None:
    assert working_run(date(2026, 11, 22), 2, NORTH.works_on) == (date(2026, 11, 22), date(2026, 11, 23))


def test_a_run_of_a_crew_that_never_works_ends() -> None:
    assert working_run(date(2026, 11, 19), 3, lambda day: False) == (date(2026, 11, 19),)


def test_a_run_takes_at_least_a_day() -> None:
    with pytest.raises(ValueError, match="days must be 1"):
        working_run(TODAY, 0, NORTH.works_on)


def test_a_crew_that_works_saturdays_may_be_booked_then_but_an_inspector_not() -> None:
    saturday = date(2026, 11, 21)
    six = CrewWeek("North", working_days=frozenset(range(1, 7)))
    assert clashes(wanted("installation", saturday), six, [], today=TODAY) == ()
    assert said(clashes(wanted("final", saturday), six, [], today=TODAY)) == ["Sat 21 Nov is on a weekend."]
    assert said(clashes(wanted("installation", saturday), NORTH, [], today=TODAY)) == [
        "North doesn't work on Saturdays (Sat 21 Nov)."
    ]
    assert said(clashes(wanted("installation", saturday, crew=""), None, [], today=TODAY)) == [
        "Sat 21 Nov is on a weekend."
    ]


def test_a_holiday_by_the_jurisdictions_calendar() -> None:
    found = clashes(
        wanted("final", THURSDAY), NORTH, [], today=TODAY, holidays={THURSDAY}, whose_holidays="Pelican County"
    )
    assert said(found) == ["Thu 26 Nov: its counter is closed then, by the calendar of Pelican County."]
    found = clashes(wanted("installation", THURSDAY), NORTH, [], today=TODAY, holidays={THURSDAY})
    assert said(found) == ["Thu 26 Nov: a holiday, by the calendar of the jurisdiction."]


def test_notice_is_counted_in_business_days() -> None:
    on = date(2026, 11, 5)
    found = clashes(wanted("final", on), NORTH, [], today=TODAY, notice_days=4, whose_holidays="Quill")
    assert said(found) == ["Quill asks for 4 business days' notice: Fri 6 Nov."]
    assert clashes(wanted("final", on), NORTH, [], today=TODAY, notice_days=3) == ()
    assert clashes(wanted("site_visit", on), NORTH, [], today=TODAY, notice_days=9) == ()


def test_a_day_that_is_over() -> None:
    assert said(clashes(wanted("final", date(2026, 10, 30)), NORTH, [], today=TODAY)) == ["Fri 30 Oct is over."]


def test_a_crews_day_off_says_why() -> None:
    off = CrewWeek("North", days_off={date(2026, 11, 18): "fall protection course"})
    found = clashes(wanted(), off, [], today=TODAY)
    assert said(found) == ["North is off on Wed 18 Nov (fall protection course)."]
    assert found[0].field == "crew"


def test_capacity_is_counted_without_the_job_itself() -> None:
    one, two = there("0101"), there("0102", "final")
    assert clashes(wanted(), NORTH, [one], today=TODAY) == ()
    assert said(clashes(wanted(), NORTH, [one, two], today=TODAY)) == [
        "North is full on Wed 18 Nov: 2 of 2 jobs taken."
    ]
    assert clashes(wanted(), NORTH, [one, there("0100")], today=TODAY) == ()


def test_an_installation_takes_the_whole_day() -> None:
    twice = ["North is booked twice on Wed 18 Nov: installation, job 0101."]
    assert said(clashes(wanted(), NORTH, [there("0101", "installation")], today=TODAY)) == twice
    found = clashes(wanted("installation"), NORTH, [there("0101")], today=TODAY)
    assert said(found) == ["North is booked twice on Wed 18 Nov: site visit, job 0101."]
    assert clashes(wanted("installation"), NORTH, [there("0101", "installation", crew="South")], today=TODAY) == ()


def test_every_day_of_a_run_is_looked_at() -> None:
    days = working_run(date(2026, 11, 17), 3, NORTH.works_on)
    found = clashes(wanted("installation", *days), NORTH, [there("0101", day=date(2026, 11, 19))], today=TODAY)
    assert [clash.day for clash in found] == [date(2026, 11, 19)]


def test_two_starts_too_close() -> None:
    at_nine, at_ten, at_noon = time(9), time(10, 30), time(12)
    other = there("0101", starts_at=at_nine)
    assert said(clashes(wanted(at=at_ten), NORTH, [other], today=TODAY)) == [
        "North starts at 9:00 elsewhere: site visit, job 0101."
    ]
    assert clashes(wanted(at=at_noon), NORTH, [other], today=TODAY) == ()


def test_somebody_who_is_in_two_crews() -> None:
    south = there("0101", crew="South", members=frozenset({"Casey", "Ray"}))
    assert said(clashes(wanted(), NORTH, [south], today=TODAY)) == [
        "Casey is with South on Wed 18 Nov: site visit, job 0101."
    ]


def test_a_final_inspection_comes_after_the_work() -> None:
    work = Engagement("0100", "installation", (date(2026, 11, 18), date(2026, 11, 19)))
    found = clashes(wanted("final", date(2026, 11, 19)), None, [work], today=TODAY)
    assert said(found) == ["The installation of this job is on Thu 19 Nov."]
    assert clashes(wanted("final", date(2026, 11, 20)), None, [work], today=TODAY) == ()
    inspection = Engagement("0100", "final", (date(2026, 11, 19),))
    found = clashes(wanted("installation", date(2026, 11, 19), crew=""), None, [inspection], today=TODAY)
    assert said(found) == ["The final inspection of this job is on Thu 19 Nov already."]
