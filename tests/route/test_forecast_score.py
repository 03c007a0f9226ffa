"""The forecast is scored on invented offices whose truth is known: fixed seeds, a modest number of offices.

FORE-01: CRPS of a normal forecast in closed form, T. Gneiting and A. E. Raftery, "Strictly proper scoring rules,
prediction, and estimation", Journal of the American Statistical Association 102 (2007), equation 21.
FORE-04: CRPS of three draws counted by hand, and of drawn ensembles against the integral of the squared difference of
the two distribution functions, its definition (the same paper, equation 20), by plain steps.
The command prints the same figures over more offices.
"""

from __future__ import annotations

import io
import math

import numpy as np
import pytest
from django.core.management import call_command
from scipy import stats

from projects.route.forecast.offices import KINDS, SHAPES, TODAY, office
from projects.route.forecast.scoring import Score, crps, score

OFFICES = {"settled": 12, "young": 12, "small": 40}


@pytest.fixture(scope="module")
def scores() -> dict[str, Score]:
    return {kind.name.split(":")[0]: score(kind, OFFICES[kind.name.split(":")[0]], seed=11) for kind in KINDS}


def total(scores: dict[str, Score], name: str) -> float:
    return sum(s.forecasts * getattr(s, name) for s in scores.values()) / sum(s.forecasts for s in scores.values())


@pytest.mark.parametrize("truth", [-1.5, 0.0, 0.4, 2.2])
def test_fore_01_crps_of_a_normal_forecast(truth: float):
    draws = stats.norm.ppf((np.arange(4000) + 0.5) / 4000)
    closed = truth * (2 * stats.norm.cdf(truth) - 1) + 2 * stats.norm.pdf(truth) - 1 / math.sqrt(math.pi)
    assert crps(draws, truth) == pytest.approx(closed, abs=1e-3)


def test_crps_of_a_single_date_is_its_error():
    assert crps(np.array([12.0]), 20.0) == 8
    assert crps(np.array([20.0, 20.0]), 20.0) == 0


@pytest.mark.parametrize(
    ("truth", "by_hand"),
    [
        # draws 2, 4, 9: half the mean difference of all nine pairs is (2 + 5 + 7) / 9 = 14/9
        (4, 7 / 3 - 14 / 9),  # errors 2, 0, 5
        (0, 15 / 3 - 14 / 9),  # errors 2, 4, 9
        (9, 12 / 3 - 14 / 9),  # errors 7, 5, 0
    ],
)
def test_fore_04_crps_of_three_draws_by_hand(truth: float, by_hand: float):
    assert crps(np.array([9.0, 2.0, 4.0]), truth) == pytest.approx(by_hand)


def test_fore_04_crps_is_the_integral_that_defines_it():
    rng = np.random.default_rng(2007)
    for _ in range(50):
        draws = rng.gamma(2.0, 10.0, size=int(rng.integers(1, 40))).round()  # ties too
        truth = float(rng.integers(0, 80))
        days = np.unique([*draws, truth])
        below = (draws[None, :] <= days[:-1, None]).mean(axis=1)
        step = (days[:-1] >= truth).astype(float)
        assert crps(draws, truth) == pytest.approx(float(((below - step) ** 2 * np.diff(days)).sum()))


def test_the_ranges_hold_what_they_say(scores):
    assert sum(s.forecasts for s in scores.values()) > 1500
    assert total(scores, "within50") == pytest.approx(0.50, abs=0.05)
    assert total(scores, "within90") == pytest.approx(0.90, abs=0.03)


@pytest.mark.parametrize("kind", OFFICES)
def test_it_beats_the_median_of_finished_jobs(scores, kind: str):
    found = scores[kind]
    assert found.crps_days < 0.75 * found.naive_crps_days
    assert found.crps_days < 0.9 * found.spread_crps_days


def test_in_a_young_office_most_jobs_still_wait():
    young = next(kind for kind in KINDS if kind.name.startswith("young"))
    seen = office(young, "gamma", 3).seen
    assert sum(found.legs[found.finish].left is None for found in seen) > 0.7 * len(seen)


@pytest.mark.parametrize("shape", SHAPES)
def test_what_an_office_sees_gives_no_future_away(shape):
    known = office(KINDS[0], shape, 5)
    days = [day for found in known.seen for p in found.legs.values() for day in (p.entered, p.left) if day]
    assert max(days) <= TODAY
    assert any(p.left and p.left > TODAY for found in known.truth.values() for p in found.legs.values())


def test_the_command_prints_coverage_and_score_without_a_database():
    out = io.StringIO()
    call_command("score_forecast", offices=2, seed=3, stdout=out)
    lines = out.getvalue().splitlines()
    assert [line.split(":")[0] for line in lines[1:]] == ["settled", "young", "small"]
    assert all(line.count("%") == 2 for line in lines[1:])
