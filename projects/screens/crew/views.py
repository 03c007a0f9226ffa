"""The crew's day: which jobs need it, and on each one what to do, what to mind and what comes later."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

from django import forms
from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_POST, require_safe

from projects import queries
from projects.actions import evidence, inspections, marks
from projects.actions.facts import facts_of
from projects.actions.problems import Problems
from projects.actions.standing import CREW_PARTIES, standing_of
from projects.models import InspectionCorrection, Job, StudyRun
from projects.route.holds import installation_problems
from projects.route.marks import MARKS
from projects.route.requirements import MARK_OF_REQUIREMENT
from projects.route.standing_types import RequirementStanding, Standing
from projects.screens.access import crew_or_office, job_or_404
from projects.screens.crew.forms import FixForm, MarkForm, PhotoForm, today
from projects.screens.kept import kept_once
from projects.screens.office.headline import of_study
from projects.screens.problems import add_problems

NOT_FOR_THE_ROOF = ("Saved a month", "Saved a month / loan a month", "Made in a typical year")
SITE_STEPS = ("service", "roof", "obstructions")


@crew_or_office
@require_safe
def jobs(request: HttpRequest) -> HttpResponse:
    now = timezone.localdate()
    rows = [_row(found, now) for found in queries.crew_steps(now)]
    groups = []
    for key, title in (("today", "Today"), ("week", "Coming up"), ("other", "Whenever you can")):
        chosen = [row for row in rows if row["group"] == key]
        if key == "week":
            chosen.sort(key=lambda row: row["first"])
        if chosen:
            groups.append({"title": title, "rows": chosen})
    return render(request, "crew/jobs.html", {"nav": "crew", "groups": groups, "today": now, "total": len(rows)})


def _row(found: queries.CrewJob, now: date) -> dict[str, Any]:
    """A job belongs to today when the crew is expected there today or something of it is late."""
    job = found.job
    dates = [("Visit", job.visit_on), ("Installation", job.install_on)]
    if found.standing.stage not in ("site_assessment", "lead"):
        dates = dates[1:]
    elif job.visit_on is None:
        dates = []
    ahead = [(word, day) for word, day in dates if day and day >= now - timedelta(days=3)]
    when = ", ".join(f"{word} {day:%a} {day.day} {day:%b}" for word, day in ahead)
    first = min((day for _, day in ahead), default=None)
    if first == now or (found.due_on and found.due_on <= now):
        group = "today"
    elif first and first > now:
        group = "week"
    else:
        group = "other"
    # One word on lateness says it for all steps that share the day; only another day is told beside its step.
    steps = [{"step": step, "due_on": step.due_on if step.due_on != found.due_on else None} for step in found.steps]
    return {"job": job, "steps": steps, "when": when, "group": group, "first": first, "due_on": found.due_on}


@crew_or_office
@require_safe
def job(request: HttpRequest, number: int) -> HttpResponse:
    return _page(request, job_or_404(request, number))


@crew_or_office
@require_POST
@kept_once
def mark(request: HttpRequest, number: int) -> HttpResponse:
    found = job_or_404(request, number)
    key = request.POST.get("key", "")
    form = MarkForm(request.POST, auto_id=f"id_{key}_%s")
    if form.is_valid():
        try:
            marks.record_mark(job=found, actor=request.user, **form.cleaned_data)
        except Problems as problems:
            add_problems(form, problems)
        else:
            messages.success(request, f"Recorded: {MARKS[key].sentence}.")
            return redirect("crew-job", number)
    return _page(request, found, wrong={key: form})


@crew_or_office
@require_POST
@kept_once
def fix(request: HttpRequest, number: int) -> HttpResponse:
    found = job_or_404(request, number)
    form = FixForm(request.POST, auto_id=f"id_fix_{request.POST.get('correction', '')}_%s")
    if form.is_valid():
        pk = form.cleaned_data["correction"]
        correction = get_object_or_404(InspectionCorrection, pk=pk, inspection__job=found)
        try:
            inspections.fix_correction(
                correction=correction, actor=request.user, on=form.cleaned_data["on"], note=form.cleaned_data["note"]
            )
        except Problems as problems:
            add_problems(form, problems)
        else:
            messages.success(request, "Recorded: the correction is fixed.")
            return redirect("crew-job", number)
    return _page(request, found, wrong={f"fix {request.POST.get('correction', '')}": form})


@crew_or_office
@require_POST
@kept_once
def photo(request: HttpRequest, number: int) -> HttpResponse:
    found = job_or_404(request, number)
    form = PhotoForm(request.POST, request.FILES, auto_id="id_photo_%s")
    if form.is_valid():
        said = form.cleaned_data
        try:
            evidence.add_photo(
                job=found,
                actor=request.user,
                kind=said["kind"],
                upload=said["photo"],
                note=said["note"],
                key=said["client_key"] or None,
            )
        except Problems as problems:
            renamed = [type(p)("photo" if p.field == "upload" else p.field, p.message) for p in problems]
            add_problems(form, renamed)
        else:
            messages.success(request, "The photograph is kept with the job.")
            return redirect("crew-job", number)
    return _page(request, found, wrong={"photo": form})


def _page(request: HttpRequest, found: Job, wrong: dict[str, forms.Form] | None = None) -> HttpResponse:
    """``wrong``: forms that came back with problems, by mark key, "fix N" or "photo"; what was typed stays in them."""
    wrong = wrong or {}
    now = timezone.localdate()
    facts = facts_of(found, now)
    standing = standing_of(found, now)
    study = found.studies.filter(state=StudyRun.State.DONE).select_related("design").order_by("-id").first()
    sketch = bool(study and study.design.preliminary)
    result = study.result if study else {}
    duties = [step for step in standing.next_steps if step.party in CREW_PARTIES]
    context = {
        "nav": "crew",
        "job": found,
        "standing": standing,
        "system_line": _system_line(study),
        "job_sheet": found.paper_issues.filter(kind="crew_sheet").order_by("-pk").first(),
        "stop": installation_problems(facts) if _at_the_door(standing) else [],
        "duties": [_duty(found, step, wrong) for step in duties],
        "refused": _without_place(wrong, duties),
        "later": [r for r in standing.requirements if r.party in CREW_PARTIES and r.state == "waiting"],
        "photo_form": wrong.get("photo") or PhotoForm(auto_id="id_photo_%s"),
        "headline": [row for row in of_study(study.headline) if row[0] not in NOT_FOR_THE_ROOF] if study else [],
        "circuits": result["electrical"]["circuits"] if result and not sketch else [],
        "study": study,
        "sketch": sketch,
    }
    return render(request, "crew/job.html", context, status=422 if wrong else 200)


def _without_place(wrong: dict[str, forms.Form], duties: list[RequirementStanding]) -> list[str]:
    """What is wrong with a form that the page no longer has: not to be done yet, or somebody else was quicker."""
    placed = {MARK_OF_REQUIREMENT.get(step.key) for step in duties} | {"photo"}
    if any(step.key == "final_corrections" for step in duties):
        placed |= {key for key in wrong if key.startswith("fix ")}
    lost = [form for key, form in wrong.items() if key not in placed]
    return [error for form in lost for errors in form.errors.values() for error in errors]


def _at_the_door(standing: Standing) -> bool:
    """Between a finished assessment and the first permit the crew must not start, whatever the calendar says."""
    return standing.stage in ("engineering", "permits", "installation")


def _duty(found: Job, step: RequirementStanding, wrong: dict[str, forms.Form]) -> dict[str, Any]:
    duty: dict[str, Any] = {"step": step}
    key = MARK_OF_REQUIREMENT.get(step.key)
    if key:
        rule = MARKS[key]
        duty |= {"verb": rule.verb, "caution": rule.caution}
        duty["form"] = wrong.get(key) or MarkForm(initial={"key": key, **today()}, auto_id=f"id_{key}_%s")
    elif step.key in SITE_STEPS:
        duty |= {"link": reverse("job-site", args=[found.number]), "link_text": "Measure and record"}
    elif step.key in ("site_photos", "install_photos"):
        duty |= {"link": "#photo", "link_text": "Add a photograph"}
    elif step.key == "service_visit":
        duty["visits"] = [
            {"visit": visit, "link": reverse("record-about", args=[found.number, "service-visit-made", visit.pk])}
            for visit in found.service_visits.filter(done_on=None, cancelled_on=None).select_related("claim")
        ]
    elif step.key == "final_corrections":
        rows = InspectionCorrection.objects.filter(inspection__job=found, fixed_on=None)
        duty["fixes"] = [
            {
                "text": row.text,
                "form": wrong.get(f"fix {row.pk}")
                or FixForm(initial={"correction": row.pk, **today()}, auto_id=f"id_fix_{row.pk}_%s"),
            }
            for row in rows
        ]
    return duty


def _system_line(study: StudyRun | None) -> str:
    if study is None:
        return ""
    figures = study.headline
    line = f"{figures['modules']} modules, {figures['array_kw']:.1f} kW"
    if figures["battery_kwh"]:
        line += f", {figures['battery_kwh']:.0f} kWh battery"
    return f"Sketch only: {line}" if study.design.preliminary else line
