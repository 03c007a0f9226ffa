"""A form that adds something and comes twice from one page (a double click, a page loaded again after a slow answer)
adds it once, with or without scripts.

The page carries a key of its own (``{% sent_once %}``, beside ``{% csrf_token %}``). The key counts together with what
was typed: something else sent from the same page, after the browser's "back", is something else.
"""

from __future__ import annotations

import hashlib
from collections.abc import Callable
from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.urls import reverse
from django_htmx.http import HttpResponseClientRedirect

from projects.actions import device_entries
from projects.screens.kept import HEADER

NAME = "page_key"
TWICE = "Sent twice from one page, recorded once. To record another just like it, open the form again."


def sent_once(view: Callable[..., HttpResponse], request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponse:
    """The view's answer; where the same came from the same page before, the way to where the first one led.

    Only an answer that leads on counts as recorded. Pages without a key, and what a tablet kept (it has its own), are
    let through.
    """
    if request.method != "POST" or not request.POST.get(NAME) or HEADER in request.headers:
        return view(request, *args, **kwargs)
    refusal: HttpResponse | None = None
    try:
        with device_entries.once(actor=request.user, key=_key(request), address=request.path) as entry:  # type: ignore[arg-type]
            if not entry:
                messages.info(request, TWICE)
                return _leading(request, entry.led_to or reverse("home"))
            answer = view(request, *args, **kwargs)
            where = answer.headers.get("Location") or answer.headers.get("HX-Redirect")
            if where:
                entry.leads_to(where)
            elif answer.status_code >= 400:
                refusal = answer
                raise device_entries.NotTaken
            else:
                entry.forget()
            return answer
    except device_entries.NotTaken:
        assert refusal is not None
        return refusal


def _key(request: HttpRequest) -> str:
    sent = hashlib.sha256()
    fields = sorted((name, values) for name, values in request.POST.lists() if name != "csrfmiddlewaretoken")
    sent.update(repr((request.get_full_path(), fields)).encode())
    for name, upload in sorted(request.FILES.items()):
        sent.update(repr((name, upload.name, upload.size)).encode())
        for chunk in upload.chunks():
            sent.update(chunk)
        upload.seek(0)
    return device_entries.page_key(sent.hexdigest())


def _leading(request: HttpRequest, where: str) -> HttpResponse:
    return HttpResponseClientRedirect(where) if request.htmx else HttpResponseRedirect(where)  # type: ignore[attr-defined]
