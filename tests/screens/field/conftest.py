"""Clients signed in by role, for the pages of conditions in the field."""

from __future__ import annotations

import pytest
from django.core.cache import cache
from django.test import Client

from tests import factories
from tests.signing_in import signed_in


@pytest.fixture
def office(db) -> Client:
    return signed_in(factories.office_person())


@pytest.fixture
def crew(db) -> Client:
    return signed_in(factories.crew_person())


@pytest.fixture
def stranger(db) -> Client:
    return Client()


@pytest.fixture(autouse=True)
def _empty_cache() -> None:
    cache.clear()
