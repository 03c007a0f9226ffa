"""A forecast as words: a range of days, never a promise."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from projects.models import Job, SystemKind
from projects.queries.likely import likely_dates
from projects.route.forecast.predict import DateRange, JobForecast


@dataclass(frozen=True)
class LikelyRow:
    name: str
    half: str
    """As likely as not."""
    most: str
    """Nine times in ten."""
    booked: bool = False


def range_words(low: date, high: date, today: date) -> str:
    """ "3 Dec to 20 Dec", "28 Dec to 9 Jan 2027": the year once, and only where it isn't this one."""
    year = f" {high.year}" if high.year != today.year else ""
    if low == high:
        return f"{low.day} {low:%b}{year}"
    return f"{low.day} {low:%b} to {high.day} {high:%b}{year}"


def likely_rows(job: Job, today: date) -> tuple[list[LikelyRow], JobForecast | None]:
    """What still lies ahead of this job, for the office; nothing for one that may operate or is closed."""
    found = likely_dates(job)
    if found is None:
        return [], None
    rows = []
    if found.installation:
        day = found.installation
        booked = bool(job.install_on and day.low90 == day.high90 == job.install_on)
        rows.append(LikelyRow("Installation begins", *_both(day, today), booked))
    if found.operation:
        off_grid = job.system_kind == SystemKind.OFF_GRID
        name = "Final inspection passed" if off_grid else "Permission to operate"
        rows.append(LikelyRow(name, *_both(found.operation, today)))
    return rows, found


def _both(found: DateRange, today: date) -> tuple[str, str]:
    return range_words(found.low50, found.high50, today), range_words(found.low90, found.high90, today)
