"""Years made from monthly means."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sizing.climate.hours import DAYS_IN_MONTH, sum_by_month
from sizing.climate.monthly import (
    clearness_quantile,
    daily_clearness,
    hour_ratio,
    temperature_swing,
    year_from_monthly_means,
)
from sizing.errors import InputError
from sizing.sun.position import extraterrestrial_kwh_per_day, sun_year

DAYS = np.array(DAYS_IN_MONTH)


def sky_by_month(latitude: float) -> np.ndarray:
    daily = extraterrestrial_kwh_per_day(sun_year(latitude, -79.0, 100.0, -5.0))
    return sum_by_month(np.repeat(daily / 24.0, 24)) / DAYS


@settings(max_examples=12, deadline=None)
@given(
    latitude=st.sampled_from([-45.0, -20.0, 0.0, 36.0, 60.0]),
    clearness=st.lists(st.floats(0.25, 0.72), min_size=12, max_size=12),
    temps=st.lists(st.floats(-20.0, 30.0), min_size=12, max_size=12),
    seed=st.integers(0, 1000),
)
def test_monthly_means_come_back(latitude, clearness, temps, seed) -> None:
    wanted = sky_by_month(latitude) * np.array(clearness)
    climate = year_from_monthly_means(wanted, temps, latitude, -79.0, 100.0, -5.0, seed)
    assert sum_by_month(climate.ghi) / 1000.0 / DAYS == pytest.approx(wanted, rel=0.01)
    assert sum_by_month(climate.temp_air_c) / 24.0 / DAYS == pytest.approx(temps, abs=0.1)
    sun = sun_year(latitude, -79.0, 100.0, -5.0)
    assert np.all(climate.ghi[sun.zenith_deg > 90.0] == 0.0)
    assert climate.dhi.min() >= 0.0
    assert climate.dni.min() >= 0.0
    closure = climate.dni * np.maximum(sun.cos_zenith, 0.0) + climate.dhi - climate.ghi
    assert np.abs(closure).max() < 1e-6
    assert climate.ghi.max() < 1400.0


def test_same_seed_same_year_other_seed_other_year() -> None:
    def year(seed: int) -> np.ndarray:
        return year_from_monthly_means((4.0,) * 12, (15.0,) * 12, 20.0, -79.0, 0.0, -5.0, seed).ghi

    assert np.array_equal(year(1), year(1))
    assert not np.array_equal(year(1), year(2))


@pytest.mark.parametrize("mean", [0.3, 0.4, 0.5, 0.6, 0.7])
def test_the_clearness_distribution_has_the_mean_it_was_made_for(mean: float) -> None:
    """The explicit exponent (Herzog 1985) is a fit: within half a per cent of the mean."""
    fractions = (np.arange(4000) + 0.5) / 4000
    assert clearness_quantile(fractions, mean).mean() == pytest.approx(mean, rel=0.005)


def test_days_vary_and_remember() -> None:
    """Lag-one correlation of about 0.29 in the mapped index (Graham, Hollands and Huget 1988)."""
    days = daily_clearness(0.5, 3000, np.random.default_rng(7))
    assert days.std() > 0.12
    assert np.corrcoef(days[:-1], days[1:])[0, 1] == pytest.approx(0.29, abs=0.06)


@pytest.mark.parametrize("sunset", [70.0, 90.0, 110.0])
def test_the_hours_of_a_day_make_the_day(sunset: float) -> None:
    """Collares-Pereira and Rabl's shares over a day of short hours add up to one."""
    angles = np.arange(-179.95, 180.0, 0.1)
    assert hour_ratio(angles, sunset).sum() * 0.1 / 15.0 == pytest.approx(1.0, abs=0.01)


def test_the_day_is_warmest_in_mid_afternoon_and_coldest_at_dawn() -> None:
    swing = temperature_swing(np.arange(1.0, 25.0))
    assert np.argmax(swing) + 1 in (15, 16)
    assert np.argmin(swing) + 1 in (5, 6)
    assert swing.max() - swing.min() == pytest.approx(1.0, abs=0.03)


def test_polar_night_has_no_sun_and_polar_day_has_all_hours() -> None:
    ghi = (0.0, 0.1, 1.0, 3.0, 5.0, 5.5, 5.0, 3.0, 1.2, 0.3, 0.0, 0.0)
    climate = year_from_monthly_means(ghi, (-5.0,) * 12, 70.0, 19.0, 10.0, 1.0, 1)
    monthly = sum_by_month(climate.ghi) / 1000.0 / DAYS
    assert monthly[0] == monthly[11] == 0.0
    assert monthly[5] == pytest.approx(5.5, rel=1e-6)
    midnight_june = climate.ghi[171 * 24 + 23]
    assert midnight_june > 0.0


@pytest.mark.parametrize(
    ("month", "value", "message"),
    [(0, 1.0, "hardly rises"), (5, 11.0, "no month exceeds 82%")],
)
def test_more_sun_than_the_sky_has_is_refused(month: int, value: float, message: str) -> None:
    ghi = [0.0, 0.1, 1.0, 3.0, 5.0, 5.5, 5.0, 3.0, 1.2, 0.3, 0.0, 0.0]
    ghi[month] = value
    with pytest.raises(InputError, match=message) as caught:
        year_from_monthly_means(ghi, (0.0,) * 12, 72.0, 19.0, 10.0, 1.0, 1)
    assert caught.value.field == f"climate.ghi_kwh_per_m2_day[{month}]"
