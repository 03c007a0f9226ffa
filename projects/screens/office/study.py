"""The study of a design: start it, watch it, read what it says and how every figure was reached."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.http import require_GET, require_POST

from projects import studies
from projects.actions import design as actions
from projects.actions.problems import Problems
from projects.actions.study import settle
from projects.models import Design, Job, StudyRun
from projects.screens import charts
from projects.screens.access import job_or_404, office_only
from projects.screens.office.mending import place_of, said
from projects.screens.office.study_parts import more_of

WORKING_TITLES = {
    "climate": "Weather",
    "production": "Production",
    "plane": "Sun on the planes",
    "roof": "Room on the roof",
    "structure": "Attachments",
    "off_grid": "Off the grid",
    "loads": "Loads",
    "backup": "Outage",
    "ride": "Outage",
    "string": "Strings",
    "circuit": "Circuits",
    "interconnection": "Point of connection",
    "busbar": "Point of connection",
    "storage": "Battery",
    "money": "Money",
}


def _current_design(job: Job) -> Design | None:
    return job.designs.select_related("module", "inverter", "battery", "generator").order_by("-revision").first()


@office_only
@require_GET
def results(request: HttpRequest, number: int) -> HttpResponse:
    job = job_or_404(request, number)
    design = _current_design(job)
    latest = job.studies.defer("request", "result").order_by("-pk").first()
    if latest is not None:
        latest = settle(latest)
    shown = job.studies.filter(state=StudyRun.State.DONE).select_related("design").order_by("-pk").first()
    design_page = reverse("job-design", args=[number])
    context: dict[str, Any] = {
        "nav": "jobs",
        "job": job,
        "design": design,
        "run": latest,
        "running": latest is not None and latest.state == StudyRun.State.RUNNING,
        "failed": latest is not None and latest.state == StudyRun.State.FAILED,
        "progress_url": reverse("study-progress", args=[latest.pk]) if latest else "",
        "problem": said(latest.problem) if latest is not None else "",
        "fix": place_of(job, latest.problem_field, latest.problem) or (design_page, "the design")
        if latest is not None and latest.problem_field
        else None,
        "shown": shown,
    }
    if shown is not None:
        context |= _pictures(shown.result) | more_of(shown.result)
        context["outdated"] = _outdated(job, design, shown)
    return render(request, "office/study.html", context)


def _outdated(job: Job, design: Design | None, shown: StudyRun) -> list[str]:
    """What has changed since the study was run, in words."""
    if design is None:
        return []
    if design.fingerprint != shown.design_fingerprint:
        return [f"the design (now revision {design.revision_letter})"]
    return studies.changed_since(shown.request, job, design)


def _pictures(result: Mapping[str, Any]) -> dict[str, Any]:
    production, loads, money = result["production"], result["loads"], result["money"]
    checks = studies.all_checks(result)
    ride, sky, electrical = result["ride_through"], result["sun_path"], result["electrical"]
    found: dict[str, Any] = {
        "result": result,
        "failing": [check for check in checks if not check["passes"]],
        "checks": checks,
        "circuits": electrical["circuits"],
        "planes": [
            (plane, charts.access_strip(plane["solar_access_by_month"], name=plane["name"]))
            for plane in result["planes"]
        ],
        "losses": [(step, step["fraction"] * 100) for step in production["losses"]],
        "monthly": charts.paired_months(
            production["ac_kwh_by_month"],
            loads["use_kwh_by_month"],
            solid_name="Production",
            open_name="Use",
            unit="kWh",
        ),
        "sky": charts.sun_path(sky["arcs"], sky["silhouettes"], sky["hour_marks"]),
        "working": _working(result["working"]),
    }
    if ride:
        found["ride_curve"] = charts.ride_through_curve(ride["share_by_hours"], ride["wanted_hours"])
        found["charge"] = charts.charge_traces(
            [(trace["label"], trace["hours"], trace["state_of_charge"]) for trace in ride["traces"]]
        )
        found["ride_words"] = studies.ride_through_words(ride)
        found["battery_only"] = charts.duration(round(ride["battery_only_hours"]))
        found["wanted"] = charts.duration(ride["wanted_hours"])
        drawn = (result["request"]["battery"] or {}).get("units")
        horizon = ride["horizon_hours"]
        found["by_battery"] = [
            (
                units,
                share * 100,
                charts.duration(round(hours)) + (" or more" if hours >= horizon else ""),
                units == drawn,
            )
            for units, share, hours in ride.get("by_battery_units", [])
        ]
        found["wanted_share"] = ride["share_of_starts_meeting_wanted"] * 100
    if money:
        found["bills"] = charts.paired_months(
            money["bill_before_by_month_usd"],
            money["bill_after_by_month_usd"],
            solid_name="Bill before",
            open_name="Bill after",
            unit="$",
            height=320,
            level=money["loan_payment_usd"],
            level_name=f"loan payment ${money['loan_payment_usd']:,.0f} a month" if money["loan_payment_usd"] else "",
        )
        found["saved_year"] = money["bill_before_year_usd"] - money["bill_after_year_usd"]
    return found


def _working(lines: list[Mapping[str, Any]]) -> list[tuple[str, list[Mapping[str, Any]]]]:
    groups: dict[str, list[Mapping[str, Any]]] = {}
    for line in lines:
        first = str(line["key"]).split(".")[0]
        groups.setdefault(WORKING_TITLES.get(first, first.replace("_", " ").capitalize()), []).append(line)
    return list(groups.items())


@office_only
@require_POST
def run(request: HttpRequest, number: int) -> HttpResponse:
    job = job_or_404(request, number)
    try:
        actions.start_study(job=job, actor=request.user)
    except Problems as problems:
        for problem in problems:
            messages.error(request, problem.message)
    return redirect("job-study", number=job.number)


@office_only
@require_GET
def progress(request: HttpRequest, pk: int) -> HttpResponse:
    """Asked three times a second while a study runs; when it is over, the page is read afresh."""
    study = get_object_or_404(StudyRun.objects.select_related("job").defer("request", "result"), pk=pk)
    job = job_or_404(request, study.job.number)
    study = settle(study)
    if study.state != StudyRun.State.RUNNING:
        response = HttpResponse()
        response["HX-Redirect"] = reverse("job-study", args=[job.number])
        return response
    context = {"run": study, "progress_url": reverse("study-progress", args=[study.pk])}
    return render(request, "office/study_progress.html", context)
