"""The search over everything: as a list under the field while somebody types, and as a page of its own."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils.cache import patch_vary_headers
from django.utils.http import urlencode
from django.views.decorators.http import require_safe

from projects.queries.finding import JOBS_SHOWN, LEAST_LETTERS, MORE_JOBS, find
from projects.screens.access import office_only
from projects.screens.office.forms_settings import ONE
from projects.screens.office.papers import PAPERS


@office_only
@require_safe
def find_anything(request: HttpRequest) -> HttpResponse:
    typing = bool(request.htmx)
    found = find(request.GET.get("q", ""), jobs_shown=JOBS_SHOWN if typing else MORE_JOBS)
    permit_of = found.permit_of
    context = {
        "nav": "",
        "found": found,
        "jobs": [(job, permit_of.get(job.pk)) for job in found.jobs],
        "papers": [
            (paper, PAPERS.get(paper.kind, paper.kind.replace("_", " ").capitalize())) for paper in found.papers
        ],
        "registers": [(line, ONE.get(line.noun, line.noun)) for line in found.registers],
        "in_the_list": f"{reverse('jobs')}?{urlencode({'q': found.text})}",
        "everything": f"{reverse('find')}?{urlencode({'q': found.text})}",
        "least_letters": LEAST_LETTERS,
    }
    response = render(request, "office/found.html" if typing else "office/find.html", context)
    patch_vary_headers(response, ["HX-Request"])
    return response
