"""Days of rest are no days of a leg: a paused leg is censored in the history, and its own forecast stands still."""

from __future__ import annotations

from datetime import timedelta

import numpy as np
import pytest

from projects.route.forecast.course import Course, Rest, spells
from projects.route.forecast.posterior import fit
from projects.route.forecast.predict import simulate
from tests.route.test_forecast import TODAY, ago, in_review, past, steady

POSTERIOR = fit(steady())


def found(rested: tuple[Rest, ...], *, leg: str, submitted: int = 10) -> list[tuple[int, bool]]:
    course = in_review(submitted, rests=rested)
    return [(spell.days, spell.finished) for spell in spells(course, TODAY) if spell.leg == leg]


def test_a_leg_in_which_the_job_was_paused_is_censored_at_the_pause() -> None:
    """Engineering ran from 50 to 14 days ago and rested from day 30 to day 20: known to last at least 20 days."""
    assert found((), leg="engineering") == [(36, True)]
    assert found((Rest(ago(30), ago(20)),), leg="engineering") == [(20, False)]
    # A rest before or after the leg says nothing about it.
    assert found((Rest(ago(13), ago(11)), Rest(ago(59), ago(55))), leg="engineering") == [(36, True)]


def test_a_leg_that_began_during_a_pause_counts_from_its_end() -> None:
    assert found((Rest(ago(52), ago(45)),), leg="engineering") == [(31, True)]


def test_a_leg_that_has_not_counted_a_day_makes_no_spell() -> None:
    assert found((Rest(ago(52), TODAY + timedelta(days=9), running=True),), leg="engineering") == []


def test_the_jurisdiction_counts_on_and_the_utility_unless_the_pause_is_of_its_making() -> None:
    rest = Rest(ago(6), TODAY + timedelta(days=9), running=True)
    ours, theirs = (rest,), (Rest(rest.on, rest.until, running=True, utility=True),)
    assert found(ours, leg="permit_building") == found((), leg="permit_building") == [(10, False)]
    assert found(ours, leg="utility_review") == [(10, False)]
    assert found(theirs, leg="utility_review") == [(4, False)]


def ends(course: Course, leg: str) -> np.ndarray:
    return simulate(course, POSTERIOR, TODAY, seed=5)[leg]


@pytest.mark.parametrize("ahead", [9, 40])
def test_what_lies_ahead_of_a_running_pause_moves_by_the_whole_rest(ahead: int) -> None:
    """The utility's own pause 4 days after the application: a review of 4 days so far goes on when it ends, so that
    every course is the one that the same job would have taken from the pause on, later by the rest.
    """
    until = TODAY + timedelta(days=ahead)
    paused = in_review(10, rests=(Rest(ago(6), until, running=True, utility=True),))
    # The same four days of review, with today as the day on which it goes on.
    going_on = in_review(4)
    moved = ends(paused, "utility_review") - ends(going_on, "utility_review")
    assert np.allclose(moved, ahead)
    assert ends(paused, "utility_review").min() >= ahead


def test_a_pause_that_is_over_is_taken_off_the_time_waited() -> None:
    rested = in_review(10, rests=(Rest(ago(8), ago(3), utility=True),))
    assert np.allclose(ends(rested, "utility_review"), ends(in_review(5), "utility_review"))


def test_a_leg_of_ours_that_lies_ahead_does_not_begin_before_the_job_goes_on() -> None:
    course = in_review(10, rests=(Rest(ago(6), TODAY + timedelta(days=200), running=True),))
    assert ends(course, "permit_building").min() < 200
    assert ends(course, "scheduling").min() >= 200


def test_pauses_do_not_make_the_office_look_slow() -> None:
    """Thirty legs of twenty days, ten of which rested half a year: the estimate stays by twenty days."""
    plain = fit(past("engineering", [20] * 30))["engineering"]
    censored = [*past("engineering", [20] * 20), *past("engineering", [10] * 10, finished=False)]
    naive = fit([*past("engineering", [20] * 20), *past("engineering", [200] * 10)])["engineering"]
    rng = np.random.default_rng(3)
    honest = np.exp(fit(censored)["engineering"].mean_of("", rng)).mean()
    assert honest == pytest.approx(np.exp(plain.mean_of("", rng)).mean(), rel=0.1)
    assert np.exp(naive.mean_of("", rng)).mean() > 1.5 * honest
