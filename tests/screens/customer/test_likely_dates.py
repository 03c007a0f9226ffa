"""The customer reads when it may be: both ranges, in plain words of either language, and that they are no promise."""

from __future__ import annotations

import re
from datetime import date, timedelta

import pytest
from django.core.cache import cache
from django.test import Client
from django.utils import timezone

from projects.actions import installing, marks, office
from projects.models import Job, JournalEntry
from projects.queries.likely import likely_dates
from projects.route.forecast.predict import DateRange
from projects.screens.customer.drawing import day_in
from projects.screens.customer.likely import WORDS, _line, likely
from tests.factories import job_at, lead, office_person

pytestmark = pytest.mark.django_db
TODAY = date(2026, 11, 25)


@pytest.fixture(autouse=True)
def _no_history_kept() -> None:
    cache.clear()


def page(job: Job) -> str:
    token = office.share_link(job=job, actor=office_person())
    return re.sub(r"\s+", " ", Client().get(f"/status/{token}/").content.decode())


@pytest.mark.parametrize("language", ["en", "es"])
def test_both_dates_are_told_as_ranges_and_as_no_promise(language):
    job = job_at("permits")
    job.customer.preferred_language = language
    job.customer.save()
    shown, found = page(job), likely_dates(Job.objects.get(pk=job.pk))
    for dates in (found.installation, found.operation):
        for day in (dates.low50, dates.high50, dates.low90, dates.high90):
            assert day_in(language, day) in shown
    assert WORDS[language]["title"] in shown
    assert WORDS[language]["meaning"] in shown
    assert WORDS[language]["thin"] in shown


def test_a_lead_reads_that_it_is_only_if_it_goes_ahead():
    assert WORDS["en"]["lead"] in page(lead())


def test_the_day_agreed_on_is_told_as_such():
    job, today = job_at("installation"), timezone.localdate()
    for key in ("equipment_ordered", "equipment_received"):
        marks.record_mark(job=job, key=key, on=today, actor=office_person())
    installing.book_installation(job=job, actor=office_person(), on=today + timedelta(days=6))
    first = likely(Job.objects.get(pk=job.pk), "en", today).lines[0]
    assert first.half.startswith(day_in("en", today + timedelta(days=6)))
    assert first.half.endswith("as planned with you")
    assert first.most == ""


def test_off_the_grid_no_utility_is_named():
    shown = page(job_at("permits", "off_grid"))
    assert WORDS["en"]["off_grid"] in shown
    assert WORDS["en"]["operation"] not in shown


def test_in_service_nothing_is_ahead():
    shown = page(job_at("done"))
    assert WORDS["en"]["title"] not in shown


def test_reading_records_nothing_in_the_journal():
    job = job_at("permits")
    page(job)
    entries = JournalEntry.objects.count()
    page(job)
    assert JournalEntry.objects.count() == entries + 1  # the second link itself


@pytest.mark.parametrize(
    ("language", "half", "most"),
    [
        ("en", "28 Dec to 9 Jan 2027", "nine times in ten between 20 Dec and 30 Jan 2027"),
        ("es", "28 de dic a 9 de ene de 2027", "nueve de cada diez veces entre el 20 de dic y el 30 de ene de 2027"),
    ],
)
def test_ranges_over_the_turn_of_the_year(language, half, most):
    days = [date(2026, 12, 20), date(2026, 12, 28), date(2027, 1, 2), date(2027, 1, 9), date(2027, 1, 30)]
    told = _line("x", DateRange(*days), language, TODAY)
    assert (told.half, told.most) == (half, most)


def test_a_range_within_the_next_year_names_it_once_and_a_single_day_stands_alone():
    days = [date(2027, 2, n) for n in (1, 6, 10, 21, 28)]
    assert _line("x", DateRange(*days), "en", TODAY).half == "6 Feb to 21 Feb 2027"
    one = DateRange(*[date(2027, 2, 3)] * 5)
    assert (_line("x", one, "en", TODAY).half, _line("x", one, "en", TODAY).most) == ("3 Feb 2027", "")


def test_both_languages_have_the_same_words():
    assert WORDS["en"].keys() == WORDS["es"].keys()
