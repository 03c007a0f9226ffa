"""From worksheet lines to hourly watts: sums are exact, seasons and weather decide when."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sizing.climate.hours import ClimateHours, day_of_year, hour_of_day, month_of_hour
from sizing.errors import InputErrors
from sizing.loads import appliance_library, study_loads
from sizing.loads.profiles import hourly_w
from sizing.loads.spread import spread
from sizing.study.example import example_request
from sizing.study.request import Appliance, Backup, Usage


def climate(mean_c=15.0, swing_c=12.0):
    hours, days = hour_of_day(), day_of_year()
    temp = mean_c - swing_c * np.cos((days - 20) / 365 * 2 * np.pi) + 5 * np.sin((hours - 9) / 24 * 2 * np.pi)
    zero = np.zeros(8760)
    return ClimateHours(
        zero, zero, zero, temp, zero, month_of_hour(), hours, "made up", "TMY3", 36.0, -80.0, 200.0, -5.0
    )


def line(kind="steady", watts=100.0, hours=6.0, **more):
    return Appliance("line", kind, watts, hours, **more)


@pytest.mark.parametrize("kind", ["steady", "motor", "well_pump"])
@pytest.mark.parametrize("hours", [0.1, 1.0, 6.0, 20.0, 24.0])
def test_a_clock_driven_line_draws_its_daily_energy_every_day(kind, hours):
    profile = hourly_w(line(kind, 1000, hours, count=2), climate())
    assert profile.reshape(365, 24).sum(axis=1) == pytest.approx(np.full(365, 2000 * hours), rel=1e-12)
    assert profile.max() <= 2000 * (1 + 1e-12)


def test_months_limit_the_days():
    profile = hourly_w(line("motor", 500, 6, months=(11, 12, 1)), climate())
    months = month_of_hour()
    assert profile[np.isin(months, (11, 12, 1))].sum() == pytest.approx(500 * 6 * (30 + 31 + 31))
    assert not profile[~np.isin(months, (11, 12, 1))].any()


def test_a_line_that_runs_all_day_is_flat():
    assert hourly_w(line("steady", 35, 24), climate()) == pytest.approx(np.full(8760, 35.0))


def test_lights_burn_in_the_evening_and_not_at_four_in_the_morning():
    day = hourly_w(line("steady", 100, 5), climate())[:24]
    assert day[20] > 3 * day[4]


def test_central_air_follows_the_heat():
    weather = climate()
    profile = hourly_w(line("central_air", 3000, 6), weather)
    hot_days = (weather.temp_air_c.reshape(365, 24) > 22).any(axis=1)
    assert profile.sum() == pytest.approx(3000 * 6 * hot_days.sum(), rel=1e-12)
    assert not profile[weather.temp_air_c.reshape(365, 24).max(axis=1).repeat(24) <= 22].any()
    july_day = profile[month_of_hour() == 7].reshape(31, 24).mean(axis=0)
    assert july_day.argmax() in (14, 15, 16)
    assert july_day[15] > july_day[3]
    assert profile.max() <= 3000 * (1 + 1e-12)


def test_electric_heat_follows_the_cold():
    weather = climate()
    profile = hourly_w(line("electric_heat", 10_000, 4), weather)
    january, july = profile[month_of_hour() == 1].sum(), profile[month_of_hour() == 7].sum()
    assert january > 0 and july == 0


def test_where_it_never_gets_hot_the_air_conditioner_stays_off_and_says_so():
    request = replace(example_request(), appliances=(line("central_air", 3000, 6, starting_w=4000.0),))
    loads = study_loads(request, climate(mean_c=0))
    assert loads.summary.appliances[0].kwh_year == 0
    assert any("never calls for it" in warning for warning in loads.warnings)


@given(
    total=st.floats(0, 20_000),
    weights=st.lists(st.floats(0, 100), min_size=24, max_size=24),
)
@settings(max_examples=60, deadline=None)
def test_spread_keeps_sum_and_limit(total, weights):
    power = spread(total, np.array(weights), 1000.0)
    assert power.sum() == pytest.approx(total, rel=1e-9, abs=1e-9)
    assert (power >= 0).all() and power.max() <= 1000 * (1 + 1e-9)


def test_spread_by_hand():
    # 3:1 by weight would give 9 and 3; the first is held at 8, the second takes the rest
    assert spread(12.0, np.array([3.0, 1.0]), 8.0) == pytest.approx([8.0, 4.0])
    # a full hour passes on to one without weight
    assert spread(12.0, np.array([1.0, 0.0]), 8.0) == pytest.approx([8.0, 4.0])
    with pytest.raises(ValueError):
        spread(17.0, np.array([1.0, 1.0]), 8.0)


MONTHS = (1180.0, 1040.0, 960.0, 830.0, 980.0, 1240.0, 1460.0, 1430.0, 1180.0, 870.0, 900.0, 1110.0)


def test_bills_are_matched_month_by_month_with_the_essential_loads_inside():
    request = replace(example_request(), usage=Usage(monthly_kwh=MONTHS))
    loads = study_loads(request, climate())
    assert loads.summary.use_kwh_by_month == pytest.approx(MONTHS, rel=1e-12)
    assert (loads.use_w >= loads.backup_w - 1e-9).all()


def test_a_yearly_figure_is_kept_and_leans_to_hot_and_cold_months():
    request = replace(example_request(), usage=Usage(yearly_kwh=30_000.0))
    loads = study_loads(request, climate())
    by_month = loads.summary.use_kwh_by_month
    assert loads.summary.use_kwh_year == pytest.approx(30_000, rel=1e-12)
    assert by_month[0] > by_month[3]
    assert by_month[6] > by_month[9]


def test_without_bills_the_worksheet_is_the_house():
    request = replace(example_request(), usage=Usage())
    loads = study_loads(request, climate())
    assert loads.summary.use_kwh_year == pytest.approx(sum(item.kwh_year for item in loads.summary.appliances))


def test_a_bill_below_the_worksheet_is_kept_and_named():
    request = replace(example_request(), usage=Usage(monthly_kwh=(20.0, *MONTHS[1:])))
    loads = study_loads(request, climate())
    assert loads.summary.use_kwh_by_month[0] == pytest.approx(20.0)
    assert any("January" in warning for warning in loads.warnings)


def test_backup_tiers_choose_what_the_outage_carries():
    wide = replace(example_request(), backup=Backup(tiers=("must_run", "would_like")))
    narrow = study_loads(example_request(), climate())
    wider = study_loads(wide, climate())
    assert wider.summary.backup_peak_w == narrow.summary.backup_peak_w + 2900 + 1200
    assert wider.backup_w.sum() > narrow.backup_w.sum()


def test_every_unusable_line_is_named_at_once():
    bad = (line(hours=25), line(watts=-1.0), line(months=(0, 13)), line(code_letter="I"))
    with pytest.raises(InputErrors) as caught:
        study_loads(replace(example_request(), appliances=bad, usage=Usage(monthly_kwh=(1.0,))), climate())
    assert [problem.field for problem in caught.value.problems] == [
        "appliances[0].hours_per_day",
        "appliances[1].watts",
        "appliances[2].months",
        "appliances[3].code_letter",
        "usage.monthly_kwh",
    ]


KEYS_THAT_ANSWERS_NAME = """
fridge chest_freezer lights internet well_pump_half_hp well_pump_1_hp sump_pump central_air_3_ton window_air
furnace_blower heat_pump_3_ton baseboard_heat microwave electric_range water_heater medical television garage_door
washer dryer dishwasher computer
"""


def test_the_library_is_usable_as_it_stands_and_names_a_source_for_each_line():
    library = appliance_library()
    assert len(library) >= 35
    assert len({item.appliance.name for item in library}) == len(library)
    assert all(item.source for item in library)
    assert len({item.key for item in library}) == len(library)
    assert {item.key for item in library} >= set(KEYS_THAT_ANSWERS_NAME.split())
    request = replace(
        example_request(),
        appliances=tuple(item.appliance for item in library),
        usage=Usage(),
        backup=Backup(tiers=("must_run", "would_like", "can_wait")),
    )
    loads = study_loads(request, climate())
    assert not any("nothing says how it starts" in warning for warning in loads.warnings)
    assert all(item.starting_w >= item.running_w for item in loads.summary.appliances)
