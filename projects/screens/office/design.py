"""The design: what is drawn, what fits, what changed since the permits were submitted."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods, require_POST

from projects.actions import design as actions
from projects.actions.design_checks import most_modules
from projects.actions.differences import differences
from projects.actions.facts import facts_of
from projects.actions.problems import Problems
from projects.models import Design, Job, ModuleModel, RoofPlane, StudyRun
from projects.screens.access import job_or_404, office_only
from projects.screens.office.forms_design import DesignForm
from projects.screens.office.site import unit_of
from projects.screens.problems import add_problems
from projects.screens.site_plan import plan_svg

PARTS = ("module", "inverter", "battery", "generator")


@office_only
@require_http_methods(["GET", "POST"])
def design(request: HttpRequest, number: int) -> HttpResponse:
    job = job_or_404(request, number)
    revisions = list(job.designs.select_related("created_by", *PARTS).order_by("-revision"))
    current = revisions[0] if revisions else None
    planes = list(job.site.roof_planes.all())
    if request.headers.get("HX-Request") and "room" in request.GET:
        return _room(request, job, planes)
    form = DesignForm(request.POST or None, planes=planes, design=current, unit=unit_of(request))
    if request.method == "POST" and form.is_valid():
        try:
            saved = actions.save_design(job=job, actor=request.user, **form.cleaned_design())
        except Problems as problems:
            add_problems(form, problems)
        else:
            if current is not None and saved.pk == current.pk:
                messages.success(request, f"Nothing in the drawing differs: it stays revision {saved.revision_letter}.")
            else:
                messages.success(request, f"Revision {saved.revision_letter} is drawn. Run the study on it next.")
            return redirect("job-design", number=job.number)
    return render(
        request,
        "office/design.html",
        _context(request, job, form, revisions, planes),
        status=422 if form.errors else 200,
    )


def _context(
    request: HttpRequest, job: Job, form: DesignForm, revisions: list[Design], planes: list[RoofPlane]
) -> dict[str, Any]:
    current = revisions[0] if revisions else None
    facts = facts_of(job)
    submitted = any(permit.submissions for permit in facts.permits)
    chosen = form["module"].value()
    module = ModuleModel.objects.filter(pk=chosen).first() if str(chosen or "").isdecimal() else None
    study = job.studies.filter(state=StudyRun.State.DONE).defer("result", "request").order_by("-pk").first()
    return {
        "nav": "jobs",
        "job": job,
        "form": form,
        "current": current,
        "assumptions": current.frozen.get("assumptions", []) if current else [],
        "revisions": _history(revisions),
        "planes": [(plane, field, _room_of(plane, module)) for plane, field in form.plane_fields],
        "missing": _missing(job, planes),
        "submitted": submitted,
        "changes": facts.design_changes,
        "study": study,
        "study_current": study is not None and current is not None and study.design_fingerprint == current.fingerprint,
        "unit": unit_of(request),
        "plan": plan_svg(
            planes,
            list(job.site.obstructions.all()),
            unit=unit_of(request),
            modules={line["plane"]: line["modules"] for line in current.plane_modules} if current else None,
            southern=job.site.latitude_deg < 0,
        )
        if planes
        else "",
    }


def _missing(job: Job, planes: list[RoofPlane]) -> list[tuple[str, str]]:
    """(name of the address, words) of what has to be there before a design can be drawn."""
    missing = []
    if not job.system_kind:
        missing.append(("job-kind", "decide the kind of system"))
    if job.site.service_recorded_on is None:
        missing.append(("job-site", "record the electrical service"))
    if not planes:
        missing.append(("job-site", "record the roof planes"))
    return missing


def _history(revisions: list[Design]) -> list[tuple[Design, tuple[str, ...]]]:
    """Each revision with what it changed over the one before."""
    found = []
    for newer, older in zip(revisions, [*revisions[1:], None], strict=False):
        found.append((newer, differences(older.frozen, newer.frozen) if older else ()))
    return found


def _room_of(plane: RoofPlane, module: ModuleModel | None) -> int | None:
    return most_modules(plane, module.length_m, module.width_m) if module else None


def _room(request: HttpRequest, job: Job, planes: list[RoofPlane]) -> HttpResponse:
    """How many of another module fit, plane by plane."""
    chosen = request.GET.get("module", "")
    module = ModuleModel.objects.filter(pk=int(chosen)).first() if chosen.isdecimal() else None
    rooms = [(plane, _room_of(plane, module)) for plane in planes]
    return render(request, "office/design_room.html", {"rooms": rooms, "swap": True})


@office_only
@require_POST
def preliminary(request: HttpRequest, number: int) -> HttpResponse:
    job = job_or_404(request, number)
    try:
        drawn = actions.preliminary_design(job=job, actor=request.user)
    except Problems as problems:
        for problem in problems:
            messages.error(request, problem.message)
    else:
        messages.success(
            request, f"Sketch {drawn.revision_letter} for the first look is drawn. Run the study on it next."
        )
    return redirect("job-design", number=job.number)
