"""Strings: allowed lengths with reasons, proposals that place every module."""

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sizing.electrical.propose import propose
from sizing.electrical.strings import lengths
from sizing.study.example import example_request
from sizing.study.request import RoofPlane

REQUEST = example_request()
MODULE, INVERTER = REQUEST.module, REQUEST.inverter


def plane(name, modules):
    return RoofPlane(name, 25.0, 180.0, 12.0, 6.0, modules=modules)


def test_every_length_says_why_it_fails():
    verdicts = {length.modules: length for length in lengths(MODULE, INVERTER, -15.0, 35.0)}
    # 37.2 V x (1 + 0.0026 x 40) = 41.07 V cold: 14 make 575 V, 15 make 616 V
    # 31.2 V x (1 - 0.0034 x 40) = 26.96 V hot: 4 make 108 V, 5 make 135 V
    assert [n for n, length in verdicts.items() if length.allowed] == list(range(5, 15))
    assert verdicts[4].reason == "108 V on a hot day, below the tracking window (120 V)"
    assert verdicts[15].reason == "616 V on the coldest day, above the 600 V limit of dwellings (600 V)"
    assert max(verdicts) == 16


def test_an_inverter_below_600_v_is_named_as_the_limit():
    verdicts = lengths(MODULE, replace(INVERTER, max_dc_voltage_v=500.0), -15.0, 35.0)
    assert verdicts[-1].reason.endswith("above the inverter's maximum (500 V)")


def test_normal_operation_above_the_tracking_window_is_refused():
    verdicts = {n.modules: n for n in lengths(MODULE, replace(INVERTER, mppt_max_v=300.0), 5.0, 35.0)}
    # 10 x 31.2 V = 312 V at standard conditions
    assert verdicts[9].allowed and not verdicts[10].allowed
    assert "tracking window (300 V)" in verdicts[10].reason


def test_two_planes_get_their_own_inputs_and_a_spare_one_avoids_parallel_strings():
    groups = propose([plane("South", 18), plane("West", 8)], MODULE, INVERTER, 1, range(5, 15))
    assert [(g.plane, g.modules_in_series, g.strings, g.mppt) for g in groups] == [
        ("South", 9, 1, 1),
        ("South", 9, 1, 2),
        ("West", 8, 1, 3),
    ]


def test_parallel_strings_where_inputs_are_few():
    two = replace(INVERTER, mppt_inputs=2, strings_per_mppt=2, max_short_circuit_a=30.0)
    groups = propose([plane("South", 18), plane("West", 8)], MODULE, two, 1, range(5, 15))
    assert [(g.plane, g.modules_in_series, g.strings, g.mppt) for g in groups] == [
        ("South", 9, 2, 1),
        ("West", 8, 1, 2),
    ]


def test_short_circuit_current_limits_parallel_strings():
    weak = replace(INVERTER, mppt_inputs=1, strings_per_mppt=2, max_short_circuit_a=20.0)
    assert propose([plane("South", 18)], MODULE, weak, 1, range(5, 15)) == ()


def test_a_plane_that_fits_no_input_is_left_out_and_the_others_stay():
    groups = propose([plane("Dormer", 3), plane("South", 12)], MODULE, INVERTER, 1, range(5, 15))
    assert {g.plane for g in groups} == {"South"}


@given(
    counts=st.lists(st.integers(0, 30), min_size=1, max_size=4),
    inputs=st.integers(1, 4),
    parallel=st.integers(1, 2),
    low=st.integers(3, 6),
    high=st.integers(8, 14),
)
@settings(max_examples=60, deadline=None)
def test_proposals_hold_every_promise(counts, inputs, parallel, low, high):
    inverter = replace(INVERTER, mppt_inputs=inputs, strings_per_mppt=parallel, max_short_circuit_a=40.0)
    planes = [plane(f"P{i}", n) for i, n in enumerate(counts)]
    groups = propose(planes, MODULE, inverter, 1, range(low, high + 1))
    assert [g.mppt for g in groups] == list(range(1, len(groups) + 1))
    assert len(groups) <= inputs
    assert all(low <= g.modules_in_series <= high and 1 <= g.strings <= parallel for g in groups)
    for p in planes:
        wired = sum(g.modules_in_series * g.strings for g in groups if g.plane == p.name)
        assert wired in (0, p.modules)
    feasible = [n for n in counts if low <= n <= high]
    if len(feasible) == len(counts) <= inputs:
        assert sum(g.modules_in_series * g.strings for g in groups) == sum(counts)


@pytest.mark.parametrize("modules", [0])
def test_a_plane_without_modules_needs_no_string(modules):
    assert propose([plane("South", modules)], MODULE, INVERTER, 1, range(5, 15)) == ()
