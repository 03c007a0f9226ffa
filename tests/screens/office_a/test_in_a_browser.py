"""The office's pages in a real browser: keyboard, forms in place, width, targets, accessibility, no console errors."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta

import pytest
from axe_playwright_python.sync_playwright import Axe
from django.test import Client
from django.urls import reverse
from django.utils import timezone
from playwright.sync_api import Page, sync_playwright

from projects.actions import inspections, interconnection, permits
from projects.config.machine import find_chromium
from projects.models import PlanComment
from tests.factories import Story, job_at, lead, office_person, owner_person

pytestmark = [pytest.mark.journey, pytest.mark.django_db(transaction=True)]

WIDTHS = [(1440, 900), (1180, 820), (820, 1180), (768, 1024), (390, 844)]
SMALLEST_TARGET_PX = 44
IN_LINE = "p a, .papers a, .listing td a, .contact a, .narrowed .all, .undo, .skip"
"""Links that run within text have the text's height."""


@pytest.fixture
def page(live_server, monkeypatch) -> Iterator[Page]:
    # Playwright's loop runs in this thread, and Django would take the test's own queries for a slip.
    monkeypatch.setenv("DJANGO_ALLOW_ASYNC_UNSAFE", "true")
    owner = Client()
    owner.force_login(owner_person())
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=str(find_chromium()), args=["--no-sandbox"])
        context = browser.new_context(viewport={"width": 1440, "height": 900}, base_url=live_server.url)
        context.add_cookies([{"name": "sessionid", "value": owner.cookies["sessionid"].value, "url": live_server.url}])
        yield context.new_page()
        browser.close()


def with_corrections():
    """A job in plan review with two comments, an open utility request and a failed rough-in."""
    job = job_at("permits")
    story = Story(job, "hybrid")
    story.day = timezone.localdate() - timedelta(days=5)
    story.submit("building")
    today, actor = timezone.localdate(), office_person()
    permits.record_corrections(job=job, kind="building", actor=actor, on=today, comments=["Show X.", "Show Y."])
    interconnection.submit_application(job=job, actor=actor, on=today)
    interconnection.record_utility_request(job=job, actor=actor, on=today, text="A photo of the meter.")
    return job


def inspected():
    job = job_at("inspection", "grid_tied")
    today, actor = timezone.localdate(), office_person()
    booked = inspections.book_inspection(job=job, kind="final", actor=actor, on=today)
    inspections.record_inspection(
        inspection=booked, actor=actor, result="corrections", on=today, corrections=["Bond the rail."]
    )
    return job


def test_pages_are_accessible_and_never_wider_than_the_window(page):
    with_corrections(), inspected(), job_at("done", "off_grid")
    lead(name="W" * 100, street="Unbroken" * 18)
    addresses = [
        *(reverse("job", args=[number]) for number in (1, 2, 3, 4)),
        "/jobs/",
        "/jobs/?state=all&stage=permits",
        "/jobs/?q=nobody",
        "/jobs/1/journal/",
        "/jobs/1/record/permit-submitted/building/",
        "/jobs/2/record/mark/switched_on/",
    ]
    for address in addresses:
        for width, height in WIDTHS:
            page.set_viewport_size({"width": width, "height": height})
            page.goto(address)
            assert page.evaluate("document.documentElement.scrollWidth") <= width, (address, width)
        page.set_viewport_size({"width": 1180, "height": 820})
        found = Axe().run(page, options={"rules": {"target-size": {"enabled": True}}})
        assert found.violations_count == 0, f"{address}\n{found.generate_report()}"


def test_buttons_and_inputs_are_large_enough_for_a_finger(page):
    with_corrections()
    for address in ("/jobs/1/", "/jobs/", "/jobs/1/record/permit-submitted/building/"):
        page.goto(address)
        small = page.evaluate(
            """([least]) => [...document.querySelectorAll(
                "main .btn, main input:not([type=hidden]):not([type=checkbox]):not([type=radio]), main select,"
                + "main textarea, main summary, main label.choice, main .bus a")]
              .map(e => [e.textContent.trim().slice(0, 30), e.getBoundingClientRect()])
              .filter(([_, r]) => r.width && (r.height < least - 0.5 || r.width < least - 0.5))
              .map(([t, r]) => `${t} ${r.width}x${r.height}`)""",
            [SMALLEST_TARGET_PX],
        )
        assert small == [], address


def test_a_comment_is_answered_by_keyboard_alone_inside_the_page(page):
    job = with_corrections()
    page.goto(f"/jobs/{job.number}/")
    page.locator(".step .btn", has_text="Answer").first.focus()
    page.keyboard.press("Enter")
    page.wait_for_selector(".slot textarea")
    assert page.evaluate("document.activeElement.tagName") == "TEXTAREA"
    page.keyboard.press("Escape")
    page.wait_for_selector(".slot form", state="detached")
    assert page.evaluate("document.activeElement.textContent").startswith("Answer")
    page.keyboard.press("Enter")
    page.wait_for_selector(".slot textarea")
    page.fill(".slot input[type=date]", "2031-01-01")
    page.fill(".slot textarea", "See sheet 3 🌊")
    page.locator(".slot .btn.go").press("Enter")
    page.wait_for_selector(".slot .errorlist")
    assert page.input_value(".slot textarea") == "See sheet 3 🌊"
    assert page.evaluate("document.activeElement.type") == "date"
    page.fill(".slot input[type=date]", timezone.localdate().isoformat())
    page.locator(".slot .btn.go").press("Enter")
    page.wait_for_selector(".notice")
    assert "The comment is answered." in page.text_content(".notice")
    assert PlanComment.objects.first().answer == "See sheet 3 🌊"


def test_without_scripts_the_same_button_leads_to_the_forms_page(page, live_server):
    job = with_corrections()
    plain = page.context.browser.new_context(java_script_enabled=False, base_url=live_server.url)
    plain.add_cookies(page.context.cookies())
    bare = plain.new_page()
    bare.goto(f"/jobs/{job.number}/")
    bare.locator(".step .btn", has_text="Answer").first.click()
    bare.fill("main textarea", "On paper.")
    bare.click("main .btn.go")
    assert bare.url.endswith(f"/jobs/{job.number}/")
    assert "The comment is answered." in bare.text_content(".notice")


def test_slash_goes_to_the_search_and_enter_finds_the_job(page):
    lead(name="Kari Halvorsen")
    lead(name="Somebody Else")
    page.goto("/jobs/")
    page.keyboard.press("/")
    page.keyboard.type("halvor")
    page.keyboard.press("Enter")
    page.wait_for_url("**/jobs/?q=halvor")
    assert page.locator(".listing tbody tr").count() == 1


def test_the_pages_log_no_error_and_break_no_content_policy(page):
    job = with_corrections()
    said: list[str] = []
    page.on("console", lambda message: said.append(message.text) if message.type in ("error", "warning") else None)
    page.on("pageerror", lambda error: said.append(str(error)))
    for address in ("/jobs/", f"/jobs/{job.number}/"):
        page.goto(address, wait_until="networkidle")
    page.locator("text=Make a link").click()
    page.wait_for_selector(".slot form")
    page.click(".slot .btn.go")
    page.wait_for_selector("#customer-link")
    assert [words for words in said if "favicon" not in words] == []
