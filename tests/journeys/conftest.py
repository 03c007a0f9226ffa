"""A real office on this machine (its own process, database file and background studies) and real browsers."""

from __future__ import annotations

import os
from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, expect, sync_playwright

from paperwork.demo import running
from projects.config.machine import find_chromium

EXPECTED_MS = 15_000
"""Longest wait for what a page is to show: five seconds can be short on a machine that does much at once."""


@pytest.fixture(scope="module")
def office(tmp_path_factory: pytest.TempPathFactory) -> Iterator[running.RunningOffice]:
    """The demo office's people, authorities and catalogue, and not one job."""
    with running.office(tmp_path_factory.mktemp("office"), jobs=False, seconds=300) as found:
        yield found


@pytest.fixture(scope="module")
def chromium() -> Iterator[Browser]:
    # Playwright's loop runs in this thread, and Django would take the test's own queries for a slip.
    os.environ["DJANGO_ALLOW_ASYNC_UNSAFE"] = "true"
    with sync_playwright() as playwright:
        expect.set_options(timeout=EXPECTED_MS)
        browser = playwright.chromium.launch(executable_path=str(find_chromium()), args=["--no-sandbox"])
        yield browser
        browser.close()
    del os.environ["DJANGO_ALLOW_ASYNC_UNSAFE"]
