"""The crew on a roof with no signal: the day can still be read, and nothing recorded is lost or counted twice."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path
from types import SimpleNamespace

import pytest
from django.contrib.staticfiles import finders
from django.utils import timezone
from playwright.sync_api import Browser, BrowserContext, Page, Route, expect

from projects.actions import marks
from projects.models import Evidence, Job, JobMark, RoofPlane
from projects.screens import worker
from tests.factories import crew_person, office_person
from tests.journeys.people import photo
from tests.screens.crew.test_crews_pages import being_installed
from tests.signing_in import signed_in

pytestmark = [pytest.mark.journey, pytest.mark.django_db(transaction=True)]

STARTED = "install_started"
AGAIN_MS = 15_000
"""Some browsers tell the page at once that they are online again; with others it asks every few seconds."""


@pytest.fixture
def tablet(live_server, chromium: Browser) -> Iterator[BrowserContext]:
    context = chromium.new_context(base_url=live_server.url, viewport={"width": 1180, "height": 820})
    context.set_default_timeout(15_000)
    holds(context, live_server.url, crew_person())
    yield context
    context.close()


def holds(context: BrowserContext, address: str, person) -> None:
    session = signed_in(person).cookies["sessionid"].value
    context.add_cookies([{"name": "sessionid", "value": session, "url": address}])


@pytest.fixture
def job(transactional_db) -> Job:
    return being_installed()


def stocked(tablet: BrowserContext, job: Job) -> Page:
    """The crew's day was opened in the morning, where there was a signal."""
    page = tablet.new_page()
    page.goto("/crew/")
    wait_until_kept(page, f"/crew/{job.number}/")
    return page


def wait_until_kept(page: Page, path: str) -> None:
    for _ in range(60):
        if page.evaluate("async path => Boolean(await caches.match(path))", path):
            return
        page.wait_for_timeout(250)
    raise AssertionError(f"{path} was not kept.")


def records_the_start(page: Page) -> None:
    page.locator(f"#{STARTED} button, section.duty form:has(input[value={STARTED}]) button").first.click()


def tray(page: Page):
    return page.locator("#kept")


def test_what_is_recorded_without_a_signal_is_kept_and_sent_later(tablet, job) -> None:
    page = stocked(tablet, job)
    tablet.set_offline(True)
    page.goto(f"/crew/{job.number}/")
    expect(page.locator("h1")).to_have_text(job.customer.name)
    expect(tray(page)).to_contain_text("No signal")

    records_the_start(page)
    expect(tray(page)).to_contain_text("1 entry on this tablet, not yet sent")
    page.locator("input[type=file]").set_input_files({"name": "a.jpg", "mimeType": "image/jpeg", "buffer": photo(90)})
    page.locator("#photo select").select_option("array")
    page.locator("#photo button").click()
    expect(tray(page)).to_contain_text("2 entries on this tablet, not yet sent")
    page.reload()  # the tablet was put away and taken out again
    expect(tray(page)).to_contain_text("2 entries on this tablet, not yet sent")
    expect(page.locator(".kept-note").first).to_contain_text("Kept on this tablet at")
    assert not JobMark.objects.filter(job=job, key=STARTED).exists()

    tablet.set_offline(False)
    expect(tray(page)).to_contain_text("2 entries that were kept here have been sent.", timeout=AGAIN_MS)
    assert JobMark.objects.get(job=job, key=STARTED).recorded_by == crew_person()
    assert Evidence.objects.filter(job=job, kind="array").count() == 1
    page.goto(f"/crew/{job.number}/")
    expect(page.locator(".notices")).to_contain_text("Recorded: ")
    expect(tray(page)).to_be_hidden()


def test_an_answer_that_got_lost_does_not_record_twice(tablet, job) -> None:
    page = stocked(tablet, job)
    path = f"/crew/{job.number}/"
    page.goto(path)

    def loses_the_answer(route: Route) -> None:
        route.fetch()
        route.abort()

    def does_not_find_the_office_again(route: Route) -> None:
        """Not from this page: it asks every few seconds, and would send again before the next one is opened."""
        route.abort() if page.url.endswith(path) else route.continue_()

    page.route(re.compile("/worker.js$"), does_not_find_the_office_again)
    page.route(re.compile("/mark/$"), loses_the_answer, times=1)
    records_the_start(page)
    expect(tray(page)).to_contain_text("1 entry on this tablet, not yet sent")
    assert JobMark.objects.filter(job=job, key=STARTED).count() == 1
    page.goto("/crew/")
    expect(tray(page)).to_contain_text("What was kept here has been sent.")
    assert JobMark.objects.filter(job=job, key=STARTED).count() == 1


def test_what_the_office_refuses_later_says_why_and_stays_until_it_is_thrown_away(tablet, job) -> None:
    page = stocked(tablet, job)
    tablet.set_offline(True)
    page.goto(f"/crew/{job.number}/")
    records_the_start(page)
    expect(tray(page)).to_contain_text("not yet sent")
    marks.record_mark(job=job, key=STARTED, on=timezone.localdate(), actor=office_person())  # the office was quicker
    tablet.set_offline(False)
    expect(tray(page)).to_contain_text("Refused: ", timeout=AGAIN_MS)
    page.reload()
    expect(tray(page)).to_contain_text("Refused: ")
    page.once("dialog", lambda dialog: dialog.accept())
    tray(page).get_by_role("button", name="Throw away").click()
    expect(tray(page)).to_be_hidden()
    assert JobMark.objects.filter(job=job, key=STARTED).count() == 1


def test_what_the_office_changed_meanwhile_is_told_and_sending_again_means_it(tablet, job) -> None:
    plane = job.site.roof_planes.get()
    page = stocked(tablet, job)
    page.goto(f"/jobs/{job.number}/site/planes/{plane.pk}/")
    tablet.set_offline(True)
    page.fill("[name=age_years]", "9")
    page.get_by_role("button", name="Save the change").click()
    expect(tray(page)).to_contain_text("1 entry on this tablet, not yet sent")
    expect(tray(page)).not_to_contain_text("{")  # what the page carries for itself is nobody's reading
    RoofPlane.objects.update(age_years=14)  # the office was told on the telephone
    tablet.set_offline(False)
    expect(tray(page)).to_contain_text(
        "Refused: Age of the covering (years): Changed meanwhile to “14”.", timeout=AGAIN_MS
    )
    plane.refresh_from_db()
    assert plane.age_years == 14
    tray(page).get_by_role("button", name="Send again").click()
    expect(tray(page)).to_contain_text("What was kept here has been sent.", timeout=AGAIN_MS)
    plane.refresh_from_db()
    assert plane.age_years == 9


def test_a_shared_tablet_sends_nothing_in_another_persons_name(tablet, job, live_server) -> None:
    page = stocked(tablet, job)
    tablet.set_offline(True)
    page.goto(f"/crew/{job.number}/")
    records_the_start(page)
    expect(tray(page)).to_contain_text("not yet sent")
    holds(tablet, live_server.url, office_person())
    tablet.set_offline(False)
    page.goto("/crew/")
    expect(tray(page)).to_contain_text("1 more from somebody else")
    assert not JobMark.objects.filter(job=job, key=STARTED).exists()
    # Nor are the first one's pages shown to the second where there is no signal.
    wait_until_kept(page, f"/crew/{job.number}/")
    tablet.set_offline(True)
    page.goto(f"/crew/{job.number}/")
    expect(page.locator(".who")).to_contain_text(office_person().name)


def test_with_a_signal_a_mistake_is_shown_beside_its_field_as_ever(tablet, job) -> None:
    page = stocked(tablet, job)
    page.goto(f"/crew/{job.number}/")
    form = page.locator(f"section.duty form:has(input[value={STARTED}])")
    form.locator("input[type=date]").fill("2999-01-01")
    form.locator("button").click()
    expect(page.locator(".error").first).to_contain_text("This day has not come yet.")
    expect(tray(page)).to_be_hidden()


def test_signing_out_takes_the_customers_pages_off_the_tablet(tablet, job, live_server) -> None:
    page = stocked(tablet, job)
    page.get_by_role("button", name="Sign out").click()
    page.wait_for_url("**/sign-in/**")
    assert page.evaluate("caches.has('rafterbook-pages')") is False
    # Whoever signs in next has the day on the tablet again, however soon that is.
    holds(tablet, live_server.url, crew_person())
    page.goto("/crew/")
    wait_until_kept(page, f"/crew/{job.number}/")


def test_without_a_signal_the_tablet_itself_asks_for_what_is_missing(tablet, job) -> None:
    page = stocked(tablet, job)
    tablet.set_offline(True)
    page.goto(f"/crew/{job.number}/")
    page.locator("#photo button").click()  # no file chosen
    expect(page.locator("#photo input[type=file]")).to_be_focused()
    expect(tray(page)).not_to_contain_text("not yet sent")


@pytest.fixture
def late_worker(monkeypatch, tmp_path) -> None:
    """It is ready before it answers for a page that was open already; what is fetched in between it does not keep."""
    late = tmp_path / "worker.js"
    at_once = "self.clients.claim()"
    script = Path(finders.find(worker.SCRIPT)).read_text(encoding="utf-8")
    assert at_once in script
    late.write_text(
        script.replace(at_once, f"new Promise((go) => setTimeout(go, 2000)).then(() => {at_once})"), encoding="utf-8"
    )
    monkeypatch.setattr(worker, "finders", SimpleNamespace(find=lambda _name: str(late)))


def test_the_day_is_kept_where_the_tablets_worker_takes_the_page_over_late(tablet, job, late_worker) -> None:
    stocked(tablet, job)


def test_a_page_that_is_only_kept_leaves_the_words_for_the_person_to_the_next_one(tablet, job, late_worker) -> None:
    path = f"/crew/{job.number}/"
    page = tablet.new_page()
    page.goto(path)
    cookies = {one["name"]: one["value"] for one in tablet.cookies()}
    person = {"X-Entry-Person": str(crew_person().pk), "X-Entry-Key": "5f0c" * 8, "X-CSRFToken": cookies["csrftoken"]}
    taken = tablet.request.post(
        f"{path}mark/", form={"key": STARTED, "on": timezone.localdate().isoformat()}, headers=person
    )
    assert taken.status == 204
    wait_until_kept(page, path)
    assert JobMark.objects.filter(job=job, key=STARTED).exists()
    page.reload()
    expect(page.locator(".notices")).to_contain_text("Recorded: ")


def test_a_glove_that_taps_twice_keeps_one_entry(tablet, job) -> None:
    page = stocked(tablet, job)
    tablet.set_offline(True)
    page.goto(f"/crew/{job.number}/")
    page.evaluate(
        f"const f = document.querySelector('form:has(input[value={STARTED}])'); f.requestSubmit(); f.requestSubmit()"
    )
    expect(tray(page)).to_contain_text("1 entry on this tablet, not yet sent")
    page.wait_for_timeout(500)
    expect(tray(page)).to_contain_text("1 entry on this tablet, not yet sent")


def test_a_network_without_a_way_out_counts_as_no_signal(tablet, job) -> None:
    """The browser calls itself online all the while: only asking the office tells."""
    page = stocked(tablet, job)
    page.goto(f"/crew/{job.number}/")
    out = re.compile(".*")
    tablet.route(out, lambda route: route.abort() if route.request.method in ("POST", "HEAD") else route.continue_())
    records_the_start(page)
    expect(tray(page)).to_contain_text("No signal")
    expect(tray(page)).to_contain_text("1 entry on this tablet, not yet sent")
    assert page.evaluate("navigator.onLine")
    page.goto("/crew/")
    expect(tray(page)).to_contain_text("No signal")
    tablet.unroute(out)
    expect(tray(page)).to_contain_text("What was kept here has been sent.", timeout=AGAIN_MS)
    assert JobMark.objects.filter(job=job, key=STARTED).count() == 1
