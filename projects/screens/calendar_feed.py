"""The secret calendar address: the page that makes and ends it, and the file behind it."""

from __future__ import annotations

import hashlib

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import etag, require_http_methods, require_POST, require_safe

from projects.actions import calendar_feeds
from projects.actions.problems import Problems
from projects.models import CalendarFeed, OfficeProfile, Person
from projects.queries.feed import feed_rows, reader_of
from projects.screens.access import signed_in
from projects.screens.calendar_file import calendar_file


@signed_in
@never_cache
@require_http_methods(["GET", "HEAD", "POST"])
def address(request: HttpRequest) -> HttpResponse:
    """POST makes a new address and shows it in this one answer: no message, no session, no cache keeps it."""
    person = request.user
    assert isinstance(person, Person)
    link = ""
    if request.method == "POST":
        token = calendar_feeds.make_feed(actor=person, person=person)
        link = request.build_absolute_uri(reverse("calendar-file", args=[token]))
    living = CalendarFeed.objects.filter(revoked_at=None).select_related("person").order_by("person__first_name")
    context = {
        "nav": "calendar",
        "link": link,
        "own": living.filter(person=person).first(),
        "others": living.exclude(person=person) if person.is_office else (),
    }
    return render(request, "office/calendar_address.html", context)


@signed_in
@require_POST
def revoke(request: HttpRequest, pk: int) -> HttpResponse:
    whose = get_object_or_404(Person, pk=pk)
    try:
        calendar_feeds.revoke_feed(actor=request.user, person=whose)
    except Problems as problems:
        messages.error(request, str(problems))
    else:
        messages.success(request, "The address is ended: whoever has it reads nothing any more.")
    return redirect("calendar-address")


@require_safe
def file(request: HttpRequest, token: str) -> HttpResponse:
    person = reader_of(token)
    if person is None:
        raise Http404
    page = "job" if person.is_office else "crew-job"
    firm = OfficeProfile.current()
    body = calendar_file(
        feed_rows(person),
        f"{firm.name if firm else 'Rafterbook'}: {'all days' if person.is_office else 'my days'}",
        lambda job: request.build_absolute_uri(reverse(page, args=[job.number])),
    )
    return _answer(request, body)


def _answer(request: HttpRequest, body: bytes) -> HttpResponse:
    tag = f'"{hashlib.sha256(body).hexdigest()[:32]}"'

    @etag(lambda request: tag)
    def told(request: HttpRequest) -> HttpResponse:
        response = HttpResponse(body, content_type="text/calendar; charset=utf-8")
        response["Content-Disposition"] = 'inline; filename="rafterbook.ics"'
        response["Cache-Control"] = "private, max-age=300"
        response["X-Robots-Tag"] = "noindex"
        return response

    return told(request)
