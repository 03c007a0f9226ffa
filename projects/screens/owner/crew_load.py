"""The crews' coming weeks, who of the office has how much in hand, and what one crew more would change."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.safestring import SafeString
from django.views.decorators.http import require_safe

from projects.actions.findings import today as office_today
from projects.queries.crew_load import Week, crew_weeks
from projects.queries.crew_question import CrewQuestion, usual_crew_days, what_if_crews
from projects.queries.people_load import people_load
from projects.screens.access import owner_only
from projects.screens.owner.bars import WeekBar, paired_bars, week_bars

MOST_CREWS, MOST_DAYS = 20, 30.0
MOVED_SHOWN = 12


@owner_only
@require_safe
def crew_load(request: HttpRequest) -> HttpResponse:
    """GET ``crews`` and ``days``: what if there were so many crews, and one took so many days for an installation."""
    today = office_today()
    weeks = crew_weeks(today)
    crew_count = len(weeks[0].crews)
    usual = usual_crew_days()
    days, days_wrong = _number(request.GET.get("days"), 0.5, MOST_DAYS, usual)
    supposed, crews_wrong = _number(request.GET.get("crews"), 1, MOST_CREWS, max(1, crew_count) + 1)
    if supposed != int(supposed):
        supposed, crews_wrong = float(max(1, crew_count) + 1), True
    question = what_if_crews(int(supposed), days)
    context: dict[str, Any] = {
        "nav": "pipeline",
        "weeks": [_week(week) for week in weeks],
        "names": [row.crew for row in weeks[0].crews],
        "unmanned": any(week.unmanned_days for week in weeks),
        "chart": _weeks_drawn(weeks),
        "people": people_load(today),
        "question": question,
        "asked_days": request.GET.get("days", f"{days:g}") if days_wrong else f"{days:g}",
        "asked_crews": request.GET.get("crews", "") if crews_wrong else int(supposed),
        "days_wrong": f"A number of days from half a day to {MOST_DAYS:.0f}." if days_wrong else "",
        "crews_wrong": f"A whole number from 1 to {MOST_CREWS}." if crews_wrong else "",
        "question_chart": _question_drawn(question, today),
        "question_weeks": [
            {"monday": today + timedelta(days=7 * n), "now": f"{now:.1f}", "then": f"{then:.1f}"}
            for n, (now, then) in enumerate(zip(question.weekly, question.weekly_then, strict=True))
        ],
        "moved": [
            {
                "job": row.job,
                "now": today + timedelta(days=row.now),
                "then": today + timedelta(days=row.then),
                "row": row,
            }
            for row in question.moved[:MOVED_SHOWN]
        ],
        "now_words": crews_words(question.crews),
        "then_words": crews_words(question.supposed),
        "more": max(0, len(question.moved) - MOVED_SHOWN),
    }
    return render(request, "owner/crews.html", context)


def _number(text: str | None, least: float, most: float, usual: float) -> tuple[float, bool]:
    """A number out of an address, and whether something else was typed there."""
    if text is None:
        return usual, False
    try:
        value = float(text[:20].replace(",", "."))
    except ValueError:
        return usual, True
    return (value, False) if least <= value <= most else (usual, True)


def _week(week: Week) -> dict[str, Any]:
    return {
        "monday": week.monday,
        "crews": [
            {"row": row, "percent": f"{row.share * 100:.0f} %" if row.capacity_days else "off", "over": row.over}
            for row in week.crews
        ],
        "week": week,
        "over": week.booked_days > week.capacity_days,
    }


def _weeks_drawn(weeks: list[Week]) -> SafeString:
    bars = [WeekBar(f"{week.monday.day} {week.monday:%b}", week.booked_days, week.capacity_days) for week in weeks]
    words = "; ".join(f"week of {bar.label}: {bar.booked:g} of {bar.capacity:g}" for bar in bars)
    return week_bars(bars, words=f"Booked crew days of those that the crews work. {words}")


def _question_drawn(question: CrewQuestion, today: date) -> SafeString:
    pairs = []
    for n, (now, then) in enumerate(zip(question.weekly, question.weekly_then, strict=True)):
        day = today + timedelta(days=7 * n)
        pairs.append((f"{day.day} {day:%b}", now, then))
    names = (f"{crews_words(question.crews)} as now", f"{crews_words(question.supposed)} supposed")
    words = "; ".join(f"from {label}: {now:.1f} and {then:.1f}" for label, now, then in pairs)
    told = f"Installations begun a week with {names[0]} and with {names[1]}. {words}"
    return paired_bars(pairs, names=names, unit="begun", words=told)


def crews_words(count: int) -> str:
    return "one crew" if count == 1 else f"{count} crews"
