"""The limits of a share against published ones and a reference library.

SHARE-01: R. G. Newcombe, "Two-sided confidence intervals for the single proportion: comparison of seven methods",
Statistics in Medicine 17 (1998) 857-872, table I, score method without continuity correction; values from memory.
SHARE-02: statsmodels' ``proportion_confint(method="wilson")`` over every share out of up to 40.
"""

from __future__ import annotations

import pytest
from statsmodels.stats.proportion import proportion_confint

from projects.route.forecast.shares import wilson
from tests.published.cases import case


@case("SHARE-01")
@pytest.mark.parametrize(
    ("hits", "of", "low", "high"),
    [(81, 263, 0.2553, 0.3662), (15, 148, 0.0624, 0.1605), (0, 20, 0.0000, 0.1611), (1, 29, 0.0061, 0.1718)],
)
def test_share_01_newcombes_examples(hits: int, of: int, low: float, high: float):
    assert wilson(hits, of) == pytest.approx((low, high), abs=0.00006)


@case("SHARE-02")
def test_share_02_the_librarys_limits():
    for of in range(1, 41):
        for hits in range(of + 1):
            assert wilson(hits, of) == pytest.approx(proportion_confint(hits, of, method="wilson"), abs=1e-12)


def test_nothing_out_of_nothing_may_be_anything():
    assert wilson(0, 0) == (0.0, 1.0)


@pytest.mark.parametrize(("hits", "of"), [(3, 2), (-1, 4), (0, -1)])
def test_what_is_no_share_is_refused(hits: int, of: int):
    with pytest.raises(ValueError, match="no share"):
        wilson(hits, of)
