"""The crews: who goes out together, on which days, and when they are off."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from projects.actions import crews as actions
from projects.actions.findings import today as office_today
from projects.actions.problems import Problems
from projects.models import Crew, CrewDayOff
from projects.screens import meanwhile
from projects.screens.access import office_only
from projects.screens.office.forms_calendar import WEEKDAYS, CrewForm, DayOffForm
from projects.screens.problems import add_problems

NAMES = dict(WEEKDAYS)


@office_only
@require_safe
def crews(request: HttpRequest) -> HttpResponse:
    rows = Crew.objects.prefetch_related("members", "days_off").order_by("-active", "name")
    today = office_today()
    lines = [
        {
            "crew": crew,
            "members": [person.name for person in crew.members.all()],
            "week": ", ".join(NAMES[digit] for digit in crew.working_days),
            "days_off": [row for row in crew.days_off.all() if row.on >= today],
        }
        for crew in rows
    ]
    return render(request, "office/crews.html", {"nav": "calendar", "lines": lines})


@office_only
@require_http_methods(["GET", "HEAD", "POST"])
def crew(request: HttpRequest, pk: int | None = None) -> HttpResponse:
    row = get_object_or_404(Crew, pk=pk) if pk else None
    with meanwhile.alone_with(request, row):
        form = CrewForm(request.POST or None, row=row)
        if done := meanwhile.saved(form, request, actions.save_crew, actor=request.user, instance=row):
            messages.success(request, f"The crew “{done.row}” is saved.")
            return redirect("crews")
    return _page(request, row, form, DayOffForm(label_suffix="", auto_id="id_off_%s"))


@office_only
@require_POST
def day_off(request: HttpRequest, pk: int) -> HttpResponse:
    """One more day off, or one less."""
    row = get_object_or_404(Crew, pk=pk)
    if "remove" in request.POST:
        chosen = request.POST["remove"]
        off = get_object_or_404(CrewDayOff, pk=int(chosen) if chosen.isdecimal() else 0, crew=row)
        actions.remove_day_off(actor=request.user, day_off=off)
        messages.success(request, "The crew works on that day after all.")
        return redirect("crew-edit", pk)
    form = DayOffForm(request.POST, label_suffix="", auto_id="id_off_%s")
    if form.is_valid():
        try:
            actions.add_day_off(actor=request.user, crew=row, **form.cleaned_data)
        except Problems as problems:
            add_problems(form, problems)
        else:
            messages.success(request, "The crew is off then. What is booked stays, and says that it clashes.")
            return redirect("crew-edit", pk)
    return _page(request, row, CrewForm(row=row), form)


def _page(request: HttpRequest, row: Crew | None, form: CrewForm, day_off_form: DayOffForm) -> HttpResponse:
    context = {
        "nav": "calendar",
        "row": row,
        "form": form,
        "opened_with": meanwhile.opened_with(form) if row else "",
        "day_off_form": day_off_form,
        "days_off": row.days_off.filter(on__gte=office_today()) if row else (),
    }
    return render(request, "office/crew_edit.html", context, status=422 if form.errors or day_off_form.errors else 200)
