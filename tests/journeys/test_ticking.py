"""Jobs ticked on one page of the list stay ticked on the next, and go out together."""

from __future__ import annotations

from urllib.parse import parse_qs, urlsplit

import pytest
from playwright.sync_api import Browser, expect

from projects.models import Job
from tests.factories import lead, office_person
from tests.signing_in import signed_in

pytestmark = [pytest.mark.journey, pytest.mark.django_db(transaction=True)]


def test_ticks_stay_while_the_pages_turn_and_go_out_together(live_server, chromium: Browser) -> None:
    for _ in range(30):
        lead()
    context = chromium.new_context(base_url=live_server.url, viewport={"width": 1440, "height": 900})
    session = signed_in(office_person()).cookies["sessionid"].value
    context.add_cookies([{"name": "sessionid", "value": session, "url": live_server.url}])
    page = context.new_page()
    page.goto("/jobs/")
    boxes = page.locator("input[name=job]")
    first = [boxes.nth(n).get_attribute("value") for n in (0, 2)]
    for n in (0, 2):
        boxes.nth(n).check()
    expect(page.locator("[data-ticked-elsewhere]")).to_be_hidden()
    page.goto("/jobs/?page=2")
    expect(page.locator("[data-ticked-elsewhere]")).to_contain_text("2 more on other pages")
    second = boxes.first.get_attribute("value")
    boxes.first.check()
    page.goto("/jobs/")
    expect(boxes.nth(0)).to_be_checked()
    expect(boxes.nth(1)).not_to_be_checked()
    expect(page.locator("[data-ticked-elsewhere]")).to_contain_text("1 more on other pages")
    page.get_by_role("button", name="Change the ticked jobs").click()
    page.wait_for_url("**/jobs/change/**")
    sent = parse_qs(urlsplit(page.url).query)["job"]
    assert sorted(sent) == sorted([*first, second])
    for number in sent:
        expect(page.locator("main")).to_contain_text(Job.objects.get(number=int(number)).label)
    page.goto("/jobs/")
    expect(page.locator("input[name=job]:checked")).to_have_count(0)

    boxes.first.check()
    page.goto("/jobs/?page=2")
    page.get_by_role("button", name="Untick them").click()
    expect(page.locator("[data-ticked-elsewhere]")).to_be_hidden()
    page.goto("/jobs/")
    expect(page.locator("input[name=job]:checked")).to_have_count(0)
    context.close()
