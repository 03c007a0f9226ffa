"""From one line of the load worksheet to its 8,760 hourly mean watts."""

from __future__ import annotations

import numpy as np

from sizing.climate.hours import HOURS_PER_YEAR, ClimateHours, Floats
from sizing.loads.shapes import DAILY, degree_hours
from sizing.loads.spread import spread
from sizing.study.request import Appliance


def energy_per_day_wh(appliance: Appliance) -> float:
    """Energy on a day on which it runs, all units together, Wh."""
    return appliance.watts * appliance.count * appliance.hours_per_day


def running_days(appliance: Appliance, climate: ClimateHours) -> np.ndarray[tuple[int], np.dtype[np.bool_]]:
    """The days (shape (365,), True where it runs): its months, and for heating and cooling only days that need it."""
    month_of_day = climate.month.reshape(365, 24)[:, 0]
    days = np.isin(month_of_day, appliance.months) if appliance.months else np.ones(365, dtype=np.bool_)
    if appliance.kind not in DAILY:
        needed = degree_hours(appliance.kind, climate.temp_air_c).reshape(365, 24)
        days &= needed.sum(axis=1) > 0
    return days


def hourly_w(appliance: Appliance, climate: ClimateHours) -> Floats:
    """Hourly mean watts, shape (8760,); the sum is watts x hours_per_day x count x days on which it runs, exactly.

    Whatever follows the clock repeats one day; heating and cooling spread the season's energy over its degree-hours,
    so that hot afternoons draw more than mild ones. No hour passes the appliance's own running power.
    """
    limit_w = appliance.watts * appliance.count
    per_day_wh = energy_per_day_wh(appliance)
    days = running_days(appliance, climate)
    out = np.zeros(HOURS_PER_YEAR)
    if limit_w <= 0 or per_day_wh <= 0 or not days.any():
        return out
    shaped = out.reshape(365, 24)
    if appliance.kind in DAILY:
        shaped[days] = spread(per_day_wh, DAILY[appliance.kind], limit_w)
        return out
    need = degree_hours(appliance.kind, climate.temp_air_c).reshape(365, 24)[days].ravel()
    shaped[days] = spread(per_day_wh * int(days.sum()), need, limit_w).reshape(-1, 24)
    return out
