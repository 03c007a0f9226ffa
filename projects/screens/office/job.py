"""The job page and its journal."""

from __future__ import annotations

from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from projects.actions import journal as journal_words
from projects.models import Person
from projects.screens.access import job_or_404, signed_in
from projects.screens.office.page import job_page, journal_of

ENTRIES_PER_PAGE = 50


@signed_in
@require_safe
def job(request: HttpRequest, number: int) -> HttpResponse:
    person = request.user
    assert isinstance(person, Person)
    return render(request, "office/job.html", {"nav": "jobs", **job_page(job_or_404(request, number), person)})


@signed_in
@require_safe
def journal(request: HttpRequest, number: int) -> HttpResponse:
    found = job_or_404(request, number)
    page = Paginator(journal_of(found), ENTRIES_PER_PAGE).get_page(request.GET.get("page"))
    lines = journal_words.sentences(page.object_list)
    return render(request, "office/journal.html", {"nav": "jobs", "job": found, "page": page, "lines": lines})
