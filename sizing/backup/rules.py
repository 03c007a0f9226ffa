"""Battery arithmetic done by hand on worksheets: ride-through without sun, banks in ampere-hours, days of autonomy."""

from __future__ import annotations

import math

import numpy as np

TEMPERATURE_F = (20.0, 30.0, 40.0, 50.0, 60.0, 70.0, 80.0)
TEMPERATURE_MULTIPLIER = (1.59, 1.40, 1.30, 1.19, 1.11, 1.04, 1.00)
"""Flooded lead-acid banks; the same table stands on three independent public sizing worksheets."""


def battery_only_hours(
    usable_kwh: float,
    reserve_fraction: float,
    inverter_efficiency: float,
    load_kw: float,
    *,
    discharge_efficiency: float = 1.0,
    standby_kw: float = 0.0,
    start_state_of_charge: float = 1.0,
) -> float:
    """Hours a battery carries a constant AC load with no sun at all; infinite when nothing draws.

    hours = usable x (start - reserve) x discharge efficiency / (load / inverter efficiency + standby).
    """
    draw_kw = load_kw / inverter_efficiency + standby_kw
    if draw_kw <= 0:
        return math.inf
    stored_kwh = usable_kwh * max(start_state_of_charge - reserve_fraction, 0.0)
    return stored_kwh * discharge_efficiency / draw_kw


def temperature_multiplier(temperature_f: float) -> float:
    """How much larger a flooded lead-acid bank must be at this temperature; between table rows by straight line."""
    return float(np.interp(temperature_f, TEMPERATURE_F, TEMPERATURE_MULTIPLIER))


def bank_ah(load_ah_per_day: float, days: float, depth_of_discharge: float, multiplier: float = 1.0) -> float:
    """Ampere-hours a lead-acid bank needs: load x days / depth of discharge x temperature multiplier."""
    return load_ah_per_day * days / depth_of_discharge * multiplier


def bank_layout(
    bank_ah_needed: float, block_ah: float, system_voltage_v: float, block_voltage_v: float
) -> tuple[int, int]:
    """(parallel strings, blocks in series) of equal blocks, both rounded up."""
    return math.ceil(bank_ah_needed / block_ah - 1e-9), math.ceil(system_voltage_v / block_voltage_v - 1e-9)


def corrected_load_ah(
    load_wh_per_day: float, system_voltage_v: float, wire_efficiency: float, battery_efficiency: float
) -> float:
    """Daily ampere-hours with wire and battery losses. Source: Sandia SAND87-7023, worksheet 3 (method)."""
    return load_wh_per_day / system_voltage_v / (wire_efficiency * battery_efficiency)


def array_parallel_modules(
    load_ah_per_day: float, array_to_load: float, system_losses: float, sun_hours: float, imp_a: float
) -> int:
    """Modules in parallel for a stand-alone array by array-to-load ratio. Source: IEEE 1562 (from memory)."""
    return math.ceil(load_ah_per_day / (1 - system_losses) * array_to_load / (sun_hours * imp_a) - 1e-9)
