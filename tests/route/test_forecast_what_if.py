"""What if a review takes longer: in every simulated course by exactly so many days, and no others.

The rule by hand: a leg begins when the last of those before it has ended, so a delay of one of two parallel legs
passes on only as far as it outlasts the other: end = max(slow + delay, other) in each single course.
"""

from __future__ import annotations

from datetime import date, timedelta

import numpy as np
import pytest

from projects.route.forecast.course import Course, Spell, course
from projects.route.forecast.legs import LEGS, legs_for
from projects.route.forecast.posterior import fit
from projects.route.forecast.predict import forecast, simulate

TODAY = date(2026, 3, 2)
DELAY = 28.0
ONE_PERMIT = legs_for(permits=("combined",), grid=False)
TWO_PERMITS = legs_for(permits=("building", "electrical"), grid=True)
GROUPS = {"jurisdiction": "j1", "utility": "u1", "": ""}


def waiting_for_permits(present: frozenset[str], **more: int) -> Course:
    """Submitted ten days ago. ``more``: other legs that ended so many days ago."""
    days = {"lead": 60, "site_assessment": 50, "engineering": 14, "submittal": 10, **more}
    ends = {key: TODAY - timedelta(days=ago) for key, ago in days.items()}
    return course(7, present, TODAY - timedelta(days=70), ends, jurisdiction="j1", utility="u1")


def history(jobs: int = 30, **slow: int) -> list[Spell]:
    """Every leg about twenty days, those in ``slow`` about so many; none at all with ``jobs`` 0."""
    shares = np.linspace(0.8, 1.2, jobs)
    return [
        Spell(n, leg.key, round(slow.get(leg.key, 20) * share), True, GROUPS[leg.pace])
        for leg in LEGS
        for n, share in enumerate(shares)
    ]


@pytest.mark.parametrize("jobs", [0, 1, 30])
def test_where_nothing_runs_beside_the_review_every_course_moves_by_the_whole_delay(jobs):
    found, known = waiting_for_permits(ONE_PERMIT), fit(history(jobs))
    usual, later = (simulate(found, known, TODAY, longer_days=longer) for longer in ({}, {"permit_combined": DELAY}))
    for key in ("permit_combined", "scheduling", "installing", "inspection"):
        assert later[key] - usual[key] == pytest.approx(np.full(len(usual[key]), DELAY)), key
    now, then = forecast(found, known, TODAY), forecast(found, known, TODAY, longer_days={"permit_combined": DELAY})
    assert (then.installation.middle - now.installation.middle).days == 28
    assert (then.operation.middle - now.operation.middle).days == 28


@pytest.mark.parametrize("jobs", [0, 1, 30])
def test_of_two_permits_the_delayed_one_counts_where_it_outlasts_the_other(jobs):
    found, known = waiting_for_permits(TWO_PERMITS, application=10), fit(history(jobs))
    usual, later = (simulate(found, known, TODAY, longer_days=longer) for longer in ({}, {"permit_building": DELAY}))
    scheduling = usual["scheduling"] - np.maximum(usual["permit_building"], usual["permit_electrical"])
    by_hand = np.maximum(usual["permit_building"] + DELAY, usual["permit_electrical"]) + scheduling
    assert later["scheduling"] == pytest.approx(by_hand)
    assert (later["permit_electrical"] == usual["permit_electrical"]).all()


@pytest.mark.parametrize(("jobs", "review"), [(0, 20), (1, 20), (30, 20), (30, 90), (30, 110), (30, 200)])
def test_the_permission_moves_as_far_as_the_permits_outlast_the_utility(jobs, review):
    found = waiting_for_permits(TWO_PERMITS, application=10)
    known = fit(history(jobs, utility_review=review))
    longer = {"permit_building": DELAY, "permit_electrical": DELAY}
    usual, later = (simulate(found, known, TODAY, longer_days=by) for by in ({}, longer))
    permission = usual["permission"] - np.maximum(usual["inspection"], usual["agreement"])
    by_hand = np.maximum(usual["inspection"] + DELAY, usual["agreement"]) + permission
    assert later["permission"] == pytest.approx(by_hand)
    moved = np.median(later["permission"] - usual["permission"])
    if jobs and review == 20:
        assert moved == pytest.approx(DELAY)
    if review == 200:
        assert moved == 0  # all of it hides behind the utility
    if review == 110:
        assert 0 < (later["permission"] - usual["permission"]).mean() < DELAY


def test_an_agreement_signed_already_hides_nothing():
    found = waiting_for_permits(TWO_PERMITS, application=12, utility_review=5, agreement=1)
    longer = {"permit_building": DELAY, "permit_electrical": DELAY}
    for jobs in (0, 1, 30):
        known = fit(history(jobs))
        now, then = (forecast(found, known, TODAY, longer_days=by) for by in ({}, longer))
        assert (then.operation.middle - now.operation.middle).days == 28


def test_a_little_more_time_at_the_utility_hides_behind_permits_and_installation():
    found, known = waiting_for_permits(TWO_PERMITS, application=10), fit(history())
    now, then = (forecast(found, known, TODAY, longer_days=by) for by in ({}, {"utility_review": 7.0}))
    assert then == now
