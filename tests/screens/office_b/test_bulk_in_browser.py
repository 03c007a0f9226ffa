"""A change on many jobs in a real browser: one tick for the page, and a long piece of work that goes on by itself."""

from __future__ import annotations

import pytest
from django.urls import reverse

from projects.models import Job
from projects.screens.office import bulk as screen
from tests import factories
from tests.screens.office_b.test_in_browser import page  # noqa: F401

pytestmark = [pytest.mark.journey, pytest.mark.django_db(transaction=True)]


def test_the_page_is_ticked_at_once_and_the_work_goes_on_by_itself(page, live_server, monkeypatch) -> None:  # noqa: F811
    jobs = [factories.lead("hybrid") for _ in range(3)]
    monkeypatch.setattr(screen, "SECONDS", 0)
    page.goto(live_server.url + reverse("jobs"))
    page.check("[data-tick-all] input")
    assert page.locator("input[name=job]:checked").count() == 3
    page.uncheck("input[name=job] >> nth=0")
    assert page.evaluate("document.querySelector('[data-tick-all] input').indeterminate")
    page.check("[data-tick-all] input")
    page.click("text=Change the ticked jobs")
    page.click("summary:has-text('Close them as lost')")
    page.fill("#lose-reason", "No answer to three calls.")
    page.click("details[open] button")
    page.wait_for_selector("h1:has-text('3 jobs would change')")
    page.uncheck("input[name=job] >> nth=2")
    page.click("text=Change the ticked jobs")
    page.wait_for_selector("h1:has-text('2 jobs changed')")
    assert Job.objects.filter(outcome="lost").count() == 2
    assert Job.objects.get(pk=jobs[2].pk).outcome == ""
    assert not page.complaints
