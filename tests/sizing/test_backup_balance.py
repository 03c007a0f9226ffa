"""Energy is conserved in every hour, and the balance agrees with the ride-through."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sizing.backup.balance import follow_outage, hours_short, run
from sizing.backup.survival import lowest_stored_wh, ride_through_hours

from .test_backup_survival import PLANT, weather


@given(
    seed=st.integers(0, 10_000),
    sun_w=st.floats(0, 9_000),
    load_w=st.floats(0, 6_000),
    generator_w=st.sampled_from([0.0, 500.0, 8_000.0]),
)
@settings(max_examples=40, deadline=None)
def test_energy_is_conserved_in_every_hour(seed, sun_w, load_w, generator_w):
    dc, load = weather(seed, 6, sun_w, load_w)
    b = run(PLANT, dc, load, 6_000.0, generator_w)
    kw = 1e-3  # compare in kWh
    assert (b.served + b.unserved) * kw == pytest.approx(load * kw, abs=1e-9)
    before = np.concatenate(([6_000.0], b.stored[:-1]))
    stored = b.put * PLANT.charge_efficiency - b.taken / PLANT.discharge_efficiency
    assert (b.stored - before) * kw == pytest.approx(stored * kw, abs=1e-9)
    if generator_w == 0:
        used = b.put + b.served / PLANT.inverter_efficiency + b.standby
        assert (dc - b.spilled + b.taken) * kw == pytest.approx(used * kw, abs=1e-9)
    else:
        # AC from the generator replaces inverter output or arrives as charge after the charger's losses
        to_load = np.minimum(b.generator, load)
        charged = (b.generator - to_load) * PLANT.inverter_efficiency
        used = b.put - charged + (b.served - to_load) / PLANT.inverter_efficiency + b.standby
        assert (dc - b.spilled + b.taken) * kw == pytest.approx(used * kw, abs=1e-9)
    for values in (b.served, b.unserved, b.spilled, b.put, b.taken, b.standby, b.generator):
        assert (values >= -1e-9).all()
    assert (b.stored <= PLANT.capacity_wh + 1e-6).all() and (b.stored >= PLANT.reserve_wh - 1e-6).all()
    assert (b.put <= PLANT.charge_limit_w + 1e-9).all() and (b.taken <= PLANT.discharge_limit_w + 1e-9).all()


def test_the_first_short_hour_is_where_the_ride_through_ends():
    dc, load = weather(11, 60)
    hours = ride_through_hours(PLANT, dc, load, 120, 1.0)
    lowest = lowest_stored_wh(PLANT, dc, load, 120, 1.0)
    for start in range(0, 1440, 97):
        balance = follow_outage(PLANT, dc, load, start, 120, PLANT.capacity_wh)
        short = np.flatnonzero(balance.unserved > 1e-6)
        assert hours[start] == (short[0] if short.size else 120)
        if not short.size:
            assert lowest[start] == pytest.approx(min(balance.stored.min(), PLANT.capacity_wh))


def test_a_year_in_the_dark_serves_what_the_battery_holds_and_no_more():
    balance = run(PLANT, np.zeros(48), np.full(48, 960.0), PLANT.capacity_wh)
    from_battery = (PLANT.capacity_wh - PLANT.reserve_wh) * PLANT.discharge_efficiency
    assert balance.taken.sum() == pytest.approx(from_battery)
    assert hours_short(balance) == 48 - 8


def test_a_generator_large_enough_leaves_no_hour_short():
    balance = run(PLANT, np.zeros(72), np.full(72, 960.0), PLANT.capacity_wh, 6_000.0)
    assert hours_short(balance) == 0
    assert 0 < balance.generator_hours.sum() < 72


def test_a_generator_too_small_is_helped_by_the_battery():
    balance = run(PLANT, np.zeros(12), np.full(12, 2_000.0), PLANT.capacity_wh, 500.0)
    assert balance.served[4] == pytest.approx(500.0 + 1_000.0, abs=1_000)
    assert hours_short(balance) > 0
