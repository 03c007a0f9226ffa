"""One appointment: choose its day with the crews' weeks in sight, move it, call it off, take the last change back."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import Any
from urllib.parse import urlencode

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST

from projects.actions import journal, scheduling
from projects.actions.engagements import Booked, current
from projects.actions.facts import facts_of
from projects.actions.findings import today as office_today
from projects.actions.problems import Problems
from projects.actions.recording import Book
from projects.models import Appointment, Crew, Job, JournalEntry
from projects.queries import calendar as queries
from projects.route.before import Ahead, ahead
from projects.route.clashes import INSPECTIONS, NAMES
from projects.screens.access import job_or_404, office_only
from projects.screens.office.forms_calendar import AppointmentForm, CancelForm
from projects.screens.problems import add_problems
from projects.screens.tasks import task

WEEKS = 6
UNMET_SHOWN = 8


@dataclass(frozen=True)
class Cell:
    """A day to choose, with how full it is."""

    on: date
    words: str
    address: str
    state: str
    """free, some, full, closed, over, chosen"""


@office_only
@require_http_methods(["GET", "HEAD", "POST"])
def day(request: HttpRequest, number: int, kind: str) -> HttpResponse:
    job = job_or_404(request, number)
    if kind not in Appointment.Kind.values:
        raise Http404
    now_set = current(job).get(kind)
    moves = now_set is not None
    if request.method == "POST":
        form = AppointmentForm(request.POST, kind=kind, moves=moves)
        if form.is_valid():
            try:
                booked = scheduling.schedule(job=job, kind=kind, actor=request.user, **form.cleaned_data)
            except Problems as problems:
                add_problems(form, problems)
            else:
                messages.success(request, _said(kind, form.cleaned_data["on"], booked))
                return redirect("calendar-day", number, kind)
        return _page(request, job, kind, now_set, form, status=422)
    asked = AppointmentForm(request.GET, kind=kind, moves=moves) if "on" in request.GET else None
    if asked is not None:
        asked.fields["on"].required = False
    form = asked or AppointmentForm(initial=_initial(now_set, kind), kind=kind, moves=moves)
    return _page(request, job, kind, now_set, form)


@office_only
@require_POST
def cancel(request: HttpRequest, number: int, kind: str) -> HttpResponse:
    job = job_or_404(request, number)
    if kind not in Appointment.Kind.values:
        raise Http404
    form = CancelForm(request.POST, label_suffix="", auto_id="id_off_%s")
    if form.is_valid():
        try:
            scheduling.cancel(job=job, kind=kind, actor=request.user, **form.cleaned_data)
        except Problems as problems:
            add_problems(form, problems)
        else:
            messages.success(request, f"The {NAMES[kind]} is called off; its day is free again.")
            return redirect("calendar-day", number, kind)
    now_set = current(job).get(kind)
    fresh = AppointmentForm(initial=_initial(now_set, kind), kind=kind, moves=now_set is not None)
    return _page(request, job, kind, now_set, fresh, cancel_form=form, status=422)


@office_only
@require_POST
def undo(request: HttpRequest, number: int, entry: int) -> HttpResponse:
    job = job_or_404(request, number)
    row = get_object_or_404(JournalEntry, pk=entry, job=job)
    kind = row.data.get("appointment", "")
    try:
        scheduling.undo(job=job, entry=row, actor=request.user)
    except Problems as problems:
        messages.error(request, " ".join(problem.message for problem in problems))
    else:
        messages.success(request, f"{journal.sentence(job.journal.latest('id'))}.")
    return redirect("calendar-day", number, kind) if kind in Appointment.Kind.values else redirect("calendar")


def _said(kind: str, on: date, booked: bool) -> str:
    if booked:
        return f"The {NAMES[kind]} is booked for {on:%A}, {on.day} {on:%B}."
    return f"{on:%A}, {on.day} {on:%B} is kept free for the {NAMES[kind]} until it may be booked."


def _initial(now_set: Booked | None, kind: str) -> dict[str, Any]:
    if now_set is None:
        return {"days": 2 if kind == "installation" else 1}
    return {
        "on": now_set.on,
        "crew": now_set.crew.pk if now_set.crew else None,
        "starts_at": now_set.starts_at,
        "days": len(now_set.days),
    }


def _page(
    request: HttpRequest,
    job: Job,
    kind: str,
    now_set: Booked | None,
    form: AppointmentForm,
    *,
    cancel_form: CancelForm | None = None,
    status: int = 200,
) -> HttpResponse:
    today = office_today()
    on, crew, days, starts_at = _chosen(form)
    facts = facts_of(job, today)
    found = ahead(facts, kind, on)
    seen = scheduling.day_clashes(job, kind, on, crew, starts_at, days) if on else ()
    change = scheduling.last_change(job, kind)
    context = {
        "nav": "calendar",
        "job": job,
        "kind": kind,
        "name": NAMES[kind],
        "now_set": now_set,
        "form": form,
        "cancel_form": cancel_form or CancelForm(label_suffix="", auto_id="id_off_%s"),
        "on": on,
        "clashes": seen,
        "checked": bool(on),
        "moved": bool(now_set and on and on != now_set.on),
        "ahead": found,
        "holds": found.holds,
        "unmet": [(row, task(row.requirement.key, row.requirement.sentence)) for row in _first_unmet(found)],
        "unmet_more": max(0, len(found.unmet) - UNMET_SHOWN),
        "can_book": found.on_route and not scheduling.why_not_booked(Book(job, None), kind),
        "weeks": _weeks(job, kind, form, crew, on, today),
        "crew": crew,
        "change": change if change is not None and change.kind != "appointment_undone" else None,
        "change_words": journal.sentence(change) if change else "",
        "today": today,
        "others": [row for name, row in current(job).items() if name != kind],
    }
    return render(request, "office/calendar_day.html", context, status=status)


def _chosen(form: AppointmentForm) -> tuple[date | None, Crew | None, int, Any]:
    """As typed or as it stands now; what can't be read is left out here and told at its field."""
    if form.is_bound:
        form.is_valid()
        data = form.cleaned_data
        days = data.get("days") or 1
        return data.get("on"), data.get("crew"), days if 1 <= days <= scheduling.MOST_DAYS else 1, data.get("starts_at")
    pk = form.initial.get("crew")
    crew = Crew.objects.filter(pk=pk).first() if pk else None
    return form.initial.get("on"), crew, form.initial.get("days") or 1, form.initial.get("starts_at")


def _first_unmet(found: Ahead) -> list:
    """The holds first, then those that come too late, then in the order of the route."""
    rest = [row for row in found.unmet if not (found.holds and row.requirement.key == "permits_hold")]
    ranked = sorted(rest, key=lambda row: (not row.requirement.hold, not row.late))
    return ranked[:UNMET_SHOWN]


def _weeks(
    job: Job, kind: str, form: AppointmentForm, crew: Crew | None, on: date | None, today: date
) -> list[list[Cell]]:
    """Six working weeks: each day with how full the chosen crew is, or how many crews are free."""
    start = today if on is None or on < today + timedelta(days=28) else on - timedelta(days=14)
    first = start - timedelta(days=start.weekday())
    last = first + timedelta(days=7 * WEEKS - 1)
    view = _without(queries.calendar(first, last, today=today), job, kind)
    profile = facts_of(job, today).jurisdiction
    kept = {key: form[key].value() for key in form.fields if key in ("crew", "starts_at", "days")}
    weeks: list[list[Cell]] = [[] for _ in range(WEEKS)]
    for index, shown in enumerate(view.days):
        if shown.on.weekday() > 4 and not (crew and crew.works_on(shown.on)):
            continue
        words, state = _room(view, kind, crew, shown, profile.holidays)
        if shown.on < today:
            state = "over"
        if shown.on == on:
            state = f"{state} chosen"
        asked = {"on": shown.on.isoformat()} | {key: value for key, value in kept.items() if value}
        address = f"{reverse('calendar-day', args=[job.number, kind])}?{urlencode(asked)}#check"
        weeks[index // 7].append(Cell(shown.on, words, address, state))
    return weeks


def _without(view: queries.CalendarView, job: Job, kind: str) -> queries.CalendarView:
    """As if this appointment had no day: it doesn't stand in its own way."""
    days = tuple(
        replace(
            day,
            entries=tuple(e for e in day.entries if (e.booked.job.pk, e.booked.kind) != (job.pk, kind)),
        )
        for day in view.days
    )
    return replace(view, days=days)


def _room(view: queries.CalendarView, kind: str, crew: Crew | None, day: queries.Day, holidays: Any) -> tuple[str, str]:
    if day.on in holidays:
        return ("counter closed" if kind in INSPECTIONS else "holiday"), "closed"
    if crew is not None:
        if any(row.on == day.on for row in crew.days_off.all()) or not crew.works_on(day.on):
            return "off", "closed"
        return _fullness(crew, kind, day)
    working = [row for row in view.crews if row.active and row.works_on(day.on)]
    free = [row for row in working if _fullness(row, kind, day)[1] != "full"]
    if not view.crews:
        return "", "free"
    words = f"{len(free)} of {len(working)} crews" if working else "no crew"
    return words, "free" if free else "full"


def _fullness(crew: Crew, kind: str, day: queries.Day) -> tuple[str, str]:
    own = [
        entry.booked
        for entry in day.entries
        if entry.booked.crew and entry.booked.crew.pk == crew.pk and not entry.booked.done
    ]
    taken = len(own)
    if any(row.kind == "installation" for row in own):
        return "whole day taken", "full"
    if kind == "installation":
        return ("free", "free") if taken == 0 else (f"{taken} taken", "full")
    if taken >= crew.jobs_per_day:
        return "full", "full"
    return (f"{taken} of {crew.jobs_per_day}", "some") if taken else ("free", "free")
