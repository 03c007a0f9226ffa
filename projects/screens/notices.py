"""The words for the person ("Recorded: ...") on the next page that somebody sees."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from django.contrib.messages import get_messages
from django.http import HttpRequest

UNSEEN = "X-Page-Unseen"
"""Sent by `kept.js` where a page is fetched only to be kept on the tablet."""


def notices(request: HttpRequest) -> dict[str, Iterable[Any]]:
    """A page is read once its words are, so one that nobody looks at leaves them where they are."""
    return {"messages": () if UNSEEN in request.headers else get_messages(request)}
