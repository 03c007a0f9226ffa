"""Signed-in browsers of each role."""

from __future__ import annotations

import pytest
from django.test import Client

from tests.factories import crew_person, office_person, owner_person
from tests.signing_in import signed_in


@pytest.fixture
def office(db) -> Client:
    return signed_in(office_person())


@pytest.fixture
def crew(db) -> Client:
    return signed_in(crew_person())


@pytest.fixture
def owner(db) -> Client:
    return signed_in(owner_person())
