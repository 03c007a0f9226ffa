"""An address that only takes entries, opened as a page: words and a way on, instead of an empty answer."""

from __future__ import annotations

import re

import pytest
from django.urls import reverse

from projects.screens.entries_only import page_above
from tests.factories import job_at, office_person
from tests.journeys.addresses import patterns
from tests.signing_in import signed_in

pytestmark = pytest.mark.django_db


def test_each_such_address_leads_to_a_page() -> None:
    job = job_at("installation")
    client = signed_in(office_person())
    met = []
    for pattern in patterns():
        wanted = pattern.pattern.converters
        made_up = {name: job.number if name == "number" else 1 for name in wanted}
        answer = client.get(reverse(pattern.name, kwargs=made_up))
        if answer.status_code != 405:
            continue
        met.append(pattern.name)
        assert answer["Allow"]
        words = answer.content.decode()
        assert "Nothing was recorded" in words, pattern.name
        way_on = re.search(r'class="btn" href="([^"]+)"', words)
        assert way_on, pattern.name
        assert client.get(way_on[1], follow=True).status_code in (200, 404 if "/imports/" in way_on[1] else 200)
    assert {"crew-mark", "job-plane-remove", "message-act", "calendar-cancel", "photo-remove"} <= set(met)


@pytest.mark.parametrize(
    ("address", "page"),
    [
        ("/jobs/7/site/planes/3/remove/", "/jobs/7/site/"),
        ("/jobs/7/study/run/", "/jobs/7/study/"),
        ("/crew/7/mark/", "/crew/7/"),
        ("/calendar/jobs/7/visit/off/", "/calendar/"),
        ("/photos/3/remove/", "/"),
    ],
)
def test_the_nearest_page_is_named(address: str, page: str) -> None:
    assert page_above(address) == page


def test_what_is_no_browser_gets_the_bare_answer() -> None:
    client = signed_in(office_person())
    answer = client.get(reverse("desk-back", args=[1, "contact"]), headers={"Accept": "application/json"})
    assert answer.status_code == 405
    assert answer.content == b""
