"""Signed-in browsers for the pages of weather, prices, study and search."""

from __future__ import annotations

import pytest
from django.core.cache import cache
from django.test import Client

from projects.models import Job
from tests import factories
from tests.signing_in import signed_in


@pytest.fixture
def office(db) -> Client:
    return signed_in(factories.office_person())


@pytest.fixture
def crew(db) -> Client:
    return signed_in(factories.crew_person())


@pytest.fixture
def owner(db) -> Client:
    return signed_in(factories.owner_person())


@pytest.fixture
def stranger(db) -> Client:
    return Client()


@pytest.fixture
def job(db) -> Job:
    return factories.lead("hybrid", days_ago=10)


@pytest.fixture(autouse=True)
def _empty_cache() -> None:
    cache.clear()
