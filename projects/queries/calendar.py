"""What stands on the calendar between two days: appointments with their holds, the crews' load, holidays."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import date, timedelta

from projects.actions.engagements import SERVICE, Booked, crews, engagements
from projects.actions.facts import facts_of_many
from projects.actions.findings import today as office_today
from projects.actions.holidays import named_holidays
from projects.actions.scheduling import SCHEDULING
from projects.models import Crew, Job, JournalEntry, JurisdictionClosure, OfficeProfile, Person
from projects.route.before import ahead

WANTED = {
    "visit_booked": "site_visit",
    "install_booked": "installation",
    "rough_in_booked": "rough_in",
    "final_booked": "final",
}
"""Next steps that ask for a day."""
NEWEST_LOOKED_AT = 150


@dataclass(frozen=True)
class Entry:
    booked: Booked
    holds: tuple[str, ...] = ()
    """Why nobody may work there yet."""
    overdue: bool = False
    """Its day is over and nobody has said how it went."""


@dataclass(frozen=True)
class Day:
    on: date
    entries: tuple[Entry, ...]
    closed: tuple[str, ...]
    """Holidays and closed counters."""


@dataclass(frozen=True)
class CalendarView:
    first: date
    last: date
    days: tuple[Day, ...]
    crews: tuple[Crew, ...]
    """Active ones, and those that still have something here."""
    load: dict[tuple[int, date], int] = field(default_factory=dict)
    """Appointments that are not over, by crew and day."""


def calendar(
    first: date,
    last: date,
    *,
    crew_ids: Iterable[int] | None = None,
    free_visits: bool = False,
    today: date | None = None,
) -> CalendarView:
    """``crew_ids``: of these crews alone (0: what has no crew). The number of queries is constant.

    ``free_visits``: service visits that have no crew yet as well, for whoever of the field comes by.
    """
    today = today or office_today()
    rows = engagements(first, last)
    load: dict[tuple[int, date], int] = defaultdict(int)
    for row in rows:
        for day in row.days if row.crew and not row.done else ():
            load[row.crew.pk, day] += 1
    if crew_ids is not None:
        wanted = set(crew_ids)
        free = [row for row in rows if free_visits and row.kind == SERVICE and row.crew is None]
        rows = [row for row in rows if (row.crew.pk if row.crew else 0) in wanted or row in free]
    held = holds_of(rows, today)
    entries = [Entry(row, held.get((row.job.pk, row.kind), ()), _overdue(row, today)) for row in rows]
    by_day: dict[date, list[Entry]] = defaultdict(list)
    for entry in entries:
        for day in entry.booked.days:
            by_day[day].append(entry)
    closed = closed_days(first, last)
    days = [first + timedelta(days=n) for n in range((last - first).days + 1)]
    shown = {crew.pk: crew for crew in crews()} | {row.crew.pk: row.crew for row in rows if row.crew}
    if crew_ids is not None:
        shown = {pk: crew for pk, crew in shown.items() if pk in wanted}
    return CalendarView(
        first,
        last,
        tuple(Day(day, tuple(by_day[day]), tuple(closed.get(day, ()))) for day in days),
        tuple(sorted(shown.values(), key=lambda crew: crew.name)),
        dict(load),
    )


def holds_of(rows: Iterable[Booked], today: date) -> dict[tuple[int, str], tuple[str, ...]]:
    """By job and kind, of what is still to come; visits have none."""
    held = [row for row in rows if row.kind not in ("site_visit", SERVICE)]
    ahead_rows = [row for row in held if not row.done and row.last >= today]
    facts = facts_of_many({row.job.pk: row.job for row in ahead_rows}.values(), today)
    return {(row.job.pk, row.kind): ahead(facts[row.job.pk], row.kind, row.last).holds for row in ahead_rows}


def _overdue(row: Booked, today: date) -> bool:
    return row.last < today and not row.done and not row.started


def closed_days(first: date, last: date) -> dict[date, list[str]]:
    """Public holidays by name, and closures of single counters."""
    firm = OfficeProfile.current()
    state = firm.state if firm else ""
    found: dict[date, list[str]] = defaultdict(list)
    for year in range(first.year, last.year + 1):
        for day, name in named_holidays(state, year):
            if first <= day <= last:
                found[day].append(name)
    for row in JurisdictionClosure.objects.filter(on__range=(first, last)).select_related("jurisdiction"):
        found[row.on].append(f"{row.jurisdiction.name} closed{f': {row.reason}' if row.reason else ''}")
    return found


def wants_a_day(limit: int = 12) -> list[tuple[Job, str]]:
    """Open jobs whose next step is to set a day, the earliest due first, with the kind of appointment."""
    jobs = (
        Job.objects.filter(outcome=Job.Outcome.OPEN, waiting_on="office", next_key__in=WANTED)
        .select_related("customer", "site")
        .order_by("due_on", "number")[:limit]
    )
    return [(job, WANTED[job.next_key]) for job in jobs]


def latest_changes(limit: int = 6) -> list[tuple[JournalEntry, bool]]:
    """The newest changes of appointments; True where it is the job's last one, of a day that isn't over, and could be
    taken back."""
    today = office_today()
    # Whether a job is open is looked at here: asked in the query, it would begin with all open jobs.
    newest = JournalEntry.objects.filter(kind__in=SCHEDULING).select_related("actor", "job__customer").order_by("-id")
    # Jobs brought in from elsewhere were written one after the other: among the newest written their hours decide.
    latest = sorted(newest[:NEWEST_LOOKED_AT], key=lambda row: (row.at, row.pk), reverse=True)
    rows = [row for row in latest if row.job.outcome == Job.Outcome.OPEN][: limit * 2]
    seen: set[tuple[int, str]] = set()
    found = []
    for row in rows:
        key = (row.job_id, row.data.get("appointment", ""))
        found.append((row, "before" in row.data and key not in seen and _ahead(row, today)))
        seen.add(key)
    return found[:limit]


def _ahead(row: JournalEntry, today: date) -> bool:
    after = row.data.get("after", {})
    on = after.get("on") or after.get("planned_on")
    return not on or on >= today.isoformat()


def crew_ids_of(person: Person) -> list[int]:
    return list(person.crews.filter(active=True).values_list("pk", flat=True))
