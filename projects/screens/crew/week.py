"""The crew's own week: where to be on which day, at what hour, with whom, and what still stands against the work."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from projects.actions.findings import today as office_today
from projects.models import Person
from projects.queries import calendar as queries
from projects.queries.calendar import Day, Entry
from projects.screens.access import crew_or_office

DAYS = 14


@crew_or_office
@require_safe
def week(request: HttpRequest) -> HttpResponse:
    """The next two weeks; who belongs to no crew but works in the office sees every crew."""
    person = request.user
    assert isinstance(person, Person)
    today = office_today()
    own = queries.crew_ids_of(person)
    everybody = person.is_office and not own
    until = today + timedelta(days=DAYS - 1)
    view = queries.calendar(today, until, crew_ids=None if everybody else own, free_visits=True, today=today)
    days = [_day(day, today) for day in view.days]
    days_off = {row.on: (crew.name, row.reason) for crew in view.crews for row in crew.days_off.all()}
    for day in days:
        day["off"] = days_off.get(day["on"])
    context = {
        "nav": "crew",
        "today": today,
        "crews": view.crews,
        "lonely": not own and not everybody,
        "everybody": everybody,
        "total": sum(len(day["lines"]) for day in days),
        "days": [day for day in days if day["lines"] or day["off"] or day["closed"]],
    }
    return render(request, "crew/week.html", context)


def _day(day: Day, today: date) -> dict[str, Any]:
    lines = [_line(entry, day.on) for entry in day.entries if not entry.booked.done]
    word = {0: "Today", 1: "Tomorrow"}.get((day.on - today).days, "")
    return {"on": day.on, "word": word, "closed": day.closed, "lines": lines, "off": None}


def _line(entry: Entry, on: date) -> dict[str, Any]:
    row = entry.booked
    return {
        "job": row.job,
        "kind": row.label,
        "at": row.starts_at,
        "part": f"day {row.days.index(on) + 1} of {len(row.days)}" if len(row.days) > 1 else "",
        "crew": row.crew,
        "mates": sorted(row.members),
        "planned": row.planned,
        "holds": entry.holds,
        "about": row.visit.about if row.visit else "",
    }
