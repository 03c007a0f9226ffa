"""What speaks against a day: the week, days off, holidays, a crew that is elsewhere. Pure: rows come in as plain data.

A clash is a warning that a person may overrule and the journal then keeps; the holds that protect people are not
clashes and can't be overruled (see ``before`` and ``holds``).
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from collections.abc import Set as AbstractSet
from dataclasses import dataclass
from datetime import date, time, timedelta
from typing import Literal

from projects.route.business_days import add_business_days

AppointmentKind = Literal["site_visit", "installation", "rough_in", "final", "service_visit"]
INSPECTIONS: frozenset[str] = frozenset({"rough_in", "final"})
NAMES: dict[str, str] = {
    "site_visit": "site visit",
    "installation": "installation",
    "rough_in": "rough-in inspection",
    "final": "final inspection",
    "service_visit": "service visit",
}
APART_MINUTES = 120
"""Two starts of one crew that lie closer can't both be kept. Common practice, no source."""
LONGEST_RUN_DAYS = 120
_DAY = timedelta(days=1)


@dataclass(frozen=True)
class CrewWeek:
    """A crew as the calendar sees it."""

    name: str
    working_days: frozenset[int] = frozenset({1, 2, 3, 4, 5})
    """Monday is 1."""
    jobs_per_day: int = 2
    days_off: Mapping[date, str] | None = None
    """With the reason."""
    members: frozenset[str] = frozenset()

    def works_on(self, day: date) -> bool:
        return day.isoweekday() in self.working_days and day not in (self.days_off or {})


@dataclass(frozen=True)
class Engagement:
    """Something that takes a crew: one job, one kind, one or more days."""

    job: str
    """"0147"."""
    kind: str
    days: tuple[date, ...]
    crew: str = ""
    starts_at: time | None = None
    members: frozenset[str] = frozenset()


@dataclass(frozen=True)
class Clash:
    field: Literal["on", "crew", "starts_at"]
    """Where it was typed."""
    day: date
    sentence: str


def working_run(start: date, days: int, works: Callable[[date], bool]) -> tuple[date, ...]:
    """``start`` itself (somebody chose it), then the next working days, ``days`` in all.

    Raises ValueError where ``days`` is below 1. A crew that never works again gets the start alone.
    """
    if days < 1:
        raise ValueError(f"days must be 1 or more, not {days}")
    found = [start]
    day = start
    while len(found) < days and (day - start).days < LONGEST_RUN_DAYS:
        day += _DAY
        if works(day):
            found.append(day)
    return tuple(found)


def clashes(
    wanted: Engagement,
    crew: CrewWeek | None,
    others: Sequence[Engagement],
    *,
    today: date,
    holidays: AbstractSet[date] = frozenset(),
    whose_holidays: str = "the jurisdiction",
    notice_days: int = 0,
) -> tuple[Clash, ...]:
    """All that speaks against ``wanted``, day by day. ``others``: what is booked or planned beside it."""
    found: list[Clash] = []
    first = wanted.days[0]
    if first < today:
        found.append(Clash("on", first, f"{_named(first)} is over."))
    elif wanted.kind in INSPECTIONS and first < (soonest := add_business_days(today, notice_days, holidays)):
        found.append(
            Clash("on", first, f"{whose_holidays} asks for {notice_days} business days' notice: {_named(soonest)}.")
        )
    for day in wanted.days:
        found += _by_the_week(wanted, crew, day, holidays, whose_holidays)
        if crew is not None:
            found += _by_the_crew(wanted, crew, day, others)
    found += _by_the_order(wanted, others)
    return tuple(dict.fromkeys(found))


def _by_the_week(
    wanted: Engagement, crew: CrewWeek | None, day: date, holidays: AbstractSet[date], whose: str
) -> list[Clash]:
    found = []
    inspected = wanted.kind in INSPECTIONS
    if day.weekday() >= 5 and (crew is None or inspected):
        found.append(Clash("on", day, f"{_named(day)} is on a weekend."))
    elif crew is not None and day.isoweekday() not in crew.working_days:
        found.append(Clash("crew", day, f"{crew.name} doesn't work on {day:%A}s ({_named(day)})."))
    if day in holidays:
        what = "its counter is closed then" if inspected else "a holiday"
        found.append(Clash("on", day, f"{_named(day)}: {what}, by the calendar of {whose}."))
    if crew is not None and crew.days_off and day in crew.days_off:
        reason = crew.days_off[day]
        found.append(Clash("crew", day, f"{crew.name} is off on {_named(day)}{f' ({reason})' if reason else ''}."))
    return found


def _by_the_crew(wanted: Engagement, crew: CrewWeek, day: date, others: Sequence[Engagement]) -> list[Clash]:
    there = [other for other in others if day in other.days and not _same(wanted, other)]
    own = [other for other in there if other.crew == crew.name]
    found = []
    whole_days = [other for other in own if other.kind == "installation"]
    if whole_days or (own and wanted.kind == "installation"):
        busy = (whole_days or own)[0]
        found.append(Clash("crew", day, f"{crew.name} is booked twice on {_named(day)}: {_what(busy)}."))
    elif len(own) >= crew.jobs_per_day:
        jobs = "job" if crew.jobs_per_day == 1 else "jobs"
        found.append(
            Clash("crew", day, f"{crew.name} is full on {_named(day)}: {len(own)} of {crew.jobs_per_day} {jobs} taken.")
        )
    for other in own:
        if wanted.starts_at and other.starts_at and day in (wanted.days[0],) and day == other.days[0]:
            apart = abs(_minutes(wanted.starts_at) - _minutes(other.starts_at))
            if apart < APART_MINUTES:
                found.append(
                    Clash(
                        "starts_at", day, f"{crew.name} starts at {other.starts_at:%-H:%M} elsewhere: {_what(other)}."
                    )
                )
    for other in there:
        if other.crew != crew.name:
            for member in sorted(crew.members & other.members):
                found.append(Clash("crew", day, f"{member} is with {other.crew} on {_named(day)}: {_what(other)}."))
    return found


def _by_the_order(wanted: Engagement, others: Sequence[Engagement]) -> list[Clash]:
    """Of one job: visit, then installation, then final inspection."""
    found = []
    for other in others:
        if other.job != wanted.job or other.kind == wanted.kind:
            continue
        pair = (other.kind, wanted.kind)
        if pair in (("installation", "final"), ("site_visit", "installation")) and wanted.days[0] <= other.days[-1]:
            found.append(
                Clash("on", wanted.days[0], f"The {NAMES[other.kind]} of this job is on {_named(other.days[-1])}.")
            )
        if pair in (("final", "installation"), ("installation", "site_visit")) and other.days[0] <= wanted.days[-1]:
            found.append(
                Clash(
                    "on", other.days[0], f"The {NAMES[other.kind]} of this job is on {_named(other.days[0])} already."
                )
            )
    return found


def _same(wanted: Engagement, other: Engagement) -> bool:
    return wanted.job == other.job and wanted.kind == other.kind


def _what(other: Engagement) -> str:
    return f"{NAMES[other.kind]}, job {other.job}"


def _named(day: date) -> str:
    return f"{day:%a} {day.day} {day:%b}"


def _minutes(at: time) -> int:
    return at.hour * 60 + at.minute
