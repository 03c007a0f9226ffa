"""The pages in a real browser: by keyboard alone, at tablet width, with no complaint from the policy or axe."""

from __future__ import annotations

import os
from collections.abc import Iterator

import pytest
from django.urls import reverse

from tests import factories

pytestmark = [pytest.mark.journey, pytest.mark.django_db(transaction=True)]
PASSWORD = "rope and anchor 7"


@pytest.fixture
def page(live_server, monkeypatch) -> Iterator:
    monkeypatch.setenv("DJANGO_ALLOW_ASYNC_UNSAFE", "true")
    from playwright.sync_api import sync_playwright

    person = factories.PersonFactory(username="ines", role="office")
    person.set_password(PASSWORD)
    person.save()
    with sync_playwright() as tools:
        chromium = os.environ.get("RAFTERBOOK_CHROMIUM") or (
            "/usr/bin/chromium" if os.path.exists("/usr/bin/chromium") else None
        )
        browser = tools.chromium.launch(executable_path=chromium, args=["--no-sandbox"])
        tab = browser.new_page(viewport={"width": 768, "height": 1024})
        tab.set_default_timeout(15_000)
        tab.complaints = []
        tab.on("pageerror", lambda error: tab.complaints.append(str(error)))
        tab.on("console", lambda line: tab.complaints.append(line.text) if "Content Security" in line.text else None)
        tab.goto(live_server.url + reverse("sign-in"))
        tab.fill("[name=username]", "ines")
        tab.fill("[name=password]", PASSWORD)
        tab.press("[name=password]", "Enter")
        tab.wait_for_url(lambda url: "sign-in" not in url)
        yield tab
        browser.close()


def test_a_lead_is_entered_by_keyboard_and_its_duplicate_noticed(page, live_server) -> None:
    known = factories.lead("hybrid", days_ago=3)
    page.goto(live_server.url + reverse("lead-new"))
    keys = page.keyboard
    for typed in ("Wren Ottaway", known.customer.phone, "", "9 Saltgrass Way", "28557"):
        keys.type(typed)
        keys.press("Tab")
    page.wait_for_selector("#duplicates .duplicates")
    assert known.customer.name in page.inner_text("#duplicates")
    page.wait_for_function("document.getElementById('id_city').value === 'Morehead City'")
    page.check("#id_another_household")
    page.fill("#id_name", "Wren S. Ottaway")
    page.press("#id_name", "Enter")
    page.wait_for_url("**/jobs/*/")
    assert known.customer.jobs.model.objects.filter(customer__name="Wren S. Ottaway").exists()
    assert not page.complaints


def test_the_drawing_of_a_roof_plane_follows_the_typing(page, live_server) -> None:
    job = factories.lead("hybrid", days_ago=3)
    page.goto(live_server.url + reverse("job-plane-new", args=[job.number]))
    for name, typed in (
        ("name", "Barn"),
        ("azimuth_deg", "SSW"),
        ("tilt_deg", "4:12"),
        ("width_m", "30"),
        ("slope_length_m", "14"),
        ("eave_height_m", "9"),
    ):
        page.fill(f"#id_{name}", typed)
    page.press("#id_eave_height_m", "Tab")
    page.wait_for_selector("#plan .pl-live")
    assert page.text_content("#plan .pl-livetext") == "Barn"
    assert not page.complaints


def test_every_page_fits_a_tablet_and_axe_finds_nothing(page, live_server) -> None:
    from axe_playwright_python.sync_playwright import Axe

    job = factories.job_at("permits")
    plane = job.site.roof_planes.first()
    line = job.load_lines.first()
    addresses = [
        reverse("lead-new"),
        reverse("office"),
        reverse("office-edit", args=["jurisdictions", job.jurisdiction_id]),
        reverse("office-new", args=["people"]),
        reverse("job-plane", args=[job.number, plane.pk]),
        *([reverse("job-load", args=[job.number, line.pk])] if line else []),
        *(
            reverse(name, args=[job.number])
            for name in (
                "lead-answers",
                "job-kind",
                "job-site",
                "job-obstruction-new",
                "job-loads",
                "job-design",
                "job-study",
            )
        ),
        reverse("ask"),
        reverse("ask") + "?in=es",
        reverse("ask-thanks"),
    ]
    found = []
    for address in addresses:
        answer = page.goto(live_server.url + address)
        assert answer.status == 200, address
        width = page.evaluate("document.documentElement.scrollWidth")
        if width > 768:
            found.append((address, f"{width} px wide"))
        found += [(address, wrong["id"]) for wrong in Axe().run(page).response["violations"]]
        small = page.evaluate(
            "[...document.querySelectorAll('main .btn, main input:not([type=hidden]), main select')]"
            ".filter(e => e.checkVisibility() && !e.closest('.visually-hidden'))"
            ".filter(e => Math.max(e.getBoundingClientRect().height,"
            " e.closest('label')?.getBoundingClientRect().height || 0) < 43.5)"
            ".map(e => e.outerHTML.slice(0, 80))"
        )
        found += [(address, f"small target {target}") for target in small]
    assert found == []
    assert not page.complaints
