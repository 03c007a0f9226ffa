"""How long an outage that starts at each hour of the year is ridden through.

The obvious way walks 8,760 outages hour by hour through the horizon. Two facts make that unnecessary. The stored energy
only ever moves by an amount that the hour alone decides, held below "full"; and an outage that finds the battery full
at some later hour goes on exactly as the outage that starts there with a full battery. So with P the running sum of the
hourly changes, an outage starting at s first fails at the first hour k where either

- P has fallen below P at the start by more than was stored then, or
- P has fallen below some P after the start by more than the full battery's range.

Both are "the first later value below a threshold", found for all starts together by halving steps over running minima:
the work grows with the logarithm of the horizon.
"""

from __future__ import annotations

import numpy as np

from sizing.backup.falls import falls
from sizing.backup.plant import TOLERANCE_WH, Plant, hourly_need
from sizing.climate.hours import Floats, Ints


def ride_through_hours(
    plant: Plant, dc_w: Floats, load_w: Floats, horizon_hours: int, start_state_of_charge: float
) -> Ints:
    """Whole hours carried by an outage starting at each hour, up to the horizon. The year wraps around.

    ``dc_w``: array power before the inverter, W, shape (n,). ``load_w``: AC watts to carry, shape (n,).
    ``start_state_of_charge``: fraction of usable capacity at the start. Returns shape (n,), 0 to ``horizon_hours``.
    """
    hours = dc_w.shape[0]
    stored_wh = start_state_of_charge * plant.capacity_wh - plant.reserve_wh
    if stored_wh < -TOLERANCE_WH:
        return np.zeros(hours, dtype=np.int64)
    need = hourly_need(plant, dc_w, load_w)
    wrapped = np.arange(hours + horizon_hours) % hours
    level = np.concatenate(([0.0], np.cumsum(need.change_wh[wrapped])))
    minima = _running_minima(level, horizon_hours)

    starts = np.arange(hours)
    end = starts + horizon_hours + 1
    from_full = _first_below(minima, level - plant.range_wh - TOLERANCE_WH, np.arange(level.shape[0]))
    if start_state_of_charge == 1.0:
        from_start = from_full[:hours]
    else:
        from_start = _first_below(minima, level[:hours] - stored_wh - TOLERANCE_WH, starts)
    after_any_later_full = np.minimum.accumulate(from_full[::-1])[::-1]
    first_failure = np.minimum(from_start, after_any_later_full[1 : hours + 1])
    if need.impossible.any():
        impossible_at = np.where(need.impossible[wrapped], np.arange(1, wrapped.shape[0] + 1), level.shape[0])
        next_impossible = np.minimum.accumulate(impossible_at[::-1])[::-1]
        first_failure = np.minimum(first_failure, next_impossible[:hours])
    carried: Ints = np.minimum(first_failure, end) - 1 - starts
    return carried


def lowest_stored_wh(
    plant: Plant, dc_w: Floats, load_w: Floats, horizon_hours: int, start_state_of_charge: float
) -> Floats:
    """How far down an outage starting at each hour would draw the battery within the horizon, Wh, shape (n,).

    Tells outages apart that last equally long; below the reserve, even below zero, where the loads were not carried.
    Either the start was never made up for, or the battery was full at some later hour and fell from there.
    """
    found = falls(hourly_need(plant, dc_w, load_w).change_wh, horizon_hours)
    stored_wh = start_state_of_charge * plant.capacity_wh
    return np.asarray(np.minimum(stored_wh - found.from_start, plant.capacity_wh - found.largest))


def _running_minima(level: Floats, horizon_hours: int) -> list[Floats]:
    """Table whose row ``r`` holds the minimum of ``level`` over the 2**r entries from each index on, and infinity in an
    entry past the end."""
    rows = [np.append(level, np.inf)]
    while 2 ** len(rows) <= horizon_hours + 1:
        last, half = rows[-1], 2 ** (len(rows) - 1)
        row = last.copy()
        np.minimum(last[:-half], last[half:], out=row[:-half])
        rows.append(row)
    return rows


def _first_below(minima: list[Floats], threshold: Floats, index: Ints) -> Ints:
    """For each position the first later index whose level lies below its threshold; the number of levels where there is
    none.

    Skips ahead by the largest stretch whose minimum still keeps the threshold, then by smaller ones.
    """
    beyond = minima[0].shape[0] - 1
    position: Ints = np.minimum(index + 1, beyond)
    for row in range(len(minima) - 1, -1, -1):
        clear = minima[row][position] >= threshold
        position = np.minimum(position + (clear.astype(np.int64) << row), beyond)
    return position
