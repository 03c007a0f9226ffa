"""Crews as servers of a queue: by hand, against a plain day-by-day count, and what one crew more changes.

CREW-01: by hand. CREW-02: a plain loop over one course, written here with a heap. CREW-03: one crew, equal lengths and
all jobs ready at once: waits are 0, d, 2d, and so on (arithmetic).
"""

from __future__ import annotations

import heapq

import numpy as np
import pytest

from projects.route.forecast.crews import starts, weekly_mean


def plain(ready: list[float], crew_days: list[float], crews: int) -> list[float]:
    free = [float("-inf")] * crews
    begun = [0.0] * len(ready)
    for job in sorted(range(len(ready)), key=lambda n: ready[n]):
        day = max(ready[job], heapq.heappop(free))
        begun[job] = day
        heapq.heappush(free, day + crew_days[job])
    return begun


def test_crew_01_three_jobs_by_hand():
    # One crew, four days each: ready 0, 1, 9 begin 0, 4, 9. Two crews: nobody waits.
    ready, days = np.array([[1.0, 0.0, 9.0]]), np.array([4.0, 4.0, 4.0])
    assert starts(ready, days, 1).tolist() == [[4, 0, 9]]
    assert starts(ready, days, 2).tolist() == [[1, 0, 9]]


def test_crew_02_the_same_as_a_plain_loop():
    rng = np.random.default_rng(8)
    for crews in (1, 2, 3, 7):
        ready = rng.integers(0, 60, size=(20, 25)).astype(float)
        days = rng.integers(1, 9, size=25).astype(float)
        begun = starts(ready, days, crews)
        for draw in range(20):
            assert begun[draw].tolist() == plain(ready[draw].tolist(), days.tolist(), crews)


def test_crew_03_one_crew_works_off_a_heap_in_even_steps():
    begun = starts(np.zeros((5, 6)), np.full(6, 3.0), 1)
    assert begun.tolist() == [[0, 3, 6, 9, 12, 15]] * 5
    assert starts(np.zeros((1, 6)), np.full(6, 3.0), 3).tolist() == [[0, 0, 0, 3, 3, 3]]


def test_a_crew_more_never_makes_the_last_one_later_and_enough_crews_let_nobody_wait():
    rng = np.random.default_rng(3)
    ready, days = rng.exponential(40, size=(200, 30)), rng.uniform(1, 6, size=30)
    finish = [(starts(ready, days, crews)).mean() for crews in (1, 2, 3, 30)]
    assert finish == sorted(finish, reverse=True)
    assert (starts(ready, days, 30) == ready).all()
    assert (starts(ready, days, 1) >= ready).all()


def test_weeks_count_every_beginning_once():
    begun = np.array([[0.0, 6.9, 7.0, 20.0], [13.9, 14.0, 80.0, 0.0]])
    assert weekly_mean(begun, 3) == (1.5, 1.0, 1.0)


def test_without_a_crew_nothing_is_installed():
    with pytest.raises(ValueError, match="without a crew"):
        starts(np.zeros((1, 1)), np.ones(1), 0)
