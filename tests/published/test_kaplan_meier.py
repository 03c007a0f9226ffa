"""Kaplan-Meier against the remission times of the 21 children on 6-mercaptopurine.

SURV-01: E. J. Freireich et al., "The effect of 6-mercaptopurine on the duration of steroid-induced remissions in acute
leukemia", Blood 21 (1963) 699-716, weeks of remission as tabulated in textbooks (D. R. Cox and D. Oakes, Analysis of
Survival Data, 1984; D. G. Kleinbaum and M. Klein, Survival Analysis), with the textbooks' product-limit values.
SURV-02: Greenwood's standard errors of the same data as the textbooks print them, from memory.
SURV-03: a plain product of fractions, written here without any library.
"""

import math
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from projects.route.forecast.survival import kaplan_meier
from tests.published.cases import case

RELAPSED = (6, 6, 6, 7, 10, 13, 16, 22, 23)
STILL_WELL = (6, 9, 10, 11, 17, 19, 20, 25, 32, 32, 34, 35)
PRINTED = {6: 0.857, 7: 0.807, 10: 0.753, 13: 0.690, 16: 0.627, 22: 0.538, 23: 0.448}


def remission():
    days = [*RELAPSED, *STILL_WELL]
    return kaplan_meier(days, [True] * len(RELAPSED) + [False] * len(STILL_WELL))


@case("SURV-01")
def test_surv_01_the_curve_is_the_textbooks():
    curve = remission()
    assert curve.days == tuple(float(week) for week in PRINTED)
    assert curve.waiting == pytest.approx(list(PRINTED.values()), abs=0.0006)
    assert (curve.finished, curve.censored, curve.longest_days) == (9, 12, 35)
    assert curve.median_days == 23
    assert curve.share_waiting(5) == 1
    assert curve.share_waiting(9) == pytest.approx(0.807, abs=0.0006)


@case("SURV-02")
def test_surv_02_the_limits_are_greenwoods_on_the_log_log_scale():
    curve = remission()
    # S(10): standard error 0.0963; S(23): 0.1346
    for at, share, error in ((2, 0.7529, 0.0963), (6, 0.4482, 0.1346)):
        spread = 1.959964 * error / (share * abs(math.log(share)))
        assert curve.low[at] == pytest.approx(share ** math.exp(spread), abs=0.002)
        assert curve.high[at] == pytest.approx(share ** math.exp(-spread), abs=0.002)
    low, high = curve.median_limits
    assert low == 13
    assert high is None  # the upper limit never comes down to one half


def product_limit(rows: list[tuple[int, bool]]) -> dict[int, Fraction]:
    share, found = Fraction(1), {}
    for day in sorted({day for day, finished in rows if finished}):
        at_risk = sum(1 for other, _ in rows if other >= day)
        left = sum(1 for other, finished in rows if finished and other == day)
        share *= Fraction(at_risk - left, at_risk)
        found[day] = share
    return found


@settings(max_examples=60, deadline=None)
@given(st.lists(st.tuples(st.integers(0, 40), st.booleans()), min_size=1, max_size=50))
def test_surv_03_the_same_as_a_plain_product_limit(rows):
    curve = kaplan_meier([day for day, _ in rows], [finished for _, finished in rows])
    plain = product_limit(rows)
    assert dict(zip(curve.days, curve.waiting, strict=True)) == pytest.approx(
        {float(day): float(share) for day, share in plain.items()}
    )
    for low, share, high in zip(curve.low, curve.waiting, curve.high, strict=True):
        assert 0 <= low <= share + 1e-12
        assert share - 1e-12 <= high <= 1


def test_nobody_left_yet_is_no_curve():
    curve = kaplan_meier([3, 9], [False, False])
    assert curve.days == ()
    assert curve.median_days is None
    assert curve.share_waiting(9) == 1
