"""Signed-in browsers of each role."""

from __future__ import annotations

import pytest
from django.test import Client
from django.urls import reverse

from projects.models import Job
from tests.factories import crew_person, office_person, owner_person


def signed_in(person) -> Client:
    client = Client()
    client.force_login(person)
    return client


@pytest.fixture
def office(db) -> Client:
    return signed_in(office_person())


@pytest.fixture
def crew(db) -> Client:
    return signed_in(crew_person())


@pytest.fixture
def owner(db) -> Client:
    return signed_in(owner_person())


@pytest.fixture
def stranger(db) -> Client:
    return Client()


@pytest.fixture
def record():
    """Posts a fact's form to its address and gives the answer."""

    def post(client: Client, job: Job, fact: str, subject: str | int = "", **typed):
        where = [job.number, fact, subject] if subject else [job.number, fact]
        return client.post(reverse("record-about" if subject else "record", args=where), typed)

    return post
