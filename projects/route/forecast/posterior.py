"""What the office's history says of each leg's length, with how little it says where there is little of it.

ln(1 + days) is taken as normal. Each authority has a mean of its own, drawn from a common one (partial pooling), and
all of mean, spread and pooling are estimated: draws of the posterior, not one best value, so that small numbers give
wide ranges. Jobs still waiting enter as "longer than so many days" by data augmentation. Gibbs sampling, all chains
side by side. Source of the method: A. Gelman et al., Bayesian Data Analysis, 3rd ed. (2013), sections 8.7 (censoring)
and 11.6 (hierarchical normal model); the priors are ours and weak.

Lengths that aren't log-normal: with enough jobs their own residuals take over from the normal curve, as a Dirichlet
process prior would have it. Source: V. Susarla and J. Van Ryzin, "Nonparametric Bayesian estimation of survival curves
from incomplete observations", Journal of the American Statistical Association 71 (1976) 897-902.
"""

from __future__ import annotations

import zlib
from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

import numpy as np

from projects.route.forecast.course import Spell
from projects.route.forecast.legs import BY_KEY

CHAINS, SWEEPS = 200, 50
PRIOR_MEAN_SD = 0.5
"""Typical days may be wrong by a factor of about 1.6 either way (one standard deviation)."""
PRIOR_SPREAD, PRIOR_SPREAD_WEIGHT = 0.55, 8.0
PRIOR_BETWEEN, PRIOR_BETWEEN_WEIGHT = 0.3, 4.0
"""How far authorities lie apart, and the number of authorities that this guess is worth."""
NORMAL_WEIGHT = 12.0
"""Jobs that the normal curve is worth against the residuals seen."""
MOST_RESIDUALS = 240


@dataclass(frozen=True)
class LegPosterior:
    """Draws, of shape (CHAINS,) where nothing else is said, on the scale of ln(1 + days)."""

    common: np.ndarray
    between: np.ndarray
    spread: np.ndarray
    means: Mapping[str, np.ndarray]
    residuals: np.ndarray
    """In units of ``spread``, ascending in each row: (CHAINS, jobs), of at most ``MOST_RESIDUALS`` jobs."""
    jobs: int
    finished: int
    waiting: int

    def mean_of(self, group: str, rng: np.random.Generator) -> np.ndarray:
        """An authority that history doesn't know is one more drawn from among all."""
        known = self.means.get(group)
        return known if known is not None else self.common + self.between * rng.standard_normal(len(self.common))


def fit(spells: Iterable[Spell], seed: int = 1963) -> dict[str, LegPosterior]:
    """A posterior for every leg, whether history knows it or not. The same spells and seed give the same draws."""
    by_leg: dict[str, list[Spell]] = defaultdict(list)
    for spell in spells:
        by_leg[spell.leg].append(spell)
    return {key: _fit_leg(key, by_leg[key], seed) for key in BY_KEY}


def _fit_leg(key: str, rows: list[Spell], seed: int) -> LegPosterior:
    from scipy.special import log_ndtr, ndtri_exp

    rng = np.random.default_rng([seed, zlib.crc32(key.encode())])
    prior = np.log1p(BY_KEY[key].typical_days)
    names = sorted({row.group for row in rows}) or [""]
    index = {name: n for n, name in enumerate(names)}
    group = np.array([index[row.group] for row in rows], int)
    logs = np.log1p(np.array([row.days for row in rows], float))
    ended = np.array([row.finished for row in rows], bool)
    member = np.zeros((len(rows), len(names)))
    member[np.arange(len(rows)), group] = 1
    counts = member.sum(axis=0)
    known_sum = logs[ended] @ member[ended] if ended.any() else np.zeros(len(names))
    known_square = float((logs[ended] ** 2).sum())
    floor, cut_member, cut_group = logs[~ended], member[~ended], group[~ended]

    common = prior + 0.3 * rng.standard_normal(CHAINS)
    if ended.any():
        common += float(logs[ended].mean()) - prior
    theta = np.repeat(common[:, None], len(names), axis=1)
    spread2 = np.full(CHAINS, PRIOR_SPREAD**2)
    between2 = np.full(CHAINS, PRIOR_BETWEEN**2)
    filled = np.empty((CHAINS, 0))
    for _ in range(SWEEPS):
        sums, square = np.broadcast_to(known_sum, theta.shape), np.full(CHAINS, known_square)
        if len(floor):
            spread = np.sqrt(spread2)[:, None]
            centre = theta[:, cut_group]
            # upper tail by symmetry: -z is normal below -a, drawn through logarithms so that far tails don't vanish
            tail = log_ndtr(-(floor - centre) / spread) + np.log(rng.random(centre.shape))
            filled = centre - spread * ndtri_exp(tail)
            sums = sums + filled @ cut_member
            square = square + (filled**2).sum(axis=1)
        weight = counts / spread2[:, None] + 1 / between2[:, None]
        mean = (sums / spread2[:, None] + (common / between2)[:, None]) / weight
        theta = mean + rng.standard_normal(theta.shape) / np.sqrt(weight)
        weight = len(names) / between2 + PRIOR_MEAN_SD**-2
        common = (theta.sum(axis=1) / between2 + prior * PRIOR_MEAN_SD**-2) / weight
        common = common + rng.standard_normal(CHAINS) / np.sqrt(weight)
        misfit = np.maximum(square - 2 * (theta * sums).sum(axis=1) + (counts * theta**2).sum(axis=1), 0)
        spread2 = _scaled(rng, PRIOR_SPREAD_WEIGHT, PRIOR_SPREAD, len(rows), misfit)
        apart = ((theta - common[:, None]) ** 2).sum(axis=1)
        between2 = _scaled(rng, PRIOR_BETWEEN_WEIGHT, PRIOR_BETWEEN, len(names), apart)
    means = {name: theta[:, n] for name, n in index.items() if rows and name}
    if not BY_KEY[key].pace:
        means = {"": theta[:, 0]}
    spread = np.sqrt(spread2)
    residuals = (
        np.concatenate([logs[ended] - theta[:, group[ended]], filled - theta[:, cut_group]], axis=1) / spread[:, None]
    )
    if residuals.shape[1] > MOST_RESIDUALS:
        residuals = residuals[:, rng.choice(residuals.shape[1], MOST_RESIDUALS, replace=False)]
    residuals.sort(axis=1)
    finished = int(ended.sum())
    return LegPosterior(common, np.sqrt(between2), spread, means, residuals, len(rows), finished, len(rows) - finished)


def _scaled(rng: np.random.Generator, weight: float, scale: float, count: int, squares: np.ndarray) -> np.ndarray:
    """Variances from their scaled inverse chi-square posterior."""
    return (weight * scale**2 + squares) / rng.chisquare(weight + count, size=len(squares))
