"""Ride-through for every start of the year, against a plain loop and by its properties."""

import time
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sizing.backup.plant import Plant
from sizing.backup.survival import ride_through_hours
from tests.pace import slowness

PLANT = Plant(
    capacity_wh=10_000.0,
    reserve_wh=1_000.0,
    charge_limit_w=3_000.0,
    discharge_limit_w=4_000.0,
    charge_efficiency=0.95,
    discharge_efficiency=0.95,
    inverter_efficiency=0.96,
    inverter_limit_w=5_000.0,
    standby_w=20.0,
)


def plain_loop(plant, dc, load, horizon, soc):
    """The obvious way, written apart from the code under test."""
    answer = []
    n = len(dc)
    for start in range(n):
        stored, hours = soc * plant.capacity_wh, 0
        if stored < plant.reserve_wh - 1e-6:
            answer.append(0)
            continue
        while hours < horizon:
            i = (start + hours) % n
            if load[i] > plant.inverter_limit_w + 1e-6:
                break
            net = dc[i] - load[i] / plant.inverter_efficiency - plant.standby_w
            if net >= 0:
                stored = min(plant.capacity_wh, stored + min(net, plant.charge_limit_w) * plant.charge_efficiency)
            else:
                if -net > plant.discharge_limit_w + 1e-6:
                    break
                stored -= -net / plant.discharge_efficiency
                if stored < plant.reserve_wh - 1e-6:
                    break
            hours += 1
        answer.append(hours)
    return answer


def weather(seed, days, sun_w=4_000.0, load_w=600.0):
    rng = np.random.default_rng(seed)
    hours = np.tile(np.arange(24), days)
    sky = np.repeat(rng.beta(0.7, 1.0, days), 24)
    dc = np.maximum(np.sin((hours - 6) / 12 * np.pi), 0) * sun_w * sky
    return dc, load_w * rng.uniform(0.3, 1.7, days * 24)


@pytest.mark.parametrize("soc", [1.0, 0.6, 0.1, 0.05])
@pytest.mark.parametrize("load_w", [300.0, 700.0, 1_200.0, 3_500.0])
def test_agrees_exactly_with_the_plain_loop_over_a_year(soc, load_w):
    dc, load = weather(7, 365, load_w=load_w)
    fast = ride_through_hours(PLANT, dc, load, 96, soc)
    assert fast.tolist() == plain_loop(PLANT, dc, load, 96, soc)


@given(
    seed=st.integers(0, 10_000),
    horizon=st.sampled_from([1, 2, 5, 24, 63, 64, 200]),
    soc=st.floats(0, 1),
    sun_w=st.floats(0, 9_000),
    load_w=st.floats(0, 5_000),
    limit_w=st.floats(100, 5_000),
)
@settings(max_examples=60, deadline=None)
def test_agrees_exactly_with_the_plain_loop_on_anything(seed, horizon, soc, sun_w, load_w, limit_w):
    dc, load = weather(seed, 9, sun_w, load_w)
    plant = replace(PLANT, charge_limit_w=limit_w, discharge_limit_w=limit_w)
    assert ride_through_hours(plant, dc, load, horizon, soc).tolist() == plain_loop(plant, dc, load, horizon, soc)


@given(seed=st.integers(0, 10_000), more=st.floats(1.0, 3.0))
@settings(max_examples=30, deadline=None)
def test_more_battery_sun_or_less_load_never_shortens_it(seed, more):
    dc, load = weather(seed, 20)
    base = ride_through_hours(PLANT, dc, load, 120, 1.0)
    bigger = replace(PLANT, capacity_wh=PLANT.capacity_wh * more)
    assert (ride_through_hours(bigger, dc, load, 120, 1.0) >= base).all()
    assert (ride_through_hours(PLANT, dc * more, load, 120, 1.0) >= base).all()
    assert (ride_through_hours(PLANT, dc, load / more, 120, 1.0) >= base).all()


def test_constant_load_in_the_dark():
    # 9 kWh above the reserve x 0.95 over (960 W / 0.96 + 20 W) = 8.38 h: eight whole hours
    dc, load = np.zeros(8760), np.full(8760, 960.0)
    assert set(ride_through_hours(PLANT, dc, load, 336, 1.0)) == {8}


def test_the_year_wraps_around():
    dc, load = np.zeros(8760), np.full(8760, 960.0)
    dc[:24] = 5_000.0
    hours = ride_through_hours(PLANT, dc, load, 336, 1.0)
    assert hours[8759] == 1 + 24 + 8


def test_an_hour_no_battery_could_carry_ends_it():
    dc, load = np.full(100, 50_000.0), np.full(100, 500.0)
    load[40] = 5_001.0
    hours = ride_through_hours(PLANT, dc, load, 60, 1.0)
    assert hours[0] == 40 and hours[39] == 1 and hours[40] == 0 and hours[41] == 60


def test_without_battery_only_the_sun_carries():
    none = replace(PLANT, capacity_wh=0.0, reserve_wh=0.0, charge_limit_w=0.0, discharge_limit_w=0.0)
    dc = np.tile(np.concatenate((np.zeros(8), np.full(8, 3_000.0), np.zeros(8))), 10)
    hours = ride_through_hours(none, dc, np.full(240, 1_000.0), 48, 1.0)
    assert hours[:24].tolist() == [0] * 8 + [8, 7, 6, 5, 4, 3, 2, 1] + [0] * 8


@pytest.mark.speed
def test_a_year_of_starts_over_two_weeks_takes_milliseconds_and_does_not_grow_with_the_horizon():
    dc, load = weather(3, 365)

    def best_of(horizon):
        times = []
        for _ in range(5):
            begin = time.perf_counter()
            ride_through_hours(PLANT, dc, load, horizon, 1.0)
            times.append(time.perf_counter() - begin)
        return min(times)

    assert best_of(336) < 0.1 * slowness()
    assert best_of(8 * 336) < 4 * best_of(336)
