"""Conduit fill and voltage drop: NEC Chapter 9 Tables 1, 4, 5, 8 and Annex C.

FILL-01: worked answer of the Steel Tube Institute. FILL-02: public pages on Table 1 and its notes. FILL-03: counts of
Annex C Table C.1 from memory. VD-01: public copy of Table 8. VD-02: a public lesson. VD-03: an inspection exam item.
"""

import pytest

from sizing.electrical.conduit import conductors_area_in2, fill_fraction, most_conductors, smallest_emt
from sizing.electrical.tables import column
from sizing.electrical.voltage_drop import drop_v, resistance_ohm_per_kft
from tests.published.cases import case

FEET = 0.3048


@case("FILL-01")
def test_fill_01_mixed_conductors_in_emt():
    counts = {"12": 3, "10": 4, "8": 8}
    assert conductors_area_in2({"12": 3}) == pytest.approx(0.0399)
    assert conductors_area_in2({"10": 4}) == pytest.approx(0.0844)
    assert conductors_area_in2({"8": 8}) == pytest.approx(0.2928)
    assert conductors_area_in2(counts) == pytest.approx(0.4171)
    emt = column("emt", "trade_size", "area_in2")
    assert emt["1"] * 0.40 == pytest.approx(0.346, abs=0.0005)
    assert emt["1-1/4"] * 0.40 == pytest.approx(0.598, abs=0.0005)
    assert smallest_emt(counts) == "1-1/4"


@case("FILL-02")
def test_fill_02_shares():
    assert [fill_fraction(count) for count in (1, 2, 3, 4, 12)] == [0.53, 0.31, 0.40, 0.40, 0.40]
    assert fill_fraction(5, nipple=True) == 0.60


@case("FILL-04")
def test_table_5_areas_in_square_millimetres():
    # public transcripts of Table 5, THHN, THWN, THWN-2
    mm2 = {
        "14": 6.258, "12": 8.581, "10": 13.61, "8": 23.61, "6": 32.71, "4": 53.16, "3": 62.77, "2": 74.71, "1": 100.8,
        "1/0": 119.7, "2/0": 143.4, "3/0": 172.8, "4/0": 208.8, "250": 256.1, "300": 297.3, "350": 338.2,
        "400": 378.3, "500": 456.3,
    }  # fmt: skip
    assert {
        size: area * 645.16 for size, area in column("conductor_area", "size", "area_in2").items()
    } == pytest.approx(mm2, rel=0.005)


@case("FILL-03")
@pytest.mark.parametrize(
    ("size", "tubing", "count"), [("14", "1/2", 12), ("12", "1/2", 9), ("10", "1/2", 5), ("10", "3/4", 10)]
)
def test_fill_03_annex_c_counts(size, tubing, count):
    assert most_conductors(size, tubing) == count


@case("VD-01")
@pytest.mark.parametrize(
    ("size", "ohm", "mils"),
    [
        ("14", 3.14, 4110), ("12", 1.98, 6530), ("10", 1.24, 10380), ("8", 0.778, 16510), ("6", 0.491, 26240),
        ("4", 0.308, 41740), ("2", 0.194, 66360), ("1/0", 0.122, 105600), ("2/0", 0.0967, 133100),
    ],
)  # fmt: skip
def test_vd_01_table_8_stranded_copper(size, ohm, mils):
    assert resistance_ohm_per_kft(size) == ohm
    assert column("resistance", "size", "circular_mils")[size] == mils


@case("VD-01")
def test_vd_01_table_8_solid_and_aluminum():
    assert [resistance_ohm_per_kft(size, "cu_solid") for size in ("12", "10")] == [1.93, 1.21]
    assert [resistance_ohm_per_kft(size, "al_stranded") for size in ("12", "10", "8")] == [3.25, 2.04, 1.28]


@case("VD-02")
def test_vd_02_lamp_on_16_awg():
    drop = drop_v(4.99, 4, 100 * FEET)
    assert drop == pytest.approx(4.0, abs=0.01)
    assert drop / 24 * 100 == pytest.approx(16.65, abs=0.06)


@case("VD-03")
def test_vd_03_exam_item():
    drop = drop_v(1.98, 22, 50 * FEET)
    assert drop == pytest.approx(4.36, abs=0.005)
    assert drop / 120 * 100 == pytest.approx(3.63, abs=0.005)
    assert drop_v(1.29, 22, 50 * FEET) / 120 * 100 == pytest.approx(2.36, abs=0.01)
