"""One job's way through the legs, and the spells (how long in which leg, ended or not) that history is made of."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from projects.route.forecast.legs import BY_KEY, LEGS, before


@dataclass(frozen=True)
class Progress:
    """``entered`` None: not yet begun, or begun on a day that nobody recorded. ``left`` None: not yet ended."""

    entered: date | None
    left: date | None


@dataclass(frozen=True)
class Course:
    job: int
    legs: Mapping[str, Progress]
    """In the order of ``LEGS``; only those that this job passes through."""
    jurisdiction: str
    """A key that tells authorities apart, empty where none is known."""
    utility: str
    booked_on: date | None = None
    """Day booked for the installation."""
    ended_on: date | None = None
    """When the job was lost or cancelled: how long it would have taken stays unknown from there on."""

    def group(self, key: str) -> str:
        pace = BY_KEY[key].pace
        return self.jurisdiction if pace == "jurisdiction" else self.utility if pace == "utility" else ""

    @property
    def finish(self) -> str:
        """The leg whose end lets the system run: the utility's permission, or off the grid the final inspection."""
        return "permission" if "permission" in self.legs else "inspection"


@dataclass(frozen=True)
class Spell:
    job: int
    leg: str
    days: int
    finished: bool
    """False: still waiting after ``days`` (censored)."""
    group: str
    """The authority whose pace it was."""


def course(
    job: int,
    present: frozenset[str],
    received: date,
    ends: Mapping[str, date],
    *,
    starts: Mapping[str, date] | None = None,
    jurisdiction: str = "",
    utility: str = "",
    booked_on: date | None = None,
    ended_on: date | None = None,
) -> Course:
    """Puts ends together: a leg begins when the last leg before it ended, or on its day in ``starts``.

    A leg without an end whose follower has ended was passed on a day that nobody recorded: its end is taken to be the
    follower's, and it makes no spell.
    """
    starts = starts or {}
    known = {key: day for key, day in ends.items() if key in present}
    passed: dict[str, date] = {}
    for leg in reversed(LEGS):
        if leg.key not in present:
            continue
        end = known.get(leg.key, passed.get(leg.key))
        if end is not None:
            for earlier in before(leg.key, present):
                if earlier not in known:
                    passed[earlier] = min(end, passed.get(earlier, end))
    legs: dict[str, Progress] = {}
    for leg in LEGS:
        if leg.key not in present:
            continue
        if leg.key not in known and leg.key in passed:
            legs[leg.key] = Progress(None, passed[leg.key])
            continue
        earlier_ends = [known.get(key) for key in before(leg.key, present)]
        entered = starts.get(leg.key)
        if entered is None:
            days = [day for day in earlier_ends if day is not None]
            entered = received if not earlier_ends else max(days) if len(days) == len(earlier_ends) else None
        legs[leg.key] = Progress(entered, known.get(leg.key))
    return Course(job, legs, jurisdiction, utility, booked_on, ended_on)


def spells(found: Course, as_of: date) -> list[Spell]:
    """Every leg begun by ``as_of``. A leg that ended before it could begin (an early application) took no days."""
    stop = min(as_of, found.ended_on) if found.ended_on else as_of
    rows = []
    for key, progress in found.legs.items():
        if progress.entered is None or progress.entered > stop:
            continue
        finished = progress.left is not None and progress.left <= stop
        until = progress.left if progress.left is not None and finished else stop
        rows.append(Spell(found.job, key, max(0, (until - progress.entered).days), finished, found.group(key)))
    return rows
