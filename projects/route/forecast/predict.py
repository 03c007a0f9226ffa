"""A job's dates as ranges: its course simulated to the end many times over, from where it stands today."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np

from projects.route.forecast.course import Course
from projects.route.forecast.legs import before
from projects.route.forecast.posterior import NORMAL_WEIGHT, LegPosterior

DRAWS = 2000
LONGEST_LOG = 7.5
"""ln of about five years: no leg is imagined longer."""
THIN = 5
"""Below so many finished jobs in a leg ahead the range rests mostly on what is typical, and the page says so."""


@dataclass(frozen=True)
class DateRange:
    """Days on or between which the date falls with 50 and with 90 % probability, and the middle one."""

    low90: date
    low50: date
    middle: date
    high50: date
    high90: date


@dataclass(frozen=True)
class JobForecast:
    job: int
    installation: DateRange | None
    """First day of installation; None once it has begun."""
    operation: DateRange | None
    """Permission to operate (off the grid: final inspection passed); None once it is there."""
    thinnest: int
    """Finished jobs behind the least known of the legs that lie ahead."""

    @property
    def thin(self) -> bool:
        return self.thinnest < THIN


def forecast(
    course: Course,
    posterior: Mapping[str, LegPosterior],
    today: date,
    *,
    seed: int = 1963,
    longer_days: Mapping[str, float] | None = None,
) -> JobForecast:
    """``longer_days``: what if these legs took so many days longer than history says, by leg key."""
    ends = simulate(course, posterior, today, seed=seed, longer_days=longer_days)
    ahead = [posterior[key].finished for key, progress in course.legs.items() if progress.left is None]
    return JobForecast(
        course.job,
        _range(ends["scheduling"], today) if course.legs["scheduling"].left is None else None,
        _range(ends[course.finish], today) if course.legs[course.finish].left is None else None,
        min(ahead, default=0),
    )


def simulate(
    course: Course,
    posterior: Mapping[str, LegPosterior],
    today: date,
    *,
    seed: int = 1963,
    longer_days: Mapping[str, float] | None = None,
    draws: int = DRAWS,
) -> dict[str, np.ndarray]:
    """Days from today on which each leg ends, negative where it already has: arrays of shape (draws,)."""
    rng = np.random.default_rng([seed, course.job])
    present = frozenset(course.legs)
    longer = longer_days or {}
    ends: dict[str, np.ndarray] = {}
    for key, progress in course.legs.items():
        if progress.left is not None:
            ends[key] = np.full(draws, float((progress.left - today).days))
            continue
        elapsed = 0.0
        if progress.entered is not None:
            start = np.full(draws, float((progress.entered - today).days))
            elapsed = max(0.0, -float(start[0]) - progress.rested)
            if progress.rested:
                # Days of rest are no days of this leg: it ends so much later, and has taken so much less.
                start = start + progress.rested
                elapsed = elapsed if progress.worked is None else float(progress.worked)
        else:
            start = np.maximum(np.max([ends[earlier] for earlier in before(key, present)], axis=0), 0.0)
            if course.resumes_on is not None and course.rests_of(key):
                start = np.maximum(start, float((course.resumes_on - today).days))
        took = _lengths(posterior[key], course.group(key), elapsed, draws, rng) + longer.get(key, 0.0)
        end = np.maximum(start + took, 0.0)
        if key == "scheduling" and course.booked_on is not None and course.booked_on >= today:
            end = np.maximum(start, float((course.booked_on - today).days))
        ends[key] = end
    return ends


def _lengths(leg: LegPosterior, group: str, elapsed: float, draws: int, rng: np.random.Generator) -> np.ndarray:
    """Days that the whole leg takes, given that it has taken ``elapsed`` already."""
    from scipy.special import log_ndtr, ndtri_exp

    means = leg.mean_of(group, rng)
    floor = np.log1p(elapsed) if elapsed > 0 else -np.inf
    # The posterior knows of this wait already (open jobs are in the history), so that all its draws count alike.
    pick = rng.integers(len(means), size=draws)
    centre, spread = means[pick], leg.spread[pick]
    cut = (floor - centre) / spread
    beyond = log_ndtr(-cut)
    residual = -ndtri_exp(beyond + np.log(rng.random(draws)))
    count = leg.residuals.shape[1]
    if count:
        of_chain = (leg.residuals > ((floor - means) / leg.spread)[:, None]).sum(axis=1)
        above = of_chain[pick]
        worth = above * (leg.jobs / count)
        own = rng.random(draws) * (worth + NORMAL_WEIGHT * np.exp(beyond)) < worth
        column = np.minimum(count - above + (rng.random(draws) * above).astype(int), count - 1)
        residual = np.where(own, leg.residuals[pick, column], residual)
    days = np.expm1(np.minimum(centre + spread * residual, LONGEST_LOG))
    return np.asarray(np.maximum(days, elapsed))


def whole_days(days: np.ndarray) -> tuple[int, int, int, int, int]:
    """Quantiles 5, 25, 50, 75 and 95 % as days, so that a range from the first to the last day, both included, holds
    its probability: rounding outwards would make every range a day too wide.
    """
    low90, low50, middle, high50, high90 = (float(q) for q in np.quantile(days, [0.05, 0.25, 0.5, 0.75, 0.95]))
    centre = round(middle)
    return (
        min(math.ceil(low90), centre),
        min(math.ceil(low50), centre),
        centre,
        max(math.floor(high50), centre),
        max(math.floor(high90), centre),
    )


def _range(days: np.ndarray, today: date) -> DateRange:
    return DateRange(*(today + timedelta(days=day) for day in whole_days(days)))


def usual_limit(leg: LegPosterior, group: str, share: float = 0.9, *, seed: int = 1963) -> float:
    """Days within which so many of the waits in this leg at this authority end, as history has it."""
    rng = np.random.default_rng([seed, DRAWS])
    return float(np.quantile(_lengths(leg, group, 0.0, DRAWS, rng), share))
