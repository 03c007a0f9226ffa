"""Array against battery off the grid: which pairs keep the hours that go short within the same bound."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from sizing.backup.designs import hours_short_of_designs, scaled
from sizing.backup.plant import Plant
from sizing.climate.hours import Floats, Ints
from sizing.study.result import ReliabilityPoint


@dataclass(frozen=True, eq=False)
class ReliabilityGrid:
    array_scale: Floats
    """Shape (a,)."""
    battery_scale: Floats
    """Shape (b,)."""
    hours_short: Ints
    """Shape (a, b)."""


def reliability_grid(
    plant: Plant, dc_w: Floats, load_w: Floats, array_scale: Floats, battery_scale: Floats
) -> ReliabilityGrid:
    """Hours short in a year of every pair, each year begun with the charge that a year before leaves."""
    arrays, batteries = np.repeat(array_scale, battery_scale.size), np.tile(battery_scale, array_scale.size)
    designs = scaled(plant, arrays, batteries)
    _, stored = hours_short_of_designs(plant, designs, dc_w, load_w, designs.capacity_wh)
    short, _ = hours_short_of_designs(plant, designs, dc_w, load_w, stored)
    return ReliabilityGrid(array_scale, battery_scale, short.reshape(array_scale.size, battery_scale.size))


def curve(
    grid: ReliabilityGrid, array_kw: float, battery_kwh: float, battery_units: int, allowed_share: float, hours: int
) -> tuple[ReliabilityPoint, ...]:
    """Per array size the smallest battery that keeps the short hours within ``allowed_share`` of all ``hours``.

    ``array_kw``, ``battery_kwh``, ``battery_units``: of the design at scale 1. Sizes that no battery of the grid helps
    are left out.
    """
    out = []
    for row, scale in enumerate(grid.array_scale):
        good = np.flatnonzero(grid.hours_short[row] <= allowed_share * hours)
        if good.size:
            battery = float(grid.battery_scale[good[0]])
            out.append(
                ReliabilityPoint(
                    array_kw=float(scale) * array_kw,
                    battery_kwh=battery * battery_kwh,
                    battery_units=round(battery * battery_units),
                    loss_of_load_hours=int(grid.hours_short[row, good[0]]),
                )
            )
    return tuple(out)
