"""Stand-alone battery sizing on worksheets.

BATT-01, -02: three independent public worksheets (inputs of -02 ours). BATT-04: a public simple example. BATT-05:
Sandia SAND87-7023 worksheet 3, method only, inputs ours. BATT-07: arithmetic. BATT-09: IEEE 1562-2007 from memory.
"""

import pytest

from sizing.backup.rules import (
    array_parallel_modules,
    bank_ah,
    bank_layout,
    battery_only_hours,
    corrected_load_ah,
    temperature_multiplier,
)
from tests.published.cases import case


@case("BATT-01")
@pytest.mark.parametrize(
    ("fahrenheit", "multiplier"), [(80, 1.0), (70, 1.04), (60, 1.11), (50, 1.19), (40, 1.30), (30, 1.40), (20, 1.59)]
)
def test_batt_01_temperature_multipliers(fahrenheit, multiplier):
    assert temperature_multiplier(fahrenheit) == pytest.approx(multiplier)


@case("BATT-02")
def test_batt_02_eleven_line_worksheet():
    assert bank_ah(100, 4, 1.0) == 400
    assert bank_ah(100, 4, 0.5) == 800
    needed = bank_ah(100, 4, 0.5, temperature_multiplier(40))
    assert needed == pytest.approx(1040)
    parallel, series = bank_layout(needed, 225, 24, 6)
    assert (parallel, series, parallel * series) == (5, 4, 20)


@case("BATT-04")
def test_batt_04_fan_and_lamp():
    daily_ah = (20 * 12 + 16 * 5) / 12
    assert daily_ah == pytest.approx(26.7, abs=0.05)
    assert bank_ah(daily_ah, 3, 1.0) == pytest.approx(80)
    assert bank_ah(daily_ah, 3, 1.0, 1.10) == pytest.approx(88)


@case("BATT-05")
def test_batt_05_sandia_worksheet_3():
    corrected = corrected_load_ah(2400, 24, 0.98, 0.90)
    assert corrected == pytest.approx(113.4, abs=0.05)
    needed = bank_ah(corrected, 5, 0.8 * 0.9)
    assert needed == pytest.approx(787, abs=1)
    assert bank_layout(needed, 350, 24, 24)[0] == 3


@case("BATT-07")
def test_batt_07_ride_through_of_a_battery_alone():
    assert battery_only_hours(13.5, 0.20, 0.96, 1.2) == pytest.approx(8.64)


@case("BATT-09")
def test_batt_09_array_to_load_ratio():
    assert array_parallel_modules(100, 1.3, 0.10, 4.0, 8.0) == 5
