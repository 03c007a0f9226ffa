"""The people of a journey, each at a browser of their own: what they press, what they type, what they read."""

from __future__ import annotations

import io
import re
from typing import Any

import pytest
from PIL import Image
from playwright.sync_api import Browser, Locator, Page, TimeoutError, expect

from paperwork.demo import load

DESK, TABLET, PHONE = (1440, 900), (820, 1180), (390, 844)


HEAR_PROGRESS = """
setInterval(() => {
    const said = document.querySelector("#progress [role=status]")?.textContent.trim();
    const heard = JSON.parse(sessionStorage.heard || "[]");
    if (said && !heard.includes(said)) sessionStorage.heard = JSON.stringify([...heard, said]);
}, 30)
"""
"""Keeps what the progress line says, across the reloading of the page."""


class Reader:
    """Somebody at a browser. What the browser complains about is kept in ``complaints``."""

    def __init__(self, chromium: Browser, address: str, size: tuple[int, int]) -> None:
        context = chromium.new_context(base_url=address, viewport={"width": size[0], "height": size[1]})
        context.set_default_timeout(20_000)
        self.page: Page = context.new_page()
        self.complaints: list[str] = []
        self.page.on("pageerror", lambda error: self.complaints.append(str(error)))
        self.page.on("console", self._hear)

    def _hear(self, message: Any) -> None:
        # A form that is refused comes back with 422, which Chromium reports as a failed request; htmx reports what it
        # gave up itself because something newer was typed or the page was left.
        expected = ("422", "htmx:afterRequest", "htmx:sendAbort")
        if message.type == "error" and not any(words in message.text for words in expected):
            self.complaints.append(message.text)

    def opens(self, address: str) -> None:
        self.page.goto(address)

    def reads(self) -> str:
        return re.sub(r"\s+", " ", self.page.inner_text("body"))

    def presses(self, name: str, within: Locator | None = None) -> None:
        (within or self.page.locator("main")).get_by_role("button", name=name).first.click()

    def fills(self, within: Locator, typed: dict[str, Any]) -> None:
        """By the fields' names; a list ticks boxes, a file's bytes are chosen as an upload."""
        for name, value in typed.items():
            fields = within.locator(f"[name='{name}']:not([type=hidden])")
            kind = fields.first.evaluate("e => e.tagName === 'SELECT' ? 'select' : e.type")
            if kind in ("checkbox", "radio"):
                for wanted in value if isinstance(value, list) else [value]:
                    within.locator(
                        f"[name='{name}'][value='{wanted}']" if wanted is not True else f"[name='{name}']"
                    ).check()
            elif kind == "select":
                fields.first.select_option(fields.first.locator("option", has_text=value).first.get_attribute("value"))
            elif kind == "file":
                fields.first.set_input_files({"name": "photo.jpg", "mimeType": "image/jpeg", "buffer": value})
            else:
                fields.first.fill(str(value))

    def sends(self, button: str, within: Locator | None = None, **typed: Any) -> str:
        """Fills and sends a form of the page; the notice that comes back."""
        place = within or self.page.locator("main")
        self.fills(place, typed)
        with self.page.expect_navigation():
            self.presses(button, place)
        return self.notice()

    def notice(self) -> str:
        """What the page says was done; a form that came back with errors fails here, in its own words."""
        refused = self.page.locator("main .problems, main .errorlist, main .error")
        assert refused.count() == 0, refused.all_inner_texts()
        notices = self.page.locator(".notice")
        return " ".join(notices.all_inner_texts())

    def downloads(self, address: str) -> bytes:
        answer = self.page.context.request.get(address)
        assert answer.ok, (answer.status, address)
        assert answer.headers["content-type"] == "application/pdf"
        return answer.body()


class Worker(Reader):
    """Somebody who works here and has signed in."""

    def __init__(self, chromium: Browser, address: str, name: str, size: tuple[int, int] = DESK) -> None:
        super().__init__(chromium, address, size)
        self.opens("/")
        self.fills(self.page.locator("main"), {"username": name, "password": load.password()})
        with self.page.expect_navigation():
            self.presses("Sign in")
        self.first_page = self.page.url.removeprefix(address)


class OfficeWorker(Worker):
    def opens_job(self, number: int) -> None:
        self.opens(f"/jobs/{number}/")

    def steps(self) -> list[str]:
        """What the job page says is to be done next."""
        return self.page.locator(".steps .step strong").all_inner_texts()

    def step(self, task: str) -> Locator:
        return self.page.locator(".steps .step").filter(has_text=task).first

    def follows(self, task: str) -> None:
        """Presses the button of a next step that leads to a page of its own."""
        with self.page.expect_navigation():
            self.step(task).locator(".acts a.btn").last.click()

    def issues(self, task: str) -> str:
        with self.page.expect_navigation():
            self.step(task).locator(".acts button").last.click()
        return self.notice()

    def records(self, task: str, button: str = "", **typed: Any) -> str:
        """Opens the form of a next step inside the page, fills it and sends it; the notice that comes back."""
        step = self.step(task)
        openers = step.locator(".acts a.btn")
        (openers.filter(has_text=re.compile(rf"^{button}")).first if button else openers.last).click()
        return self._sends_slot(step, typed)

    def records_below(self, opener: str, **typed: Any) -> str:
        """The same from one of the sheets below, by the words of its button or link."""
        link = self.page.locator("a[data-opens]").filter(has_text=opener).first
        link.click()
        return self._sends_slot(self.page.locator(".slot:has(form)").first.locator("xpath=.."), typed)

    def _sends_slot(self, place: Locator, typed: dict[str, Any]) -> str:
        slot = place.locator(".slot form").first
        slot.wait_for()
        self.fills(slot, typed)
        try:
            with self.page.expect_navigation():
                slot.locator(".btn.go").click()
        except TimeoutError:
            pytest.fail(f"The form stayed: {slot.inner_text()}")
        return self.notice()

    def paper_number(self, title: str) -> str:
        """Of the latest issue, as the file lists it."""
        line = self.page.locator("#file .papers > li").filter(has_text=title)
        return line.locator("a[href*='/papers/issue/']").first.inner_text()

    def figures(self) -> dict[str, str]:
        """The study page's row of key figures."""
        rows = self.page.locator("dl.figures > div")
        return {row.locator("dt").inner_text(): row.locator("dd").inner_text() for row in rows.all()}

    def runs_the_study(self) -> list[str]:
        """Starts it and watches until its figures are there; what the progress line said on the way."""
        self.page.add_init_script(HEAR_PROGRESS)
        with self.page.expect_navigation():
            self.presses("Run the study")
        expect(self.page.locator("dl.figures")).to_be_visible(timeout=30_000)
        return self.page.evaluate("JSON.parse(sessionStorage.heard || '[]')")


class CrewMember(Worker):
    def __init__(self, chromium: Browser, address: str, name: str) -> None:
        super().__init__(chromium, address, name, TABLET)

    def opens_job(self, customer: str) -> None:
        self.opens("/crew/")
        with self.page.expect_navigation():
            self.page.get_by_role("link", name=customer).first.click()

    def duties(self) -> list[str]:
        return self.page.locator(".duty[id]:not(#photo) h2 > span").all_inner_texts()

    def records(self, key: str, **typed: Any) -> str:
        """Fills the form under one duty and presses its button."""
        duty = self.page.locator(f".duty#{key}")
        return self.sends_first(duty, typed)

    def sends_first(self, place: Locator, typed: dict[str, Any]) -> str:
        form = place.locator("form").first
        self.fills(form, typed)
        with self.page.expect_navigation():
            form.locator(".btn.go").click()
        return self.notice()

    def photographs(self, what: str, shade: int) -> str:
        return self.sends_first(self.page.locator(".duty#photo"), {"kind": what, "photo": photo(shade)})


def photo(shade: int) -> bytes:
    """A small real JPEG; another shade is another picture."""
    out = io.BytesIO()
    Image.new("RGB", (320, 240), (shade, 255 - shade, 90)).save(out, "JPEG")
    return out.getvalue()
