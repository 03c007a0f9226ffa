"""What every test of the house shares."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from django.db import connection
from django.test import TransactionTestCase

from projects.models import journal_triggers


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


@pytest.fixture(autouse=True, scope="session")
def _flush_past_the_journal() -> Iterator[None]:
    """A transactional test (a browser's journey) empties all tables at its end, which the journal's triggers refuse:
    they step aside for that flush alone.
    """
    flush = TransactionTestCase._fixture_teardown

    def flush_past_the_journal(self: TransactionTestCase) -> None:
        journal_triggers.drop(connection)
        try:
            flush(self)
        finally:
            journal_triggers.create(connection)

    TransactionTestCase._fixture_teardown = flush_past_the_journal
    yield
    TransactionTestCase._fixture_teardown = flush
