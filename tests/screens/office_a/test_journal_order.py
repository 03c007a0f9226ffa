"""The journal is read by the day on which a thing happened, and says when it was entered where that is another."""

from __future__ import annotations

import re
from datetime import timedelta
from decimal import Decimal

import pytest
from django.urls import reverse
from django.utils import timezone

from projects.actions import costs
from projects.actions import office as desk
from projects.models import Message
from tests.factories import lead, office_person

pytestmark = pytest.mark.django_db


def cost(job, days_ago: int, what: str):
    on = timezone.localdate() - timedelta(days=days_ago)
    costs.record_cost(job=job, actor=office_person(), on=on, kind="other", what=what, amount_usd=Decimal(100))
    return on


def lines(html: str) -> list[str]:
    """Each line of the journal as words."""
    found = re.search(r'<ol class="journal">(.*?)</ol>', html, re.DOTALL)[1]
    return [" ".join(re.sub(r"<[^>]+>", " ", line).split()) for line in found.split("</li>")[:-1]]


@pytest.mark.parametrize("where", ["job", "job-journal"])
def test_what_is_entered_late_stands_at_its_own_day(office, where):
    job = lead(days_ago=20)
    two_days_ago = cost(job, 2, "Wire")
    long_ago = cost(job, 9, "Rails")
    found = lines(office.get(reverse(where, args=[job.number])).content.decode())
    later, earlier = (line for line in found if "Cost" in line)
    assert later.startswith(f"{two_days_ago:%-d %b %Y} entered ")
    assert earlier.startswith(f"{long_ago:%-d %b %Y} entered ")
    assert "Lead received" in found[-1]


def test_of_one_day_the_last_entry_comes_first_and_today_has_its_hour_alone(office):
    job = lead(days_ago=20)
    cost(job, 3, "Rails")
    for price in (1000, 2000):
        desk.set_price(job=job, actor=office_person(), price_usd=Decimal(price))
    found = lines(office.get(reverse("job-journal", args=[job.number])).content.decode())
    assert "2,000" in found[0] and "1,000" in found[1] and "Cost" not in " ".join(found[:2])
    assert any("Cost" in line for line in found[2:])
    assert "entered" not in found[0]
    assert re.match(r"\d+ \w+ \d{4}, \d\d:\d\d ", found[0])


def test_the_first_sheet_says_how_to_reach_the_household_and_who_looks_after_the_job(office):
    job = lead(days_ago=1)
    desk.assign(job=job, actor=office_person(), person=office_person())
    html = office.get(reverse("job", args=[job.number])).content.decode()
    sheet = html[: html.index('id="next-steps"')]
    assert f'href="tel:{job.customer.phone}"' in sheet
    assert f"{office_person().name} looks after it" in sheet
    assert job.site.city in sheet


def test_letters_are_listed_by_their_hour_though_another_job_was_written_later(office):
    now = timezone.now()
    for days_ago in (1, 9, 4):
        at = now - timedelta(days=days_ago)
        Message.objects.create(job=lead(), kind="stage", fact="one", subject=f"Of {days_ago} days ago", queued_at=at)
    html = office.get(reverse("messages")).content.decode()
    assert re.findall(r"<strong>(Of \d days ago)<", html) == ["Of 1 days ago", "Of 4 days ago", "Of 9 days ago"]
