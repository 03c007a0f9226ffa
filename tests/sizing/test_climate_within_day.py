"""Clouds that come and go within a day: the day keeps its sum, no hour passes its ceiling, and the hours of years so
made scatter as those of the real typical years that pvlib carries.
"""

from __future__ import annotations

import numpy as np
import pytest

from sizing.climate.hours import DAYS_IN_MONTH, ClimateHours, Floats, sum_by_month
from sizing.climate.monthly import KT_LIMIT, year_from_monthly_means
from sizing.climate.reader import read_typical_year
from sizing.climate.shelf import bundled
from sizing.climate.within_day import broken_clouds, memory, width
from sizing.sun.position import sun_year

SUN = sun_year(36.0, -80.0, 200.0, -5.0)
LEVEL = SUN.dni_extra * np.maximum(SUN.cos_zenith, 0.0)


@pytest.mark.parametrize("kt", [0.05, 0.2, 0.35, 0.5, 0.65, 0.8])
def test_each_day_keeps_its_sum_and_no_hour_passes_its_ceiling(kt: float) -> None:
    smooth = kt * LEVEL
    found = broken_clouds(smooth, LEVEL, SUN.cos_zenith, KT_LIMIT, np.random.default_rng(3))
    by_day = found.reshape(365, 24).sum(axis=1)
    assert by_day == pytest.approx(smooth.reshape(365, 24).sum(axis=1), rel=1e-9)
    assert found.min() >= 0.0
    assert np.all(found <= np.maximum(KT_LIMIT * LEVEL, smooth) + 1e-9)
    assert np.all(found[LEVEL == 0.0] == 0.0)
    assert not np.allclose(found, smooth)


def test_a_day_at_its_ceiling_and_a_night_stay_as_they_are() -> None:
    full = KT_LIMIT * LEVEL
    assert broken_clouds(full, LEVEL, SUN.cos_zenith, KT_LIMIT, np.random.default_rng(3)) == pytest.approx(full)
    dark = np.zeros(8760)
    assert not broken_clouds(dark, LEVEL, SUN.cos_zenith, KT_LIMIT, np.random.default_rng(3)).any()


def test_width_and_memory_worked_by_hand() -> None:
    """At the zenith only 0.14 exp(-20 (Kt - 0.35)^2) is left; memory is 0.44 at most, where 7.4 Kt is 2.5."""
    assert width(np.array([0.35, 0.45]), np.array([1.0, 1.0])) == pytest.approx([0.14, 0.14 * np.exp(-0.2)])
    assert width(np.array([0.35]), np.array([0.5]))[0] > 0.14
    assert memory(np.array([2.5 / 7.4]))[0] == pytest.approx(0.44)


def _made(real: ClimateHours, seed: int) -> ClimateHours:
    days = np.array(DAYS_IN_MONTH)
    means, temps = sum_by_month(real.ghi) / 1000.0 / days, sum_by_month(real.temp_air_c) / 24.0 / days
    where = (real.latitude_deg, real.longitude_deg, real.elevation_m, real.utc_offset_h)
    return year_from_monthly_means(means, temps, *where, seed)


def _steps(year: ClimateHours) -> Floats:
    """Changes of the clearness index from one hour to the next while the sun stands above 20 degrees."""
    sun = sun_year(year.latitude_deg, year.longitude_deg, year.elevation_m, year.utc_offset_h)
    kt = year.ghi / np.maximum(sun.dni_extra * sun.cos_zenith, 1.0)
    high = sun.elevation_deg > 20.0
    return np.asarray(np.diff(kt)[high[1:] & high[:-1]])


@pytest.mark.parametrize("file", bundled(), ids=lambda file: file.path.stem)
def test_hours_change_about_as_much_as_in_the_real_year(file) -> None:
    real = read_typical_year(file.path)
    made = np.mean([_steps(_made(real, seed)).std() for seed in range(1, 6)])
    assert 0.6 < made / _steps(real).std() < 1.4
