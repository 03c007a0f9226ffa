"""Motors: NEC Tables 430.7(B) and 430.248, Annex D Example D8.

MOT-01: public transcript of the table (one blog misprints H: we follow the table). MOT-02: arithmetic on it; a public
page that says 362 to 406 A does not follow from the table. MOT-04: public text. MOT-05: from memory.
"""

import pytest

from sizing.electrical.motors import (
    branch_ampacity_a,
    branch_device_a,
    feeder_ampacity_a,
    feeder_device_a,
    full_load_a,
)
from sizing.loads.starting import CODE_LETTER_KVA_PER_HP, locked_rotor_range_a
from tests.published.cases import case


@case("MOT-01")
@pytest.mark.parametrize(
    ("letter", "low", "high"),
    [
        ("A", 0, 3.14), ("D", 4.0, 4.49), ("F", 5.0, 5.59), ("G", 5.6, 6.29), ("H", 6.3, 7.09), ("J", 7.1, 7.99),
        ("K", 8.0, 8.99), ("L", 9.0, 9.99), ("M", 10.0, 11.19),
    ],
)  # fmt: skip
def test_mot_01_code_letters(letter, low, high):
    assert CODE_LETTER_KVA_PER_HP[letter] == (low, high)


@case("MOT-02")
def test_mot_02_locked_rotor_of_50_hp():
    low, high = locked_rotor_range_a(50, "G", 460, phases=3)
    assert low == pytest.approx(351, abs=0.5)
    assert high == pytest.approx(395, abs=0.5)


@case("MOT-04")
@pytest.mark.parametrize(
    ("horsepower", "voltage", "current"),
    [(1 / 6, 115, 4.4), (0.5, 115, 9.8), (0.5, 230, 4.9), (5, 230, 28), (10, 230, 50)],
)
def test_mot_04_single_phase_full_load(horsepower, voltage, current):
    assert full_load_a(horsepower, voltage) == current


@case("MOT-05")
def test_mot_05_example_d8():
    assert [branch_ampacity_a(current) for current in (34, 40)] == [42.5, 50]
    assert feeder_ampacity_a([34, 40, 40]) == pytest.approx(124)
    assert branch_device_a(34) == 90
    assert feeder_device_a(90, [40, 40]) == 150
