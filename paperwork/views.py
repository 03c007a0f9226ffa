"""Issue, preview and read papers: for the people who work here, and by the customer's link."""

from __future__ import annotations

from django.contrib import messages
from django.core.exceptions import PermissionDenied
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.http import require_POST, require_safe

from paperwork.issue import issue_paper, preview_paper
from paperwork.kinds import KINDS, MONEY_PAPERS
from paperwork.models import IssuedPaper
from projects import queries
from projects.actions.problems import Problems
from projects.models import Job, Person
from projects.screens.access import crew_or_office, job_or_404, office_only
from projects.screens.office.mending import place_of


@require_POST
@office_only
def issue(request: HttpRequest, number: int) -> HttpResponse:
    """Issues the paper of the posted ``kind`` and goes back to the job, or says on a page of its own why not."""
    job = job_or_404(request, number)
    kind = request.POST.get("kind", "")
    try:
        paper = issue_paper(job=job, kind=kind, actor=_person(request))
    except Problems as problems:
        return _refused(request, job, kind, problems)
    messages.success(request, f"{KINDS[kind].title} {paper.number} is issued.")
    return redirect(reverse("job", args=[job.number]))


@require_safe
@crew_or_office
def preview(request: HttpRequest, number: int, kind: str) -> HttpResponse:
    job = job_or_404(request, number)
    if kind not in KINDS:
        raise Http404
    try:
        pdf = preview_paper(job=job, kind=kind, actor=_person(request))
    except Problems as problems:
        return _refused(request, job, kind, problems)
    return _file(pdf.content, "application/pdf", f"{job.label}-{KINDS[kind].code}-preview.pdf")


@require_safe
@crew_or_office
def paper(request: HttpRequest, number: str) -> HttpResponse:
    issued = get_object_or_404(IssuedPaper.objects.defer("facts"), number=number)
    if issued.kind in MONEY_PAPERS and not _person(request).is_office:
        raise PermissionDenied("Invoices are the office's.")
    return _bytes_of(issued)


@require_safe
def paper_by_link(request: HttpRequest, token: str, number: str) -> HttpResponse:
    issued = paper_for_link(token, number)
    if issued is None:
        raise Http404
    response = _bytes_of(issued)
    response["Referrer-Policy"] = "no-referrer"
    response["X-Robots-Tag"] = "noindex"
    return response


def paper_for_link(token: str, number: str) -> IssuedPaper | None:
    """The paper, where the customer's link is good, the paper is of its job and of a kind meant for customers."""
    job = queries.customer_status(token)
    if job is None:
        return None
    readable = [kind.key for kind in KINDS.values() if kind.customer_may_read]
    return IssuedPaper.objects.defer("facts").filter(job=job, number=number, kind__in=readable).first()


def _person(request: HttpRequest) -> Person:
    assert isinstance(request.user, Person)
    return request.user


def _refused(request: HttpRequest, job: Job, kind: str, problems: Problems) -> HttpResponse:
    title = KINDS[kind].title if kind in KINDS else "This paper"
    context = {
        "job": job,
        "title": title,
        "problems": [(problem.message, place_of(job, problem.field)) for problem in problems],
        "nav": "jobs",
    }
    return render(request, "paperwork/refused.html", context, status=422)


def _bytes_of(issued: IssuedPaper) -> HttpResponse:
    response = _file(bytes(issued.content), issued.media_type, issued.file_name)
    response["ETag"] = f'"{issued.sha256}"'
    return response


def _file(content: bytes, media_type: str, name: str) -> HttpResponse:
    response = HttpResponse(content, content_type=media_type)
    response["Content-Disposition"] = f'inline; filename="{name}"'
    response["Cache-Control"] = "private, no-store"
    return response
