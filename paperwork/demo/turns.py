"""Whose turn it is: which crew goes to which appointment of the demo office, at what hour, for how many days.

Reckoned for all households at once before any story is told, so that stories told side by side agree.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, time
from typing import Any

from projects.route.clashes import CrewWeek, working_run

INSTALLATION_DAYS = 2
HOURS = (time(9, 0), time(13, 0), time(15, 30))
EARLY = time(8, 0)


@dataclass(frozen=True)
class Wanted:
    household: str
    town: str
    kind: str
    """As ``Appointment.Kind``."""
    on: date


@dataclass(frozen=True)
class Turn:
    crew: str
    starts_at: time
    days: int


def turns(wanted: Iterable[Wanted], crews: Sequence[Mapping[str, Any]]) -> dict[Wanted, Turn]:
    """The crew near by where it is free, else the next free one, else the crew near by all the same.

    ``crews``: of ``fixtures/demo/office.json``, with ``name``, ``towns``, ``working_days`` and ``jobs_per_day``.
    """
    weeks = [
        CrewWeek(row["name"], frozenset(int(digit) for digit in row["working_days"]), row["jobs_per_day"])
        for row in crews
    ]
    towns = {row["name"]: row["towns"] for row in crews}
    taken: dict[tuple[str, date], list[str]] = {}
    found: dict[Wanted, Turn] = {}
    # Installations first: they fill whole days, and what is short finds room beside them.
    for entry in sorted(wanted, key=lambda row: (row.kind != "installation", row.on, row.household, row.kind)):
        near = sorted(weeks, key=lambda week: entry.town not in towns[week.name])
        crew = next((week for week in near if _free(week, entry, taken)), near[0])
        days = _days(crew, entry)
        there = taken.get((crew.name, entry.on), [])
        hour = EARLY if entry.kind == "installation" else HOURS[min(len(there), len(HOURS) - 1)]
        for day in days:
            taken.setdefault((crew.name, day), []).append(entry.kind)
        found[entry] = Turn(crew.name, hour, len(days))
    return found


def _days(crew: CrewWeek, entry: Wanted) -> tuple[date, ...]:
    return working_run(entry.on, INSTALLATION_DAYS if entry.kind == "installation" else 1, crew.works_on)


def _free(crew: CrewWeek, entry: Wanted, taken: Mapping[tuple[str, date], list[str]]) -> bool:
    for day in _days(crew, entry):
        there = taken.get((crew.name, day), [])
        full = there if entry.kind == "installation" else "installation" in there or len(there) >= crew.jobs_per_day
        if full or not crew.works_on(day):
            return False
    return True
