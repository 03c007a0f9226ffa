"""Default trip settings: IEEE 1547-2018.

GRID-01 (Table 13), GRID-03 (Table 18; one public text misquotes OF1 as 61.8 Hz) and GRID-04 (Table 11): public texts.
GRID-02 (Table 12): from memory.
"""

from sizing.electrical.grid import default_trip_settings
from tests.published.cases import case


def settings_of(category):
    return {setting.function: (setting.threshold, setting.clearing_s) for setting in default_trip_settings(category)}


@case("GRID-01")
def test_grid_01_category_iii_voltages():
    found = settings_of("III")
    assert found["OV2"] == (1.20, 0.16)
    assert found["OV1"] == (1.10, 13)
    assert found["UV1"] == (0.88, 21)
    assert found["UV2"] == (0.50, 2)


@case("GRID-03")
def test_grid_03_frequencies_of_every_category():
    for category in ("I", "II", "III"):
        found = settings_of(category)
        assert found["OF2"] == (62.0, 0.16)
        assert found["OF1"] == (61.2, 300)
        assert found["UF1"] == (58.5, 300)
        assert found["UF2"] == (56.5, 0.16)


@case("GRID-04")
def test_grid_04_category_i_undervoltage():
    assert settings_of("I")["UV1"] == (0.70, 2.0)


@case("GRID-02")
def test_grid_02_category_ii_voltages():
    found = settings_of("II")
    assert {name: found[name] for name in ("OV2", "OV1", "UV1", "UV2")} == {
        "OV2": (1.20, 0.16), "OV1": (1.10, 2.0), "UV1": (0.70, 10.0), "UV2": (0.45, 0.16)
    }  # fmt: skip
