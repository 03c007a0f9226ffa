"""What the customer reads off the meter or the inverter, month by month."""

from __future__ import annotations

import calendar
from datetime import date
from decimal import Decimal

from projects.actions.recording import recording
from projects.actions.roles import OFFICE
from projects.models import Job, MeterReading, Person

MOST_KWH = Decimal(50_000)


def enter_reading(*, job: Job, actor: Person, year: int, month: int, produced_kwh: Decimal) -> MeterReading:
    """The system's production in one whole month that is over; entering a month again corrects it."""
    with recording(job, actor, OFFICE) as book:
        begun = job.marks.filter(key="switched_on", withdrawn_at=None).values_list("on", flat=True).first()
        today = book.facts.today
        if begun is None:
            book.findings.add("", "The system isn't switched on yet, so there is nothing to read.")
        if year is None or month is None or not (2000 <= year <= 2100 and 1 <= month <= 12):
            book.findings.add("month", "Choose a month.")
        elif (year, month) >= (today.year, today.month):
            book.findings.add("month", "This month isn't over yet.")
        elif begun is not None and (year, month) < (begun.year, begun.month):
            book.findings.add("month", "The system wasn't switched on yet.")
        if produced_kwh is None or not 0 <= produced_kwh <= MOST_KWH:
            book.findings.add("produced_kwh", f"Between 0 and {MOST_KWH:,} kWh.")
        book.findings.refuse()
        known = MeterReading.objects.filter(job=job, year=year, month=month).first()
        if known is not None and known.produced_kwh == produced_kwh:
            book.unchanged()
            return known
        row, _ = MeterReading.objects.update_or_create(
            job=job, year=year, month=month, defaults={"produced_kwh": produced_kwh, "entered_by": actor}
        )
        book.write("reading_entered", month=f"{calendar.month_name[month]} {year}", kwh=f"{produced_kwh:g}")
    return row


def whole_months_since(start: date, today: date) -> list[tuple[int, int]]:
    """(year, month) of each month begun after ``start`` and over by ``today``, oldest first."""
    months = []
    year, month = (start.year, start.month) if start.day == 1 else _next(start.year, start.month)
    while (year, month) < (today.year, today.month):
        months.append((year, month))
        year, month = _next(year, month)
    return months


def _next(year: int, month: int) -> tuple[int, int]:
    return (year + 1, 1) if month == 12 else (year, month + 1)
