"""The first look, from the household's answers to the report: drawn up at a press, looked at, then sent out.

Within a day of the request somebody wants to know what it would take; nobody has been on the roof yet.
"""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods

from projects.actions import design as actions
from projects.actions.problems import Problems
from projects.actions.redraw import current_design
from projects.models import Design, Job, PaperIssue, Person, StudyRun
from projects.screens.access import job_or_404, office_only
from projects.screens.office import headline
from projects.screens.office.mending import place_of, said


@office_only
@require_http_methods(["GET", "HEAD", "POST"])
def first_look(request: HttpRequest, number: int) -> HttpResponse:
    job, person = job_or_404(request, number), request.user
    assert isinstance(person, Person)
    problems: list[dict[str, Any]] = []
    if request.method == "POST":
        try:
            draw_up(job, person)
        except Problems as found:
            problems = [
                {"message": said(each.message), "place": place_of(job, each.field, each.message)} for each in found
            ]
        else:
            messages.success(request, "The first look is drawn up. Read it before it goes out.")
            return redirect("job-first-look", number=job.number)
    design = current_design(job)
    study = study_of(design)
    issued = PaperIssue.objects.filter(job=job, kind="first_look").order_by("-pk").first()
    context = {
        "nav": "jobs",
        "job": job,
        "problems": problems,
        "design": design,
        "study": study,
        "rows": [*headline.of_design(design), *headline.of_study(study.headline, design.inverter_count)]
        if design and study
        else [],
        "failing": study.failing_checks if study else [],
        "assumptions": design.frozen.get("assumptions", []) if design else [],
        "issued": issued,
        "differs": bool(issued and design and design.preliminary and issued.design_fingerprint != design.fingerprint),
        "preview": reverse("paper-preview", args=[job.number, "first_look"]),
    }
    return render(request, "office/first_look.html", context, status=422 if problems else 200)


def draw_up(job: Job, person: Person) -> None:
    """Sketches and studies, as far as that isn't done: an engineered design is taken as it stands."""
    design = current_design(job)
    if design is None or design.preliminary:
        design = actions.preliminary_design(job=job, actor=person)
    if study_of(design) is None:
        actions.run_study(job=job, actor=person)


def study_of(design: Design | None) -> StudyRun | None:
    """The latest finished study of exactly this design."""
    if design is None:
        return None
    done = StudyRun.objects.filter(design=design, state=StudyRun.State.DONE, design_fingerprint=design.fingerprint)
    return done.defer("request", "result").order_by("-pk").first()
