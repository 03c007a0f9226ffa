"""An hourly year out of twelve monthly means, for places without a weather file.

Daily sums: the clearness index of each day is drawn from the long-term distribution that belongs to the month's mean
(Bendt, Collares-Pereira and Rabl 1981, with the maximum of Hollands and Huget 1983 and the exponent of Herzog 1985, as
in Duffie and Beckman, section 2.9), in an order with the day-to-day memory that Graham, Hollands and Huget (1988)
found everywhere: lag-one correlation 0.29 of the Gaussian-mapped index. Draws are stratified over each month, so that
the month has its clear and its dull days whatever the random numbers, then scaled until the month's sum is the one
asked for.

Within the day: Collares-Pereira and Rabl (1979), and around it the fluctuations of Aguiar and Collares-Pereira (1992,
``within_day``). Beam and diffuse: Erbs, Klein and Duffie (1982), by pvlib.
Temperature: Erbs, Klein and Beckman (1983), whose daily swing follows the clearness index.

The same request and seed give the same year.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from sizing.climate.hours import (
    DAYS_IN_MONTH,
    ClimateHours,
    Floats,
    hour_of_day,
    month_of_hour,
    sum_by_month,
)
from sizing.climate.within_day import broken_clouds
from sizing.errors import InputError
from sizing.sun.position import SunYear, extraterrestrial_kwh_per_day, solar_time_h, sun_year

LAG_ONE = 0.29
WIND_M_S = 2.0
"""Monthly means say nothing of wind; no result of a study depends on this figure."""
KT_MIN = 0.05
HOURS_STREAM = 1
KT_LIMIT = 0.82
"""More of the extraterrestrial irradiation than a clear day lets through, on the ground, in any month."""


def clearness_limits(mean_kt: float) -> tuple[float, float]:
    """Smallest and largest daily clearness index in a month of mean ``mean_kt`` (Hollands and Huget 1983)."""
    largest = 0.6313 + 0.267 * mean_kt - 11.9 * (mean_kt - 0.75) ** 8
    return KT_MIN, float(largest)


def clearness_exponent(mean_kt: float) -> float:
    """Herzog's (1985) explicit gamma of the Bendt distribution."""
    low, high = clearness_limits(mean_kt)
    xi = (high - low) / (high - mean_kt)
    return float(-1.498 + (1.184 * xi - 27.182 * np.exp(-1.5 * xi)) / (high - low))


def clearness_quantile(fraction: Floats, mean_kt: float) -> Floats:
    """The daily clearness index that a share ``fraction`` (0 to 1) of the days of a month stay under."""
    low, high = clearness_limits(mean_kt)
    gamma = clearness_exponent(mean_kt)
    if abs(gamma) < 1e-6:
        return low + fraction * (high - low)
    start, end = np.exp(gamma * low), np.exp(gamma * high)
    return np.asarray(np.log(start + fraction * (end - start)) / gamma, dtype=np.float64)


def hour_ratio(hour_angle_deg: Floats, sunset_angle_deg: Floats | float) -> Floats:
    """Hourly over daily total irradiation on the horizontal at an hour angle (Collares-Pereira and Rabl 1979)."""
    omega, sunset = np.radians(hour_angle_deg), np.radians(sunset_angle_deg)
    a, b = _collares_pereira(sunset)
    ratio = (
        np.pi
        / 24.0
        * (a + b * np.cos(omega))
        * (np.cos(omega) - np.cos(sunset))
        / (np.sin(sunset) - sunset * np.cos(sunset))
    )
    return np.asarray(np.where(np.abs(omega) < sunset, ratio, 0.0), dtype=np.float64)


def _collares_pereira(sunset_rad: Floats) -> tuple[Floats, Floats]:
    shift = sunset_rad - np.pi / 3.0
    return 0.409 + 0.5016 * np.sin(shift), 0.6609 - 0.4767 * np.sin(shift)


def temperature_swing(hour_ending: NDArray[Any]) -> Floats:
    """Share of the daily swing by which an hour (1 to 24) is off the day's mean (Erbs, Klein and Beckman 1983)."""
    t = 2.0 * np.pi * (hour_ending - 1.0) / 24.0
    return np.asarray(
        0.4632 * np.cos(t - 3.805)
        + 0.0984 * np.cos(2.0 * t - 0.360)
        + 0.0168 * np.cos(3.0 * t - 0.822)
        + 0.0138 * np.cos(4.0 * t - 3.513),
        dtype=np.float64,
    )


def daily_clearness(mean_kt: float, days: int, rng: np.random.Generator) -> Floats:
    """Clearness indices of one month's days, shape (days,), in an order with day-to-day memory."""
    noise = rng.standard_normal(days)
    chain = np.empty(days)
    chain[0] = noise[0]
    for day in range(1, days):
        chain[day] = LAG_ONE * chain[day - 1] + np.sqrt(1.0 - LAG_ONE**2) * noise[day]
    rank = np.argsort(np.argsort(chain))
    return clearness_quantile((rank + 0.5) / days, mean_kt)


def year_from_monthly_means(
    ghi_kwh_per_m2_day: Sequence[float],
    temp_air_c: Sequence[float],
    latitude_deg: float,
    longitude_deg: float,
    elevation_m: float,
    utc_offset_h: float,
    seed: int,
) -> ClimateHours:
    """An hourly year whose monthly sums of global irradiation and mean temperatures are the ones given.

    ``ghi_kwh_per_m2_day`` and ``temp_air_c`` have twelve values each. Raises InputError where a month asks for more
    sun than the sky can give there.
    """
    from pvlib import irradiance

    sun = sun_year(latitude_deg, longitude_deg, elevation_m, utc_offset_h)
    outside_by_day = extraterrestrial_kwh_per_day(sun)
    profile = _profile(sun, latitude_deg, longitude_deg, utc_offset_h)
    rng = np.random.default_rng(seed)
    ghi = np.zeros(8760)
    clearness = np.zeros(12)
    day = 0
    for month, days in enumerate(DAYS_IN_MONTH):
        wanted = float(ghi_kwh_per_m2_day[month])
        sky = outside_by_day[day : day + days]
        if sky.mean() < 0.05:
            if wanted > 0.05:
                raise InputError(
                    f"climate.ghi_kwh_per_m2_day[{month}]",
                    f"asks for {wanted:g} kWh/m2 a day in a month in which the sun hardly rises",
                )
            day += days
            continue
        mean_kt = wanted / float(sky.mean())
        if mean_kt > KT_LIMIT:
            raise InputError(
                f"climate.ghi_kwh_per_m2_day[{month}]",
                f"{wanted:g} kWh/m2 a day is {mean_kt:.0%} of what reaches the top of the air there; "
                f"no month exceeds {KT_LIMIT:.0%}",
            )
        clearness[month] = mean_kt
        sums = _scaled(daily_clearness(float(np.clip(mean_kt, 0.1, 0.8)), days, rng) * sky, wanted * days, sky)
        for i in range(days):
            hours = slice((day + i) * 24, (day + i + 1) * 24)
            ghi[hours] = 1000.0 * sums[i] * profile[hours]
        day += days
    # Random numbers of their own: the days stay as they are, whatever their hours do.
    level = sun.dni_extra * np.maximum(sun.cos_zenith, 0.0)
    ghi = broken_clouds(ghi, level, sun.cos_zenith, KT_LIMIT, np.random.default_rng((seed, HOURS_STREAM)))
    split = irradiance.erbs(ghi, sun.zenith_deg, sun.day_of_year)
    dni = np.nan_to_num(np.asarray(split["dni"]))
    dhi = np.maximum(ghi - dni * np.maximum(sun.cos_zenith, 0.0), 0.0)
    temps = _temperature(np.asarray(temp_air_c, dtype=np.float64), clearness)
    return ClimateHours(
        ghi=ghi,
        dni=dni,
        dhi=dhi,
        temp_air_c=temps,
        wind_speed_m_s=np.full(8760, WIND_M_S),
        month=month_of_hour(),
        hour_of_day=hour_of_day(),
        name="Year made from monthly means of the site",
        kind="monthly means",
        latitude_deg=latitude_deg,
        longitude_deg=longitude_deg,
        elevation_m=elevation_m,
        utc_offset_h=utc_offset_h,
    )


def _profile(sun: SunYear, latitude_deg: float, longitude_deg: float, utc_offset_h: float) -> Floats:
    """Share of each day's irradiation that falls into each of its hours, shape (8760,); days sum to 1 or 0.

    The shape of Collares-Pereira and Rabl is proportional to (a + b cos(omega)) cos(zenith); the zenith is the sun's
    own at mid-hour, so that beam, diffuse and global fit each other.
    """
    from pvlib import solarposition

    declination = np.asarray(solarposition.declination_spencer71(sun.day_of_year))
    solar_hour = solar_time_h(
        np.asarray(hour_of_day() + 0.5, dtype=np.float64), sun.day_of_year, longitude_deg, utc_offset_h
    )
    cos_omega = np.cos(np.radians(15.0 * (solar_hour - 12.0)))
    cos_sunset = np.clip(-np.tan(np.radians(latitude_deg)) * np.tan(declination), -1.0, 1.0)
    a, b = _collares_pereira(np.arccos(cos_sunset))
    shape = np.maximum(a + b * cos_omega, 0.0) * np.maximum(sun.cos_zenith, 0.0)
    days = shape.reshape(365, 24)
    sums = days.sum(axis=1, keepdims=True)
    return np.asarray(np.divide(days, sums, out=np.zeros_like(days), where=sums > 0)).reshape(8760)


def _scaled(sums: Floats, wanted: float, sky: Floats) -> Floats:
    """Scale daily sums to a month's total without any day beyond ``KT_LIMIT`` of its sky."""
    for _ in range(60):
        total = sums.sum()
        if total <= 0 or abs(total - wanted) < 1e-9 * max(wanted, 1e-9):
            break
        sums = np.minimum(sums * (wanted / total), KT_LIMIT * sky)
    return sums


def _temperature(monthly_mean_c: Floats, clearness: Floats) -> Floats:
    """Hourly temperatures with the given monthly means and a smooth change from month to month."""
    middles = np.cumsum(DAYS_IN_MONTH) - np.array(DAYS_IN_MONTH) / 2.0
    at = np.concatenate(([middles[-1] - 365.0], middles, [middles[0] + 365.0]))
    knots = monthly_mean_c.copy()
    days = np.arange(365) + 0.5
    month_hours = np.array(DAYS_IN_MONTH) * 24.0
    for _ in range(30):
        ring = np.concatenate(([knots[-1]], knots, [knots[0]]))
        daily = np.interp(days, at, ring)
        missed = monthly_mean_c - sum_by_month(np.repeat(daily, 24)) / month_hours
        knots = knots + missed
    swing_c = np.clip(25.8 * clearness - 5.21, 0.0, None)[month_of_hour() - 1]
    shape = temperature_swing(hour_of_day() + 1.0)
    shape -= temperature_swing(np.arange(1.0, 25.0)).mean()
    return np.repeat(daily, 24) + swing_c * shape
