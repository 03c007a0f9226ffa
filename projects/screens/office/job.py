"""The job page and its journal."""

from __future__ import annotations

from django.core.paginator import Paginator
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from projects import queries
from projects.actions import journal as journal_words
from projects.models import Person
from projects.screens.access import job_or_404, signed_in
from projects.screens.likely import likely_rows
from projects.screens.office.page import MONEY_KINDS, shown

ENTRIES_PER_PAGE = 50


@signed_in
@require_safe
def job(request: HttpRequest, number: int) -> HttpResponse:
    found = queries.job_page(number)
    person = request.user
    if found is None or not isinstance(person, Person):
        raise Http404
    likely, forecast = likely_rows(found.job, found.today)
    context = {"nav": "jobs", "likely": likely, "likely_thin": bool(forecast and forecast.thin), **shown(found, person)}
    return render(request, "office/job.html", context)


@signed_in
@require_safe
def journal(request: HttpRequest, number: int) -> HttpResponse:
    found = job_or_404(request, number)
    entries = queries.journal_by_day(found)
    if not request.user.is_office:
        entries = entries.exclude(kind__in=MONEY_KINDS)
    page = Paginator(entries, ENTRIES_PER_PAGE).get_page(request.GET.get("page"))
    lines = journal_words.sentences(page.object_list)
    return render(request, "office/journal.html", {"nav": "jobs", "job": found, "page": page, "lines": lines})
