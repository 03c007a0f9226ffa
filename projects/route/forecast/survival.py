"""How long a leg takes, jobs still waiting counted as what they are: the Kaplan-Meier estimate.

Source: E. L. Kaplan and P. Meier, "Nonparametric estimation from incomplete observations", Journal of the American
Statistical Association 53 (1958) 457-481; the variance is M. Greenwood's (1926). Computed by ``scipy.stats.ecdf``.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np


@dataclass(frozen=True)
class Curve:
    """The share still waiting, just after each day on which a job left."""

    days: tuple[float, ...]
    waiting: tuple[float, ...]
    low: tuple[float, ...]
    """Pointwise 95 % limits on the log-log scale, within 0 and 1."""
    high: tuple[float, ...]
    finished: int
    waiting_at: tuple[float, ...]
    """How long each job has waited that hasn't left yet (censored)."""
    longest_days: float
    """The longest time seen, finished or not: nothing is known beyond it."""

    @property
    def censored(self) -> int:
        return len(self.waiting_at)

    def share_waiting(self, day: float) -> float:
        share = 1.0
        for at, waiting in zip(self.days, self.waiting, strict=True):
            if at > day:
                break
            share = waiting
        return share

    @property
    def median_days(self) -> float | None:
        """None where fewer than half have left in the time seen."""
        return _first(self.days, self.waiting)

    @property
    def median_limits(self) -> tuple[float | None, float | None]:
        """95 % limits of the median, by inverting the curve's limits (Brookmeyer and Crowley, Biometrics 38, 1982)."""
        return _first(self.days, self.low), _first(self.days, self.high)


def kaplan_meier(days: Sequence[float], finished: Sequence[bool]) -> Curve:
    """``days`` per job with whether it left the leg then (True) or was still waiting (False)."""
    ended = [d for d, f in zip(days, finished, strict=True) if f]
    waiting = [d for d, f in zip(days, finished, strict=True) if not f]
    longest = max(days, default=0.0)
    if not ended:
        return Curve((), (), (), (), 0, tuple(sorted(waiting)), longest)
    from scipy import stats  # slow to load, and most pages need none of it

    sample = stats.CensoredData(uncensored=np.asarray(ended, float), right=np.asarray(waiting, float))
    survival = stats.ecdf(sample).sf
    at = np.unique(np.asarray(ended, float))
    share = np.clip(np.asarray(survival.evaluate(at), float), 0.0, 1.0)
    low, high = _limits(at, share, np.asarray(days, float), np.asarray(ended, float))
    return Curve(
        tuple(at.tolist()),
        tuple(share.tolist()),
        tuple(low.tolist()),
        tuple(high.tolist()),
        len(ended),
        tuple(sorted(waiting)),
        longest,
    )


def _limits(at: np.ndarray, share: np.ndarray, days: np.ndarray, ended: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Greenwood on the log-log scale, as ``scipy.stats.ecdf`` does under "log-log". At the step on which the last
    ones leave his formula says nothing: there the exact binomial limit of those at risk goes on from the step before.
    """
    at_risk = np.array([(days >= day).sum() for day in at], float)
    left = np.array([(ended == day).sum() for day in at], float)
    inner = (share > 0) & (share < 1)
    total = np.cumsum(np.divide(left, at_risk * (at_risk - left), out=np.zeros_like(left), where=at_risk > left))
    low, high = np.zeros_like(share), np.ones_like(share)
    log_share = np.log(share[inner])
    spread = 1.959964 * np.sqrt(total[inner]) / np.abs(log_share)
    low[inner] = share[inner] ** np.exp(spread)
    high[inner] = share[inner] ** np.exp(-spread)
    if share[-1] == 0:
        high[-1] = (high[-2] if len(share) > 1 else 1.0) * (1 - 0.025 ** (1 / at_risk[-1]))
    return low, high


def _first(days: Sequence[float], shares: Sequence[float]) -> float | None:
    return next((day for day, share in zip(days, shares, strict=True) if share <= 0.5 + 1e-12), None)
