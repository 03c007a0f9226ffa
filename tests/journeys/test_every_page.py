"""Every page of every audience in a real browser: accessible, as narrow as its window, silent, and fit for fingers and
for the keyboard.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page

from projects.models import Person
from tests.factories import crew_person, owner_person
from tests.journeys.addresses import NO_PAGE, Seeded, pages, seed, unsampled
from tests.signing_in import signed_in

pytestmark = [pytest.mark.journey, pytest.mark.django_db(transaction=True)]

WIDTHS = ((768, 1024), (820, 1180), (1180, 820), (1440, 900))
FINGER_PX = 48
"""For gloves and a tablet in one hand; links within a sentence have the height of their line."""
TARGETS = "a, button, summary, select, textarea, label.choice, input:not([type=hidden], [type=checkbox], [type=radio])"
AUDIENCES: tuple[tuple[str, Callable[[], Person] | None, int], ...] = (
    ("the owner, who sees what the office sees", owner_person, 60),
    ("the crew", crew_person, 10),
    ("anybody", None, 5),
)
"""Who, and how many pages there are at least for them."""


@pytest.fixture
def seeded(chromium, transactional_db) -> Seeded:
    return seed()


@pytest.fixture
def opened(live_server, chromium: Browser) -> Iterator[Callable[[Person | None], Page]]:
    """A page of a browser in which the person has signed in."""
    contexts = []

    def open_as(person: Person | None) -> Page:
        context = chromium.new_context(base_url=live_server.url, viewport={"width": 1180, "height": 820})
        contexts.append(context)
        if person is not None:
            session = signed_in(person).cookies["sessionid"].value
            context.add_cookies([{"name": "sessionid", "value": session, "url": live_server.url}])
        return context.new_page()

    yield open_as
    for context in contexts:
        context.close()


def test_no_page_is_passed_over(seeded) -> None:
    assert unsampled(seeded) == NO_PAGE


@pytest.mark.parametrize(("who", "person", "least"), AUDIENCES, ids=[who for who, _, _ in AUDIENCES])
def test_pages_are_accessible_fit_their_window_and_log_nothing(seeded, opened, who, person, least) -> None:
    somebody = person() if person else None
    page = opened(somebody)
    said: list[str] = []
    page.on("console", lambda message: said.append(message.text) if message.type in ("error", "warning") else None)
    page.on("pageerror", lambda error: said.append(str(error)))
    found = pages(seeded, somebody)
    if somebody and somebody.is_crew:
        found = [address for address in found if "/record/" not in address]  # the very forms that the owner was shown
    assert len(found) >= least
    wrong: list[str] = []
    for address in found:
        said.clear()
        page.goto(address, wait_until="load")
        report = Axe().run(page, options={"rules": {"target-size": {"enabled": True}}})
        if report.violations_count:
            wrong.append(f"{address}: {report.generate_report()}")
        for width, height in WIDTHS:
            page.set_viewport_size({"width": width, "height": height})
            wide = page.evaluate("document.documentElement.scrollWidth")
            if wide > width:
                wrong.append(f"{address}: {wide} px wide in a window of {width}")
        ended = address.endswith("/a-link-that-ended/")
        wrong += [f"{address} logs: {words}" for words in said if not (ended and "404" in words)]
    assert wrong == [], "\n".join(wrong)


def test_what_the_crew_touches_is_large_enough(seeded, opened) -> None:
    person = crew_person()
    page = opened(person)
    wrong = []
    for address in pages(seeded, person):
        if not (address.startswith("/crew/") or address.endswith("/site/")):
            continue
        page.goto(address)
        small = page.evaluate(
            """([targets, least]) => [...document.querySelectorAll(targets)]
              .filter(e => !e.closest("p, .skip, li > span") && e.checkVisibility())
              .map(e => [e.tagName + " " + e.textContent.trim().slice(0, 30), e.getBoundingClientRect()])
              .filter(([_, r]) => r.width && (r.height < least - 0.5 || r.width < least - 0.5))
              .map(([name, r]) => `${name} ${r.width.toFixed()}x${r.height.toFixed()}`)""",
            [TARGETS, FINGER_PX],
        )
        wrong += [f"{address}: {target}" for target in small]
    assert wrong == [], "\n".join(wrong)


KEYBOARD = (
    ("/ask/", None, ".btn.go"),
    ("/sign-in/", None, ".btn.go"),
    ("/leads/new/", owner_person, ".btn.go"),
    ("/jobs/{review}/", owner_person, ".step .btn.go"),
    ("/jobs/{review}/design/", owner_person, ".btn.go"),
    ("/crew/", crew_person, ".btn.go"),
    ("/crew/{failed}/", crew_person, ".duty .btn.go"),
    ("/pipeline/", owner_person, ".data a"),
)


def test_the_keyboard_reaches_the_main_action_and_shows_where_it_is(seeded, opened) -> None:
    wrong = []
    for address, person, action in KEYBOARD:
        page = opened(person() if person else None)
        page.goto(address.format(**{name: job.number for name, job in seeded.jobs.items()}))
        page.evaluate("document.activeElement.blur()")
        wrong += [f"{address}: {problem}" for problem in [way_by_tab(page, action)] if problem]
    assert wrong == [], "\n".join(wrong)


def way_by_tab(page: Page, action: str) -> str:
    """What is wrong with the way by the tabulator key to ``action``; empty when it is reached in full sight."""
    for _ in range(150):
        page.keyboard.press("Tab")
        here = page.evaluate(
            """action => {
                const e = document.activeElement, style = getComputedStyle(e);
                const seen = style.outlineStyle !== "none" && parseFloat(style.outlineWidth) >= 2;
                return {there: e.matches("main " + action), seen, what: e.outerHTML.slice(0, 80)};
            }""",
            action,
        )
        if not here["seen"]:
            return f"no sign of the focus on {here['what']}"
        if here["there"]:
            return ""
    return f"the keyboard never came to {action}"
