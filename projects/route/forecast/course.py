"""One job's way through the legs, and the spells (how long in which leg, ended or not) that history is made of."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date

from projects.route.forecast.legs import BY_KEY, LEGS, before


@dataclass(frozen=True)
class Progress:
    """``entered`` None: not yet begun, or begun on a day that nobody recorded. ``left`` None: not yet ended."""

    entered: date | None
    left: date | None
    rested: int = 0
    """Days after ``entered`` that don't count, since the job was paused: the running pause up to its end."""
    worked: int | None = None
    """Days that do count so far, where the job has rested; None: all since ``entered``."""


@dataclass(frozen=True)
class Rest:
    """A pause: the job stood still from ``on`` until, not including, ``until`` (of a running one: when it is expected
    to go on). It stops the legs that go at our own pace; one of the utility's making stops the utility's too.
    """

    on: date
    until: date
    running: bool = False
    utility: bool = False


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
    rests: tuple[Rest, ...] = ()
    """Oldest first."""

    @property
    def resumes_on(self) -> date | None:
        return next((rest.until for rest in self.rests if rest.running), None)

    def rests_of(self, key: str) -> tuple[Rest, ...]:
        """Those that stop this leg."""
        pace = BY_KEY[key].pace
        if pace == "jurisdiction":
            return ()
        return tuple(rest for rest in self.rests if not pace or rest.utility)

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
    rests: tuple[Rest, ...] = (),
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
    made = Course(job, legs, jurisdiction, utility, booked_on, ended_on, tuple(sorted(rests, key=lambda r: r.on)))
    if rests:
        legs.update({key: _rested(progress, made.rests_of(key)) for key, progress in legs.items()})
    return made


def _rested(progress: Progress, rests: tuple[Rest, ...]) -> Progress:
    """A leg under way, with the days of rest in it told apart from those of work."""
    if progress.entered is None or progress.left is not None:
        return progress
    entered = progress.entered
    inside = [rest for rest in rests if rest.until > entered]
    rested = sum((rest.until - max(rest.on, entered)).days for rest in inside)
    running = next((rest for rest in inside if rest.running), None)
    if running is None:
        return replace(progress, rested=rested)
    before_it = sum((rest.until - max(rest.on, entered)).days for rest in inside if not rest.running)
    return replace(progress, rested=rested, worked=max(0, (running.on - entered).days - before_it))


def spells(found: Course, as_of: date) -> list[Spell]:
    """Every leg begun by ``as_of``. A leg that ended before it could begin (an early application) took no days.

    A leg during which the job was paused is known to have lasted at least until then: it is censored at the pause,
    whatever became of it later. One that began during a pause begins to count when the job goes on.
    """
    stop = min(as_of, found.ended_on) if found.ended_on else as_of
    rows = []
    for key, progress in found.legs.items():
        if progress.entered is None or progress.entered > stop:
            continue
        finished = progress.left is not None and progress.left <= stop
        until = progress.left if progress.left is not None and finished else stop
        entered = progress.entered
        for rest in found.rests_of(key):
            if rest.on <= entered < rest.until:
                entered = rest.until
            elif entered < rest.on < until:
                finished, until = False, rest.on
                break
        if entered > stop:
            continue
        rows.append(Spell(found.job, key, max(0, (until - entered).days), finished, found.group(key)))
    return rows
