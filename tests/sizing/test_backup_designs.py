"""A thousand off-grid designs at once, against the hour-by-hour balance of single ones."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sizing.backup.balance import hours_short, run
from sizing.backup.designs import hours_short_of_designs, scaled
from sizing.backup.reliability import curve, reliability_grid
from sizing.study.example import example_request

from .test_backup_study import LAMP, study, sunny
from .test_backup_survival import PLANT, weather


@given(seed=st.integers(0, 10_000), load_w=st.floats(50, 3_000), peaks=st.booleans())
@settings(max_examples=20, deadline=None)
def test_every_design_agrees_with_its_own_balance(seed, load_w, peaks):
    dc, load = weather(seed, 20, 4_000.0, load_w)
    if peaks:
        load[::37] = 5_600.0  # above the inverter
    rng = np.random.default_rng(seed)
    designs = scaled(PLANT, rng.uniform(0.1, 3, 8), rng.uniform(0.1, 4, 8))
    short, stored = hours_short_of_designs(PLANT, designs, dc, load, designs.capacity_wh)
    for i in range(8):
        plant = replace(
            PLANT,
            capacity_wh=designs.capacity_wh[i],
            reserve_wh=designs.reserve_wh[i],
            charge_limit_w=designs.charge_limit_w[i],
            discharge_limit_w=designs.discharge_limit_w[i],
        )
        balance = run(plant, dc * designs.array_scale[i], load, plant.capacity_wh)
        assert short[i] == hours_short(balance)
        assert stored[i] == pytest.approx(balance.stored[-1], abs=1e-6)


def test_more_array_or_more_battery_never_goes_shorter():
    dc, load = weather(5, 60)
    grid = reliability_grid(PLANT, dc, load, np.linspace(0.4, 3, 9), np.linspace(0.5, 5, 10))
    assert (np.diff(grid.hours_short, axis=0) <= 0).all()
    assert (np.diff(grid.hours_short, axis=1) <= 0).all()
    assert grid.hours_short[0, 0] > grid.hours_short[-1, -1]
    points = curve(grid, 5.0, 10.0, 1, 0.05, dc.size)
    assert points and all(point.loss_of_load_hours <= 0.05 * dc.size for point in points)
    batteries = [point.battery_kwh for point in points]
    assert batteries == sorted(batteries, reverse=True)


def test_the_off_grid_study_carries_the_curve():
    request = replace(
        example_request(),
        system_type="off_grid",
        appliances=LAMP,
        usage=replace(example_request().usage, monthly_kwh=()),
    )
    off_grid = study(request, sunny(2_500.0))[1]
    assert off_grid.reliability
    assert all(point.loss_of_load_hours <= 87 for point in off_grid.reliability)
