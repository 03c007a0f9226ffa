"""Voltage drop along a two-wire circuit."""

from __future__ import annotations

from typing import Literal

from sizing.electrical.tables import column

FEET_PER_METRE = 1 / 0.3048
Wire = Literal["cu_stranded", "cu_solid", "al_stranded"]


def resistance_ohm_per_kft(size: str, wire: Wire = "cu_stranded") -> float:
    """Direct-current resistance at 75 °C. Source: NEC Chapter 9 Table 8."""
    return column("resistance", "size", wire)[size]


def drop_v(ohm_per_kft: float, current_a: float, one_way_m: float) -> float:
    """Volts lost on the way out and back."""
    return 2 * one_way_m * FEET_PER_METRE / 1000 * ohm_per_kft * current_a


def drop_pct(size: str, current_a: float, one_way_m: float, voltage_v: float) -> float:
    """Share of ``voltage_v`` lost by stranded copper, %."""
    return drop_v(resistance_ohm_per_kft(size), current_a, one_way_m) / voltage_v * 100
