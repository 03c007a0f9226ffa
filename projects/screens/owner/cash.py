"""The owner's cash: what came in month by month, and what is ahead on invoices and in signed prices."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.html import escape
from django.utils.safestring import SafeString
from django.views.decorators.http import require_safe

from projects.actions.findings import today as office_today
from projects.queries.cash import Cash, CashMonth, cash_by_month
from projects.queries.likely import freshen
from projects.queries.money import owed
from projects.screens.access import owner_only
from projects.screens.owner.answers import cash_line
from projects.screens.owner.bars import MonthBar, month_bars


@owner_only
@require_safe
def cash(request: HttpRequest) -> HttpResponse:
    freshen()
    today = office_today()
    found = cash_by_month(today)
    now = today.replace(day=1)
    shown = _since_the_first(found.months, now)
    context: dict[str, Any] = {
        "nav": "pipeline",
        "today": today,
        "cash": found,
        "rows": [{"month": month, "now": month.first == now, "past": month.first < now} for month in shown],
        "anything": any(month.received_usd or month.ahead_usd for month in shown)
        or bool(found.late_usd or found.beyond_usd or found.undated_usd),
        "ahead": sum((month.ahead_usd for month in shown), Decimal(0)),
        "drawing": _drawn(shown, now),
    }
    return render(request, "owner/cash.html", context)


@owner_only
@require_safe
def cash_next(request: HttpRequest) -> HttpResponse:
    """The line under the morning's question of cash: apart, since it looks at every part of every signed price."""
    today = office_today()
    return HttpResponse(escape(cash_line(owed(today), next_cash(cash_by_month(today)))))


def _since_the_first(months: tuple[CashMonth, ...], now: date) -> tuple[CashMonth, ...]:
    """Without the months before the first money, since an office may be younger than a year."""
    begun = next((month.first for month in months if month.received_usd or month.first >= now), now)
    return tuple(month for month in months if month.first >= begun)


def _drawn(months: tuple[CashMonth, ...], now: date) -> SafeString:
    bars = [
        MonthBar(f"{m.first:%b}", max(0.0, float(m.received_usd)) / 1000, float(m.ahead_usd) / 1000, m.first == now)
        for m in months
    ]
    told = "; ".join(
        f"{month.first:%B %Y} {bar.past:.1f} came in" + (f", {bar.expected:.1f} ahead" if bar.expected else "")
        for month, bar in zip(months, bars, strict=True)
        if bar.past or bar.expected
    )
    return month_bars(bars, unit="$1000", words=f"Cash by month in $1000: {told}", name="cash-ahead")


def next_cash(found: Cash) -> tuple[str, Decimal] | None:
    """The first month with cash ahead, by name, and how much; None where none is expected."""
    first = next((month for month in found.months if month.ahead_usd), None)
    return (f"{first.first:%B}", first.ahead_usd) if first else None
