"""The outage part of a study: plain answers, limits, off-grid years."""

from dataclasses import replace

import numpy as np
import pytest

from sizing.backup import study_backup
from sizing.climate.hours import hour_of_day
from sizing.errors import InputErrors
from sizing.loads import study_loads
from sizing.study.example import example_request
from sizing.study.request import Appliance, Backup, Generator

from .test_loads_profiles import climate

LAMP = (Appliance("Lamp", "steady", 500.0, 24.0),)


def sunny(peak_w=5_000.0):
    return np.maximum(np.sin((hour_of_day() - 6) / 12 * np.pi), 0) * peak_w


def study(request, dc=None):
    dc = sunny() if dc is None else dc
    return study_backup(request, dc, dc * 0.96, study_loads(request, climate()))


def test_a_lamp_all_night_with_sun_by_day_goes_on_for_two_weeks():
    request = replace(example_request(), appliances=LAMP)
    ride, off_grid, working, warnings = study(request)
    assert (ride.worst_hours, ride.share_of_starts_meeting_wanted) == (336, 1.0)
    assert off_grid is None and not warnings
    assert [trace.label for trace in ride.traces] == ["worst", "median", "best"]
    assert all(len(trace.state_of_charge) == 336 for trace in ride.traces)
    assert min(ride.traces[0].state_of_charge) <= min(ride.traces[2].state_of_charge)
    assert {line.key for line in working} >= {"backup.battery_only", "backup.surge", "backup.power_limit"}


def test_a_lamp_in_the_dark_lasts_as_long_as_the_battery_alone():
    request = replace(example_request(), appliances=LAMP)
    ride, *_ = study(request, np.zeros(8760))
    # 20 kWh x 0.9 x sqrt(0.92) / (0.5 / 0.965 + 0.035) kW = 31.2 h
    assert ride.battery_only_hours == pytest.approx(31.21, abs=0.01)
    assert ride.worst_hours == ride.median_hours == ride.best_hours == 31
    assert ride.share_by_hours[:4] == ((6, 1.0), (12, 1.0), (24, 1.0), (48, 0.0))
    assert ride.share_of_starts_meeting_wanted == 0.0
    assert ride.median_by_month_hours == (31.0,) * 12
    trace = ride.traces[0].state_of_charge
    assert trace[0] == pytest.approx(1 - (0.5 / 0.965 + 0.035) / 0.92**0.5 / 20, abs=1e-6)
    assert trace[-1] == pytest.approx(0.1)


def test_a_battery_with_its_own_inverter_carries_what_that_inverter_gives():
    """The lamp of 0.5 kW by a PV inverter that follows; with 2 kW more than one unit gives, nothing is carried."""
    own = replace(example_request().battery, coupling="ac", units=1, max_discharge_kw=5.0)
    follower = replace(example_request().inverter, backup_power_w=0.0, surge_w=14_000.0)
    request = replace(example_request(), appliances=LAMP, battery=own, inverter=follower)
    ride, _, working, _ = study(request, np.zeros(8760))
    # 10 kWh x 0.9 x sqrt(0.92) / (0.5 / 0.965 + 0.035 + 0.03) kW; the last is the battery's inverter, none stated
    assert ride.battery_only_hours == pytest.approx(14.80, abs=0.01)
    line = next(line for line in working if line.key == "backup.battery_only")
    assert line.terms[-1].value == pytest.approx(0.065) and "30 W" in line.terms[-1].note
    stated, *_ = study(replace(request, battery=replace(own, standby_w=0.0)), np.zeros(8760))
    assert stated.battery_only_hours == pytest.approx(31.21 / 2, abs=0.01)
    weak, *_ = study(replace(request, battery=replace(own, max_discharge_kw=0.4)), np.zeros(8760))
    assert weak.best_hours == 0 and not weak.power_limit_ok
    # The surge is the battery's to give, not that of a PV inverter which only follows.
    heavy = replace(request, appliances=(Appliance("Pump", "steady", 6_000.0, 1.0, tier="must_run"),))
    ride, _, working, _ = study(heavy)
    line = next(line for line in working if line.key == "backup.surge")
    assert (line.limit, line.passes) == (5_000.0, False)
    assert "no surge rating given" in line.terms[0].note


def test_motors_start_by_the_surge_of_all_batteries_that_have_inverters_of_their_own():
    """A pump that asks for 14 kVA: one unit of 10 kW for 10 s does not start it, two do."""
    own = replace(example_request().battery, coupling="ac", units=1, max_discharge_kw=5.0, surge_kw=10.0, surge_s=10.0)
    pump = Appliance("Pump", "well_pump", 1_500.0, 1.0, tier="must_run", starting_w=14_000.0)
    request = replace(example_request(), appliances=(pump,), battery=own)
    for units, limit_w in ((1, 10_000.0), (2, 20_000.0)):
        ride, _, working, _ = study(replace(request, battery=replace(own, units=units)))
        line = next(line for line in working if line.key == "backup.surge")
        assert (line.limit, line.passes, ride.surge_ok) == (limit_w, units == 2, units == 2)
        assert line.label == "Largest start against the battery's surge (10 s)"
        assert line.terms[0].note == f"{units} × 10 kW"
        assert ("another battery would settle it" in ride.note) is (units == 1)


def test_other_numbers_of_batteries_are_tried_and_more_never_does_worse():
    request = replace(example_request(), appliances=LAMP)
    ride, *_ = study(request, np.zeros(8760))
    # one unit 15.6 h, two 31.2 h, three 46.8 h, four 62.4 h against 48 h wanted
    assert ride.by_battery_units == ((1, 0.0, 15.0), (2, 0.0, 31.0), (3, 0.0, 46.0), (4, 1.0, 62.0))
    own = next(line for line in ride.by_battery_units if line[0] == 2)
    assert own[1:] == (ride.share_of_starts_meeting_wanted, ride.median_hours)
    few_sun, *_ = study(request, sunny(900.0))
    shares = [share for _, share, _ in few_sun.by_battery_units]
    assert shares == sorted(shares)


def test_without_battery_or_backup_output_the_lights_go_out_with_the_grid():
    request = example_request()
    plain = replace(
        request, battery=None, inverter=replace(request.inverter, backup_power_w=0.0), system_type="grid_tied"
    )
    ride, *_ = study(plain)
    assert (ride.best_hours, ride.battery_only_hours, ride.traces) == (0, 0, ())
    assert "go out with the grid" in ride.note and "anti-islanding" in ride.note


def test_nothing_essential_no_ride_through():
    ride, _, _, warnings = study(replace(example_request(), appliances=()))
    assert ride is None
    assert warnings


def test_a_start_the_inverter_cannot_give_is_said():
    hard = (*LAMP, Appliance("Well pump", "well_pump", 1_500.0, 1.0, voltage_v=240.0, locked_rotor_a=90.0))
    ride, _, working, warnings = study(replace(example_request(), appliances=hard))
    assert not ride.surge_ok and ride.power_limit_ok
    assert "Well pump may not start" in ride.note
    surge = next(line for line in working if line.key == "backup.surge")
    assert (surge.result, surge.limit, surge.passes) == (90 * 240 + 500, 14_000, False)
    assert warnings == (ride.note.split("hours. ", 1)[-1],) or ride.note.endswith(warnings[0])


def test_more_load_than_inverter_or_battery_give_is_said():
    heavy = (Appliance("Heater", "steady", 9_000.0, 1.0),)
    ride, *_ = study(replace(example_request(), appliances=heavy))
    assert not ride.power_limit_ok
    assert "trips" in ride.note


def test_a_low_start_of_charge_shortens_it():
    request = replace(example_request(), appliances=LAMP)
    half = replace(request, backup=Backup(start_state_of_charge=0.5))
    dark = np.zeros(8760)
    assert study(half, dark)[0].best_hours < study(request, dark)[0].best_hours


def test_an_off_grid_year_with_enough_sun_goes_short_in_no_hour():
    request = replace(
        example_request(),
        system_type="off_grid",
        appliances=LAMP,
        usage=replace(example_request().usage, monthly_kwh=()),
    )
    _, off_grid, working, _ = study(replace(request, generator=None))
    assert off_grid.loss_of_load_hours == 0
    # 20 kWh x 0.9 x sqrt(0.92) / (0.5 / 0.965 + 0.035) kW = 31.2 h
    assert off_grid.days_of_autonomy == pytest.approx(31.21 / 24, abs=0.001)
    assert off_grid.spilled_kwh_year > 0
    assert any(line.key == "off_grid.loss_of_load" for line in working)


def test_an_off_grid_year_with_little_sun_goes_short_unless_a_generator_helps():
    base = replace(
        example_request(),
        system_type="off_grid",
        appliances=LAMP,
        usage=replace(example_request().usage, monthly_kwh=()),
    )
    alone = study(replace(base, generator=None), sunny(1_200.0))[1]
    helped = study(replace(base, generator=Generator("g", 6_000.0)), sunny(1_200.0))[1]
    assert alone.loss_of_load_hours > 100
    assert alone.loss_of_load_share == pytest.approx(alone.loss_of_load_hours / 8760)
    assert helped.loss_of_load_hours == 0
    assert helped.generator_kwh_year > alone.unserved_kwh_year


def test_every_unusable_value_is_named():
    request = example_request()
    bad = replace(
        request,
        battery=replace(request.battery, round_trip_efficiency=1.2, reserve_fraction=1.0),
        backup=replace(request.backup, horizon_hours=0, start_state_of_charge=2.0),
    )
    with pytest.raises(InputErrors) as caught:
        study(bad)
    assert [problem.field for problem in caught.value.problems] == [
        "battery.round_trip_efficiency",
        "battery.reserve_fraction",
        "backup.horizon_hours",
        "backup.start_state_of_charge",
    ]


def test_what_a_batterys_own_inverter_gives_is_an_alternating_current_rating():
    """5 kW carry 4.96 kW and the PV inverter's 35 W: nothing is taken off for the inverter that follows."""
    own = replace(example_request().battery, coupling="ac", units=1, max_discharge_kw=5.0)
    for load_w, carried in ((4_960.0, True), (5_001.0, False)):
        heater = (Appliance("Heater", "steady", load_w, 24.0, tier="must_run"),)
        ride, _, working, _ = study(replace(example_request(), appliances=heater, battery=own), np.zeros(8760))
        line = next(line for line in working if line.key == "backup.power_limit")
        assert (line.limit, line.formula) == (5_000.0, "P_peak ≤ P_battery")
        assert ride.power_limit_ok is carried and (ride.best_hours > 0) is carried


def test_the_fewest_batteries_with_own_inverters_are_those_that_last():
    """Each unit draws for itself, so a search that halves would not do; the answer is checked by the outages."""
    own = replace(example_request().battery, coupling="ac", units=2, standby_w=40.0)
    request = replace(example_request(), appliances=LAMP, battery=own)
    ride, *_ = study(request, sunny(900.0))
    units = ride.smallest_battery_units
    assert units is not None and units > 1
    for count in (units - 1, units):
        again, *_ = study(replace(request, battery=replace(own, units=count)), sunny(900.0))
        assert (again.share_of_starts_meeting_wanted >= request.backup.wanted_share) is (count == units)
