"""Outages with a generator that comes on in hours which array and battery can't carry alone."""

from __future__ import annotations

import math

import numpy as np

from sizing.backup.plant import TOLERANCE_WH, Plant
from sizing.backup.survival import ride_through_hours
from sizing.climate.hours import Floats, Ints


def ride_through_with_generator(
    plant: Plant,
    dc_w: Floats,
    load_w: Floats,
    horizon_hours: int,
    start_state_of_charge: float,
    generator_w: float,
    fuel_hours: float = math.inf,
) -> tuple[Ints, Ints]:
    """(whole hours carried, hours the generator ran) of an outage starting at each hour, shape (n,) each.

    The rule is that of ``balance.run``: the generator serves loads first and charges the battery with what they leave,
    and it needs fuel for a whole hour to run in it. Starts that need no generator are answered by
    ``ride_through_hours`` alone; the others are walked together, hour by hour.
    """
    hours = ride_through_hours(plant, dc_w, load_w, horizon_hours, start_state_of_charge)
    ran = np.zeros_like(hours)
    start = np.flatnonzero(hours < horizon_hours)
    stored = np.full(start.shape, start_state_of_charge * plant.capacity_wh)
    fuel = np.full(start.shape, fuel_hours)
    for hour in range(horizon_hours):
        if not start.size:
            break
        index = (start + hour) % dc_w.shape[0]
        array, load = dc_w[index], load_w[index]
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
        stored = stored + put * plant.charge_efficiency - taken / plant.discharge_efficiency
        fuel = fuel - runs
        hours[start] = hour + ~dark
        ran[start] += runs & ~dark
        if dark.any():
            lit = ~dark
            start, stored, fuel = start[lit], stored[lit], fuel[lit]
    return hours, ran
