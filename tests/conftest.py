"""What every test of the house shares."""

from __future__ import annotations

import gc
import time
from collections.abc import Iterator

import pytest
from django.db import OperationalError, connection
from django.test import TransactionTestCase

from projects.models import journal_triggers
from tests.served import PATIENCE_S, served_to_the_end


@pytest.hookimpl(tryfirst=True)
def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Side by side, the tests of a module that share something costly stay with one worker."""
    for item in items:
        shared = getattr(item, "_fixtureinfo", None)
        defined = shared.name2fixturedefs.values() if shared else ()
        if any(one.scope == "module" for kinds in defined for one in kinds):
            item.add_marker(pytest.mark.xdist_group(item.path.stem))


@pytest.fixture(autouse=True)
def _quick_and_private(settings, tmp_path) -> None:
    """Files go to the test's own folder, studies run at once, and passwords are hashed cheaply."""
    settings.DATA_DIR = tmp_path
    settings.MEDIA_ROOT = tmp_path / "files"
    settings.CACHES = settings.CACHES | {
        "shared": settings.CACHES["shared"] | {"LOCATION": tmp_path / "counts"},
    }
    settings.STUDIES_IN_BACKGROUND = False
    settings.MAIL_IN_BACKGROUND = False
    settings.PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]


@pytest.fixture(autouse=True)
def _served_to_the_end(request: pytest.FixtureRequest) -> Iterator[None]:
    """Between the closing of the browser, which is asked for later, and the emptying of the tables."""
    if "live_server" not in request.fixturenames:
        yield
        return
    request.getfixturevalue("transactional_db")
    with served_to_the_end():
        yield


@pytest.fixture(autouse=True, scope="session")
def _flush_past_the_journal() -> Iterator[None]:
    """A transactional test (a browser's journey) empties all tables at its end, which the journal's triggers refuse:
    they step aside for that flush alone.
    """
    flush = TransactionTestCase._fixture_teardown

    def drop_the_triggers() -> None:
        ends = time.monotonic() + PATIENCE_S
        while True:
            try:
                return journal_triggers.drop(connection)
            except OperationalError:  # somebody still reads: an answer that nobody took, until it is swept up
                if time.monotonic() > ends:
                    raise
                gc.collect()
                time.sleep(0.1)

    def flush_past_the_journal(self: TransactionTestCase) -> None:
        drop_the_triggers()
        try:
            flush(self)
        finally:
            journal_triggers.create(connection)

    TransactionTestCase._fixture_teardown = flush_past_the_journal
    yield
    TransactionTestCase._fixture_teardown = flush
