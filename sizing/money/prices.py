"""What a kWh costs at each hour: time-of-use periods and monthly blocks of a tariff."""

from __future__ import annotations

from functools import lru_cache

import numpy as np

from sizing.climate.hours import Floats, Ints, day_of_year, hour_of_day, month_of_hour
from sizing.study.request import EnergyBlock, RatePeriod, Tariff


@lru_cache(maxsize=32)
def period_of_hour(periods: tuple[RatePeriod, ...]) -> Ints:
    """Index of the period that prices each hour, shape (8760,); ``len(periods)`` where the base price applies.

    The first period that covers an hour counts. Periods run in standard time, and 1 January is taken as a Monday: a
    typical year has no weekdays of its own.
    """
    month, hour = month_of_hour(), hour_of_day()
    weekend = (day_of_year() - day_of_year()[0]) % 7 >= 5
    out = np.full(month.shape, len(periods), dtype=np.int64)
    for index in range(len(periods) - 1, -1, -1):
        period = periods[index]
        if period.from_hour < period.to_hour:
            inside = (hour >= period.from_hour) & (hour < period.to_hour)
        else:
            inside = (hour >= period.from_hour) | (hour < period.to_hour)
        if period.months:
            inside &= np.isin(month, period.months)
        if period.days != "all":
            inside &= weekend if period.days == "weekends" else ~weekend
        out[inside] = index
    return out


def sums_by_month_and_period(values: Floats, periods: tuple[RatePeriod, ...]) -> Floats:
    """Sums of hourly values, shape (12, periods + 1); the last column is the base price's."""
    columns = len(periods) + 1
    cell = (month_of_hour() - 1) * columns + (period_of_hour(periods) if periods else 0)
    sums = np.bincount(cell, values, minlength=12 * columns).reshape(12, columns)
    return np.asarray(sums, dtype=np.float64)


def import_prices(tariff: Tariff) -> Floats:
    """USD per kWh drawn, by period, the base price last."""
    return np.array([*(period.usd_per_kwh for period in tariff.periods), tariff.energy_usd_per_kwh])


def export_prices(tariff: Tariff) -> Floats:
    """USD per kWh sent out under net billing, by period, the base credit last."""
    base = tariff.export_usd_per_kwh
    of_periods = (base if p.export_usd_per_kwh is None else p.export_usd_per_kwh for p in tariff.periods)
    return np.array([*of_periods, base])


def energy_usd(kwh_by_period: Floats, tariff: Tariff) -> float:
    """Energy part of one month's bill. ``kwh_by_period``: shape (periods + 1,), none below 0.

    Blocks price the month's whole energy; a tariff has blocks or periods, not both.
    """
    if tariff.blocks:
        return blocks_usd(tariff.blocks, float(kwh_by_period.sum()), tariff.energy_usd_per_kwh)
    return float(kwh_by_period @ import_prices(tariff))


def blocks_usd(blocks: tuple[EnergyBlock, ...], kwh: float, beyond_usd_per_kwh: float) -> float:
    """A month's energy through blocks in their order; what is beyond the last costs ``beyond_usd_per_kwh``."""
    cost, left = 0.0, kwh
    for block in blocks:
        used = min(left, block.kwh)
        cost += used * block.usd_per_kwh
        left -= used
    return cost + left * beyond_usd_per_kwh
