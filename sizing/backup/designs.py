"""An off-grid year of many designs at once: arrays and batteries of every size against one load.

What an hour does to the charge is decided by the hour and by the design's limits alone, then held between reserve and
full. So a dark night needs no walking: its draws add up, and the hours in which the sum passes what was stored are the
short ones. Daylight hours are walked, all designs together.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from sizing.backup.plant import TOLERANCE_WH, Plant
from sizing.climate.hours import Floats, Ints


@dataclass(frozen=True, eq=False)
class Designs:
    """Designs beside each other, arrays of shape (d,): everything that differs between them."""

    array_scale: Floats
    """Times the array whose hourly power is given."""
    capacity_wh: Floats
    reserve_wh: Floats
    charge_limit_w: Floats
    discharge_limit_w: Floats
    array_row: Ints | None = None
    """Which of several arrays' hourly powers, where several are given."""


def scaled(plant: Plant, array_scale: Floats, battery_scale: Floats) -> Designs:
    """A plant with its array and battery multiplied, pair by pair. Both of shape (d,)."""
    return Designs(
        array_scale,
        plant.capacity_wh * battery_scale,
        plant.reserve_wh * battery_scale,
        plant.charge_limit_w * battery_scale,
        plant.discharge_limit_w * battery_scale,
    )


def hours_short_of_designs(
    plant: Plant, designs: Designs, dc_w: Floats, load_w: Floats, stored_wh: Floats
) -> tuple[Ints, Floats]:
    """(hours with some load not carried, stored at the end) of each design, shape (d,) each.

    ``load_w``: shape (n,), W; ``dc_w`` likewise, or (a, n) where ``designs.array_row`` tells whose is whose;
    ``stored_wh``: shape (d,). Efficiencies, inverter and standby are the plant's. Agrees hour for hour with
    ``balance.run`` without a generator.
    """
    # Hours first, so that a stretch of them is taken for all designs in one go.
    by_hour = dc_w[:, None] if dc_w.ndim == 1 else np.ascontiguousarray(dc_w.T)
    one = np.zeros(1, dtype=np.int64) if designs.array_row is None else designs.array_row
    charge, discharge = plant.charge_efficiency, plant.discharge_efficiency
    low, high = designs.reserve_wh, designs.capacity_wh
    low_enough = low - TOLERANCE_WH
    most_in, most_out = designs.charge_limit_w * charge, -designs.discharge_limit_w / discharge
    too_much = most_out - TOLERANCE_WH
    smallest_out = float(-most_out.max())
    need_w = np.minimum(load_w, plant.inverter_limit_w) / plant.inverter_efficiency + plant.standby_w
    over = load_w > plant.inverter_limit_w + TOLERANCE_WH
    stored, short = stored_wh.astype(np.float64), np.zeros(stored_wh.shape, dtype=np.int64)
    for first, last, dark in _stretches(np.asarray(by_hour.max(axis=1) > 0)):
        need = need_w[first:last]
        if dark:
            draw = need / discharge
            asked = draw > TOLERANCE_WH
            if draw.max() <= smallest_out and not over[first:last].any():
                total_wh = np.cumsum(draw)
                short += int(asked.sum()) - np.searchsorted(total_wh[asked], stored - low_enough, side="right")
                stored = np.maximum(stored - total_wh[-1], low)
                continue
            out = np.minimum(draw[:, None], -most_out)
            total = np.cumsum(out, axis=0)
            empty = (stored - total < low_enough) & asked[:, None]
            forced = (-draw[:, None] < too_much) | over[first:last, None]
            short += _count(empty | forced)
            stored = np.maximum(stored - total[-1], low)
            continue
        net = designs.array_scale * by_hour[first:last].take(one, axis=1)
        net -= need[:, None]
        change = net * charge
        net *= 1 / discharge
        np.minimum(change, net, out=change)
        forced = change < too_much
        if over[first:last].any():
            forced |= over[first:last, None]
        np.maximum(change, most_out, out=change)
        np.minimum(change, most_in, out=change)
        for hour in range(last - first):
            stored += change[hour]
            np.logical_or(forced[hour], stored < low_enough, out=forced[hour])
            np.maximum(stored, low, out=stored)
            np.minimum(stored, high, out=stored)
        short += _count(forced)
    return short, stored


def _count(flags: np.ndarray[tuple[int, int], np.dtype[np.bool_]]) -> Ints:
    """Flags set in each column; a stretch has at most 24 hours, so bytes hold the sum."""
    counted: Ints = np.add.reduce(flags.view(np.uint8), axis=0, dtype=np.uint8).astype(np.int64)
    return counted


def _stretches(lit: np.ndarray[tuple[int], np.dtype[np.bool_]]) -> list[tuple[int, int, bool]]:
    """(first, past the last, dark) of runs of dark and of lit hours; a run of more than a day is cut."""
    edges = np.flatnonzero(np.diff(lit)) + 1
    bounds = [0, *map(int, edges), int(lit.shape[0])]
    out = []
    for first, last in pairwise(bounds):
        for cut in range(first, last, 24):
            out.append((cut, min(cut + 24, last), not lit[first]))
    return out
