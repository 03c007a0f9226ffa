"""The owner's pages as somebody signed in reads them."""

from __future__ import annotations

import re

from django.test import Client


def signed_in(person) -> Client:
    client = Client()
    client.force_login(person)
    return client


def text_of(answer) -> str:
    assert answer.status_code == 200
    return re.sub(r"\s+", " ", answer.content.decode())
