"""Motor starts: which figure counts, what a soft starter leaves, the largest on top of the rest."""

from dataclasses import replace

import pytest

from sizing.loads import study_loads
from sizing.loads.starting import group_starting_w, start_of
from sizing.study.example import example_request
from sizing.study.request import Appliance

from .test_loads_profiles import climate


def motor(**more):
    values = {"name": "pump", "kind": "well_pump", "watts": 1000.0, "hours_per_day": 1.0, "voltage_v": 240.0}
    return Appliance(**(values | more))


def test_locked_rotor_amperes_come_first():
    start = start_of(motor(locked_rotor_a=30.0, starting_w=5000.0, horsepower=1.0, code_letter="K"))
    assert start.starting_w == 7200


def test_then_the_stated_starting_power():
    assert start_of(motor(starting_w=5000.0, horsepower=1.0, code_letter="K")).starting_w == 5000


def test_then_horsepower_with_the_upper_end_of_the_code_letter():
    start = start_of(motor(horsepower=0.75, code_letter="k"))
    assert start.starting_w == pytest.approx(0.75 * 8.99 * 1000)
    assert start.source == "NEC Table 430.7(B)"


def test_a_motor_of_which_nothing_is_known_is_assumed_on_the_high_side_with_a_warning():
    start = start_of(motor())
    assert (start.starting_w, start.assumed) == (6000, True)
    loads = study_loads(replace(example_request(), appliances=(motor(),)), climate())
    assert any("nameplate" in warning for warning in loads.warnings)


def test_a_soft_starter_cuts_the_start_but_never_below_running():
    assert start_of(motor(locked_rotor_a=30.0, soft_starter=True)).starting_w == pytest.approx(2880)
    assert start_of(motor(starting_w=1500.0, soft_starter=True)).starting_w == 1000


def test_what_has_no_motor_starts_at_its_running_power():
    assert start_of(Appliance("Lights", "steady", 60, 5)).starting_w == 60


def test_of_two_units_one_starts_while_the_other_runs():
    assert group_starting_w(motor(count=2, starting_w=5000.0)) == 6000


def test_largest_start_stands_on_top_of_everything_else_running():
    lines = (
        motor(starting_w=5000.0),
        Appliance("Fridge", "motor", 150, 8, starting_w=900.0),
        Appliance("L", "steady", 50, 5),
    )
    loads = study_loads(replace(example_request(), appliances=lines), climate())
    assert loads.summary.backup_peak_w == 1200
    assert loads.summary.largest_start_w == 5000 + 150 + 50
    assert loads.summary.largest_start_name == "pump"
    working = next(w for w in loads.working if w.key == "loads.largest_start")
    assert working.result == 5200
