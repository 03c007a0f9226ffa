"""Where the sun stands at the middle of each hour of a 365-day year."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from sizing.climate.hours import HOURS_PER_YEAR, Floats, day_of_year

SUN_YEAR_START_UNIX_S = 1_640_995_200
"""1 January 2022, 00:00 UTC. A year without a leap day, two years from the next: its sun is within 0.2 degrees of
that of any other year."""
DELTA_T_S = 69.0
"""Terrestrial minus universal time, of the early 2020s (IERS bulletins); a second of it moves the sun by nothing
that a roof could notice."""
REFRACTION_DEG = 0.5667


@dataclass(frozen=True, eq=False)
class SunYear:
    """Sun at mid-hour, arrays of shape (8760,), degrees; zenith and elevation are corrected for refraction."""

    zenith_deg: Floats
    azimuth_deg: Floats
    elevation_deg: Floats
    dni_extra: Floats
    """Extraterrestrial normal irradiance, W/m2 (Spencer 1971, solar constant 1366.1)."""
    day_of_year: NDArray[np.int64]

    @property
    def cos_zenith(self) -> Floats:
        return np.asarray(np.cos(np.radians(self.zenith_deg)), dtype=np.float64)


def pressure_hpa(elevation_m: float) -> float:
    """Standard-atmosphere pressure at a height above sea level."""
    return float(1013.25 * (1.0 - 2.25577e-5 * elevation_m) ** 5.25588)


def sun_at(
    unix_s: Floats,
    latitude_deg: float,
    longitude_deg: float,
    elevation_m: float,
    pressure: float | None = None,
    temp_air_c: float = 12.0,
    delta_t_s: float = DELTA_T_S,
) -> tuple[Floats, Floats, Floats]:
    """Apparent zenith, azimuth (east of north) and apparent elevation in degrees at moments of any shape (n,).

    Source: Reda and Andreas, Solar Position Algorithm, NREL/TP-560-34302, as computed by pvlib.
    """
    from pvlib import spa

    answer = spa.solar_position(
        unix_s,
        latitude_deg,
        longitude_deg,
        elevation_m,
        pressure_hpa(elevation_m) if pressure is None else pressure,
        temp_air_c,
        delta_t_s,
        REFRACTION_DEG,
        1,
    )
    return np.asarray(answer[0]), np.asarray(answer[4]), np.asarray(answer[2])


@lru_cache(maxsize=64)
def sun_year(
    latitude_deg: float, longitude_deg: float, elevation_m: float, utc_offset_h: float, at_minute: float = 30.0
) -> SunYear:
    """The sun over one year of local standard time, by default at the middle of each hour."""
    from pvlib import irradiance

    begins = np.arange(HOURS_PER_YEAR, dtype=np.float64) * 3600.0
    unix_s = SUN_YEAR_START_UNIX_S + begins + at_minute * 60.0 - utc_offset_h * 3600.0
    zenith, azimuth, elevation = sun_at(unix_s, latitude_deg, longitude_deg, elevation_m)
    days = day_of_year()
    return SunYear(zenith, azimuth, elevation, np.asarray(irradiance.get_extra_radiation(days)), days)


def solar_time_h(clock_h: Floats, day: NDArray[np.int64], longitude_deg: float, utc_offset_h: float) -> Floats:
    """True solar time of local standard clock time, both in hours (Duffie and Beckman eq. 1.5.2, Spencer 1971)."""
    from pvlib import solarposition

    equation_min = np.asarray(solarposition.equation_of_time_spencer71(day))
    return np.asarray(clock_h + (longitude_deg - 15.0 * utc_offset_h) / 15.0 + equation_min / 60.0)


def extraterrestrial_kwh_per_day(sun: SunYear) -> Floats:
    """Irradiation of level ground above the air on each day of the year, kWh/m2, shape (365,)."""
    level = sun.dni_extra * np.maximum(sun.cos_zenith, 0.0)
    return np.asarray(level.reshape(365, 24).sum(axis=1) / 1000.0)
