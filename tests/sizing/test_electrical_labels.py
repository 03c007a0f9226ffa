"""Labels carry the study's own numbers and only those that the system needs."""

from dataclasses import replace

import pytest

from sizing.electrical import study_electrical
from sizing.electrical.labels import labels
from sizing.study.example import example_request


def labels_of(**change):
    request = replace(example_request(), **change)
    electrical, *_ = study_electrical(request, -12.0, 33.0)
    return {label.key: label for label in labels(request, electrical)}


def test_the_example_carries_every_label_with_its_numbers():
    found = labels_of()
    assert list(found) == [
        "dc_disconnect", "dc_raceway", "rapid_shutdown", "battery_disconnect", "ac_disconnect", "sources", "breaker",
        "backup_panel",
    ]  # fmt: skip
    # 9 x 37.2 V x (1 + 0.0026 x 37) = 367 V; 1.25 x 13.8 A; 8000 / 240
    assert "MAXIMUM VOLTAGE 367 V DC" in found["dc_disconnect"].text
    assert "MAXIMUM CIRCUIT CURRENT 17.2 A" in found["dc_disconnect"].text
    assert "RATED OUTPUT CURRENT 33.3 A" in found["ac_disconnect"].text
    assert "CAPACITY 20 kWh" in found["battery_disconnect"].text
    assert "GENERATOR" in found["sources"].text[1]


def test_off_the_grid_a_plaque_outside_stands_for_the_service():
    found = labels_of(system_type="off_grid")
    assert list(found) == ["dc_disconnect", "dc_raceway", "rapid_shutdown", "battery_disconnect", "stand_alone"]
    assert found["stand_alone"].text[1] == "PHOTOVOLTAIC SYSTEM, ENERGY STORAGE, GENERATOR"
    assert "service" not in " ".join(label.place for label in found.values())
    assert labels_of()["rapid_shutdown"].place.startswith("At the service equipment")
    # The section is from memory.
    assert found["stand_alone"].source == "2020 NEC 710.10"
    assert labels_of(system_type="off_grid", generator=None)["stand_alone"].text[1].endswith("ENERGY STORAGE")


def test_without_battery_generator_and_backup_the_list_is_shorter():
    plain = replace(example_request().inverter, backup_power_w=0.0)
    found = labels_of(battery=None, generator=None, inverter=plain, system_type="grid_tied")
    assert "battery_disconnect" not in found and "backup_panel" not in found
    assert found["sources"].text[1] == "UTILITY, PHOTOVOLTAIC SYSTEM"


def test_an_ac_coupled_battery_is_in_the_rated_current_of_the_shared_disconnect():
    follower = replace(example_request().inverter, backup_power_w=0.0)
    found = labels_of(inverter=follower, battery=replace(example_request().battery, coupling="ac"))
    # (8000 + 2 x 5000) / 240
    assert "RATED OUTPUT CURRENT 75.0 A" in found["ac_disconnect"].text
    assert "PHOTOVOLTAIC AND ENERGY STORAGE SYSTEM AC DISCONNECT" in found["ac_disconnect"].text
    assert "NOMINAL VOLTAGE 240 V AC" in found["battery_disconnect"].text
    assert "backup_panel" in found
    # The critical-loads panel's busbar rests on the breakers' places, whichever way the main panel is joined.
    assert "DO NOT RELOCATE THIS OVERCURRENT DEVICE" in found["backup_breaker"].text
    assert "backup_breaker" not in labels_of()
    assert found["breaker"].place == "Beside the breaker of inverters and energy storage in the main panel"
    assert labels_of()["breaker"].place == "Beside the inverters' breaker in the main panel"


def test_an_array_on_the_ground_has_the_rapid_shutdown_label_that_its_drawing_has_the_device_for():
    """690.12 lets off ground mounts alone whose circuits enter no building, and nothing told here says that they don't:
    the drawing, the words (test_electrical_study.py) and the label keep to the safe side together."""
    asked = example_request()
    ground = tuple(replace(plane, mounting="ground") for plane in asked.planes)
    outside = replace(asked.battery, location="outdoors")
    for battery in (asked.battery, outside, None):
        assert "rapid_shutdown" in labels_of(planes=ground, battery=battery)


def test_on_the_supply_side_there_is_no_breaker_to_keep_in_place():
    supply = replace(example_request().service, connection="supply_side")
    assert "breaker" not in labels_of(service=supply)


@pytest.mark.parametrize(("edition", "source"), [("2017", "2017 NEC 690.53"), ("2023", "2023 NEC 690.7(D)")])
def test_sections_move_with_the_edition(edition, source):
    assert labels_of(code_edition=edition)["dc_disconnect"].source == source
