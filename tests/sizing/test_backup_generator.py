"""Outages with a generator, other tiers, and the smallest battery."""

from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sizing.backup.balance import run
from sizing.backup.cases import smallest_battery_units
from sizing.backup.generator import ride_through_with_generator
from sizing.backup.plant import plant_of
from sizing.backup.survival import ride_through_hours
from sizing.study.example import example_request
from sizing.study.request import Appliance

from .test_backup_study import LAMP, study, sunny
from .test_backup_survival import PLANT, weather


@given(
    seed=st.integers(0, 10_000),
    sun_w=st.sampled_from([0.0, 1_500.0, 4_000.0]),
    generator_w=st.sampled_from([300.0, 1_500.0, 6_000.0]),
    fuel=st.sampled_from([0.5, 1.0, 7.0, float("inf")]),
)
@settings(max_examples=20, deadline=None)
def test_agrees_with_walking_each_outage(seed, sun_w, generator_w, fuel):
    dc, load = weather(seed, 5, sun_w, 900.0)
    hours, ran = ride_through_with_generator(PLANT, dc, load, 72, 1.0, generator_w, fuel)
    for start in range(0, 120, 17):
        index = (start + np.arange(72)) % 120
        walked = run(PLANT, dc[index], load[index], PLANT.capacity_wh, generator_w, fuel)
        short = np.flatnonzero(walked.unserved > 1e-6)
        lasted = int(short[0]) if short.size else 72
        assert hours[start] == lasted
        assert ran[start] == walked.generator_hours[:lasted].sum()


def test_a_generator_never_shortens_an_outage_and_fuel_ends_it():
    dark, load = np.zeros(240), np.full(240, 960.0)
    without = ride_through_hours(PLANT, dark, load, 200, 1.0)
    ten, ran = ride_through_with_generator(PLANT, dark, load, 200, 1.0, 5_000.0, 10.0)
    forever, _ = ride_through_with_generator(PLANT, dark, load, 200, 1.0, 5_000.0)
    assert (without < ten).all() and (ten < forever).all()
    assert set(ran) == {10} and set(forever) == {200}


def test_cases_by_tier_sun_and_generator():
    loads = (*LAMP, Appliance("Fan", "steady", 300.0, 24.0, tier="would_like"))
    ride, *_ = study(replace(example_request(), appliances=loads), sunny(2_000.0))
    assert [(case.loads, case.sun, case.generator) for case in ride.cases] == [
        (label, sun, generator)
        for label in ("Must run", "Must run and would like")
        for sun in (True, False)
        for generator in (False, True)
        if not (generator and not sun and label != "Must run")
    ]
    own = ride.cases[0]
    assert (own.median_hours, own.worst_hours) == (ride.median_hours, ride.worst_hours)
    assert own.kwh_per_day == pytest.approx(12.0)
    for without, helped in pairwise(ride.cases):
        if helped.generator:
            assert helped.worst_hours >= without.worst_hours
    assert ride.cases[4].median_hours <= own.median_hours
    assert ride.cases[2].median_hours == 31  # no sun: 31.2 h by hand, see the study's tests


def test_the_smallest_battery_is_enough_and_one_less_is_not():
    request, dark = replace(example_request(), appliances=LAMP), np.zeros(8760)
    load = np.full(8760, 500.0)
    # one unit carries 15.6 h: 62 h need four
    assert smallest_battery_units(request, dark, load, 62, 0.9) == 4
    for units, share in ((4, 1.0), (3, 0.0)):
        plant = plant_of(replace(request, battery=replace(request.battery, units=units)))
        assert (ride_through_hours(plant, dark, load, 62, 1.0) >= 62).mean() == share
    assert smallest_battery_units(request, dark, load, 336, 0.9) == 22
    assert smallest_battery_units(request, dark, np.full(8760, 2_000.0), 336, 0.9) is None
    assert study(request, dark)[0].smallest_battery_units == 4


@given(
    seed=st.integers(0, 10_000),
    hours=st.sampled_from([7.0, 24.0, 61.5]),
    share=st.sampled_from([0.3, 0.9, 1.0]),
    soc=st.sampled_from([1.0, 0.6]),
)
@settings(max_examples=15, deadline=None)
def test_the_smallest_battery_is_that_of_trying_one_after_the_other(seed, hours, share, soc):
    request = example_request()
    request = replace(request, backup=replace(request.backup, start_state_of_charge=soc))
    dc, load = weather(seed, 20, 9_000.0, 1_500.0)

    def lasting(units):
        plant = plant_of(replace(request, battery=replace(request.battery, units=units)))
        return (ride_through_hours(plant, dc, load, 62, soc) >= hours).mean()

    tried = next((units for units in range(1, 41) if lasting(units) >= share), None)
    assert smallest_battery_units(request, dc, load, hours, share) == tried
