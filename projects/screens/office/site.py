"""Site assessment: one tablet-sized page for the crew and the office, with the house drawn from above beside it."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import FileResponse, Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils.crypto import get_random_string
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from projects.actions import evidence, fire_access, site
from projects.actions import horizon as horizon_actions
from projects.actions.problems import Problems
from projects.models import Evidence, Job, Obstruction, RoofPlane
from projects.screens import meanwhile
from projects.screens.access import crew_or_office, job_or_404
from projects.screens.kept import kept_once
from projects.screens.measures import FEET, LENGTH_UNITS, METRES
from projects.screens.office.forms_fire import FireAccessForm
from projects.screens.office.forms_horizon import HorizonForm
from projects.screens.office.forms_obstructions import ObstructionForm
from projects.screens.office.forms_site import PhotoForm, PlaneForm, ServiceForm
from projects.screens.problems import add_problems
from projects.screens.site_plan import plan_svg

WANTED_PHOTOS = ("panel", "meter", "roof", "attic")
UNIT_KEY = "length_unit"


def unit_of(request: HttpRequest) -> str:
    unit = request.session.get(UNIT_KEY, FEET)
    return unit if unit in LENGTH_UNITS else FEET


@crew_or_office
@require_GET
def assessment(request: HttpRequest, number: int) -> HttpResponse:
    return _assessment(request, job_or_404(request, number))


def _assessment(
    request: HttpRequest,
    job: Job,
    *,
    service_form: ServiceForm | None = None,
    photo_form: PhotoForm | None = None,
    horizon_form: HorizonForm | None = None,
    fire_form: FireAccessForm | None = None,
) -> HttpResponse:
    planes, obstructions = list(job.site.roof_planes.all()), list(job.site.obstructions.all())
    photos = list(job.evidence.filter(removed_at=None).select_related("added_by"))
    taken = {photo.kind for photo in photos}
    unit = unit_of(request)
    context: dict[str, Any] = {
        "nav": "crew" if request.user.is_crew else "jobs",
        "job": job,
        "planes": planes,
        "obstructions": obstructions,
        "photos": photos,
        "wanted": [(Evidence.Kind(kind), kind in taken) for kind in WANTED_PHOTOS],
        "unit": unit,
        "units": LENGTH_UNITS.items(),
        "plan": plan_svg(planes, obstructions, unit=unit, southern=job.site.latitude_deg < 0),
        "service_form": service_form or ServiceForm(initial=ServiceForm.initial_from(job.site)),
        "service_open": service_form is not None or job.site.service_recorded_on is None,
        "photo_form": photo_form or PhotoForm(initial={"kind": _next_photo(taken), "key": get_random_string(32)}),
        "horizon_form": horizon_form or HorizonForm(initial=HorizonForm.initial_from(job.site.horizon)),
        "horizon_open": horizon_form is not None,
        "fire_form": fire_form or FireAccessForm(initial=FireAccessForm.initial_from(job.site), unit=unit),
        "fire_open": fire_form is not None,
        "checklist": _checklist(job, planes, obstructions, taken),
    }
    for name in ("service", "horizon", "fire"):
        context[f"{name}_opened_with"] = meanwhile.opened_with(context[f"{name}_form"])
    bad = any(form is not None and form.errors for form in (service_form, photo_form, horizon_form, fire_form))
    return render(request, "office/site.html", context, status=422 if bad else 200)


def _next_photo(taken: set[str]) -> str:
    return next((kind for kind in WANTED_PHOTOS if kind not in taken), Evidence.Kind.OTHER)


def _checklist(
    job: Job, planes: list[RoofPlane], obstructions: list[Obstruction], taken: set[str]
) -> list[tuple[str, str, bool]]:
    """(anchor, words, done) of what the assessment needs."""
    needed = [str(Evidence.Kind(kind).label) for kind in ("panel", "meter", "roof") if kind not in taken]
    return [
        ("service", "Electrical service", job.site.service_recorded_on is not None),
        ("roof", "Roof planes", bool(planes)),
        ("sun", "Obstructions", bool(obstructions) or job.site.obstructions_none_on is not None),
        ("photos", "Photos" if not needed else f"Photos: {', '.join(needed).lower()}", not needed),
    ]


@crew_or_office
@require_POST
def units(request: HttpRequest, number: int) -> HttpResponse:
    job = job_or_404(request, number)
    if request.POST.get("unit") in (FEET, METRES):
        request.session[UNIT_KEY] = request.POST["unit"]
    return redirect("job-site", number=job.number)


@crew_or_office
@require_POST
@kept_once
def service(request: HttpRequest, number: int) -> HttpResponse:
    job = job_or_404(request, number)
    with meanwhile.alone_with(request, job):
        form = ServiceForm(request.POST, initial=ServiceForm.initial_from(job.site))
        if meanwhile.saved(form, request, site.record_service, job=job, actor=request.user):
            messages.success(request, "The electrical service is recorded.")
            return redirect("job-site", number=job.number)
    return _assessment(request, job, service_form=form)


@crew_or_office
@require_http_methods(["GET", "POST"])
@kept_once
def plane(request: HttpRequest, number: int, pk: int | None = None) -> HttpResponse:
    job = job_or_404(request, number)
    here = get_object_or_404(RoofPlane, pk=pk, site=job.site) if pk else None

    def made() -> PlaneForm:
        return PlaneForm(request.POST or None, unit=unit_of(request), initial=PlaneForm.initial_from(here))

    if "preview" in request.POST:
        form = made()
        return _preview(request, job, form if form.is_valid() else None, here, "planes")
    with meanwhile.alone_with(request, job, here):
        form = made()
        if meanwhile.saved(form, request, site.save_roof_plane, job=job, actor=request.user, plane_id=pk):
            messages.success(request, f"Roof plane “{form.cleaned_data['name']}” is recorded.")
            return redirect("job-site", number=job.number)
    return _noun_form(request, job, form, here, "planes")


@crew_or_office
@require_http_methods(["GET", "POST"])
@kept_once
def obstruction(request: HttpRequest, number: int, pk: int | None = None) -> HttpResponse:
    job = job_or_404(request, number)
    here = get_object_or_404(Obstruction, pk=pk, site=job.site) if pk else None

    def made() -> ObstructionForm:
        return ObstructionForm(request.POST or None, unit=unit_of(request), initial=ObstructionForm.initial_from(here))

    if "preview" in request.POST:
        form = made()
        return _preview(request, job, form if form.is_valid() else None, here, "obstructions")
    with meanwhile.alone_with(request, job, here):
        form = made()
        if meanwhile.saved(form, request, site.save_obstruction, job=job, actor=request.user, obstruction_id=pk):
            messages.success(request, "The obstruction is recorded.")
            return redirect("job-site", number=job.number)
    return _noun_form(request, job, form, here, "obstructions")


def _drawing(request: HttpRequest, job: Job, form: Any, here: Any, noun: str) -> str:
    """The plan with what is being typed in the accent, in place of what is stored."""
    planes: list[Any] = list(job.site.roof_planes.all())
    obstructions: list[Any] = list(job.site.obstructions.all())
    rows = planes if noun == "planes" else obstructions
    typed = RoofPlane if noun == "planes" else Obstruction
    draft = typed(**form.cleaned_data) if form is not None and form.is_bound and form.is_valid() else here
    if here is not None:
        rows[:] = [draft if row.pk == here.pk else row for row in rows]
    elif draft is not None:
        rows.append(draft)
    return plan_svg(planes, obstructions, unit=unit_of(request), draft=draft, southern=job.site.latitude_deg < 0)


def _preview(request: HttpRequest, job: Job, form: Any, here: Any, noun: str) -> HttpResponse:
    context = {"plan": _drawing(request, job, form, here, noun), "incomplete": form is None}
    return render(request, "office/site_plan.html", context)


def _noun_form(request: HttpRequest, job: Job, form: Any, here: Any, noun: str) -> HttpResponse:
    context = {
        "nav": "crew" if request.user.is_crew else "jobs",
        "job": job,
        "form": form,
        "opened_with": meanwhile.opened_with(form) if here else "",
        "here": here,
        "noun": noun,
        "unit": unit_of(request),
        "plan": _drawing(request, job, form, here, noun),
    }
    return render(request, "office/site_noun.html", context, status=422 if form.is_bound else 200)


@crew_or_office
@require_POST
def remove_plane(request: HttpRequest, number: int, pk: int) -> HttpResponse:
    job = job_or_404(request, number)
    _tell(request, lambda: site.remove_roof_plane(job=job, actor=request.user, plane_id=pk), "The roof plane is gone.")
    return redirect("job-site", number=job.number)


@crew_or_office
@require_POST
def remove_obstruction(request: HttpRequest, number: int, pk: int) -> HttpResponse:
    job = job_or_404(request, number)
    _tell(
        request,
        lambda: site.remove_obstruction(job=job, actor=request.user, obstruction_id=pk),
        "The obstruction is gone.",
    )
    return redirect("job-site", number=job.number)


@crew_or_office
@require_POST
@kept_once
def no_obstructions(request: HttpRequest, number: int) -> HttpResponse:
    job = job_or_404(request, number)
    _tell(
        request,
        lambda: site.record_no_obstructions(job=job, actor=request.user),
        "Recorded: somebody looked, and nothing stands in the sun’s way.",
    )
    return redirect("job-site", number=job.number)


@crew_or_office
@require_POST
@kept_once
def horizon(request: HttpRequest, number: int) -> HttpResponse:
    job = job_or_404(request, number)
    with meanwhile.alone_with(request, job):
        form = HorizonForm(request.POST, initial=HorizonForm.initial_from(job.site.horizon))
        if meanwhile.saved(form, request, horizon_actions.record_horizon, job=job, actor=request.user):
            messages.success(request, "The horizon is recorded.")
            return redirect("job-site", number=job.number)
    return _assessment(request, job, horizon_form=form)


@crew_or_office
@require_POST
@kept_once
def fire(request: HttpRequest, number: int) -> HttpResponse:
    job = job_or_404(request, number)
    with meanwhile.alone_with(request, job):
        form = FireAccessForm(request.POST, unit=unit_of(request), initial=FireAccessForm.initial_from(job.site))
        if meanwhile.saved(form, request, fire_access.record_fire_access, job=job, actor=request.user):
            messages.success(request, "What the fire code asks of the house is recorded.")
            return redirect("job-site", number=job.number)
    return _assessment(request, job, fire_form=form)


def _tell(request: HttpRequest, act: Any, done: str) -> None:
    try:
        act()
    except Problems as problems:
        for problem in problems:
            messages.error(request, problem.message)
    else:
        messages.success(request, done)


@crew_or_office
@require_http_methods(["GET", "HEAD", "POST"])
@kept_once
def photos(request: HttpRequest, number: int) -> HttpResponse:
    """Other pages link here: the photos stand on the assessment's page."""
    job = job_or_404(request, number)
    if request.method != "POST":
        return redirect(f"{reverse('job-site', args=[job.number])}#photos")
    form = PhotoForm(request.POST, request.FILES)
    if form.is_valid():
        said = form.cleaned_data
        try:
            evidence.add_photo(
                job=job,
                actor=request.user,
                kind=said["kind"],
                upload=said["upload"],
                note=said["note"],
                key=said["key"] or None,
            )
        except Problems as problems:
            add_problems(form, problems)
        else:
            messages.success(request, "The photo is kept.")
            return redirect("job-site", number=job.number)
    return _assessment(request, job, photo_form=form)


@crew_or_office
@require_GET
def photo(request: HttpRequest, pk: int) -> HttpResponse:
    """The bytes of a photo, for people who work here. Never a public address, never run as a page."""
    shown = get_object_or_404(Evidence.objects.select_related("job"), pk=pk, removed_at=None)
    job_or_404(request, shown.job.number)
    kinds = {"jpg": "image/jpeg", "jpeg": "image/jpeg", "png": "image/png", "webp": "image/webp", "gif": "image/gif"}
    content_type = kinds.get(shown.file.name.rsplit(".", 1)[-1].lower())
    try:
        response = FileResponse(shown.file.open("rb"), content_type=content_type or "application/octet-stream")
    except FileNotFoundError:
        raise Http404("The file of this photo is missing.") from None
    if content_type is None:
        response["Content-Disposition"] = "attachment"
    response["Content-Security-Policy"] = "default-src 'none'; sandbox"
    response["Cache-Control"] = "private, max-age=3600"
    return response


@crew_or_office
@require_POST
def remove_photo(request: HttpRequest, pk: int) -> HttpResponse:
    shown = get_object_or_404(Evidence.objects.select_related("job"), pk=pk, removed_at=None)
    job = job_or_404(request, shown.job.number)
    _tell(
        request,
        lambda: evidence.remove_photo(
            job=job, actor=request.user, evidence_id=pk, reason=request.POST.get("reason", "").strip()
        ),
        "The photo is taken out.",
    )
    return redirect("job-site", number=job.number)
