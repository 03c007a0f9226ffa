"""The one view that records facts: it finds the form, shows it, and hands what was typed to the action.

To add a fact: write its form (``forms_*.py``), list it in ``FACTS``, and name it in ``steps.py`` where a requirement
asks for it.
"""

from __future__ import annotations

from contextlib import nullcontext
from typing import Any
from urllib.parse import urlsplit

from django.contrib import messages
from django.core.exceptions import PermissionDenied
from django.http import Http404, HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_http_methods
from django_htmx.http import HttpResponseClientRedirect

from projects.actions.problems import Problems
from projects.models import Job, Person
from projects.route.words import within_sentence
from projects.screens import meanwhile
from projects.screens.access import job_or_404, signed_in
from projects.screens.office import forms_desk as desk
from projects.screens.office import forms_financing as financing
from projects.screens.office import forms_inspections as inspection
from projects.screens.office import forms_job as whole_job
from projects.screens.office import forms_money as money
from projects.screens.office import forms_pause as pause
from projects.screens.office import forms_permits as permit
from projects.screens.office import forms_pictures as pictures
from projects.screens.office import forms_route as route
from projects.screens.office import forms_service as service
from projects.screens.office import forms_utility as utility
from projects.screens.office.forms_base import FactForm
from projects.screens.problems import add_problems
from projects.screens.tasks import task

FACTS: dict[str, type[FactForm]] = {
    form.fact: form
    for form in (
        route.MarkForm,
        route.WithdrawMarkForm,
        route.WaiveForm,
        route.WithdrawWaiverForm,
        route.BookVisitForm,
        route.BookInstallationForm,
        permit.SubmitPermitForm,
        permit.PermitCorrectionsForm,
        permit.AnswerCommentForm,
        permit.IssuePermitForm,
        permit.RenewPermitForm,
        permit.VoidPermitForm,
        inspection.BookInspectionForm,
        inspection.InspectionResultForm,
        inspection.CancelInspectionForm,
        inspection.FixCorrectionForm,
        utility.ApplicationForm,
        utility.ReviseApplicationForm,
        utility.CompleteForm,
        utility.QueueForm,
        utility.LevelForm,
        utility.ScreensForm,
        utility.GridStudyForm,
        utility.MeterOrderForm,
        utility.UtilityRequestForm,
        utility.UtilityAnswerForm,
        utility.UtilityApprovalForm,
        utility.AgreementForm,
        utility.InspectionSentForm,
        utility.MeterForm,
        utility.WitnessForm,
        utility.PermissionForm,
        desk.SnoozeForm,
        *pictures.FORMS,
        pause.PauseForm,
        pause.RestLongerForm,
        pause.ResumeForm,
        pause.ShareSiteForm,
        pause.UnshareSiteForm,
        service.WarrantiesForm,
        service.ClaimForm,
        service.SettleClaimForm,
        service.PlanVisitForm,
        service.MoveVisitForm,
        service.VisitMadeForm,
        service.CancelVisitForm,
        service.ReadingForm,
        whole_job.PriceForm,
        whole_job.AssignForm,
        whole_job.AuthoritiesForm,
        whole_job.CloseForm,
        whole_job.ReopenForm,
        whole_job.ShareLinkForm,
        whole_job.RevokeLinksForm,
        *money.FORMS,
        *financing.FORMS,
    )
}


def address(job: Job, fact: str, subject: str | int = "") -> str:
    where = {"number": job.number, "fact": fact}
    return reverse("record-about", kwargs={**where, "subject": subject}) if subject else reverse("record", kwargs=where)


@signed_in
@require_http_methods(["GET", "HEAD", "POST"])
def record(request: HttpRequest, number: int, fact: str, subject: str = "") -> HttpResponse:
    job = job_or_404(request, number)
    person = request.user
    assert isinstance(person, Person)
    form_class = FACTS.get(fact)
    if form_class is None:
        raise Http404
    about = form_class.find(job, subject)
    if not form_class.allows(person, about):
        raise PermissionDenied("Your role doesn't record this.")
    if request.method != "POST":
        return shown(request, job, form_class(job, person, about, auto_id=ids(fact, subject)))
    answer: Any = None
    with meanwhile.alone_with(request, job) if form_class.writes_over else nullcontext():
        form = form_class(job, person, about, request.POST, auto_id=ids(fact, subject))
        if meanwhile.fits(form, request):
            try:
                answer = form.record()
            except Problems as problems:
                add_problems(form, problems)
    if form.errors:
        return shown(request, job, form, status=422)
    if isinstance(form, whole_job.ShareLinkForm):
        return link_once(request, job, answer)
    job.refresh_from_db(fields=["next_step", "outcome", "next_key"])
    messages.success(request, f"{form.said} {whats_next(job)}".strip())
    origin = came_from(request, form)
    back = reverse(origin, args=[] if origin == "desk" else [job.number])
    return HttpResponseClientRedirect(back) if request.htmx else HttpResponseRedirect(back)  # type: ignore[attr-defined]


def came_from(request: HttpRequest, form: FactForm) -> str:
    """A form that was opened on the desk leads back to the desk, one about money to the money sheet."""
    page = urlsplit(request.headers.get("HX-Current-URL", ""))
    if page.path == reverse("job-money", args=[form.job.number]) or type(form) in (*money.FORMS, *financing.FORMS):
        return "job-money"
    return "desk" if page.path == reverse("desk") or request.GET.get("from") == "desk" else "job"


def ids(fact: str, subject: str) -> str:
    """Several forms can be open on one page: each keeps its own ids."""
    return f"{fact}-{subject or 'job'}-%s"


def whats_next(job: Job) -> str:
    if job.outcome or not job.next_step:
        return ""
    return f"Next: {within_sentence(task(job.next_key, job.next_step))}."


def shown(request: HttpRequest, job: Job, form: FactForm, status: int = 200) -> HttpResponse:
    template = "office/fact_form.html" if request.htmx else "office/fact.html"  # type: ignore[attr-defined]
    in_place = bool(request.htmx)  # type: ignore[attr-defined]
    context = {"nav": "jobs", "job": job, "form": form, "address": request.get_full_path(), "in_place": in_place}
    if form.writes_over:
        context["opened_with"] = meanwhile.opened_with(form)
    return render(request, template, context, status=status)


def link_once(request: HttpRequest, job: Job, token: str) -> HttpResponse:
    """The link goes into this one answer and nowhere else: no message, no session, no cache keeps it."""
    link = request.build_absolute_uri(reverse("status", args=[token]))
    template = "office/link_box.html" if request.htmx else "office/link.html"  # type: ignore[attr-defined]
    response = render(request, template, {"nav": "jobs", "job": job, "link": link})
    response["Cache-Control"] = "no-store"
    return response
