"""Find designs: the wish, what nothing cheaper beats, the cheapest that meets the wish, and what more money buys."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from projects import studies
from projects.actions import searching
from projects.actions.problems import Problem, Problems
from projects.models import DesignSearch, Job, LeadAnswers
from projects.screens import charts
from projects.screens.access import job_or_404, office_only
from projects.screens.charts_search import off_grid_panels, on_grid_panels, search_front
from projects.screens.office.forms_search import WishForm
from projects.screens.problems import add_problems

IN_SIGHT = 12
"""Rows of the table that stand open; the others unfold."""
CHECKS = {
    "interconnection.busbar": "The busbar of the main panel has no room for the inverter",
    "interconnection.backup_busbar": "No panel for dwellings has a busbar for PV and battery together",
    "interconnection.breaker_spaces": "The main panel has no free breaker spaces for it",
    "stand_alone.busbar": "The busbar of the panel off the grid can’t carry all that feeds it",
    "interconnection.supply_side": "The supply-side connection does not carry the inverter",
    "string.modules": "The modules can’t be put into strings that the inverter takes",
    "string.voc_cold": "A string’s voltage is too high at the record low",
    "string.vmp_hot": "A string’s voltage is too low on a hot day",
    "string.vmp_window": "A string’s voltage lies outside the tracking range",
    "string.fuses": "More strings in parallel than the fuses allow",
    "input.short_circuit": "Short-circuit current too high for an input",
    "input.current": "Current too high for an input",
    "input.count": "More strings than the inverter has inputs",
    "input.equal_lengths": "Strings of unequal length in parallel",
    "storage.pv_in_outage": "The PV inverter makes more in an outage than the battery can hold in check",
    "backup.power_limit": "Inverter or battery can’t carry everything essential at once",
    "backup.surge": "The largest motor may not start: it needs more than inverter or battery surge to",
    "storage.listing": "The battery is not listed to UL 9540",
    "storage.unit": "One battery unit is larger than the code allows",
    "storage.aggregate": "All batteries together are more than the place allows",
    "storage.spacing": "Too little room between the batteries",
    "storage.openings": "A battery stands too near to a door or window",
    "storage.impact": "A battery stands where a vehicle can hit it",
}


@office_only
@require_http_methods(["GET", "POST"])
def find(request: HttpRequest, number: int) -> HttpResponse:
    job = job_or_404(request, number)
    latest = job.searches.order_by("-pk").first()
    if latest is not None:
        latest = searching.settle(latest)
    form = WishForm(request.POST or None, job=job, wish=latest.wish if latest else None)
    if request.method == "POST" and form.is_valid():
        try:
            searching.start_search(job=job, actor=request.user, **form.wish())
        except Problems as problems:
            add_problems(form, problems)
        else:
            return redirect("job-search", number=job.number)
    shown = latest if latest is not None and latest.state == "done" else None
    if shown is None:
        shown = job.searches.filter(state="done").order_by("-pk").first()
    gaps = searching.gaps(job)
    context: dict[str, Any] = {
        "nav": "jobs",
        "job": job,
        "form": form,
        "gaps": [(problem, _place(job, problem)) for problem in gaps],
        "run": latest,
        "running": latest is not None and latest.state == "running",
        "failed": latest is not None and latest.state == "failed",
        "progress_url": reverse("search-progress", args=[latest.pk]) if latest else "",
        "outage_words": _outage(job),
        "shown": shown,
    }
    if shown is not None:
        context |= _answer(job, shown)
        context["outdated"] = not gaps and _differs(job, shown)
    return render(request, "office/search.html", context, status=422 if form.errors else 200)


def _differs(job: Job, shown: DesignSearch) -> bool:
    try:
        return studies.asked_of(job, searching.catalogue_of(job)) != shown.asked
    except studies.InputErrors:
        return True


def _place(job: Job, problem: Problem) -> tuple[str, str]:
    """(address, words) of where the missing thing is entered."""
    office = reverse("office")
    return {
        "kind": (reverse("job-kind", args=[job.number]), "Decide the kind"),
        "roof": (reverse("job-site", args=[job.number]), "To the site"),
        "utility": (reverse("record", args=[job.number, "authorities"]), "Set the utility"),
        "catalogue": (f"{office}#catalogue", "To the catalogue"),
    }[problem.field]


def _outage(job: Job) -> str:
    answers = LeadAnswers.objects.filter(job=job).first()
    return charts.duration((answers.outage_days_wanted if answers else 1.0) * 24)


def _answer(job: Job, shown: DesignSearch) -> dict[str, Any]:
    result, wish = shown.result, {"carried_share": 0.0, "autonomy_days": 0.0, **shown.wish}
    kind = shown.asked["request"]["system_type"]
    designs = result["designs"]
    front = [designs[at] for at in result["front"]]
    letters = {"cheapest": "A", "runner_up": "B", "closest": "C"}
    marked = {result[key]: letter for key, letter in letters.items() if result[key] is not None}
    rows = [(at, marked.get(at, ""), design) for at, design in enumerate(designs)]
    outages = _outage(job) if kind == "hybrid" else ""
    off_grid = kind == "off_grid"
    cheapest, runner_up = _one(result, "cheapest"), _one(result, "runner_up")
    return {
        "result": result,
        "wish": wish,
        "cheapest": cheapest,
        "runner_up": runner_up,
        "more": _more(cheapest, runner_up) if cheapest and runner_up else None,
        "closest": _one(result, "closest"),
        "short": _short(_one(result, "closest"), wish, off_grid),
        "chart": search_front(
            front,
            {at: m for at, m in marked.items() if at < len(front)},
            wish=wish,
            panels=off_grid_panels(front) if off_grid else on_grid_panels(outages),
        )
        if front
        else "",
        "in_sight": _spread(rows),
        "rest": len(rows) > IN_SIGHT,
        "rows": rows,
        "failing": [
            (CHECKS.get(key, key.replace(".", ": ").replace("_", " ")), count) for key, count in result["failed"]
        ],
        "outages": outages,
        "off_grid": off_grid,
    }


def _one(result: Mapping[str, Any], key: str) -> dict[str, Any] | None:
    at = result[key]
    return None if at is None else {**result["designs"][at], "place": at}


def _more(first: Mapping[str, Any], then: Mapping[str, Any]) -> dict[str, float]:
    """What the dearer of the two adds; dollars as the two prices are shown, so that the sum holds on paper."""
    usd = round(then["cost_usd"]) - round(first["cost_usd"])
    if first.get("hours_short") is not None:
        days = then["autonomy_days"] - first["autonomy_days"]
        return {"usd": usd, "hours": first["hours_short"] - then["hours_short"], "days": days}
    return {
        "usd": usd,
        "ride": (then["ride_through_share"] - first["ride_through_share"]) * 100,
        "offset": (then["bill_offset"] - first["bill_offset"]) * 100,
        "saved_usd": then["saved_usd_year"] - first["saved_usd_year"],
    }


def _short(closest: Mapping[str, Any] | None, wish: Mapping[str, Any], off_grid: bool) -> list[str]:
    """Where the nearest one falls short, in words."""
    if closest is None:
        return []
    found = []
    shares = [("ride_through_share", "of the outages"), ("bill_offset", "of the bills")]
    if off_grid:
        shares = [("carried_share", "of the year’s hours")]
        if closest["autonomy_days"] < wish["autonomy_days"] - 1e-9:
            found.append(f"{closest['autonomy_days']:.1f} days without sun instead of {wish['autonomy_days']:g}")
    for key, words in shares:
        if closest[key] < wish[key] - 1e-9:
            have, wanted = closest[key] * 100, wish[key] * 100
            digits = 0 if round(have) < round(wanted) else 1
            found.append(f"{have:.{digits}f} % {words} instead of {wanted:.{digits}f} %")
    if wish["most_usd"] is not None and closest["cost_usd"] > wish["most_usd"]:
        found.append(f"${closest['cost_usd']:,.0f} instead of at most ${wish['most_usd']:,.0f}")
    return found


def _spread(rows: list[tuple[int, str, Any]]) -> list[tuple[int, str, Any]]:
    """The marked ones and others evenly along the price, in its order."""
    if len(rows) <= IN_SIGHT:
        return sorted(rows, key=lambda row: row[2]["cost_usd"])
    step = (len(rows) - 1) / (IN_SIGHT - 1)
    wanted = {round(n * step) for n in range(IN_SIGHT)} | {row[0] for row in rows if row[1]}
    return sorted((row for row in rows if row[0] in wanted), key=lambda row: row[2]["cost_usd"])


@office_only
@require_GET
def progress(request: HttpRequest, pk: int) -> HttpResponse:
    """Asked three times a second while a search runs; when it is over, the page is read afresh."""
    run = get_object_or_404(DesignSearch.objects.select_related("job").defer("asked", "result"), pk=pk)
    run = searching.settle(run)
    if run.state != "running":
        response = HttpResponse()
        response["HX-Redirect"] = reverse("job-search", args=[run.job.number])
        return response
    context = {"run": run, "progress_url": reverse("search-progress", args=[run.pk])}
    return render(request, "office/study_progress.html", context)


@office_only
@require_POST
def take(request: HttpRequest, number: int, pk: int, place: int) -> HttpResponse:
    job = job_or_404(request, number)
    search = get_object_or_404(DesignSearch, pk=pk, job=job)
    try:
        drawn = searching.take_design(job=job, actor=request.user, search=search, place=place)
    except Problems as problems:
        for problem in problems:
            messages.error(request, problem.message)
        return redirect("job-search", number=job.number)
    messages.success(request, f"Revision {drawn.revision_letter} is drawn from the search. Run the study on it next.")
    return redirect("job-study", number=job.number)
