"""A person's appointments as an iCalendar file (RFC 5545), for the calendar program on their phone or desk.

The file leaves the house without a sign-in: it holds the address and the job's number, no name, phone or money.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

from django.conf import settings
from icalendar import Calendar, Event

from projects.actions.engagements import kind_label
from projects.models import Appointment, Job
from projects.queries.feed import FeedRow

VISIT = timedelta(hours=2)
"""How long a visit or an inspection takes on the calendar. Common practice, no source."""


def calendar_file(rows: Sequence[FeedRow], title: str, address_of: Callable[[Job], str]) -> bytes:
    """``address_of``: the absolute address of a job's page."""
    book = Calendar()
    book.add("prodid", "-//Rafterbook//Job book//EN")
    book.add("version", "2.0")
    book.add("calscale", "GREGORIAN")
    book.add("name", title)
    book.add("x-wr-calname", title)
    book.add("x-wr-timezone", settings.TIME_ZONE)
    book.add("refresh-interval", timedelta(hours=1), parameters={"VALUE": "DURATION"})
    for row in rows:
        for number, run in enumerate(_unbroken(row.days)):
            book.add_component(_event(row, number, run, address_of(row.job)))
    return book.to_ical()


def _unbroken(days: Sequence[date]) -> list[tuple[date, date]]:
    """(first, last) of each stretch: an installation over a weekend is two events."""
    runs: list[tuple[date, date]] = []
    for day in days:
        if runs and day - runs[-1][1] == timedelta(days=1):
            runs[-1] = (runs[-1][0], day)
        else:
            runs.append((day, day))
    return runs


def _event(row: FeedRow, number: int, run: tuple[date, date], address: str) -> Event:
    event = Event()
    name = kind_label(row.kind)
    planned = row.booked is not None and row.booked.planned
    event.add("uid", f"{row.uid}-{number + 1}" if number else row.uid)
    event.add("dtstamp", row.changed_at)
    event.add("last-modified", row.changed_at)
    event.add("sequence", row.sequence)
    event.add("summary", f"{name} {row.job.label}, {row.job.site.street}{' (planned)' if planned else ''}")
    event.add("status", "CANCELLED" if row.booked is None else "TENTATIVE" if planned else "CONFIRMED")
    event.add("location", row.job.site.address)
    event.add("description", "\n".join(_description(row)))
    event.add("url", address)
    event.add("class", "PRIVATE")
    starts_at = row.booked.starts_at if row.booked else None
    if starts_at is not None and row.kind != Appointment.Kind.INSTALLATION:
        # In UTC: a rule for the time zone is what readers disagree about, an instant is not.
        start = datetime.combine(run[0], starts_at, ZoneInfo(settings.TIME_ZONE)).astimezone(UTC)
        event.add("dtstart", start)
        event.add("dtend", start + VISIT)
    else:
        event.add("dtstart", run[0])
        event.add("dtend", run[1] + timedelta(days=1))
        event.add("transp", "OPAQUE")
    return event


def _description(row: FeedRow) -> list[str]:
    if row.booked is None:
        return ["Called off, or no longer yours."]
    lines = [f"Crew: {row.booked.crew.name}" if row.booked.crew else "No crew yet"]
    if row.booked.visit and row.booked.visit.claim:
        lines.append(f"Claim: {row.booked.visit.claim.covers}")
    if row.booked.starts_at:
        lines.append(f"Starts at {row.booked.starts_at:%-H:%M}")
    if row.booked.planned:
        lines.append("Planned, not booked.")
    if row.holds:
        lines += ["Hold, no work before this is settled:", *row.holds]
    return lines
