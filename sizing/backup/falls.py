"""Which outage starts last a fixed number of hours, for many batteries on one array.

An outage that begins with a full battery lasts ``hours`` exactly when the energy curve never falls, from any peak
inside the window to a later point of it, by more than the battery's range. That largest fall depends on the array and
the charging limit alone, and windows twice as long are put together from two halves: no search per battery is left.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from sizing.backup.plant import TOLERANCE_WH, Plant
from sizing.climate.hours import Floats


@dataclass(frozen=True, eq=False)
class Falls:
    """Of the window of ``hours`` that begins at each hour, Wh, shape (n,)."""

    largest: Floats
    """Largest fall from a peak to a later point."""
    from_start: Floats
    """Largest fall below the start itself."""


def falls(change_wh: Floats, hours: int) -> Falls:
    """Falls of the running sum of ``change_wh`` (shape (n,), the year wraps around) within ``hours``."""
    n = change_wh.shape[0]
    level = np.concatenate(([0.0], np.cumsum(change_wh[np.arange(n + hours) % n])))
    points = hours + 1
    high, low, fall, width = level, level, np.zeros_like(level), 1
    done: tuple[Floats, Floats, Floats] | None = None
    covered = 0
    while True:
        if points & width:
            done = (high, low, fall) if done is None else _joined(done, (high, low, fall), covered)
            covered += width
        if width * 2 > points:
            break
        high, low, fall = _joined((high, low, fall), (high, low, fall), width)
        width *= 2
    assert done is not None
    return Falls(done[2][:n], level[:n] - done[1][:n])


def _joined(
    first: tuple[Floats, Floats, Floats], then: tuple[Floats, Floats, Floats], offset: int
) -> tuple[Floats, Floats, Floats]:
    """Windows of ``first`` followed by windows of ``then`` that begin ``offset`` points later."""
    n = min(first[0].shape[0], then[0].shape[0] - offset)
    high, low, fall = (values[:n] for values in first)
    next_high, next_low, next_fall = (values[offset : offset + n] for values in then)
    both = np.maximum(fall, next_fall)
    return np.maximum(high, next_high), np.minimum(low, next_low), np.maximum(both, high - next_low)


def share_lasting(
    plant: Plant, found: Falls, load_w: Floats, shortfall_w: Floats, hours: int, start_state_of_charge: float
) -> float:
    """Share of starts carried for ``hours``; the same as counting ``ride_through_hours`` >= ``hours``.

    ``shortfall_w``: DC power asked of the battery in each hour, shape (n,).
    """
    stored = start_state_of_charge * plant.capacity_wh - plant.reserve_wh
    if plant.inverter_limit_w <= 0 or stored < -TOLERANCE_WH:
        return 0.0
    lasts = found.largest <= plant.range_wh + TOLERANCE_WH
    if start_state_of_charge < 1:
        lasts &= found.from_start <= stored + TOLERANCE_WH
    impossible = (load_w > plant.inverter_limit_w + TOLERANCE_WH) | (
        shortfall_w > plant.discharge_limit_w + TOLERANCE_WH
    )
    if impossible.any():
        n = impossible.shape[0]
        counted = np.concatenate(([0], np.cumsum(impossible[np.arange(n + hours) % n])))
        lasts &= counted[hours : hours + n] == counted[:n]
    return float(lasts.mean())
