"""An impatient double click, no connection, a sign-in that ended meanwhile: nothing is recorded twice, and what was
typed stays where it was typed, in a real browser.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator

import pytest
from django.contrib.sessions.models import Session
from playwright.sync_api import Browser, Locator, Page, Route, expect

from projects.models import Job, JobCost
from tests.factories import lead, office_person
from tests.signing_in import signed_in

pytestmark = [pytest.mark.journey, pytest.mark.django_db(transaction=True)]


@pytest.fixture
def job(transactional_db) -> Job:
    return lead(days_ago=3)


@pytest.fixture
def opened(live_server, chromium: Browser, job: Job) -> Iterator[Callable[[str], Page]]:
    yield from browsing(live_server, chromium)


@pytest.fixture
def without_scripts(live_server, chromium: Browser, job: Job) -> Iterator[Callable[[str], Page]]:
    yield from browsing(live_server, chromium, java_script_enabled=False)


def browsing(live_server, chromium: Browser, **more: bool) -> Iterator[Callable[[str], Page]]:
    context = chromium.new_context(base_url=live_server.url, viewport={"width": 1180, "height": 820}, **more)
    context.set_default_timeout(20_000)
    session = signed_in(office_person()).cookies["sessionid"].value
    context.add_cookies([{"name": "sessionid", "value": session, "url": live_server.url}])

    def open_page(address: str) -> Page:
        page = context.new_page()
        page.goto(address, wait_until="networkidle")
        return page

    yield open_page
    context.close()


def cost_form(page: Page) -> Locator:
    """Opened inside the money sheet and filled in."""
    page.get_by_role("link", name="Record a cost").click()
    form = page.locator(".slot form")
    form.locator("[name=kind]").select_option("other")
    form.locator("[name=what]").fill("Conduit for the garage")
    form.locator("[name=amount_usd]").fill("45.00")
    return form


def test_a_double_click_records_once(opened, job) -> None:
    page = opened(f"/jobs/{job.number}/money/")
    with page.expect_navigation():
        cost_form(page).locator(".btn.go").dblclick()
    page.wait_for_load_state("networkidle")
    expect(page.locator(".notice")).to_be_visible()
    assert JobCost.objects.count() == 1


def test_where_no_script_runs_a_second_press_while_the_answer_is_slow_records_once_too(without_scripts, job) -> None:
    page = without_scripts(f"/jobs/{job.number}/record/cost/")
    page.locator("[name=kind]").select_option("other")
    page.locator("[name=what]").fill("Conduit for the garage")
    page.locator("[name=amount_usd]").fill("45.00")
    place = page.locator("form.fact-form .btn.go").bounding_box()
    assert place is not None
    middle = place["x"] + place["width"] / 2, place["y"] + place["height"] / 2

    answered = []

    def answers_too_late(route: Route) -> None:
        answered.append(route.fetch(max_redirects=0).status)

    page.route(re.compile("/record/cost/$"), answers_too_late, times=1)
    page.mouse.click(*middle)
    for _ in range(150):
        if answered:
            break
        page.wait_for_timeout(100)
    assert answered == [302]
    page.mouse.click(*middle)
    # Not wait_for_url: the first press's navigation ends as aborted about now, and it would take that for its own.
    expect(page).to_have_url(re.compile(f"/jobs/{job.number}/money/$"), timeout=15_000)
    expect(page.locator(".notices")).to_contain_text("Sent twice from one page, recorded once.")
    assert JobCost.objects.count() == 1


def test_a_form_in_the_page_waits_for_the_connection(opened, job) -> None:
    page = opened(f"/jobs/{job.number}/money/")
    form = cost_form(page)
    page.context.set_offline(True)
    form.locator(".btn.go").click()
    expect(form.get_by_role("alert")).to_contain_text("Not sent: there is no connection")
    expect(form.locator("[name=what]")).to_have_value("Conduit for the garage")
    page.context.set_offline(False)
    with page.expect_navigation():
        form.locator(".btn.go").click()
    assert JobCost.objects.count() == 1


def test_a_browser_that_only_believes_itself_offline_sends_once(opened, job) -> None:
    page = opened(f"/jobs/{job.number}/money/")
    page.evaluate("Object.defineProperty(navigator, 'onLine', { get: () => false })")
    with page.expect_navigation():
        cost_form(page).locator(".btn.go").dblclick()
    expect(page.locator(".notice")).to_be_visible()
    assert JobCost.objects.count() == 1


def test_a_page_of_its_own_waits_too(opened, job) -> None:
    page = opened(f"/jobs/{job.number}/answers/")
    page.fill("[name=note]", "The gate sticks")
    page.context.set_offline(True)
    page.locator(".sendbar .btn.go").click()
    expect(page.locator("form.intake .unsent")).to_contain_text("Not sent")
    expect(page.locator("[name=note]")).to_have_value("The gate sticks")
    page.context.set_offline(False)
    with page.expect_navigation():
        page.locator(".sendbar .btn.go").click()
    assert "The answers are noted." in page.inner_text("body")


def test_whoever_was_signed_out_meanwhile_is_told_and_keeps_the_words(opened, job) -> None:
    page = opened(f"/jobs/{job.number}/money/")
    form = cost_form(page)
    Session.objects.all().delete()
    form.locator(".btn.go").click()
    expect(form.get_by_role("alert")).to_contain_text("you were signed out")
    expect(form.locator("[name=what]")).to_have_value("Conduit for the garage")
    assert JobCost.objects.count() == 0
