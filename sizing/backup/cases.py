"""The same outages under other assumptions: more loads kept on, no sun at all, the generator, other battery counts."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np

from sizing.backup.falls import Falls, falls, share_lasting
from sizing.backup.generator import ride_through_with_generator
from sizing.backup.plant import hourly_need, plant_of
from sizing.backup.survival import ride_through_hours
from sizing.climate.hours import Floats, Ints
from sizing.loads.hours import LoadsHours
from sizing.study.request import StudyRequest, Tier
from sizing.study.result import RideThroughCase

MOST_UNITS = 40
"""Of one battery in a dwelling's study."""
TIER_SETS: tuple[tuple[str, tuple[Tier, ...]], ...] = (
    ("Must run", ("must_run",)),
    ("Must run and would like", ("must_run", "would_like")),
)


def outage_cases(
    request: StudyRequest, dc_w: Floats, loads: LoadsHours, own_hours: Ints | None = None
) -> tuple[RideThroughCase, ...]:
    """Tiers x with and without sun x with and without the generator; tiers that add nothing are left out.

    ``own_hours``: those of the request's own tiers with sun and without the generator, where they are known already.

    Everything on, no sun and the generator is left out too: the slowest to walk and the least useful to know.
    """
    plant, backup, generator = plant_of(request), request.backup, request.generator
    if plant.inverter_limit_w <= 0:
        return ()
    by_tier = dict(loads.by_tier_w)
    out: list[RideThroughCase] = []
    seen: list[float] = []
    for label, tiers in TIER_SETS:
        load_w = np.sum([by_tier[tier] for tier in tiers if tier in by_tier], axis=0)
        if np.ndim(load_w) == 0 or load_w.max() <= 0 or float(load_w.sum()) in seen:
            continue
        seen.append(float(load_w.sum()))
        for sun in (True, False):
            power = dc_w if sun else np.zeros_like(dc_w)
            if sun and own_hours is not None and np.array_equal(load_w, loads.backup_w):
                hours = own_hours
            else:
                hours = ride_through_hours(plant, power, load_w, backup.horizon_hours, backup.start_state_of_charge)
            out.append(_case(request, label, sun, False, load_w, hours, np.zeros_like(hours)))
            if generator is not None and (sun or len(seen) == 1):
                fuel = generator.fuel_limited_hours or math.inf
                with_it, ran = ride_through_with_generator(
                    plant,
                    power,
                    load_w,
                    backup.horizon_hours,
                    backup.start_state_of_charge,
                    generator.power_w,
                    fuel,
                    hours,
                )
                out.append(_case(request, label, sun, True, load_w, with_it, ran))
    return tuple(out)


def _case(
    request: StudyRequest, label: str, sun: bool, generator: bool, load_w: Floats, hours: Ints, ran: Ints
) -> RideThroughCase:
    wanted = min(request.backup.wanted_days * 24, request.backup.horizon_hours)
    return RideThroughCase(
        loads=label,
        sun=sun,
        generator=generator,
        kwh_per_day=float(load_w.sum() / (load_w.shape[0] / 24) / 1000),
        share_of_starts_meeting_wanted=float((hours >= wanted).mean()),
        median_hours=float(np.median(hours)),
        worst_hours=float(hours.min()),
        generator_hours_mean=float(ran.mean()),
    )


def smallest_battery_units(
    request: StudyRequest, dc_w: Floats, load_w: Floats, hours: float, share: float
) -> int | None:
    """Fewest batteries with which at least ``share`` of all starts last ``hours``; None where 40 are too few.

    More of the same battery never shortens an outage, so halving finds it; unless each unit's own inverter draws too,
    then they are counted up.
    """
    battery = request.battery
    if battery is None:
        return None
    start = request.backup.start_state_of_charge
    known: dict[tuple[float, float], Falls] = {}

    def enough(units: int) -> bool:
        plant = plant_of(replace(request, battery=replace(battery, units=units)))
        surplus_w = dc_w - load_w / plant.inverter_efficiency - plant.standby_w
        key = (min(plant.charge_limit_w, float(surplus_w.max())), plant.standby_w)
        if key not in known:
            known[key] = falls(hourly_need(plant, dc_w, load_w).change_wh, math.ceil(hours))
        shortfall_w = np.maximum(-surplus_w, 0.0)
        return share_lasting(plant, known[key], load_w, shortfall_w, math.ceil(hours), start) >= share

    if battery.coupling == "ac":
        return next((units for units in range(1, MOST_UNITS + 1) if enough(units)), None)
    if not enough(MOST_UNITS):
        return None
    low, high = 1, MOST_UNITS
    while low < high:
        middle = (low + high) // 2
        low, high = (low, middle) if enough(middle) else (middle + 1, high)
    return low
