"""Equipment grounding: NEC Table 250.122, 250.122(B), 690.45, Table 250.66.

EGC-01: trade newsletter; EGC-02 and EGC-04: public training articles; the rule of 690.45 in EGC-06 from memory.
"""

import pytest

from sizing.electrical.circuit import CircuitNeed, build
from sizing.electrical.grounding import electrode_ground, equipment_ground, upsized_equipment_ground
from tests.published.cases import case


@case("EGC-01")
@pytest.mark.parametrize(
    ("rating", "size"),
    [
        (15, "14"), (20, "12"), (25, "10"), (60, "10"), (70, "8"), (100, "8"), (110, "6"), (200, "6"), (300, "4"),
        (400, "3"), (500, "2"), (600, "1"), (800, "1/0"), (1000, "2/0"), (1200, "3/0"),
    ],
)  # fmt: skip
def test_egc_01_table(rating, size):
    assert equipment_ground(rating) == size


@case("EGC-02")
def test_egc_02_in_proportion_of_circular_mils():
    assert upsized_equipment_ground(300, "250", "350") == "2"


@case("EGC-04")
def test_egc_04_never_larger_than_the_conductors():
    assert upsized_equipment_ground(20, "12", "6") == "6"


@case("EGC-06")
def test_egc_06_array_circuit_enlarged_for_drop_keeps_its_ground():
    common = {
        "label": "run",
        "current_a": 12.5,
        "continuous_factor": 1.25,
        "current_formula": "",
        "current_terms": (),
        "current_rule": "dc_current",
        "operating_a": 10.0,
        "voltage_v": 100.0,
        "ambient_c": 30.0,
        "current_carrying": 2,
        "power_conductors": 2,
        "overcurrent_a": 20.0,
        "ground_basis_a": 20.0,
        "length_m": 80.0,
    }
    array, _ = build(CircuitNeed(key="pv_source", array_side=True, **common), "2020")
    other, _ = build(CircuitNeed(key="battery", **common), "2020")
    # 2 x 80 m at 0.491 ohm/kft and 10 A lose 2.6 V of 100 V; 8 AWG would lose 4.1 V
    assert array.conductor == other.conductor == "6 AWG Cu THWN-2"
    assert array.equipment_ground == "12 AWG Cu"
    assert other.equipment_ground == "6 AWG Cu"


@case("EGC-06")
def test_egc_06_service_of_200_a():
    assert electrode_ground("2/0") == "4"
    assert equipment_ground(200) == "6"


@case("EGC-07")
@pytest.mark.parametrize(
    ("service", "electrode"),
    [("4", "8"), ("2", "8"), ("1", "6"), ("1/0", "6"), ("2/0", "4"), ("3/0", "4"), ("4/0", "2"), ("350", "2")],
)
def test_egc_07_electrode_conductors(service, electrode):
    # Table 250.66, copper; the bands from memory
    assert electrode_ground(service) == electrode
