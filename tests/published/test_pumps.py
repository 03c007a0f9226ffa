"""Power and energy to lift water.

PUMP-01: a public pump guide. PUMP-02: a public formula page. PUMP-03: the rule of US pump handbooks, from memory.
PUMP-04: the 2.725 Wh figure from memory.
"""

import pytest

from sizing.loads.pump import hydraulic_w, lifting_kwh_per_day, shaft_w
from tests.published.cases import case


@case("PUMP-01")
def test_pump_01():
    assert hydraulic_w(0.05, 40) == pytest.approx(19_620)
    assert shaft_w(0.05, 40, 0.75) == pytest.approx(26_160)


@case("PUMP-02")
def test_pump_02():
    assert hydraulic_w(0.020, 30) == pytest.approx(5_886)
    assert shaft_w(0.020, 30, 0.75) == pytest.approx(7_848)


@case("PUMP-04")
def test_pump_04_daily_energy():
    assert lifting_kwh_per_day(10, 50, 1.0) == pytest.approx(1.3625)
    assert lifting_kwh_per_day(10, 50, 0.40) == pytest.approx(3.41, abs=0.005)


@case("PUMP-03")
def test_pump_03_water_horsepower():
    # 100 US gal/min by 100 ft over 3960: 2.525 hp
    gallon_m3, foot_m, horsepower_w = 3.785412e-3, 0.3048, 745.7
    water_hp = hydraulic_w(100 * gallon_m3 / 60, 100 * foot_m) / horsepower_w
    assert water_hp == pytest.approx(100 * 100 / 3960, rel=0.003)
