"""String voltages: NEC 690.7(A)(1) and Table 690.7(A).

The three options of 690.7(A) confirmed on a licence-renewal course; the table on public transcripts; modules are ours.
STR-07: worked example of a public page of formulas for electricians.
"""

import pytest

from sizing.electrical.strings import lengths, vmp_hot_v, voc_cold_mv_v, voc_cold_v, voc_factor
from sizing.study.request import Inverter, Module
from tests.published.cases import case


def module(**change):
    values = {
        "name": "test",
        "power_w": 400.0,
        "voc_v": 49.5,
        "isc_a": 10.0,
        "vmp_v": 41.2,
        "imp_a": 9.7,
        "temp_coeff_pmax_pct_per_c": -0.35,
        "temp_coeff_voc_pct_per_c": -0.27,
        "length_m": 1.8,
        "width_m": 1.1,
    }
    return Module(**(values | change))


def inverter(max_dc_voltage_v, mppt_min_v=100.0):
    return Inverter("test", 7600, 240, max_dc_voltage_v, mppt_min_v, max_dc_voltage_v - 20, 2, 1, 15, 20, 0.97)


@case("STR-01")
def test_str_01_denver_record_low_allows_ten_in_series_below_600_v():
    assert voc_cold_v(module(), -22.7) == pytest.approx(55.875, abs=0.001)
    assert 10 * voc_cold_v(module(), -22.7) == pytest.approx(558.75, abs=0.01)
    assert 11 * voc_cold_v(module(), -22.7) == pytest.approx(614.63, abs=0.01)
    # a 1000 V inverter does not lift the limit of dwellings
    assert max(n.modules for n in lengths(module(), inverter(1000), -22.7, 37.1) if n.allowed) == 10
    assert max(n.modules for n in lengths(module(), inverter(500), -22.7, 37.1) if n.allowed) == 8


@case("STR-02")
@pytest.mark.parametrize(
    ("low_c", "factor"),
    [
        (24, 1.02), (20, 1.02), (19, 1.04), (14, 1.06), (9, 1.08), (4, 1.10), (0, 1.10), (-1, 1.12), (-5, 1.12),
        (-6, 1.14), (-11, 1.16), (-16, 1.18), (-20, 1.18), (-20.5, 1.20), (-21, 1.20), (-22.7, 1.20), (-25, 1.20),
        (-26, 1.21), (-31, 1.23), (-36, 1.25), (-40, 1.25),
    ],
)  # fmt: skip
def test_str_02_table_factors(low_c, factor):
    assert voc_factor(low_c) == factor


@case("STR-02")
def test_str_02_ten_modules_by_table():
    assert 10 * 49.5 * voc_factor(-22.7) == pytest.approx(594.0)


@case("STR-02")
def test_str_02_the_table_ends_at_minus_40():
    with pytest.raises(ValueError):
        voc_factor(-41)


@case("STR-04")
def test_str_04_coefficient_in_millivolts():
    assert voc_cold_mv_v(37.0, -120, -10) == pytest.approx(41.2)
    assert 14 * voc_cold_mv_v(37.0, -120, -10) == pytest.approx(576.8)


@case("STR-06")
def test_str_06_hot_day_sets_the_shortest_string():
    assert vmp_hot_v(module(), 37.1, rise_k=30) == pytest.approx(35.13, abs=0.01)
    assert min(n.modules for n in lengths(module(), inverter(600, 100), -22.7, 37.1) if n.allowed) == 3


@case("STR-03")
def test_str_03_twelve_modules_at_minus_7_by_table():
    # a training text on the 2011 NEC, from memory: 524 V
    assert 12 * 38.3 * voc_factor(-7) == pytest.approx(524, abs=0.5)


@case("STR-07")
def test_str_07_eleven_modules_of_440_w_below_600_v():
    """49.5 V, -0.27 %/C, -10 C: 54.2 V cold; 600 / 54.2 = 11.07."""
    given = module(power_w=440.0, vmp_v=41.7, imp_a=10.55, isc_a=11.2)
    assert voc_cold_v(given, -10.0) == pytest.approx(54.2, abs=0.05)
    assert max(n.modules for n in lengths(given, inverter(600), -10.0, 33.0) if n.allowed) == 11
