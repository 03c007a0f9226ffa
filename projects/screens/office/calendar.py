"""The calendar: the weeks ahead, a month or a week of visits, installations and inspections. The office sees all, the
crew its own."""

from __future__ import annotations

import calendar as months
from datetime import date, timedelta
from typing import Any
from urllib.parse import urlencode

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_safe

from projects.actions import journal
from projects.actions.engagements import SERVICE
from projects.actions.findings import today as office_today
from projects.models import Person
from projects.queries import calendar as queries
from projects.queries.calendar import CalendarView, Entry
from projects.screens.access import signed_in

SHORT = {
    "site_visit": "Visit",
    "installation": "Install",
    "rough_in": "Rough-in",
    "final": "Final",
    "service_visit": "Service",
}
NOBODY = 0
SHOWN_A_DAY = 5
WEEKS_AHEAD = 5
"""From this week on: late in a month, most of its sheet is over."""


@signed_in
@require_safe
def calendar(request: HttpRequest) -> HttpResponse:
    person = request.user
    assert isinstance(person, Person)
    today = office_today()
    weekly, ahead = "week" in request.GET, not {"week", "month"} & set(request.GET)
    start = _day(request.GET.get("week", "")) or today if weekly else _month(request.GET.get("month", "")) or today
    first, last = _week(start) if weekly else _weeks_ahead(today) if ahead else _month_sheet(start)
    chosen = request.GET.get("crew", "")
    crew = int(chosen) if chosen.isdecimal() and len(chosen) < 10 else None
    own = None if person.is_office else queries.crew_ids_of(person)
    wanted = own if own is not None else None if crew is None else [crew]
    view = queries.calendar(first, last, crew_ids=wanted, free_visits=own is not None, today=today)
    context: dict[str, Any] = {
        "nav": "calendar",
        "weekly": weekly,
        "ahead": ahead,
        "today": today,
        "start": start,
        "first": first,
        "last": last,
        "moves": _moves(start, today, weekly, ahead, chosen),
        "kinds": _kinds(start, weekly, ahead, chosen),
        "lonely": own == [],
    }
    if weekly:
        context["grid"] = _grid(view, person, with_nobody=crew in (None, NOBODY))
        context["week_days"] = [day for day in view.days if _shown(day, view)]
    else:
        context["days"] = [
            {"day": day, "entries": [line(e, day.on, person) for e in day.entries[:SHOWN_A_DAY]],
             "more": max(0, len(day.entries) - SHOWN_A_DAY),
             "out": day.on < today if ahead else day.on.month != start.month}
            for day in view.days
        ]  # fmt: skip
    if person.is_office:
        everyone = queries.crews()
        context |= {
            "crews": everyone,
            "crew_choices": _crew_choices(everyone, chosen, weekly, None if ahead else start),
            "wants": [(job, kind, SHORT[kind]) for job, kind in queries.wants_a_day()],
            "changes": _changes(),
        }
    return render(request, "office/calendar.html", context)


def _changes() -> list[dict[str, Any]]:
    rows = queries.latest_changes()
    told = dict(journal.sentences([row for row, _ in rows]))
    return [
        {"entry": row, "words": told[row], "undo": last and row.kind != "appointment_undone",
         "kind": row.data.get("appointment", "")}
        for row, last in rows
    ]  # fmt: skip


def line(entry: Entry, day: date, person: Person) -> dict[str, Any]:
    """One appointment as a day shows it."""
    row = entry.booked
    job = row.job
    address = ""
    if person.is_office:
        # A visit to a system in service is kept on its job's page: a job may have several.
        service = reverse("job-service", args=[job.number])
        address = service if row.kind == SERVICE else reverse("calendar-day", args=[job.number, row.kind])
    number = row.days.index(day) + 1 if day in row.days else 1
    return {
        "entry": entry,
        "row": row,
        "job": job,
        "short": SHORT[row.kind],
        "address": address or reverse("crew-job", args=[job.number]),
        "at": f"{row.starts_at:%-H:%M}" if row.starts_at and number == 1 else "",
        "part": f"day {number} of {len(row.days)}" if len(row.days) > 1 else "",
        "crew": row.crew.name if row.crew else "",
        "about": row.visit.about if row.visit else "",
        "state": _state(entry),
    }


def _state(entry: Entry) -> str:
    """One word that the look follows; the words beside it say the same."""
    if entry.booked.done:
        return "done"
    if entry.booked.started:
        return "started"
    if entry.overdue:
        return "overdue"
    if entry.holds:
        return "held"
    return "planned" if entry.booked.planned else "booked"


def _grid(view: CalendarView, person: Person, *, with_nobody: bool) -> list[dict[str, Any]]:
    """A row per crew, a cell per day."""
    rows = []
    lines: list[tuple[Any, int]] = [(crew, crew.pk) for crew in view.crews]
    if with_nobody:
        lines.append((None, NOBODY))
    shown = [day for day in view.days if _shown(day, view)]
    for crew, pk in lines:
        cells = []
        for day in shown:
            entries = [e for e in day.entries if (e.booked.crew.pk if e.booked.crew else NOBODY) == pk]
            cells.append(
                {"on": day.on, "entries": [line(e, day.on, person) for e in entries], **_room(view, crew, day.on)}
            )
        rows.append({"crew": crew, "cells": cells, "members": _members(crew)})
    return rows


def _members(crew: Any) -> str:
    return ", ".join(person.name for person in crew.members.all()) if crew else ""


def _room(view: CalendarView, crew: Any, day: date) -> dict[str, Any]:
    """How full the crew's day is, in words."""
    if crew is None:
        return {"room": "", "full": False}
    off = next((row for row in crew.days_off.all() if row.on == day), None)
    if off is not None:
        return {"room": f"off: {off.reason}" if off.reason else "off", "full": False}
    taken = view.load.get((crew.pk, day), 0)
    if not crew.works_on(day):
        return {"room": "not a working day", "full": bool(taken)}
    installing = any(
        e.booked.kind == "installation" and not e.booked.done and e.booked.crew and e.booked.crew.pk == crew.pk
        for shown in view.days if shown.on == day for e in shown.entries
    )  # fmt: skip
    if installing:
        return {"room": "booked twice" if taken > 1 else "whole day", "full": taken > 1}
    return {"room": f"{taken} of {crew.jobs_per_day}" if taken else "", "full": taken > crew.jobs_per_day}


def _shown(day: queries.Day, view: CalendarView) -> bool:
    """A weekend shows where something stands on it or a crew works then."""
    return day.on.weekday() < 5 or bool(day.entries) or any(crew.works_on(day.on) for crew in view.crews)


def _crew_choices(everyone: list, chosen: str, weekly: bool, start: date | None) -> list[tuple[str, str, bool]]:
    options = [("", "Everybody"), *((str(crew.pk), crew.name) for crew in everyone), (str(NOBODY), "No crew yet")]
    return [(words, _address(weekly, start, key), key == chosen) for key, words in options]


def _kinds(start: date, weekly: bool, ahead: bool, crew: str) -> list[tuple[str, str, bool]]:
    return [
        ("Ahead", _address(False, None, crew), ahead),
        ("Month", _address(False, start, crew), not weekly and not ahead),
        ("Week", _address(True, start, crew), weekly),
    ]


def _moves(start: date, today: date, weekly: bool, ahead: bool, crew: str) -> list[tuple[str, str]]:
    if ahead:
        back, on = today, (today.replace(day=1) + timedelta(days=32)).replace(day=1)
    elif weekly:
        back, on = start - timedelta(days=7), start + timedelta(days=7)
    else:
        month = start.replace(day=1)
        back, on = (month - timedelta(days=1)).replace(day=1), (month + timedelta(days=32)).replace(day=1)
    return [
        ("Earlier", _address(weekly, back, crew)),
        ("Today", _address(weekly, today if weekly else None, crew)),
        ("Later", _address(weekly, on, crew)),
    ]


def _address(weekly: bool, start: date | None, crew: str) -> str:
    """``start``: None for the weeks ahead."""
    asked = {} if start is None else {"week": start.isoformat()} if weekly else {"month": f"{start:%Y-%m}"}
    query = urlencode(asked | ({"crew": crew} if crew else {}))
    return f"{reverse('calendar')}{'?' if query else ''}{query}"


def _week(day: date) -> tuple[date, date]:
    first = day - timedelta(days=day.weekday())
    return first, first + timedelta(days=6)


def _weeks_ahead(today: date) -> tuple[date, date]:
    first = today - timedelta(days=today.weekday())
    return first, first + timedelta(days=7 * WEEKS_AHEAD - 1)


def _month_sheet(day: date) -> tuple[date, date]:
    """Whole weeks around the month."""
    first = day.replace(day=1)
    last = day.replace(day=months.monthrange(day.year, day.month)[1])
    return first - timedelta(days=first.weekday()), last + timedelta(days=6 - last.weekday())


def _day(typed: str) -> date | None:
    try:
        found = date.fromisoformat(typed)
    except ValueError:
        return None
    return found if 2000 <= found.year <= 2100 else None


def _month(typed: str) -> date | None:
    return _day(f"{typed}-01")
