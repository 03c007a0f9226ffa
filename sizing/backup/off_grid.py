"""A year without a grid: hours in which the house goes short, and how long a full battery lasts alone."""

from __future__ import annotations

import math

import numpy as np

from sizing.backup.balance import hours_short, run
from sizing.backup.plant import Plant
from sizing.backup.reliability import curve, reliability_grid
from sizing.backup.rules import battery_only_hours
from sizing.climate.hours import HOURS_PER_YEAR, Floats
from sizing.loads.hours import LoadsHours
from sizing.study.request import StudyRequest
from sizing.study.result import OffGrid, ReliabilityPoint
from sizing.working import Term, Working


def off_grid_year(
    request: StudyRequest, plant: Plant, dc_w: Floats, loads: LoadsHours
) -> tuple[OffGrid, list[Working], list[str]]:
    """The whole house off the grid for a year, begun with the charge that a year before leaves, and its autonomy."""
    generator = request.generator
    generator_w = generator.power_w if generator else 0.0
    first = run(plant, dc_w, loads.use_w, request.backup.start_state_of_charge * plant.capacity_wh, generator_w)
    year = run(plant, dc_w, loads.use_w, float(first.stored[-1]), generator_w)
    short = hours_short(year)
    mean_kw = float(loads.use_w.mean()) / 1000
    days = days_of_autonomy(plant, mean_kw)
    points = _reliability(request, plant, dc_w, loads)
    result = OffGrid(
        loss_of_load_hours=short,
        loss_of_load_share=short / HOURS_PER_YEAR,
        days_of_autonomy=days,
        unserved_kwh_year=float(year.unserved.sum()) / 1000,
        spilled_kwh_year=float(year.spilled.sum()) / 1000,
        generator_kwh_year=float(year.generator.sum()) / 1000,
        reliability=points,
    )
    working = [
        Working(
            key="off_grid.autonomy",
            label="Days of autonomy: full battery, no sun, mean load of the whole house",
            formula="d = E × (1 − r) × η_d / (P / η_inv + P_0) / 24",
            terms=(
                Term("E", plant.capacity_wh / 1000, "kWh"),
                Term("r", request.battery.reserve_fraction if request.battery else 0.0, "", "reserve kept"),
                Term("η_d", plant.discharge_efficiency, ""),
                Term("P", mean_kw, "kW"),
                Term("η_inv", plant.inverter_efficiency, ""),
                Term("P_0", plant.standby_w / 1000, "kW"),
            ),
            result=days,
            unit="days",
            source="energy balance",
        ),
        Working(
            key="off_grid.loss_of_load",
            label="Hours of the year in which some load is not carried",
            formula="hours with unserved energy",
            terms=(
                Term("unserved", result.unserved_kwh_year, "kWh"),
                Term("spilled", result.spilled_kwh_year, "kWh", "sun that found the battery full"),
                Term("generator", result.generator_kwh_year, "kWh"),
                Term("generator runs", float(year.generator_hours.sum()), "h", "its tank refilled whenever needed"),
            ),
            result=float(short),
            unit="h",
            source="hourly balance over one year, begun with the charge left by a year before",
        ),
    ]
    warnings = []
    if not points:
        warnings.append(
            "No array up to twice this one and no battery up to four times this one keeps the hours short within "
            f"{request.backup.allowed_loss_of_load_share:.1%} of the year without a generator."
        )
    if short:
        warnings.append(
            f"Off the grid the house goes short in {short} hours of the year"
            + ("." if generator else "; there is no generator in this design.")
        )
    return result, working, warnings


def days_of_autonomy(plant: Plant, mean_kw: float) -> float:
    """Days that the full battery carries a mean load without sun; 0 where nothing draws."""
    hours = battery_only_hours(
        plant.capacity_wh / 1000,
        plant.reserve_wh / plant.capacity_wh if plant.capacity_wh > 0 else 0.0,
        plant.inverter_efficiency,
        mean_kw,
        discharge_efficiency=plant.discharge_efficiency,
        standby_kw=plant.standby_w / 1000,
    )
    return hours / 24 if math.isfinite(hours) else 0.0


def _reliability(request: StudyRequest, plant: Plant, dc_w: Floats, loads: LoadsHours) -> tuple[ReliabilityPoint, ...]:
    """Arrays from half to twice the design's, batteries from one unit to four times the design's (at most 24)."""
    battery = request.battery
    if battery is None or dc_w.max() <= 0:
        return ()
    most = min(max(4 * battery.units, 6), 24)
    units = np.unique(np.linspace(1, most, min(most, 12)).round())
    grid = reliability_grid(plant, dc_w, loads.use_w, np.linspace(0.5, 2.0, 7), units / battery.units)
    array_kw = sum(plane.modules for plane in request.planes) * request.module.power_w / 1000
    return curve(
        grid,
        array_kw,
        battery.usable_kwh * battery.units,
        battery.units,
        request.backup.allowed_loss_of_load_share,
        HOURS_PER_YEAR,
    )
