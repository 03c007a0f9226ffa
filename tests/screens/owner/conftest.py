"""What the tests of the owner's pages share."""

from __future__ import annotations

import pytest
from django.core.cache import cache
from django.test import Client

from tests.factories import owner_person
from tests.signing_in import signed_in


@pytest.fixture(autouse=True)
def _no_history_kept() -> None:
    cache.clear()


@pytest.fixture
def owner(db) -> Client:
    return signed_in(owner_person())
