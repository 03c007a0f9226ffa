"""Rows on the ground: how far apart they stand so that winter sun reaches each of them."""

from __future__ import annotations

import math

WINTER_DECLINATION_DEG = -23.45


def sun_on_shortest_day(latitude_deg: float, solar_hour: float) -> tuple[float, float]:
    """(altitude, azimuth off the noon direction), degrees, on the shortest day of either hemisphere.

    Source: Duffie and Beckman eqs. 1.6.5, 1.6.6.
    """
    latitude, declination = math.radians(abs(latitude_deg)), math.radians(WINTER_DECLINATION_DEG)
    hour = math.radians((solar_hour - 12) * 15)
    sin_altitude = math.cos(latitude) * math.cos(declination) * math.cos(hour) + math.sin(latitude) * math.sin(
        declination
    )
    altitude = math.asin(sin_altitude)
    cos_azimuth = (sin_altitude * math.sin(latitude) - math.sin(declination)) / (
        math.cos(altitude) * math.cos(latitude)
    )
    return math.degrees(altitude), math.degrees(math.acos(min(max(cos_azimuth, -1.0), 1.0)))


def row_gap_m(latitude_deg: float, rise_m: float, solar_hour: float = 9.0) -> float:
    """Level distance from the top of a row to the foot of the next, for no shade from ``solar_hour`` to its mirror.

    Rows face the noon sun. Infinite where that sun is below the horizon.
    """
    altitude, azimuth = sun_on_shortest_day(latitude_deg, solar_hour)
    if altitude <= 0:
        return math.inf
    return rise_m * math.cos(math.radians(azimuth)) / math.tan(math.radians(altitude))
