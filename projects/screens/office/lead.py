"""A lead comes in: one screen, filled in while the caller is on the phone; and later changes to the answers."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.db import transaction
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods, require_POST

from projects import queries
from projects.actions import intake, sharing_site
from projects.actions.problems import Problem, Problems, refuse_if
from projects.models import Job
from projects.screens import meanwhile
from projects.screens.access import job_or_404, office_only
from projects.screens.office.forms_lead import LeadForm, initial_from
from projects.screens.office.place import FoundPlace, find_place
from projects.screens.problems import add_problems

ADDRESS = ("street", "city", "state", "zip_code", "latitude_deg", "longitude_deg")
IDENTIFYING = ("name", "email", "phone", "street", "zip_code")


def possible_duplicates(said: Any, besides: Job | None = None) -> list[Job]:
    """Jobs that may be the same household, from whatever has been typed so far."""
    typed = {name: str(said.get(name, "")).strip() for name in IDENTIFYING}
    if not any(typed.values()):
        return []
    found = queries.duplicates_of(**typed)
    if besides is not None:
        found = found.exclude(pk=besides.pk).exclude(customer=besides.customer)
    return list(found.select_related("customer", "site")[:5])


def _place(form: LeadForm) -> FoundPlace | None:
    return find_place(str(form["zip_code"].value() or ""), form["latitude_deg"].value(), form["longitude_deg"].value())


@office_only
@require_http_methods(["GET", "POST"])
def new_lead(request: HttpRequest) -> HttpResponse:
    form = LeadForm(request.POST or None, initial={"source": "phone"})
    duplicates: list[Job] = []
    if request.method == "POST":
        duplicates = possible_duplicates(request.POST)
        valid = form.is_valid()
        shared = _job_numbered(request.POST.get("same_site_as", ""))
        if duplicates and not (shared or form.cleaned_data.get("another_household")):
            form.add_error("another_household", "Tick this if it is another household, or open the one that is there.")
            valid = False
        if valid:
            try:
                job = intake.receive_lead(actor=request.user, **form.cleaned_facts())
            except Problems as problems:
                add_problems(form, _on_fields(problems))
            else:
                messages.success(request, f"Lead {job.label} is in. The first-look report is due within 24 hours.")
                if shared is not None:
                    _link(request, job, shared)
                return redirect("job", number=job.number)
    return _render(request, form, duplicates=duplicates)


def _job_numbered(typed: str) -> Job | None:
    return Job.objects.filter(number=int(typed)).first() if typed.isdecimal() and len(typed) < 9 else None


def _link(request: HttpRequest, job: Job, other: Job) -> None:
    """Says on the page what came of it: the lead itself is in already."""
    try:
        sharing_site.share_site(job=job, with_job=other, actor=request.user)
    except Problems as problems:
        for problem in problems:
            messages.error(request, problem.message)
    else:
        messages.success(request, f"Jobs {job.label} and {other.label} are linked as standing at the same site.")


@office_only
@require_http_methods(["GET", "POST"])
def answers(request: HttpRequest, number: int) -> HttpResponse:
    """The same questions, later: what has been learnt since."""
    job = job_or_404(request, number)
    with meanwhile.alone_with(request, job, job.customer):
        form = LeadForm(request.POST or None, initial=initial_from(job))
        if meanwhile.saved(form, request, lambda **_: _update(job, request.user, form), placed=_on_fields):
            messages.success(request, "The answers are noted.")
            return redirect("job", number=job.number)
    return _render(request, form, job=job, duplicates=_duplicates_of_job(job))


def _duplicates_of_job(job: Job) -> list[Job]:
    """Public requests come in unseen: whoever opens their answers is told of the household's other jobs."""
    if job.outcome:
        return []
    return possible_duplicates(
        {
            "name": job.customer.name,
            "email": job.customer.email,
            "phone": job.customer.phone,
            "street": job.site.street,
            "zip_code": job.site.zip_code,
        },
        besides=job,
    )


@office_only
@require_POST
def same_household(request: HttpRequest, number: int) -> HttpResponse:
    """Closes the lead as a duplicate of the job that is there already."""
    job = job_or_404(request, number)
    chosen = request.POST.get("of", "")
    other = get_object_or_404(Job, number=int(chosen) if chosen.isdecimal() and len(chosen) < 9 else 0)
    try:
        intake.mark_duplicate(job=job, of=other, actor=request.user)
    except Problems as problems:
        for problem in problems:
            messages.error(request, problem.message)
        return redirect("lead-answers", number=job.number)
    messages.success(request, f"Lead {job.label} is closed as a duplicate of {other.label}.")
    return redirect("job", number=other.number)


@office_only
@require_POST
def same_site(request: HttpRequest, number: int) -> HttpResponse:
    """A further job at the same place: both stay, and each shows the other."""
    job = job_or_404(request, number)
    other = _job_numbered(request.POST.get("of", ""))
    if other is None:
        raise Http404
    _link(request, job, other)
    return redirect("lead-answers", number=job.number)


def _update(job: Job, actor: Any, form: LeadForm) -> None:
    """Contact, address and answers are three facts of the journal and one screen: all of them, or none."""
    facts = form.cleaned_facts()
    reached = {name: facts.pop(name) for name in ("name", "phone", "email", "preferred_language")}
    address = {name: facts.pop(name) for name in ADDRESS}
    before = {name: form.initial.get(name) for name in ADDRESS}
    problems: list[Problem] = []
    with transaction.atomic():
        for act in (
            lambda: intake.update_contact(job=job, actor=actor, **reached),
            lambda: intake.update_address(job=job, actor=actor, **address) if address != before else None,
            lambda: intake.update_answers(job=job, actor=actor, **facts),
        ):
            try:
                act()
            except Problems as found:
                problems += found
        refuse_if(problems)


def _render(
    request: HttpRequest, form: LeadForm, *, job: Job | None = None, duplicates: list[Job] | None = None
) -> HttpResponse:
    context = {
        "nav": "jobs" if job else "lead",
        "job": job,
        "form": form,
        "opened_with": meanwhile.opened_with(form) if job else "",
        "duplicates": duplicates or [],
        "place": _place(form),
    }
    return render(request, "office/lead.html", context, status=422 if form.is_bound else 200)


def _on_fields(problems: Problems) -> list[Problem]:
    """The twelve months are one argument of the action and twelve fields of the form: the first one carries it."""
    return [Problem("kwh_1", problem.message) if problem.field == "monthly_kwh" else problem for problem in problems]


@office_only
@require_POST
def duplicates(request: HttpRequest) -> HttpResponse:
    """What htmx asks for when one of the identifying fields has been left."""
    found = possible_duplicates(request.POST)
    return render(request, "office/lead_duplicates.html", {"duplicates": found, "form": LeadForm()})


@office_only
@require_POST
def locate(request: HttpRequest) -> HttpResponse:
    """Where the ZIP (or the typed coordinates) lies, from tables on this machine."""
    place = find_place(
        request.POST.get("zip_code", ""), request.POST.get("latitude_deg"), request.POST.get("longitude_deg")
    )
    asked = bool(request.POST.get("zip_code", "").strip())
    return render(request, "office/lead_place.html", {"place": place, "asked": asked})
