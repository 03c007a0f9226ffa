"""Where time goes, leg by leg and authority by authority, and when the open jobs may be done."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from projects.models import Job, Jurisdiction, Stage, Utility
from projects.queries.history import History, courses, jurisdiction_key, utility_key
from projects.queries.likely import likely_dates, waiting_jobs
from projects.route.forecast.course import Course, Spell
from projects.route.forecast.legs import LEGS, PERMIT_LEGS, Leg
from projects.route.forecast.predict import JobForecast, forecast
from projects.route.forecast.survival import Curve, kaplan_meier

JOBS_PER_PAGE = 15
MOST_MOVED = 150


@dataclass(frozen=True)
class LegTime:
    leg: Leg
    all: Curve
    by_authority: tuple[tuple[str, Curve], ...]
    """Name and curve, those with most jobs first; empty where the leg goes at nobody else's pace."""


@dataclass(frozen=True)
class Authority:
    key: str
    name: str
    kind: str


@dataclass(frozen=True)
class OpenJob:
    job: Job
    forecast: JobForecast
    supposed: JobForecast | None
    """The same under the what-if, where one is asked."""
    is_lead: bool


def authorities() -> list[Authority]:
    found = [Authority(jurisdiction_key(pk), name, "jurisdiction") for pk, name in _names(Jurisdiction)]
    return found + [Authority(utility_key(pk), name, "utility") for pk, name in _names(Utility)]


def _names(model: type[Jurisdiction] | type[Utility]) -> list[tuple[int, str]]:
    return list(model.objects.order_by("name").values_list("pk", "name"))


def leg_times(known: History, names: Mapping[str, str]) -> list[LegTime]:
    """Legs that at least one job has entered, in the order of the way."""
    by_leg: dict[str, list[Spell]] = defaultdict(list)
    for spell in known.spells:
        by_leg[spell.leg].append(spell)
    return [
        LegTime(leg, _curve(by_leg[leg.key]), _groups(by_leg[leg.key], leg, names)) for leg in LEGS if by_leg[leg.key]
    ]


def _groups(rows: Sequence[Spell], leg: Leg, names: Mapping[str, str]) -> tuple[tuple[str, Curve], ...]:
    if not leg.pace:
        return ()
    groups: dict[str, list[Spell]] = defaultdict(list)
    for row in rows:
        groups[row.group].append(row)
    ordered = sorted(groups.items(), key=lambda item: (-len(item[1]), item[0]))
    return tuple((names.get(key, f"no {leg.pace} named"), _curve(found)) for key, found in ordered)


def _curve(rows: Sequence[Spell]) -> Curve:
    return kaplan_meier([row.days for row in rows], [row.finished for row in rows])


def open_jobs(known: History, page: int, supposed: Mapping[str, Mapping[str, float]] | None = None) -> list[OpenJob]:
    """One page of the jobs under way that aren't permitted to operate yet, the oldest first. ``supposed``: extra days
    per leg, by the key of the authority."""
    jobs = waiting_jobs().select_related("customer")
    shown = list(jobs[(page - 1) * JOBS_PER_PAGE : page * JOBS_PER_PAGE])
    by_id = {found.job: found for found in courses(Job.objects.filter(pk__in=[job.pk for job in shown]))}
    rows = []
    for job in shown:
        found = by_id[job.pk]
        longer = _longer(found, supposed)
        rows.append(
            OpenJob(
                job,
                forecast(found, known.posterior, known.today),
                forecast(found, known.posterior, known.today, longer_days=longer) if longer else None,
                job.stage == Stage.LEAD,
            )
        )
    return rows


def moved_days(known: History, supposed: Mapping[str, Mapping[str, float]]) -> list[int]:
    """Days by which the middle date moves, of every open job (the oldest ``MOST_MOVED``) that has the review ahead."""
    moved = []
    for found in courses(waiting_jobs()[:MOST_MOVED]):
        longer = _longer(found, supposed)
        if longer:
            now = forecast(found, known.posterior, known.today).operation
            then = forecast(found, known.posterior, known.today, longer_days=longer).operation
            if now and then:
                moved.append((then.middle - now.middle).days)
    return moved


def _longer(found: Course, supposed: Mapping[str, Mapping[str, float]] | None) -> dict[str, float]:
    """Extra days of the legs that this job has and hasn't ended yet."""
    longer: dict[str, float] = {}
    for key in (found.jurisdiction, found.utility):
        longer |= (supposed or {}).get(key, {})
    return {key: days for key, days in longer.items() if key in found.legs and found.legs[key].left is None}


def longer_review(key: str, weeks: int) -> dict[str, dict[str, float]]:
    """What if this authority's review takes so many weeks longer: days per leg, by the authority's key."""
    legs = PERMIT_LEGS if key.startswith("j") else ("utility_review",)
    return {key: dict.fromkeys(legs, 7.0 * weeks)}


def job_forecast(job: Job) -> JobForecast | None:
    """None for a job that is closed or may operate already."""
    return likely_dates(job)
