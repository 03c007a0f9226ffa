"""Answers a tablet that sends what it kept: taken in, refused, or taken in already."""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps
from typing import Any

from django.http import HttpRequest, HttpResponse

from projects.actions import device_entries

HEADER = "X-Entry-Key"
PERSON = "X-Entry-Person"


def kept_once(view: Callable[..., HttpResponse]) -> Callable[..., HttpResponse]:
    """For a view that redirects once it has recorded what was posted.

    With a key in the header (and the number of the person who typed it), a success is answered 204 (the words for the
    person wait for the next page), and the same key once more is answered 204 without recording anything. Whatever
    else the view answers goes back as it is.
    """

    @wraps(view)
    def answered(request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponse:
        key = request.headers.get(HEADER, "")
        if request.method != "POST" or not key:
            return view(request, *args, **kwargs)
        if len(key) > device_entries.LONGEST_KEY:
            return HttpResponse("That key is too long.", status=400, content_type="text/plain")
        if request.headers.get(PERSON) != str(request.user.pk):
            # Typed by one person, sent after another signed in on the same tablet: it waits for the first.
            return HttpResponse("Somebody else is signed in.", status=409, content_type="text/plain")
        refusal: HttpResponse | None = None
        try:
            with device_entries.once(actor=request.user, key=key, address=request.path) as fresh:  # type: ignore[arg-type]
                if fresh:
                    answer = view(request, *args, **kwargs)
                    if answer.status_code != 302:
                        refusal = answer
                        raise device_entries.NotTaken
        except device_entries.NotTaken:
            assert refusal is not None
            return refusal
        return HttpResponse(status=204)

    return answered
