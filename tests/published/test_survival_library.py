"""Kaplan-Meier against a reference survival library, statsmodels' ``SurvfuncRight``: curve, limits, median.

SURV-04: the remission times of Freireich et al. (Blood 21, 1963, 699-716) under both arms: 6-MP with ties and twelve
censored, placebo with many ties and none censored.
SURV-05: drawn waits, most of them tied, with few and with many still waiting.
"""

from __future__ import annotations

import numpy as np
import pytest
from statsmodels.duration.survfunc import SurvfuncRight

from projects.route.forecast.survival import Curve, kaplan_meier
from tests.published.cases import case

SIX_MP = ((6, 6, 6, 7, 10, 13, 16, 22, 23), (6, 9, 10, 11, 17, 19, 20, 25, 32, 32, 34, 35))
PLACEBO = ((1, 1, 2, 2, 3, 4, 4, 5, 5, 8, 8, 8, 8, 11, 11, 12, 12, 15, 17, 22, 23), ())
Z95 = 1.959964


def both(ended, waiting) -> tuple[Curve, SurvfuncRight]:
    days = np.array([*ended, *waiting], float)
    finished = np.array([True] * len(ended) + [False] * len(waiting))
    return kaplan_meier(days.tolist(), finished.tolist()), SurvfuncRight(days, finished.astype(int))


def same(ended, waiting) -> None:
    curve, library = both(ended, waiting)
    assert curve.days == tuple(library.surv_times)
    assert curve.waiting == pytest.approx(list(library.surv_prob), abs=1e-12)
    below = next((t for t, s in zip(library.surv_times, library.surv_prob, strict=True) if s <= 0.5 + 1e-12), None)
    assert curve.median_days == below
    inner = (library.surv_prob > 0) & (library.surv_prob < 1)
    share, error = library.surv_prob[inner], library.surv_prob_se[inner]
    spread = np.exp(Z95 * error / (share * np.abs(np.log(share))))
    assert np.array(curve.low)[inner] == pytest.approx(share**spread, abs=1e-6)
    assert np.array(curve.high)[inner] == pytest.approx(share ** (1 / spread), abs=1e-6)


@pytest.mark.parametrize("arm", [SIX_MP, PLACEBO], ids=["6-MP", "placebo"])
def test_surv_04_the_curve_of_both_arms_is_the_librarys(arm):
    same(*arm)


@case("SURV-04")
@pytest.mark.filterwarnings("ignore::RuntimeWarning")  # the library takes log 0 where the curve ends at none
def test_surv_04_so_are_the_medians_and_their_limits():
    for (ended, waiting), median in ((SIX_MP, 23), (PLACEBO, 8)):
        curve, library = both(ended, waiting)
        assert curve.median_days == library.quantile(0.5) == median
        low, high = library.quantile_ci(0.5, method="cloglog")
        assert curve.median_limits == (low, None if np.isinf(high) else high)


@case("SURV-05")
@pytest.mark.parametrize("share_waiting", [0.0, 0.2, 0.6, 0.9])
def test_surv_05_drawn_waits_give_the_librarys_curve(share_waiting: float):
    rng, compared = np.random.default_rng(1958), 0
    for _ in range(40):
        days = rng.integers(1, 25, size=int(rng.integers(3, 60)))
        finished = rng.random(len(days)) >= share_waiting
        if finished.any():
            same(days[finished], days[~finished])
            compared += 1
    assert compared > 30
