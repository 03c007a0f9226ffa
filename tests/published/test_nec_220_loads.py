"""Dwelling service loads: NEC Annex D examples D1(a), D2(a), D2(b), D2(c), and sections 220.83 and 220.87.

VA figures of the Annex D examples confirmed on public transcripts (NEC 2005 Annex D; D2(b) also in a 2017 one); the
ampere figures of D1(a) from memory. 220.83 and 220.87: rules from memory, our inputs.
"""

import pytest

from sizing.loads.dwelling import Dwelling, existing_dwelling, measured_demand, optional_method, standard_method
from tests.published.cases import case


@case("LOAD-01")
def test_load_01_standard_method_example_d1a():
    house = Dwelling(1500, range_va=12_000, dryer_va=5_500)
    answer = standard_method(house)
    by_key = {line.key: line.result for line in answer.working}
    assert by_key["service.general"] == 9_000
    assert by_key["service.lighting"] == 5_100
    assert by_key["service.range"] == 8_000
    assert by_key["service.dryer"] == 5_500
    assert answer.total_va == 18_600
    assert answer.current_a == pytest.approx(77.5)
    assert answer.neutral_va == 14_550
    assert answer.service_a == 100


@case("LOAD-02")
def test_load_02_optional_method_example_d2a():
    house = Dwelling(
        1500,
        range_va=12_000,
        dryer_va=5_000,
        fixed_va=(2_500, 1_200),
        neutral_va=1_200,
        heat_va=9_000,
        heat_units=5,
        cooling_va=1_380,
    )
    answer = optional_method(house)
    by_key = {line.key: line.result for line in answer.working}
    assert by_key["service.general"] == 29_700
    assert by_key["service.demand"] == 17_880
    assert by_key["service.climate"] == 3_600
    assert answer.total_va == 21_480
    assert answer.current_a == pytest.approx(89.5)
    assert answer.neutral_va == 15_400
    assert answer.service_a == 100


@case("LOAD-03")
def test_load_03_optional_method_example_d2b_uses_240_volts():
    house = Dwelling(1500, fixed_va=(8_000, 5_100, 4_500, 1_200, 5_000), heat_va=1_500, cooling_va=6 * 7 * 240)
    answer = optional_method(house)
    assert {line.key: line.result for line in answer.working}["service.general"] == 32_800
    assert answer.total_va == 29_200
    assert round(answer.current_a) == 122


@case("LOAD-06")
def test_load_06_measured_demand_with_a_vehicle_charger():
    answer = measured_demand(9_200, 7_680)
    assert answer.total_va == pytest.approx(21_100)
    assert answer.current_a == pytest.approx(87.9, abs=0.1)
    assert answer.service_a == 100


@case("LOAD-07")
def test_load_07_existing_dwelling():
    answer = existing_dwelling(25_000)
    assert answer.total_va == 14_800
    assert answer.current_a == pytest.approx(61.7, abs=0.05)


@case("LOAD-08")
def test_load_08_optional_method_example_d2c_heat_pump_with_supplementary_heat():
    house = Dwelling(
        2000, range_va=12_000, dryer_va=5_000, fixed_va=(4_500, 1_200), heat_va=15_000, heat_pump_va=24 * 240
    )
    answer = optional_method(house)
    by_key = {line.key: line.result for line in answer.working}
    assert by_key["service.general"] == 33_200
    assert by_key["service.demand"] == 19_280
    assert by_key["service.climate"] == pytest.approx(15_510)
    assert answer.total_va == pytest.approx(34_790)
    assert answer.service_a == 150
