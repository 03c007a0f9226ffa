"""One year of hourly weather, the form in which every part of a study takes it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Mask = NDArray[np.bool_]

HOURS_PER_YEAR = 8760
DAYS_IN_MONTH = (31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)


@dataclass(frozen=True, eq=False)
class ClimateHours:
    """A year of 365 days in local *standard* time, all arrays of shape (8760,).

    Row ``i`` is the mean over the hour that begins ``i`` hours after midnight on 1 January: hour-ending labels of the
    source files (01:00 is 00:00 to 01:00) are already resolved, and the sun belongs at the middle of the row's hour.
    """

    ghi: Floats
    """Global horizontal irradiance, W/m2."""
    dni: Floats
    """Direct normal irradiance, W/m2."""
    dhi: Floats
    """Diffuse horizontal irradiance, W/m2."""
    temp_air_c: Floats
    wind_speed_m_s: Floats
    month: Ints
    """1 to 12."""
    hour_of_day: Ints
    """0 to 23: the hour, in local standard time, at which the row's hour begins."""
    name: str
    kind: str
    """"TMY2", "TMY3", "EPW" or "monthly means"."""
    latitude_deg: float
    longitude_deg: float
    elevation_m: float
    utc_offset_h: float
    record_low_c: float | None = None
    """Extreme annual mean minimum dry bulb, where the source file carries it."""
    high_2pct_c: float | None = None
    """Dry bulb exceeded in 2 % of the hours of a year or a cooling season, where the source file carries it."""
    design_source: str = ""
    warnings: tuple[str, ...] = ()


def month_of_hour() -> Ints:
    """The month (1 to 12) of each of the 8760 hours of a 365-day year."""
    return np.repeat(np.arange(1, 13), np.array(DAYS_IN_MONTH) * 24).astype(np.int64)


def hour_of_day() -> Ints:
    """The hour (0 to 23) at which each of the 8760 hours begins."""
    return np.tile(np.arange(24), 365).astype(np.int64)


def day_of_year() -> Ints:
    """The day (1 to 365) of each of the 8760 hours."""
    return np.repeat(np.arange(1, 366), 24).astype(np.int64)


def sum_by_month(values: Floats) -> Floats:
    """Sums of an hourly array of shape (8760,) over the twelve months, shape (12,)."""
    ends = np.cumsum(np.array(DAYS_IN_MONTH) * 24)
    starts = np.concatenate(([0], ends[:-1]))
    return np.add.reduceat(values, starts)
