"""Is the forecast honest, and is it worth having? Coverage and CRPS on invented offices, beside the naive guess.

CRPS: the continuous ranked probability score, in days, lower is better; for a single guess it is the absolute error.
Source: T. Gneiting and A. E. Raftery, "Strictly proper scoring rules, prediction, and estimation", Journal of the
American Statistical Association 102 (2007) 359-378, section 4.2.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from projects.route.forecast.course import Course, spells
from projects.route.forecast.offices import SHAPES, TODAY, Kind, Office, Shape, office
from projects.route.forecast.posterior import fit
from projects.route.forecast.predict import simulate, whole_days

NAIVE_WITHOUT_HISTORY_DAYS = 110.0
"""What somebody without a finished job would guess, from lead to permission."""


@dataclass(frozen=True)
class Score:
    forecasts: int
    within50: float
    within90: float
    crps_days: float
    naive_crps_days: float
    """Of the median total of finished jobs as one date."""
    spread_crps_days: float
    """Of all totals of finished jobs as the forecast, those already outlived left out: naive, but not blind to luck."""


def crps(draws: np.ndarray, truth: float) -> float:
    """Of an ensemble against what came true, in the unit of both."""
    ordered = np.sort(draws)
    count = len(ordered)
    # the mean absolute difference of all pairs, from the order statistics
    pairs = 2 * float(np.dot(2 * np.arange(1, count + 1) - count - 1, ordered)) / count**2
    return float(np.abs(ordered - truth).mean()) - pairs / 2


def score(kind: Kind, offices: int, seed: int = 1, shapes: Sequence[Shape] = SHAPES) -> Score:
    """Over so many invented offices, the shapes in turn: every open job's installation and operation."""
    rows: list[tuple[bool, bool, float, float, float]] = []
    for number in range(offices):
        rows += _score_office(office(kind, shapes[number % len(shapes)], seed * 1000 + number), seed)
    return pooled(rows)


def pooled(rows: Sequence[tuple[bool, bool, float, float, float]]) -> Score:
    table = np.asarray(rows, float)
    means = [float(mean) for mean in table.mean(axis=0)]
    return Score(len(rows), *means)


def _score_office(known: Office, seed: int) -> list[tuple[bool, bool, float, float, float]]:
    history = [spell for found in known.seen for spell in spells(found, TODAY)]
    posterior = fit(history, seed)
    rows = []
    for found in known.seen:
        if found.ended_on is not None or found.legs[found.finish].left is not None:
            continue
        ends = simulate(found, posterior, TODAY, seed=seed)
        received = found.legs["lead"].entered
        assert received is not None
        age = float((TODAY - received).days)
        for key in ("scheduling", found.finish):
            if found.legs[key].left is not None:
                continue
            day = known.truth[found.job].legs[key].left
            assert day is not None
            truth = float((day - TODAY).days)
            low90, low50, _, high50, high90 = whole_days(ends[key])
            totals = _totals(known.seen, key)
            point = max(float(np.median(totals)) - age, 0.0) if len(totals) else NAIVE_WITHOUT_HISTORY_DAYS
            longer = totals[totals > age] - age
            rows.append(
                (
                    bool(low50 <= truth <= high50),
                    bool(low90 <= truth <= high90),
                    crps(ends[key], truth),
                    abs(point - truth),
                    crps(longer, truth) if len(longer) else abs(point - truth),
                )
            )
    return rows


def _totals(seen: Sequence[Course], key: str) -> np.ndarray:
    """Days from lead to the end of this leg, of the jobs that have reached it."""
    found = []
    for other in seen:
        progress, first = other.legs.get(key), other.legs["lead"].entered
        if progress is not None and progress.left is not None and first is not None:
            found.append(float((progress.left - first).days))
    return np.asarray(found)
