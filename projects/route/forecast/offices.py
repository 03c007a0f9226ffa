"""Invented offices whose truth is known, to score the forecast on: pace, authorities and luck drawn at random.

The lengths come from several families, so that the forecast (which takes them for log-normal) isn't only asked about
its own assumption: log-normal, gamma, Weibull, and plan reviews that some jobs go through twice.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from typing import Literal

import numpy as np

from projects.route.forecast.course import Course, Progress, course
from projects.route.forecast.legs import BY_KEY, LEGS, before, legs_for

Shape = Literal["log-normal", "gamma", "Weibull", "two rounds"]
SHAPES: tuple[Shape, ...] = ("log-normal", "gamma", "Weibull", "two rounds")
TODAY = date(2026, 3, 2)
LOST_SHARE = 0.12


@dataclass(frozen=True)
class Kind:
    """A kind of office: how many jobs came in over how many days."""

    name: str
    jobs: int
    over_days: int


KINDS: tuple[Kind, ...] = (
    Kind("settled: two years of jobs", 150, 730),
    Kind("young: most jobs still waiting", 60, 150),
    Kind("small: a dozen jobs a year", 18, 500),
)


@dataclass(frozen=True)
class Office:
    seen: tuple[Course, ...]
    """What the office knows today, lost jobs with the day they were lost."""
    truth: dict[int, Course]
    """The same jobs with every end, those in the future too. Jobs already lost are left out; of those that will be
    lost, what would have come true."""


def office(kind: Kind, shape: Shape, seed: int) -> Office:
    rng = np.random.default_rng([seed, kind.jobs, SHAPES.index(shape)])
    pace = {leg.key: leg.typical_days * float(np.exp(rng.normal(0, 0.5))) for leg in LEGS}
    spread = {leg.key: float(rng.uniform(0.3, 0.8)) for leg in LEGS}
    between = float(rng.uniform(0.1, 0.5))
    towns = [(f"town {n}", bool(rng.random() < 0.3)) for n in range(int(rng.integers(2, 6)))]
    utilities = [f"utility {n}" for n in range(int(rng.integers(1, 4)))]
    factor = {
        (leg.key, name): float(np.exp(rng.normal(0, between)))
        for leg in LEGS
        for name in ([town for town, _ in towns] if leg.pace == "jurisdiction" else utilities)
    }
    seen, truth = [], {}
    for job in range(1, kind.jobs + 1):
        received = TODAY - timedelta(days=int(rng.integers(0, kind.over_days)))
        town, combined = towns[int(rng.integers(len(towns)))]
        utility = utilities[int(rng.integers(len(utilities)))]
        present = legs_for(permits=("combined",) if combined else ("building", "electrical"), grid=rng.random() < 0.85)
        ends: dict[str, date] = {}
        for leg in LEGS:
            if leg.key not in present:
                continue
            start = max([ends[earlier] for earlier in before(leg.key, present)], default=received)
            name = town if leg.pace == "jurisdiction" else utility if leg.pace == "utility" else ""
            median = pace[leg.key] * factor.get((leg.key, name), 1.0)
            ends[leg.key] = start + timedelta(days=round(_days(leg.key, median, spread[leg.key], shape, rng)))
        whole = course(job, present, received, ends, jurisdiction=town, utility=utility)
        lost = received + timedelta(days=int(rng.integers(3, 60))) if rng.random() < LOST_SHARE else None
        if lost is not None and lost >= ends["engineering"]:
            lost = None
        seen.append(known_by(whole, TODAY, lost))
        if lost is None or lost > TODAY:
            truth[job] = whole
    return Office(tuple(seen), truth)


def known_by(whole: Course, day: date, lost: date | None = None) -> Course:
    """A course as it looked on a day: later ends unknown, and what hadn't begun not begun."""
    stop = min(day, lost) if lost else day
    legs = {
        key: Progress(
            progress.entered if progress.entered is not None and progress.entered <= stop else None,
            progress.left if progress.left is not None and progress.left <= stop else None,
        )
        for key, progress in whole.legs.items()
    }
    return Course(whole.job, legs, whole.jurisdiction, whole.utility, None, lost if lost and lost <= day else None)


def _days(key: str, median: float, spread: float, shape: Shape, rng: np.random.Generator) -> float:
    """Each family with about the same median and spread."""
    if shape == "gamma":
        form = 1 / spread**2
        return float(rng.gamma(form) / form * median * np.exp(spread**2 / 3))
    if shape == "Weibull":
        form = 1.28 / spread
        return float(median * (rng.weibull(form) / np.log(2) ** (1 / form)))
    days = float(median * np.exp(spread * rng.normal()))
    if shape == "two rounds" and BY_KEY[key].pace and rng.random() < 0.3:
        days += float(0.7 * median * np.exp(spread * rng.normal()))
    return days
