"""What differs between two frozen designs is named, all of it and nothing else."""

from __future__ import annotations

import copy
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from projects.route.design_diff import differences


def frozen() -> dict[str, Any]:
    return {
        "system_type": "hybrid",
        "module": {"name": "Osprey 400", "power_w": 400.0},
        "inverter": {"name": "Heron 7.6", "power_w": 7600.0},
        "inverter_count": 1,
        "battery": {"name": "Dunlin 10", "usable_kwh": 9.6},
        "battery_count": 2,
        "generator": None,
        "planes": [
            {"name": "South roof", "modules": 12, "tilt_deg": 22.0, "azimuth_deg": 180.0},
            {"name": "Garage", "modules": 6, "tilt_deg": 18.0, "azimuth_deg": 265.0},
        ],
        "strings": [{"plane": "South roof", "modules_in_series": 12, "strings": 1, "mppt": 1}],
        "service": {"rating_a": 200, "busbar_a": 200},
        "connection": "busbar_opposite_end",
        "runs": {"dc_m": 20.0, "ac_m": 10.0},
    }


def after(**changes: Any) -> dict[str, Any]:
    return {**frozen(), **changes}


def planes(index: int, **changes: Any) -> dict[str, Any]:
    lines = frozen()["planes"]
    lines[index].update(changes)
    return after(planes=lines)


@pytest.mark.parametrize(
    ("new", "words"),
    [
        (frozen(), ()),
        (planes(0, modules=14), ("modules on South roof: 12 → 14",)),
        (planes(1, tilt_deg=25.5), ("Garage, tilt: 18° → 25.5°",)),
        (after(planes=frozen()["planes"][:1]), ("modules on Garage: 6 → none",)),
        (
            after(planes=[*frozen()["planes"], {"name": "Porch", "modules": 4}]),
            ("modules on Porch: none → 4",),
        ),
        (after(planes=frozen()["planes"][::-1]), ("order: South roof, Garage → Garage, South roof",)),
        (after(battery_count=1), ("battery: 2 × Dunlin 10 → 1 × Dunlin 10",)),
        (after(battery=None, battery_count=0), ("battery: 2 × Dunlin 10 → none",)),
        (
            after(battery={"name": "Dunlin 10", "usable_kwh": 9.8}),
            ("battery Dunlin 10, usable: 9.6 kWh → 9.8 kWh",),
        ),
        (after(module={"name": "Osprey 420", "power_w": 420.0}), ("module: Osprey 400 → Osprey 420",)),
        (after(module={"name": "Osprey 400", "power_w": 405.0}), ("module Osprey 400, power: 400 W → 405 W",)),
        (
            after(module={**frozen()["module"], "voc_pct_per_c": -0.27}),
            ("module Osprey 400, voc pct per c: none → -0.27",),
        ),
        (after(inverter={"name": "Heron 10", "power_w": 1e4}), ("inverter: 1 × Heron 7.6 → 1 × Heron 10",)),
        (after(generator={"name": "Bittern 8"}), ("generator: none → Bittern 8",)),
        (
            after(strings=[{"plane": "South roof", "modules_in_series": 6, "strings": 2, "mppt": 1}]),
            ("strings: 1 × 12 on South roof (input 1) → 2 × 6 on South roof (input 1)",),
        ),
        (after(strings=[]), ("strings: 1 × 12 on South roof (input 1) → as the study proposes",)),
        (after(service={"rating_a": 200, "busbar_a": 225}), ("service, busbar: 200 A → 225 A",)),
        (after(connection="supply_side"), ("connection: breaker at the far end of the busbar → supply side",)),
        (after(runs={"dc_m": 24.0, "ac_m": 10.0}), ("runs, DC run: 20 m → 24 m",)),
        (after(system_type="grid_tied"), ("system type: hybrid → grid-tied",)),
        (after(racking="rail-less"), ("racking: none → rail-less",)),
    ],
)
def test_each_change_is_named(new: dict[str, Any], words: tuple[str, ...]) -> None:
    assert differences(frozen(), new) == words


def test_several_changes_come_in_the_order_of_the_design() -> None:
    new = after(battery_count=1, connection="supply_side")
    new["planes"][0]["modules"] = 14
    assert [words.split(":")[0] for words in differences(frozen(), new)] == [
        "battery",
        "modules on South roof",
        "connection",
    ]


def test_neither_design_is_touched() -> None:
    old, new = frozen(), planes(0, modules=14)
    before = copy.deepcopy((old, new))
    differences(old, new)
    assert (old, new) == before


def test_a_whole_number_is_the_same_with_a_point() -> None:
    assert differences({"dc_m": 20}, {"dc_m": 20.0}) == ()


def test_nothing_is_the_same_as_no_entry() -> None:
    assert differences({"generator": None}, {}) == ()


SCALARS = st.one_of(st.integers(-5, 5), st.sampled_from(["a", "b", ""]))
KEYS = st.sampled_from(["battery", "battery_count", "planes", "tilt_deg", "strings", "service", "name", "modules"])
DESIGNS = st.recursive(
    st.dictionaries(KEYS, SCALARS, max_size=4),
    lambda inner: st.dictionaries(
        KEYS, st.one_of(SCALARS, inner, st.lists(inner, max_size=3), st.lists(SCALARS, max_size=2)), max_size=4
    ),
    max_leaves=10,
)


@given(DESIGNS, DESIGNS)
@settings(max_examples=200, deadline=None)
def test_whatever_differs_is_never_passed_over(old: dict[str, Any], new: dict[str, Any]) -> None:
    assert bool(differences(old, new)) == (old != new)
    assert differences(old, old) == ()
