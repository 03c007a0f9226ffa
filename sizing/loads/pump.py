"""What it takes to lift water."""

from __future__ import annotations

WATER_KG_PER_M3 = 1000.0
GRAVITY_M_PER_S2 = 9.81


def hydraulic_w(flow_m3_per_s: float, head_m: float) -> float:
    """Power in the water itself, rho g Q H."""
    return WATER_KG_PER_M3 * GRAVITY_M_PER_S2 * flow_m3_per_s * head_m


def shaft_w(flow_m3_per_s: float, head_m: float, pump_efficiency: float) -> float:
    """Power the pump takes at its shaft."""
    return hydraulic_w(flow_m3_per_s, head_m) / pump_efficiency


def lifting_kwh_per_day(volume_m3_per_day: float, head_m: float, wire_to_water: float) -> float:
    """Electric energy per day: 2.725 Wh per cubic metre and metre of head, over wire-to-water efficiency.

    ``head_m`` is the total: water level to tank, plus the pressure kept there (10.2 m per bar), plus pipe friction.
    """
    wh_per_m3_m = WATER_KG_PER_M3 * GRAVITY_M_PER_S2 / 3600
    return volume_m3_per_day * head_m * wh_per_m3_m / wire_to_water / 1000


def running_hours_per_day(volume_m3_per_day: float, flow_m3_per_h: float) -> float:
    """How long a pump of this flow runs; the ``hours_per_day`` of the worksheet's well-pump line."""
    return volume_m3_per_day / flow_m3_per_h
