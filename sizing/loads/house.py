"""The whole house hour by hour, from its electric bills with the worksheet inside them."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from sizing.climate.hours import DAYS_IN_MONTH, ClimateHours, Floats, sum_by_month
from sizing.loads.shapes import HOUSEHOLD
from sizing.study.request import Usage

MONTH_NAMES = (
    "January", "February", "March", "April", "May", "June",
    "July", "August", "September", "October", "November", "December",
)  # fmt: skip

WEATHER_SHARE = 0.35
"""Of a yearly figure, what is spread by heating and cooling degree-days; the rest goes evenly over the days. Common
practice, no source: monthly bills are better, and replace it."""
DEGREE_DAY_BASE_C = 18.3
"""65 °F, the usual base of degree-days in the United States."""


@dataclass(frozen=True, eq=False)
class HouseUse:
    use_w: Floats
    """Shape (8760,)."""
    source: str
    """Plain words: where the monthly figures come from."""
    warnings: tuple[str, ...] = ()


def monthly_from_year(yearly_kwh: float, climate: ClimateHours) -> Floats:
    """Twelve monthly kWh whose sum is ``yearly_kwh``: 65 % by days, 35 % by degree-days (base 18.3 °C), shape (12,)."""
    days = np.array(DAYS_IN_MONTH, dtype=np.float64)
    daily_mean_c = climate.temp_air_c.reshape(365, 24).mean(axis=1)
    degree_days = sum_by_month(np.repeat(np.abs(daily_mean_c - DEGREE_DAY_BASE_C) / 24, 24))
    weather = degree_days / degree_days.sum() if degree_days.sum() > 0 else days / days.sum()
    monthly: Floats = yearly_kwh * ((1 - WEATHER_SHARE) * days / days.sum() + WEATHER_SHARE * weather)
    return monthly


def house_use(usage: Usage, backup_w: Floats, worksheet_w: Floats, climate: ClimateHours) -> HouseUse:
    """Hourly use of the whole house, matching the bill of every month exactly.

    The worksheet's appliances are laid inside the bill at their own hours and the rest of the month follows a
    household's day. Where a month's worksheet asks for more than its bill, what is not backed up is scaled down first,
    then all of it; a warning names the months. Without bills the worksheet is the house.
    """
    if usage.monthly_kwh:
        monthly_kwh = np.array(usage.monthly_kwh, dtype=np.float64)
        source = "twelve monthly bills"
    elif usage.yearly_kwh is not None:
        monthly_kwh = monthly_from_year(usage.yearly_kwh, climate)
        source = "a yearly figure, 65 % spread by days and 35 % by degree-days"
    else:
        return HouseUse(worksheet_w.copy(), "the load worksheet")

    use_w = np.zeros_like(worksheet_w)
    short_months: list[str] = []
    for month in range(12):
        hours = climate.month == month + 1
        bill_wh = monthly_kwh[month] * 1000
        backup, other = backup_w[hours], (worksheet_w - backup_w)[hours]
        if backup.sum() + other.sum() > bill_wh * (1 + 1e-9):
            short_months.append(MONTH_NAMES[month])
            if backup.sum() >= bill_wh:
                use_w[hours] = backup * (bill_wh / backup.sum())
            else:
                use_w[hours] = backup + other * ((bill_wh - backup.sum()) / other.sum())
            continue
        rest_wh = bill_wh - backup.sum() - other.sum()
        shape = HOUSEHOLD[climate.hour_of_day[hours]]
        use_w[hours] = backup + other + shape * (rest_wh / shape.sum())
    warnings: tuple[str, ...] = ()
    if short_months:
        warnings = (
            "The load worksheet asks for more than the bill shows in "
            + ", ".join(short_months)
            + "; the bill is kept and the worksheet scaled down in the yearly use. Check the worksheet's hours.",
        )
    return HouseUse(use_w, source, warnings)
