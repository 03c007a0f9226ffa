"""All papers of a job on one page: what went out, what can go out, and several issued one after the other."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_POST, require_safe

from paperwork.batch import Ready, kinds_of, readiness
from paperwork.issue import issue_paper
from paperwork.kinds import KINDS, PaperKind
from paperwork.models import IssuedPaper
from projects.actions.problems import Problems
from projects.models import Design, Job, Person
from projects.screens.access import job_or_404, office_only
from projects.screens.office.papers import SHOW_THE_DESIGN


@dataclass(frozen=True)
class Line:
    """A kind of paper as the page lists it."""

    ready: Ready
    latest: IssuedPaper | None
    outdated: bool

    @property
    def kind(self) -> PaperKind:
        return self.ready.kind

    @property
    def due(self) -> bool:
        """Ticked to begin with: it can go out, and what went out is missing or no longer true."""
        return not self.ready.problems and (self.latest is None or self.outdated)


@dataclass(frozen=True)
class Outcome:
    """What became of one paper of a batch. ``paper`` and ``problems`` both empty: its turn is still to come."""

    kind: PaperKind
    paper: IssuedPaper | None = None
    problems: Sequence[str] = field(default=())


@require_safe
@office_only
def job_papers(request: HttpRequest, number: int) -> HttpResponse:
    job = job_or_404(request, number)
    return render(request, "paperwork/job_papers.html", _page(job))


def _page(job: Job, **more: object) -> dict[str, object]:
    return {"nav": "jobs", "job": job, "lines": lines_of(job), "closed": bool(job.outcome), **more}


def lines_of(job: Job) -> list[Line]:
    latest = {paper.kind: paper for paper in IssuedPaper.objects.light().filter(job=job).select_related("issued_by")}
    design = Design.objects.filter(job=job).order_by("-revision").only("fingerprint").first()
    shown = design.fingerprint if design else ""
    found = []
    for ready in readiness(job):
        paper = latest.get(ready.kind.key)
        old = paper is not None and ready.kind.key in SHOW_THE_DESIGN and paper.design_fingerprint != shown
        found.append(Line(ready, paper, old))
    return found


@require_POST
@office_only
def batch(request: HttpRequest, number: int) -> HttpResponse:
    """The ticked papers: all at once, or, where the page can follow, the list of them whose lines issue themselves."""
    job = job_or_404(request, number)
    belonging = {kind.key for kind in kinds_of(job)}
    asked = [kind for kind in dict.fromkeys(request.POST.getlist("kind")) if kind in belonging]
    if not asked:
        if request.headers.get("HX-Request"):
            return render(request, "paperwork/batch.html", {"job": job, "lines": []})
        return render(request, "paperwork/job_papers.html", _page(job, nothing=True), status=422)
    if request.headers.get("HX-Request"):
        lines = [Outcome(KINDS[kind]) for kind in asked]
        return render(
            request, "paperwork/batch.html", {"job": job, "lines": lines, "rest": asked[1:], "total": len(asked)}
        )
    outcomes = [_issued(job, kind, request) for kind in asked]
    refused = [outcome for outcome in outcomes if outcome.problems]
    if not refused:
        messages.success(request, _told(len(outcomes), len(outcomes)))
        return redirect("job-papers", job.number)
    context = _page(job, outcomes=outcomes, told=_told(len(outcomes) - len(refused), len(outcomes)))
    return render(request, "paperwork/job_papers.html", context, status=422)


@require_POST
@office_only
def batch_line(request: HttpRequest, number: int) -> HttpResponse:
    """Issues one paper of a batch; the answer is its line, the next line set going, and how far the batch is."""
    job = job_or_404(request, number)
    belonging = {kind.key for kind in kinds_of(job)}
    kind = request.POST.get("kind", "")
    rest = [key for key in request.POST.get("rest", "").split(",") if key in belonging]
    if kind not in belonging:
        return HttpResponse("There is no such paper.", status=422)
    outcome = _issued(job, kind, request)
    total, issued = _count(request, "total"), _count(request, "issued") + (outcome.paper is not None)
    context = {
        "job": job,
        "line": outcome,
        "next": Outcome(KINDS[rest[0]]) if rest else None,
        "rest": rest[1:],
        "total": total,
        "issued": issued,
        "tried": total - len(rest),
        "told": _told(issued, total),
    }
    return render(request, "paperwork/batch_answer.html", context)


def _count(request: HttpRequest, name: str) -> int:
    value = request.POST.get(name, "0")
    return int(value) if value.isdecimal() and len(value) < 4 else 0


def _told(issued: int, total: int) -> str:
    return f"{issued} of {total} paper{'' if total == 1 else 's'} issued."


def _issued(job: Job, kind: str, request: HttpRequest) -> Outcome:
    assert isinstance(request.user, Person)
    try:
        return Outcome(KINDS[kind], issue_paper(job=job, kind=kind, actor=request.user))
    except Problems as problems:
        return Outcome(KINDS[kind], problems=[problem.message for problem in problems])
