"""Signed-in browsers of each role."""

from __future__ import annotations

import pytest
from django.test import Client
from django.urls import reverse

from projects.models import Job
from tests.factories import crew_person, office_person, owner_person
from tests.pace import quiet_ms
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


@pytest.fixture
def server_time_s():
    """Seconds of a quiet machine's time that the server takes for an address, all middleware included.

    The handler is called without the test client around it, which keeps a copy of every template's context. Processor
    time, since SQLite works inside the process, and what else the machine does should not count.
    """

    def measure(client: Client, address: str, query: str = "") -> float:
        def serve() -> None:
            response = client.handler(client._base_environ(PATH_INFO=address, QUERY_STRING=query))
            assert response.status_code == 200

        return quiet_ms(serve, within=50) / 1000

    return measure
