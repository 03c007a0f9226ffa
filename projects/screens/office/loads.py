"""The load worksheet: what runs, how long, how hard it starts, and what that adds up to."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from projects import studies
from projects.actions import loads
from projects.actions.problems import Problems
from projects.models import Job, LoadLine
from projects.screens import meanwhile
from projects.screens.access import crew_or_office, job_or_404
from projects.screens.office.forms_loads import LoadForm
from projects.screens.office.usual import must_run_words


@dataclass(frozen=True)
class Row:
    """A line with its sums."""

    line: LoadLine
    kwh_per_day: float
    running_w: float
    starting_w: float


@dataclass(frozen=True)
class TierSum:
    label: str
    rows: tuple[Row, ...]

    @property
    def kwh_per_day(self) -> float:
        return sum(row.kwh_per_day for row in self.rows)

    @property
    def running_w(self) -> float:
        return sum(row.running_w for row in self.rows)


def _row(line: LoadLine) -> Row:
    running = line.watts * line.count
    return Row(line, running * line.hours_per_day / 1000, running, studies.starting_w(line))


def _sums(lines: list[LoadLine]) -> dict[str, Any]:
    rows = [_row(line) for line in lines]
    tiers = [TierSum(str(tier.label), tuple(row for row in rows if row.line.tier == tier)) for tier in LoadLine.Tier]
    must_run = [row for row in rows if row.line.tier == LoadLine.Tier.MUST_RUN]
    largest = max(must_run, key=lambda row: row.starting_w - row.line.watts, default=None)
    return {
        "tiers": tiers,
        "rows": rows,
        "total_kwh": sum(row.kwh_per_day for row in rows),
        "must_run_kwh": sum(row.kwh_per_day for row in must_run),
        "must_run_w": sum(row.running_w for row in must_run),
        "largest": largest,
        # One motor starts while everything else of the tier already runs.
        "largest_start_w": sum(row.running_w for row in must_run) - largest.line.watts + largest.starting_w
        if largest
        else 0,
    }


@crew_or_office
@require_GET
def worksheet(request: HttpRequest, number: int) -> HttpResponse:
    job = job_or_404(request, number)
    lines = list(job.load_lines.all())
    answers = getattr(job, "answers", None)
    missing, unknown = _missing(job, lines)
    context = {
        "nav": "crew" if request.user.is_crew else "jobs",
        "job": job,
        "lines": lines,
        "library": studies.appliance_library(),
        "missing": missing,
        "unknown": unknown,
        "must_run": must_run_words(answers.must_run) if answers else [],
        **_sums(lines),
    }
    return render(request, "office/loads.html", context)


def _missing(job: Job, lines: list[LoadLine]) -> tuple[list[str], list[str]]:
    """What the household wants to keep running and the worksheet doesn't have: (in the library, in no library)."""
    answers = getattr(job, "answers", None)
    if answers is None:
        return [], []
    have = {line.name.strip().lower() for line in lines}
    library = {entry["key"]: entry["name"] for entry in studies.appliance_library()}
    missing = [said for said in answers.must_run if library.get(said, said).strip().lower() not in have]
    return [library[said] for said in missing if said in library], [said for said in missing if said not in library]


@crew_or_office
@require_POST
def prefill(request: HttpRequest, number: int) -> HttpResponse:
    """Adds what the household said must run and the library knows; what is there already stays as it is."""
    job = job_or_404(request, number)
    answers = getattr(job, "answers", None)
    library = {entry["key"]: entry for entry in studies.appliance_library()}
    have = {line.name.strip().lower() for line in job.load_lines.all()}
    added, unknown = 0, []
    for said in answers.must_run if answers else []:
        entry = library.get(said)
        if entry is None:
            unknown.append(said)
            continue
        if entry["name"].strip().lower() in have:
            continue
        loads.save_load_line(job=job, actor=request.user, **_fields(entry))
        added += 1
    words = f"{added} line{'s' if added != 1 else ''} added from what must run."
    if unknown:
        words += f" Not in the library, to be added by hand: {', '.join(unknown)}."
    messages.success(request, words)
    return redirect("job-loads", number=job.number)


def _fields(entry: dict[str, Any]) -> dict[str, Any]:
    return {name: value for name, value in entry.items() if name not in ("key", "source", "note", "remark")}


@crew_or_office
@require_http_methods(["GET", "POST"])
def line(request: HttpRequest, number: int, pk: int | None = None) -> HttpResponse:
    job = job_or_404(request, number)
    here = get_object_or_404(LoadLine, pk=pk, job=job) if pk else None
    chosen = next((e for e in studies.appliance_library() if e["key"] == request.GET.get("from")), None)
    with meanwhile.alone_with(request, job, here):
        initial = LoadForm.initial_from(here)
        if here is None:
            initial = _fields(chosen) if chosen else {"name": request.GET.get("name", "")[:60]}
        form = LoadForm(request.POST or None, initial=initial)
        if meanwhile.saved(form, request, loads.save_load_line, job=job, actor=request.user, line_id=pk):
            messages.success(request, f"“{form.cleaned_data['name']}” is on the worksheet.")
            return redirect("job-loads", number=job.number)
    context = {
        "nav": "crew" if request.user.is_crew else "jobs",
        "job": job,
        "form": form,
        "opened_with": meanwhile.opened_with(form) if here else "",
        "here": here,
        "chosen": chosen,
        "motor_open": any(initial.get(n) for n in ("locked_rotor_a", "starting_w", "horsepower", "code_letter"))
        or any(n in form.errors for n in ("locked_rotor_a", "starting_w", "horsepower", "code_letter")),
    }
    return render(request, "office/loads_line.html", context, status=422 if form.errors else 200)


@crew_or_office
@require_POST
def remove_line(request: HttpRequest, number: int, pk: int) -> HttpResponse:
    job = job_or_404(request, number)
    try:
        loads.remove_load_line(job=job, actor=request.user, line_id=pk)
    except Problems as problems:
        for problem in problems:
            messages.error(request, problem.message)
    else:
        messages.success(request, "The line is gone.")
    return redirect("job-loads", number=job.number)
