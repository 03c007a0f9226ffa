"""Candidates that nothing cheaper beats, and what the next dollar buys."""

from __future__ import annotations

import numpy as np

from sizing.climate.hours import Floats, Ints


def front(cost: Floats, ride: Floats, offset: Floats) -> Ints:
    """Indices of the candidates that no other beats, cheapest first: none costs no more and is at least as good in both
    others while better in one. Of equal ones the first stays. All of shape (n,).
    """
    order = np.lexsort((np.arange(cost.size), -offset, -ride, cost))
    kept: list[int] = []
    best_ride, best_offset = np.empty(cost.size), np.empty(cost.size)
    for index in order:
        n = len(kept)
        if n and ((best_ride[:n] >= ride[index]) & (best_offset[:n] >= offset[index])).any():
            continue
        best_ride[n], best_offset[n] = ride[index], offset[index]
        kept.append(int(index))
    return np.array(kept, dtype=np.int64)


def next_best(
    cost: Floats, ride: Floats, offset: Floats, winner: int, others: Ints, worth: Floats | None = None
) -> int | None:
    """Of ``others``, dearer than the winner and no worse in either, the one that gains most per dollar added.

    ``worth``: what is gained in; their sum where not given, so that a whole year's bills and all outage starts weigh
    the same. None where nothing dearer is better.
    """
    value = ride + offset if worth is None else worth
    best, most = None, 0.0
    for index in map(int, others):
        added = cost[index] - cost[winner]
        more_ride, more_offset = ride[index] - ride[winner], offset[index] - offset[winner]
        if added <= 0 or more_ride < -1e-9 or more_offset < -1e-9:
            continue
        gain = (value[index] - value[winner]) / added
        if gain > most:
            best, most = index, gain
    return best
