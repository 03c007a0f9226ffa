"""A standing is computed for every job of a list: it must cost next to nothing."""

from __future__ import annotations

import time
import timeit

import pytest

from projects.route.standing import standing
from tests.pace import slowness
from tests.route.scenarios import blank_job, complete_job
from tests.route.test_permits import at_permits

ALLOWED_MS = 0.3


@pytest.mark.speed
def test_a_standing_takes_less_than_a_third_of_a_millisecond() -> None:
    """The longest route, in processor time and the best of several rounds: other work on the machine doesn't count."""
    route = "hybrid, everything asked"
    for facts in (blank_job(route), at_permits(route=route), complete_job(route)):
        timer = timeit.Timer(lambda facts=facts: standing(facts), timer=time.process_time)  # type: ignore[misc]
        best_ms = min(timer.repeat(number=50, repeat=20)) / 50 * 1000
        assert best_ms < ALLOWED_MS * slowness()
