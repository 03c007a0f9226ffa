"""How full the crews' coming weeks are: what is booked against the days that they work."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta

from projects.actions.engagements import Booked, crews, engagements
from projects.actions.findings import today as office_today
from projects.actions.holidays import public_holidays
from projects.models import Appointment, Crew, OfficeProfile

WEEKS = 8


@dataclass(frozen=True)
class CrewWeek:
    crew: str
    """Empty: booked, but nobody's yet."""
    booked_days: float
    """An installation takes a day whole, a visit or inspection its share of what the crew can take in a day."""
    capacity_days: int

    @property
    def share(self) -> float:
        return self.booked_days / self.capacity_days if self.capacity_days else float(self.booked_days > 0) * 9.99

    @property
    def over(self) -> bool:
        return bool(self.crew) and self.booked_days > self.capacity_days


@dataclass(frozen=True)
class Week:
    monday: date
    crews: tuple[CrewWeek, ...]
    unmanned_days: float

    @property
    def booked_days(self) -> float:
        return sum(row.booked_days for row in self.crews) + self.unmanned_days

    @property
    def capacity_days(self) -> int:
        return sum(row.capacity_days for row in self.crews)


def crew_weeks(today: date | None = None, weeks: int = WEEKS) -> list[Week]:
    """This week from today on, and the next ones. The number of queries is constant."""
    today = today or office_today()
    monday = today - timedelta(days=today.weekday())
    last = monday + timedelta(days=7 * weeks - 1)
    told = crews()
    shut = _holidays(today, last)
    taken: dict[tuple[int, int], float] = defaultdict(float)
    for row in engagements(today, last):
        if row.done:
            continue
        pk = row.crew.pk if row.crew else 0
        for day in row.days:
            if today <= day <= last:
                taken[pk, (day - monday).days // 7] += _weight(row)
    found = []
    for n in range(weeks):
        first = max(monday + timedelta(days=7 * n), today)
        days = [monday + timedelta(days=7 * n + d) for d in range(7)]
        rows = tuple(
            CrewWeek(crew.name, taken[crew.pk, n], sum(day >= first and _works(crew, day, shut) for day in days))
            for crew in told
        )
        active = {crew.pk for crew in told}
        unmanned = sum(days for (pk, week), days in taken.items() if week == n and pk not in active)
        found.append(Week(monday + timedelta(days=7 * n), rows, unmanned))
    return found


def _holidays(first: date, last: date) -> set[date]:
    firm = OfficeProfile.current()
    return set(public_holidays(firm.state if firm else "", first.year, last.year))


def _works(crew: Crew, day: date, shut: Iterable[date]) -> bool:
    return crew.works_on(day) and day not in shut and all(row.on != day for row in crew.days_off.all())


def _weight(row: Booked) -> float:
    if row.kind == Appointment.Kind.INSTALLATION:
        return 1.0
    return 1 / row.crew.jobs_per_day if row.crew else 0.5
