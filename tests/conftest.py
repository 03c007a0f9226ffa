"""What every test of the house shares."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from django.db import connection
from django.test import TransactionTestCase

from projects.models import journal_triggers


@pytest.fixture(autouse=True)
def _quick_and_private(settings, tmp_path) -> None:
    """Files go to the test's own folder, studies run at once, and passwords are hashed cheaply."""
    settings.MEDIA_ROOT = tmp_path / "files"
    settings.CACHES = settings.CACHES | {
        "shared": settings.CACHES["shared"] | {"LOCATION": tmp_path / "counts"},
    }
    settings.STUDIES_IN_BACKGROUND = False
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
