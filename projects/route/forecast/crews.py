"""What if there were one crew more: installations as a queue that so many crews work off.

Every waiting job is ready for its crew on the day that the forecast gives its installation, by history's pace; a job
booked is ready on its day. Where more jobs are ready than crews are free they wait, first ready first served, each for
the crew that is free first. A crew takes so many days for one and takes no other meanwhile.

History's pace holds some waiting for crews of its own, which no crew more takes back here: the gain is at least that
shown. Jobs that come in later stand behind those that are here. It is the textbooks' queue of several servers, first
come first served.
"""

from __future__ import annotations

import numpy as np


def starts(ready: np.ndarray, crew_days: np.ndarray, crews: int) -> np.ndarray:
    """First days of the installations, of shape (draws, jobs) like ``ready``.

    ``ready``: days from today on which each job could begin. ``crew_days``: days that it holds a crew, (jobs,).
    """
    if crews < 1:
        raise ValueError("without a crew nothing is installed")
    draws, jobs = ready.shape
    begun = np.empty_like(ready)
    free = np.full((draws, crews), -np.inf)
    rows = np.arange(draws)
    order = np.argsort(ready, axis=1, kind="stable")
    for turn in range(jobs):
        job = order[:, turn]
        crew = np.argmin(free, axis=1)
        day = np.maximum(ready[rows, job], free[rows, crew])
        begun[rows, job] = day
        free[rows, crew] = day + crew_days[job]
    return begun


def weekly_mean(begun: np.ndarray, weeks: int) -> tuple[float, ...]:
    """Installations that begin in each of the coming weeks, on average over the draws; week 0 begins today."""
    week = np.floor(begun / 7).astype(int)
    return tuple(float((week == n).sum() / len(begun)) for n in range(weeks))
