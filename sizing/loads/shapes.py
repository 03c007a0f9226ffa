"""When in the day, and on which days, each kind of appliance draws its energy.

The daily shapes are common practice, no source: they say only *when* a known daily energy is drawn. Their sums do not
matter (``spread`` scales them), their proportions do. Clock: local standard time, first value 00:00 to 01:00.
"""

from __future__ import annotations

import numpy as np

from sizing.climate.hours import Floats
from sizing.study.request import ApplianceKind

COOLING_BASE_C = 22.0
"""Outdoor temperature above which an air conditioner starts to run; common practice, no source."""
HEATING_BASE_C = 15.6
"""60 °F: outdoor temperature below which a heated house calls for heat (18.3 °C less gains from people and sun);
common practice, no source."""

# People at home and awake: a small peak at breakfast, a large one after supper, little at night.
HOUSEHOLD = np.array(
    [4, 3, 3, 3, 3, 4, 7, 9, 8, 6, 5, 5, 6, 5, 5, 5, 6, 9, 12, 13, 12, 11, 9, 6], dtype=np.float64
)  # fmt: skip

# Water drawn: showers and breakfast, then supper and dishes.
WATER = np.array(
    [1, 1, 1, 1, 2, 4, 9, 11, 9, 7, 5, 5, 5, 4, 4, 4, 5, 7, 9, 8, 7, 6, 4, 2], dtype=np.float64
)  # fmt: skip

FLAT = np.ones(24)

DAILY: dict[ApplianceKind, Floats] = {"steady": HOUSEHOLD, "motor": FLAT, "well_pump": WATER}
"""Kinds that follow the clock. The others (central_air, electric_heat) follow the outdoor temperature."""


def degree_hours(kind: ApplianceKind, temp_air_c: Floats) -> Floats:
    """Weight of each hour for an appliance that the weather drives: degrees beyond its base, never negative (K)."""
    if kind == "central_air":
        return np.maximum(temp_air_c - COOLING_BASE_C, 0.0)
    return np.maximum(HEATING_BASE_C - temp_air_c, 0.0)
