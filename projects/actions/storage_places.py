"""Where a design puts its battery: the words for the places, and what can't be."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from projects.actions.findings import Findings

PLACES = {
    "attached_garage": "Attached garage",
    "detached_garage": "Detached garage or outbuilding",
    "outdoors": "Outside wall or on the ground outside",
    "utility_closet": "Utility room or storage closet",
}
"""By the names of sizing's storage limits."""
GAPS = ("unit_gap_m", "opening_gap_m")
FLAGS = ("fire_tested_close", "vehicle_guarded")
FARTHEST_M = 30.0


def check_storage(findings: Findings, storage: Mapping[str, Any]) -> None:
    """Problems stand at the names of sizing's Battery."""
    unknown = sorted(set(storage) - {"location", *GAPS, *FLAGS})
    if unknown:
        raise TypeError(f"a battery's place has no {', '.join(unknown)}")
    if "location" in storage and storage["location"] not in PLACES:
        findings.add("location", "Choose where the battery stands.")
    if storage and "location" not in storage:
        findings.add("location", "Distances are known, but not where the battery stands.")
    for name in GAPS:
        value = storage.get(name, 0.0)
        if isinstance(value, bool) or not isinstance(value, int | float) or not 0 <= value <= FARTHEST_M:
            findings.add(name, f"Metres, 0 to {FARTHEST_M:g}.")
    for name in FLAGS:
        if not isinstance(storage.get(name, False), bool):
            findings.add(name, "Yes or no.")


def in_words(storage: Mapping[str, Any]) -> str:
    """ "attached garage, units 0.9 m apart" for whoever compares two drawings."""
    if not storage:
        return "not decided"
    said = [PLACES.get(storage.get("location", ""), "place not decided").lower()]
    for name, words in (("unit_gap_m", "units {:.2f} m apart"), ("opening_gap_m", "{:.2f} m to a door or window")):
        if name in storage:
            said.append(words.format(storage[name]))
    if storage.get("fire_tested_close"):
        said.append("fire-tested closer")
    if "vehicle_guarded" in storage:
        said.append("guarded against vehicles" if storage["vehicle_guarded"] else "in the path of vehicles")
    return ", ".join(said)
