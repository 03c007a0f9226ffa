"""The office's registers on one sheet, and one form for a line of any of them."""

from __future__ import annotations

from datetime import date
from typing import Any

from django.contrib import messages
from django.db import models
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from projects import public_equipment
from projects.actions import firm as firm_action
from projects.actions import office as actions
from projects.actions.problems import Problems
from projects.models import (
    BatteryModel,
    GeneratorModel,
    Insurance,
    InverterModel,
    Jurisdiction,
    JurisdictionClosure,
    Licence,
    ModuleModel,
    OfficeProfile,
    Person,
    Utility,
)
from projects.screens import meanwhile
from projects.screens.access import office_only
from projects.screens.office.forms_settings import (
    EQUIPMENT,
    FORMS,
    ONE,
    ClosureForm,
    FirmForm,
    PersonForm,
    RegisterForm,
)
from projects.screens.problems import add_problems

SOON_DAYS = 60


def validity(expires_on: date, today: date) -> tuple[str, str]:
    """(state of the contact, words) of something that runs out."""
    left = (expires_on - today).days
    day = f"{expires_on.day} {expires_on:%b %Y}"
    if left < 0:
        return "open", f"expired {day}"
    if left <= SOON_DAYS:
        return "dotted", "expires today" if left == 0 else f"expires in {left} day{'s' if left != 1 else ''}, {day}"
    return "closed", f"valid to {day}"


@office_only
@require_GET
def office(request: HttpRequest) -> HttpResponse:
    today = timezone.localdate()
    licences = Licence.objects.select_related("holder")
    context = {
        "nav": "office",
        "firm": OfficeProfile.current(),
        "jurisdictions": Jurisdiction.objects.annotate(open_jobs=_open_jobs()),
        "utilities": Utility.objects.annotate(open_jobs=_open_jobs()),
        "people": Person.objects.order_by("-is_active", "role", "last_name", "first_name"),
        "licences": [(licence, *validity(licence.expires_on, today)) for licence in licences],
        "insurance": [(policy, *validity(policy.expires_on, today)) for policy in Insurance.objects.all()],
        "modules": ModuleModel.objects.all(),
        "inverters": InverterModel.objects.all(),
        "batteries": BatteryModel.objects.all(),
        "generators": GeneratorModel.objects.all(),
    }
    return render(request, "office/settings.html", context)


def _open_jobs() -> models.Count:
    return models.Count("jobs", filter=models.Q(jobs__outcome="") & ~models.Q(jobs__stage="in_service"))


@office_only
@require_http_methods(["GET", "POST"])
def edit(request: HttpRequest, noun: str, pk: int | None = None) -> HttpResponse:
    if noun not in FORMS:
        raise Http404
    form_class = FORMS[noun]
    row = get_object_or_404(form_class.model, pk=pk) if pk else None
    options: dict[str, Any] = {"row": row}
    if form_class is PersonForm:
        options["may_name_owner"] = request.user.is_owner
    listed = _listed(request, noun) if row is None else None
    if listed:
        options["initial"] = listed
    with meanwhile.alone_with(request, row):
        form = form_class(request.POST or None, **options)
        if done := meanwhile.saved(form, request, _save, by=request.user, noun=noun, row=row):
            name = done.row.name if isinstance(done.row, Person) else str(done.row)
            messages.success(request, f"{ONE[noun].capitalize()} “{name}” is saved.")
            return redirect("office")
    context = {
        "nav": "office",
        "noun": noun,
        "one": ONE[noun],
        "row": row,
        "title": (row.name if isinstance(row, Person) else str(row)) if row else f"New {ONE[noun]}",
        "form": form,
        "opened_with": meanwhile.opened_with(form) if row else "",
        "listable": row is None and noun in public_equipment.FILES,
        "listed": listed,
        "closures": row.closures.all() if isinstance(row, Jurisdiction) else None,
        "closure_form": ClosureForm() if isinstance(row, Jurisdiction) else None,
    }
    return render(request, "office/settings_edit.html", context, status=422 if form.errors else 200)


def _listed(request: HttpRequest, noun: str) -> dict[str, Any] | None:
    """What a public list says of the equipment chosen from it."""
    name = request.GET.get("from", "")
    return public_equipment.fields_of(noun, name) if name and noun in public_equipment.FILES else None


def _save(*, by: Any, noun: str, row: Any, **fields: Any) -> Any:
    if noun in EQUIPMENT:
        return actions.save_equipment(actor=by, catalogue=EQUIPMENT[noun], instance=row, **fields)
    if noun == "people":
        fields["password"] = fields.pop("password") or None
        return actions.save_person(actor=by, instance=row, **fields)
    save = {
        "jurisdictions": actions.save_jurisdiction,
        "utilities": actions.save_utility,
        "licences": actions.save_licence,
        "insurance": actions.save_insurance,
    }[noun]
    return save(actor=by, instance=row, **fields)


@office_only
@require_http_methods(["GET", "POST"])
def firm(request: HttpRequest) -> HttpResponse:
    row = OfficeProfile.current()
    with meanwhile.alone_with(request, row):
        form: RegisterForm = FirmForm(request.POST or None, row=row)
        if meanwhile.saved(form, request, firm_action.save_firm, actor=request.user):
            messages.success(request, "The head of the papers is saved.")
            return redirect("office")
    context = {"nav": "office", "noun": "firm", "one": "firm", "title": "The firm", "form": form, "row": None}
    context["opened_with"] = meanwhile.opened_with(form)
    return render(request, "office/settings_edit.html", context, status=422 if form.errors else 200)


@office_only
@require_POST
def closures(request: HttpRequest, pk: int) -> HttpResponse:
    """Days on which a counter is closed: one more, or one less."""
    jurisdiction = get_object_or_404(Jurisdiction, pk=pk)
    if "remove" in request.POST:
        chosen = request.POST["remove"]
        closure = get_object_or_404(
            JurisdictionClosure, pk=int(chosen) if chosen.isdecimal() else 0, jurisdiction=jurisdiction
        )
        actions.remove_closure(actor=request.user, closure=closure)
        messages.success(request, "The day is off the list.")
        return redirect("office-edit", noun="jurisdictions", pk=pk)
    form = ClosureForm(request.POST)
    if form.is_valid():
        try:
            actions.add_closure(actor=request.user, jurisdiction=jurisdiction, **form.cleaned_data)
        except Problems as problems:
            add_problems(form, problems)
        else:
            messages.success(request, "The counter is closed on that day; due dates follow.")
            return redirect("office-edit", noun="jurisdictions", pk=pk)
    context = {
        "nav": "office",
        "noun": "jurisdictions",
        "one": "jurisdiction",
        "row": jurisdiction,
        "title": str(jurisdiction),
        "form": FORMS["jurisdictions"](row=jurisdiction),
        "closures": jurisdiction.closures.all(),
        "closure_form": form,
    }
    return render(request, "office/settings_edit.html", context, status=422)
