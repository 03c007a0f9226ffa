"""Jobs still waiting lengthen the estimate, by as much as the model says and no more.

FORE-02: the sampled posterior against the same posterior by plain quadrature over mean and spread, written here from
the model alone (SciPy's densities, no sampling): A. Gelman et al., Bayesian Data Analysis, 3rd ed. (2013), 8.7.
FORE-03: where the data outweigh the priors, the maximum likelihood of SciPy's own fit to censored data.
"""

from __future__ import annotations

import numpy as np
import pytest
from scipy import stats

from projects.route.forecast import posterior
from projects.route.forecast.course import Spell
from projects.route.forecast.legs import BY_KEY
from projects.route.forecast.posterior import fit

LEG, TOWN = "utility_review", "u1"
QUICK, STUCK = (8, 9, 10, 11), (40, 45, 50, 60, 62, 70)


def spells(ended, waiting) -> list[Spell]:
    rows = [(days, True) for days in ended] + [(days, False) for days in waiting]
    return [Spell(n, LEG, days, finished, TOWN) for n, (days, finished) in enumerate(rows)]


def quadrature(ended, waiting) -> tuple[np.ndarray, np.ndarray]:
    """5, 50 and 95 % points of the posterior of the median days and of the spread, one authority."""
    typical = np.log1p(BY_KEY[LEG].typical_days)
    means = np.linspace(typical - 4, typical + 5, 1201)
    spreads = np.exp(np.linspace(np.log(0.1), np.log(5), 400))
    chances = (np.arange(1000) + 0.5) / 1000
    weight = posterior.PRIOR_BETWEEN_WEIGHT
    between2 = weight * posterior.PRIOR_BETWEEN**2 / stats.chi2(weight).ppf(chances)
    of_mean = stats.norm.pdf(means[:, None], typical, np.sqrt(posterior.PRIOR_MEAN_SD**2 + between2)).mean(axis=1)
    weight = posterior.PRIOR_SPREAD_WEIGHT
    scaled = weight * posterior.PRIOR_SPREAD**2 / spreads**2
    of_spread = stats.chi2(weight).pdf(scaled) * scaled  # on a grid even in its logarithm
    mean, spread = np.meshgrid(means, spreads, indexing="ij")
    logs = np.log(of_mean)[:, None] + np.log(of_spread)[None, :]
    for days in ended:
        logs = logs + stats.norm.logpdf(np.log1p(days), mean, spread)
    for days in waiting:
        logs = logs + stats.norm.logsf(np.log1p(days), mean, spread)
    mass = np.exp(logs - logs.max())
    return np.expm1(_points(means, mass.sum(axis=1))), _points(spreads, mass.sum(axis=0))


def _points(grid: np.ndarray, mass: np.ndarray) -> np.ndarray:
    return np.interp([0.05, 0.5, 0.95], np.cumsum(mass) / mass.sum(), grid)


def sampled(ended, waiting, seeds: int = 24) -> tuple[np.ndarray, np.ndarray]:
    found = [fit(spells(ended, waiting), seed)[LEG] for seed in range(seeds)]
    days = np.expm1(np.concatenate([leg.means[TOWN] for leg in found]))
    return np.quantile(days, [0.05, 0.5, 0.95]), np.quantile(
        np.concatenate([leg.spread for leg in found]), [0.05, 0.5, 0.95]
    )


@pytest.mark.parametrize(
    ("ended", "waiting"),
    [(QUICK, ()), (QUICK, STUCK), ((), (30, 30, 45)), ((12, 15, 15, 20, 22, 31, 9, 18), (3, 14, 25, 40))],
    ids=["all through", "most stuck", "nobody through", "some waiting"],
)
def test_fore_02_the_posterior_is_the_one_that_quadrature_finds(ended, waiting):
    days, spread = sampled(ended, waiting)
    exact_days, exact_spread = quadrature(ended, waiting)
    assert days == pytest.approx(exact_days, rel=0.06)
    assert spread == pytest.approx(exact_spread, rel=0.06)


def test_waiting_jobs_make_the_estimate_longer_than_finished_ones_alone():
    alone, counted = (float(quadrature(QUICK, waiting)[0][1]) for waiting in ((), STUCK))
    assert alone == pytest.approx(10.7, abs=0.1)
    assert counted == pytest.approx(36.2, abs=0.3)  # the priors hold it back: see the maximum likelihood below
    for waiting, exact in (((), alone), (STUCK, counted)):
        assert np.expm1(np.median(fit(spells(QUICK, waiting))[LEG].means[TOWN])) == pytest.approx(exact, rel=0.08)


def test_fore_03_much_data_gives_the_maximum_likelihood_with_a_third_still_waiting():
    rng = np.random.default_rng(4)
    days = np.expm1(rng.normal(3.2, 0.7, 600)).round()
    cut = np.expm1(rng.normal(3.5, 0.7, 600)).round()
    ended, waiting = days[days <= cut], cut[days > cut]
    assert 0.3 < len(waiting) / len(days) < 0.45
    mean, spread = stats.norm.fit(stats.CensoredData(uncensored=np.log1p(ended), right=np.log1p(waiting)))
    found = fit(spells(ended.tolist(), waiting.tolist()))[LEG]
    assert np.median(found.means[TOWN]) == pytest.approx(mean, abs=0.03)
    assert np.median(found.spread) == pytest.approx(spread, abs=0.03)
    assert np.log1p(np.median(ended)) < mean - 0.15  # finished ones alone would promise too much
