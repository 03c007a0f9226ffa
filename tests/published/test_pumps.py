"""Power and energy to lift water.

PUMP-01: a public pump guide. PUMP-02: a public formula page. PUMP-04: the 2.725 Wh figure from memory.
"""

import pytest

from sizing.loads.pump import hydraulic_w, lifting_kwh_per_day, shaft_w


def test_pump_01():
    assert hydraulic_w(0.05, 40) == pytest.approx(19_620)
    assert shaft_w(0.05, 40, 0.75) == pytest.approx(26_160)


def test_pump_02():
    assert hydraulic_w(0.020, 30) == pytest.approx(5_886)
    assert shaft_w(0.020, 30, 0.75) == pytest.approx(7_848)


def test_pump_04_daily_energy():
    assert lifting_kwh_per_day(10, 50, 1.0) == pytest.approx(1.3625)
    assert lifting_kwh_per_day(10, 50, 0.40) == pytest.approx(3.41, abs=0.005)
