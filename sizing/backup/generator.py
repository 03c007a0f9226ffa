"""Outages with a generator that comes on in hours which array and battery can't carry alone."""

from __future__ import annotations

import math

import numpy as np

from sizing.backup.plant import TOLERANCE_WH, Plant, hourly_need
from sizing.backup.survival import ride_through_hours
from sizing.climate.hours import Floats, Ints, Mask

NEAR_WH = 1e-3
"""Hours that end this close to the reserve are looked at in full, so that rounding decides as in ``balance.run``."""


def ride_through_with_generator(
    plant: Plant,
    dc_w: Floats,
    load_w: Floats,
    horizon_hours: int,
    start_state_of_charge: float,
    generator_w: float,
    fuel_hours: float = math.inf,
    without_generator: Ints | None = None,
) -> tuple[Ints, Ints]:
    """(whole hours carried, hours the generator ran) of an outage starting at each hour, shape (n,) each.

    The rule is that of ``balance.run``: the generator serves loads first and charges the battery with what they leave,
    and it needs fuel for a whole hour to run in it. Starts that need no generator are answered by
    ``ride_through_hours`` alone (``without_generator``, where it is known already). The others are walked together,
    hour by hour: most hours only move the stored energy by what the hour alone decides; the few outages that come near
    the reserve in an hour are worked out in full.
    """
    if without_generator is None:
        without_generator = ride_through_hours(plant, dc_w, load_w, horizon_hours, start_state_of_charge)
    hours = without_generator.copy()
    total_ran = np.zeros_like(hours)
    start = np.flatnonzero(hours < horizon_hours)
    hours[start] = horizon_hours
    need = hourly_need(plant, dc_w, load_w)
    wrapped = np.arange(dc_w.shape[0] + horizon_hours) % dc_w.shape[0]
    move_wh = np.where(need.impossible, -np.inf, need.change_wh)[wrapped]
    dc, load = dc_w[wrapped], load_w[wrapped]
    stored = np.full(start.shape, start_state_of_charge * plant.capacity_wh)
    fuel = np.full(start.shape, fuel_hours)
    ran = np.zeros(start.shape, dtype=hours.dtype)
    for hour in range(horizon_hours):
        if not start.size:
            break
        index = start + hour
        moved = stored + move_wh[index]
        near = np.flatnonzero(moved < plant.reserve_wh + NEAR_WH)
        np.minimum(moved, plant.capacity_wh, out=moved)
        if near.size:
            at = index[near]
            moved[near], runs, dark = _hour_in_full(plant, dc[at], load[at], stored[near], fuel[near], generator_w)
            fuel[near] -= runs
            ran[near] += runs & ~dark
            if dark.any():
                over = near[dark]
                hours[start[over]], total_ran[start[over]] = hour, ran[over]
                lit = np.ones(start.shape, dtype=bool)
                lit[over] = False
                start, moved, fuel, ran = start[lit], moved[lit], fuel[lit], ran[lit]
        stored = moved
    total_ran[start] = ran
    return hours, total_ran


def _hour_in_full(
    plant: Plant, array: Floats, load: Floats, stored: Floats, fuel: Floats, generator_w: float
) -> tuple[Floats, Mask, Mask]:
    """(stored after it, whether the generator runs, whether loads go dark) of one hour of several outages."""
    can_take = np.minimum(
        plant.discharge_limit_w, np.maximum(stored - plant.reserve_wh, 0.0) * plant.discharge_efficiency
    )
    standby = np.minimum(plant.standby_w, array + can_take)
    possible = np.minimum(plant.inverter_limit_w, (array + can_take - standby) * plant.inverter_efficiency)
    short = (load > possible + TOLERANCE_WH) | (plant.standby_w > standby + TOLERANCE_WH)
    runs = short & (fuel >= 1)
    generator = np.where(runs, generator_w, 0.0)
    to_load = np.minimum(generator, load)
    dark = (short & ~runs) | (load - to_load > possible + TOLERANCE_WH)
    need_dc = np.minimum(load - to_load, possible) / plant.inverter_efficiency + standby
    taken = np.minimum(np.maximum(need_dc - array, 0.0), can_take)
    room = (plant.capacity_wh - stored) / plant.charge_efficiency
    offered = np.maximum(array - need_dc, 0.0) + (generator - to_load) * plant.inverter_efficiency
    put = np.where(taken == 0, np.clip(offered, 0.0, np.minimum(plant.charge_limit_w, np.maximum(room, 0.0))), 0.0)
    return stored + put * plant.charge_efficiency - taken / plant.discharge_efficiency, runs, dark
