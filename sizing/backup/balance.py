"""The hour-by-hour energy balance of a house without the grid: off-grid all year, or one outage followed closely."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from sizing.backup.plant import TOLERANCE_WH, Plant
from sizing.climate.hours import Floats, Ints


@dataclass(frozen=True, eq=False)
class Balance:
    """What went where in each hour, Wh, all arrays of shape (n,).

    Without a generator, on the DC side every hour: array - spilled + taken = put + served / inverter_efficiency +
    standby, where ``taken`` and ``put`` leave and enter at the battery's terminals. ``generator`` is AC: it serves
    loads first and, through the inverter's charger, the battery; ``generator_hours`` is 1 in hours in which it ran.
    """

    served: Floats
    unserved: Floats
    spilled: Floats
    put: Floats
    taken: Floats
    standby: Floats
    generator: Floats
    generator_hours: Floats
    stored: Floats
    """At the end of the hour."""


def run(
    plant: Plant,
    dc_w: Floats,
    load_w: Floats,
    stored_wh: float,
    generator_w: float = 0.0,
    fuel_hours: float = math.inf,
) -> Balance:
    """Walk through the hours in order. ``dc_w``, ``load_w``: shape (n,), W. ``stored_wh``: in the battery at the start.

    An hour that can't be carried whole still serves what inverter, array and battery can give. A generator
    (``generator_w`` > 0) runs only in hours that would otherwise go short, for at most ``fuel_hours`` whole hours, and
    charges the battery with what the loads leave of its power.
    """
    rows: list[tuple[float, ...]] = []
    stored = stored_wh
    for array, load in zip(dc_w.tolist(), load_w.tolist(), strict=True):
        can_take = min(plant.discharge_limit_w, max(stored - plant.reserve_wh, 0.0) * plant.discharge_efficiency)
        standby = min(plant.standby_w, array + can_take)
        possible = min(plant.inverter_limit_w, (array + can_take - standby) * plant.inverter_efficiency)
        short = load > possible + TOLERANCE_WH or plant.standby_w > standby + TOLERANCE_WH
        from_generator = generator_w if short and fuel_hours >= 1 else 0.0
        fuel_hours -= 1 if from_generator > 0 else 0
        to_load = min(from_generator, load)
        served = min(load - to_load, possible)
        need_dc = served / plant.inverter_efficiency + standby
        taken = min(max(need_dc - array, 0.0), can_take)
        room = (plant.capacity_wh - stored) / plant.charge_efficiency if plant.charge_efficiency > 0 else 0.0
        to_charge = (from_generator - to_load) * plant.inverter_efficiency
        surplus = max(array - need_dc, 0.0)
        put = min(surplus + to_charge, plant.charge_limit_w, max(room, 0.0)) if taken == 0 else 0.0
        charge_from_sun = min(put, surplus)
        stored += put * plant.charge_efficiency - taken / plant.discharge_efficiency
        rows.append(
            (
                served + to_load,
                max(load - to_load - served, 0.0),
                surplus - charge_from_sun,
                put,
                taken,
                standby,
                to_load + (put - charge_from_sun) / plant.inverter_efficiency,
                1.0 if from_generator > 0 else 0.0,
                stored,
            )
        )
    return Balance(*np.array(rows, dtype=np.float64).reshape(-1, 9).T)


def hours_short(balance: Balance) -> int:
    """Hours in which some load was not carried."""
    return int((balance.unserved > TOLERANCE_WH).sum())


def follow_outage(plant: Plant, dc_w: Floats, load_w: Floats, start_hour: int, hours: int, stored_wh: float) -> Balance:
    """One outage from ``start_hour`` on, wrapping around the year's end."""
    index: Ints = (start_hour + np.arange(hours)) % dc_w.shape[0]
    return run(plant, dc_w[index], load_w[index], stored_wh)
