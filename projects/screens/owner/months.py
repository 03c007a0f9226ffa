"""The owner's months: jobs and value by step, what lies ahead, and which source's leads become jobs."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.safestring import SafeString
from django.views.decorators.http import require_safe

from projects.actions.findings import today as office_today
from projects.queries.likely import freshen
from projects.queries.months import STEPS, Month, by_month
from projects.queries.sources import SourceLine, win_rates
from projects.screens.access import owner_only
from projects.screens.office.forms_lead import SOURCES
from projects.screens.owner.bars import MonthBar, ShareLine, month_bars, share_lines

STEP_WORDS = {
    "leads": "Leads in",
    "signed": "Contracts signed",
    "begun": "Installations begun",
    "permitted": "Permissions to operate",
}
SOURCE_WORDS = {key: words for key, words in SOURCES if key} | {"": "Not asked"}


@owner_only
@require_safe
def months(request: HttpRequest) -> HttpResponse:
    freshen()
    today = office_today()
    found = by_month(today)
    while found and not _anything(found[0]):
        found = found[1:]
    lines, everything = win_rates()
    context: dict[str, Any] = {
        "nav": "pipeline",
        "today": today,
        "steps": list(STEP_WORDS.values()),
        "rows": [_row(month, month.first == today.replace(day=1)) for month in found if _anything(month)],
        "signed": _drawn(found, "signed", "signed-ahead", today.replace(day=1)),
        "permitted": _drawn(found, "permitted", "permitted-ahead", today.replace(day=1)),
        "sources": [_source(line) for line in lines],
        "everything": _source(everything),
        "shares": _shares(lines, everything),
    }
    return render(request, "owner/months.html", context)


def _anything(month: Month) -> bool:
    return any(sums.jobs for sums in (*month.past.values(), *month.expected.values()))


def _row(month: Month, now: bool) -> dict[str, Any]:
    return {
        "first": month.first,
        "now": now,
        "steps": [
            {
                "jobs": f"{month.past[step].jobs:.0f}" if month.past[step].jobs else "",
                "value": month.past[step].value_usd,
                "expected": _expected(month, step),
                "expected_value": month.expected[step].value_usd if step in month.expected else Decimal(0),
            }
            for step in STEPS
        ],
    }


def _expected(month: Month, step: str) -> str:
    """Less than one in twenty of a job rounds to nothing."""
    jobs = month.expected[step].jobs if step in month.expected else 0.0
    return f"{jobs:.1f}" if jobs >= 0.05 else ""


def _drawn(found: list[Month], step: str, name: str, now: Any) -> SafeString:
    bars = [
        MonthBar(
            f"{month.first:%b}",
            float(month.past[step].value_usd) / 1000,
            float(month.expected[step].value_usd) / 1000 if step in month.expected else 0.0,
            month.first == now,
        )
        for month in found
    ]
    words = "; ".join(
        f"{month.first:%B %Y} {bar.past:.0f}" + (f" and {bar.expected:.0f} expected" if bar.expected >= 0.5 else "")
        for month, bar in zip(found, bars, strict=True)
        if bar.past or bar.expected >= 0.5
    )
    return month_bars(bars, unit="$1000", words=f"{STEP_WORDS[step]} by month in $1000: {words}", name=name)


def _source(line: SourceLine) -> dict[str, Any]:
    low, high = line.limits
    return {
        "name": _source_words(line.source),
        "line": line,
        "rate": "" if line.rate is None else f"{line.rate * 100:.0f} %",
        "limits": f"{low * 100:.0f} to {high * 100:.0f} %" if line.decided else "?",
    }


def _source_words(source: str) -> str:
    return SOURCE_WORDS.get(source) or source[:1].upper() + source[1:]


def _shares(lines: list[SourceLine], everything: SourceLine) -> SafeString:
    told = [(_source_words(line.source), line) for line in lines] + [("All of them", everything)]
    rows = [ShareLine(name, line.rate, *line.limits, f"{line.won} of {line.decided}") for name, line in told]
    words = "; ".join(f"{row.name}: {row.note}" for row in rows)
    return share_lines(rows, words=f"Share of decided leads that signed, with 95 % limits. {words}")
