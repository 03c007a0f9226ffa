"""A browser of Django's own in which somebody has signed in."""

from __future__ import annotations

from django.test import Client

from projects.models import Person


def signed_in(person: Person | None) -> Client:
    """None: a visitor whom nobody knows."""
    client = Client()
    if person is not None:
        client.force_login(person)
    return client
