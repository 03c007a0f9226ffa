"""Where time goes and when the open jobs may be done: the owner's page of days and dates."""

from __future__ import annotations

import math
from datetime import date
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from projects.queries import times as queries
from projects.queries.history import HISTORY_JOBS, history
from projects.route.forecast.predict import THIN, DateRange
from projects.route.forecast.survival import Curve
from projects.screens.access import owner_only
from projects.screens.likely import range_words
from projects.screens.owner.times_drawing import Calendar, medians, waiting_curves

SHARES_AFTER = (7, 14, 30, 60)
MOST_CURVES = 4
MOST_WEEKS = 26


@owner_only
@require_safe
def times(request: HttpRequest) -> HttpResponse:
    """GET ``leg``: whose curves to draw; ``authority`` and ``weeks``: what if; ``page`` of the open jobs."""
    known = history()
    authorities = queries.authorities()
    names = {authority.key: authority.name for authority in authorities}
    found = queries.leg_times(known, names)
    chosen = next((row for row in found if row.leg.key == request.GET.get("leg")), None) or _slowest(found)
    weeks = _whole(request.GET.get("weeks"), 0, MOST_WEEKS)
    asked = request.GET.get("authority", "")
    asked = asked if asked in names and weeks else ""
    waiting = queries.waiting_jobs().count()
    pages = max(1, math.ceil(waiting / queries.JOBS_PER_PAGE))
    page = _whole(request.GET.get("page"), 1, pages)
    supposed = queries.longer_review(asked, weeks) if asked else None
    jobs = queries.open_jobs(known, page, supposed)
    context: dict[str, Any] = {
        "nav": "pipeline",
        "today": known.today,
        "finished": len({spell.job for spell in known.spells if spell.leg == "permission" and spell.finished}),
        "waiting": waiting,
        "history_jobs": HISTORY_JOBS,
        "legs": [_line(row.leg.title, row.all) | {"key": row.leg.key, "here": row is chosen} for row in found],
        "medians": medians([(row.leg.title, row.all) for row in found]) if found else "",
        "chosen": chosen.leg if chosen else None,
        "authorities": authorities,
        "asked": asked,
        "asked_name": names.get(asked, ""),
        "weeks": weeks,
        "most_weeks": MOST_WEEKS,
        "page": page,
        "pages": pages,
        "rows": _rows(jobs, known.today),
        "axis": _calendar(jobs, known.today).axis() if jobs else "",
        "moved": _moved(queries.moved_days(known, supposed), weeks) if supposed else None,
        "shares_after": SHARES_AFTER,
        "thin": THIN,
        "thin_legs": [row.leg.title for row in found if row.all.finished < THIN],
    }
    if chosen:
        everybody = "All of them" if chosen.by_authority else chosen.leg.title
        series = [(everybody, chosen.all), *chosen.by_authority]
        context["curves"] = waiting_curves(series[: MOST_CURVES + 1])
        context["curve_rows"] = [_line(name, curve) for name, curve in series]
    return render(request, "owner/times.html", context)


def _whole(text: str | None, least: int, most: int) -> int:
    """A number out of an address, which anybody may have typed."""
    try:
        return min(max(int(text or least), least), most)
    except ValueError:
        return least


def _slowest(found: list[queries.LegTime]) -> queries.LegTime | None:
    """Of the legs that go at somebody else's pace the one with the longest median, else any that is known."""
    theirs = [row for row in found if row.leg.pace and row.all.days] or [row for row in found if row.all.days] or found
    return max(theirs, key=lambda row: row.all.median_days or row.all.longest_days, default=None)


def _line(name: str, curve: Curve) -> dict[str, Any]:
    low, high = curve.median_limits
    return {
        "name": name,
        "median": "" if curve.median_days is None else f"{curve.median_days:g}",
        "over": "" if curve.median_days is not None else f"{curve.longest_days:g}",
        "low": "?" if low is None else f"{low:g}",
        "high": "?" if high is None else f"{high:g}",
        "finished": curve.finished,
        "waiting": curve.censored,
        "longest_waiting": f"{max(curve.waiting_at):g}" if curve.waiting_at else "",
        "shares": [
            f"{curve.share_waiting(day) * 100:.0f} %" if day <= curve.longest_days else "" for day in SHARES_AFTER
        ],
    }


def _calendar(jobs: list[queries.OpenJob], today: date) -> Calendar:
    ranges = [r for row in jobs for f in (row.forecast, row.supposed) if f for r in (f.installation, f.operation) if r]
    return Calendar(today, max((r.high90 for r in ranges), default=today))


def _rows(jobs: list[queries.OpenJob], today: date) -> list[dict[str, Any]]:
    calendar = _calendar(jobs, today)
    return [
        {
            "job": row.job,
            "thin": shown.thin,
            "later": _later(row),
            "booked": row.job.install_on if row.job.install_on and row.job.install_on >= today else None,
            "is_lead": row.is_lead,
            "installation": _words(shown.installation, today),
            "operation": _words(shown.operation, today),
            "bars": calendar.bars(shown.installation, shown.operation),
        }
        for row in jobs
        for shown in (row.supposed or row.forecast,)
    ]


def _words(found: DateRange | None, today: date) -> dict[str, str] | None:
    if found is None:
        return None
    return {
        "likely": range_words(found.low50, found.high50, today),
        "wide": range_words(found.low90, found.high90, today),
    }


def _later(row: queries.OpenJob) -> int | None:
    """Days by which the middle date of permission moves under the what-if."""
    if row.supposed is None or row.supposed.operation is None or row.forecast.operation is None:
        return None
    return (row.supposed.operation.middle - row.forecast.operation.middle).days


def _moved(days: list[int], weeks: int) -> dict[str, int] | None:
    if not days:
        return None
    return {"jobs": len(days), "most": max(days), "least": min(days), "hidden": min(days) < 7 * weeks - 1}
