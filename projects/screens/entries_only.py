"""An address that only takes entries, opened as a page: said in plain words, with the page that it belongs to.

A form that comes back with a mistake stands at such an address, and people copy, mark or reopen what they see.
"""

from __future__ import annotations

import re
from collections.abc import Callable

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

_PAGE_ABOVE = re.compile(
    r"^(/jobs/\d+/(?:site|loads|designs?|study|messages)/|/(?:jobs|crew|imports)/\d+/|/(?:calendar|messages|office|desk)/)."
)


class EntriesOnly:
    """Middleware: a browser that asks for a page where there is none gets words instead of an empty 405."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        answer = self.get_response(request)
        if answer.status_code != 405 or request.method != "GET" or not request.accepts("text/html"):
            return answer
        worded = render(request, "405.html", {"page_above": page_above(request.path)}, status=405)
        worded["Allow"] = answer["Allow"]
        return worded


def page_above(path: str) -> str:
    """ "/jobs/7/site/planes/3/remove/" -> "/jobs/7/site/"; the first page where nothing nearer is one."""
    found = _PAGE_ABOVE.match(path)
    return found[1] if found else "/"
